"""The parts of strands for a screen: bytes, order, openness, the head beneath."""

from __future__ import annotations

import json
import struct

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.growout.pictures.fall import fall
from strandline.service.growout.pictures.raster import width_cm
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.style import HairStyle
from strandline.service.growout.screen.fair import fair_order
from strandline.service.growout.screen.head_mesh import UNDER_CM, head_mesh
from strandline.service.growout.screen.packing import packed, unpacked
from strandline.service.growout.screen.shade import openness


@pytest.fixture(scope="module")
def strands():
    zones = cut_zones()
    return derive(zones, {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}, key_of("s"), 2000)


@pytest.fixture(scope="module")
def fallen(strands):
    return fall(cut_zones().scalp, strands, HairStyle(25.0))


@given(arrays(np.int16, st.tuples(st.integers(1, 3), st.integers(1, 4), st.integers(1, 9))))
def test_any_short_numbers_come_back_from_their_bend(values):
    _, found = unpacked(packed({}, {"a": (values, "bend"), "b": (values, "plain")}))
    assert np.array_equal(found["a"], values)
    assert np.array_equal(found["b"], values)


def test_a_straight_row_bends_nowhere():
    content = packed({}, {"a": (np.arange(0, 900, 9, dtype=np.int16), "bend")})
    (size,) = struct.unpack("<I", content[:4])
    body = np.frombuffer(content[4 + size : 4 + size + 200], np.uint8)
    assert body[:100].tolist() == [0, 18, *[0] * 98]
    assert not body[100:].any()


def test_the_bytes_stand_little_endian_on_whole_eights():
    content = packed({"of": "her"}, {"a": (np.array([1, 258], dtype="<u2"), "plain")})
    (size,) = struct.unpack("<I", content[:4])
    head = json.loads(content[4 : 4 + size])
    assert (4 + size) % 8 == 0
    assert head["of"] == "her"
    assert head["arrays"]["a"] == {
        "type": "<u2", "shape": [2], "coding": "plain", "offset": 0, "bytes": 4,
    }  # fmt: skip
    assert content[4 + size : 8 + size] == bytes([1, 0, 2, 1])


@pytest.mark.parametrize(
    "spoilt",
    [
        lambda content: b"",
        lambda content: content[:3],
        lambda content: content[: len(content) // 2],
        lambda content: b"\xff" * len(content),
        lambda content: content.replace(b"strandline strands", b"strandline plaits!"),
        lambda content: content.replace(b'"version":4', b'"version":1'),
        lambda content: content.replace(b'"coding":"bend"', b'"coding":"fold"'),
        lambda content: struct.pack("<I", 2) + b"[]",
    ],
)
def test_bytes_that_are_no_strands_are_told(spoilt):
    content = packed({}, {"a": (np.zeros((40, 40), dtype=np.int16), "bend")})
    with pytest.raises(ReadError, match="bytes"):
        unpacked(spoilt(content))


def test_only_short_numbers_are_coded_by_their_bend():
    with pytest.raises(OutOfRangeError, match="16-bit"):
        packed({}, {"a": (np.zeros(4, dtype=np.int32), "bend")})


@given(st.integers(1, 700), st.integers(0, 2**32))
def test_the_first_of_a_fair_order_stand_for_all(count, seed):
    """Of n taken first a class has its share.

    The count in a run is that of two beginnings of the row, and n that of a third; each is off by
    at most log2(N) / 3 + 1 (Bejian and Faure 1977: star discrepancy of van der Corput's sequence).
    """
    rng = np.random.default_rng(seed)
    kind = rng.integers(0, 3, count)
    order = fair_order((kind, rng.random(count)))
    assert np.array_equal(np.sort(order), np.arange(count))
    for taken in {1, count // 3 + 1, count}:
        for one in range(3):
            expected = taken * (kind == one).mean()
            off = abs((kind[order[:taken]] == one).sum() - expected)
            assert off <= np.log2(count) + 3 + 1e-9


def test_a_place_without_hair_and_head_is_wholly_open(fallen, strands):
    around = openness(fallen, width_cm(strands))
    assert around.at(np.array([60.0, 60.0, 60.0])) == pytest.approx(1.0, abs=1e-6)
    assert around.cells.min() >= 0
    assert around.cells.max() <= 1 + 1e-6


def test_more_hair_lets_less_light_through_and_what_lies_beneath_gets_less(fallen, strands):
    wide = width_cm(strands)
    once, twice = openness(fallen, wide), openness(fallen, 2 * wide)
    assert (twice.cells <= once.cells + 1e-6).all()
    roots = once.at(fallen.paths[:, 0]).mean()
    on_top = once.at(fallen.paths[:, 3] * 1.25).mean()
    assert roots < on_top


def test_the_cape_goes_on_behind_hair_to_the_waist():
    shape = HeadShape(cut_zones().scalp)
    short, long = head_mesh(shape), head_mesh(shape, -70.0)
    assert short.place[:, 2].min() > -40
    assert long.place[:, 2].min() < -70
    low = long.place[:, 2] < -30
    assert long.cape[low].all()
    assert not long.cape[long.place[:, 2] > -10].any()


def test_the_head_beneath_lies_just_under_the_roots_and_faces_out():
    shape = HeadShape(cut_zones().scalp)
    mesh = head_mesh(shape)
    deep = shape.depth_cm(mesh.place.T)
    assert deep.min() > 0  # nothing of it stands out of the head that hair grows on
    assert np.median(deep) == pytest.approx(UNDER_CM, abs=0.02)
    on_top = mesh.place[:, 2] > 8
    assert np.median(deep[on_top]) == pytest.approx(UNDER_CM, abs=0.01)
    assert np.linalg.norm(mesh.normal, axis=1) == pytest.approx(1, abs=1e-6)
    out = shape.normal(mesh.place[on_top].T).T
    assert (np.einsum("ij,ij->i", out, mesh.normal[on_top]) > 0.97).all()
    assert mesh.corners.max() == len(mesh.place) - 1
