"""What is drawn: colour by palette, what covers what, the plain twin, sizes."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz, lch_from_lab, xyz_from_lab
from strandline.science.head.scalp import Scalp
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.growout.pictures.camera import VIEWS, Camera, camera_on
from strandline.service.growout.pictures.fall import Fallen, fall
from strandline.service.growout.pictures.plainly import plain_pieces
from strandline.service.growout.pictures.raster import (
    NO_HAIR,
    Seen,
    encoded,
    linear_rgb,
    paint,
    seen_of,
    width_cm,
)
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.style import HairStyle

RGB_TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""IEC 61966-2-1."""
ONE = ((25.0, 4.0, 6.0), (45.0, 9.0, 22.0), (60.0, 8.0, 28.0), (80.0, 2.0, 14.0))


@pytest.fixture(scope="module")
def zones():
    return cut_zones()


@pytest.fixture(scope="module")
def strands(zones):
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    return derive(zones, grown, key_of("pictures"), 20_000)


@pytest.fixture(scope="module")
def fallen(zones, strands):
    return fall(zones.scalp, strands, HairStyle(30.0, parting="left"))


@pytest.fixture(scope="module")
def seen(fallen, strands):
    return {
        view: seen_of(fallen, camera_on(fallen, view), 300, width_cm(strands)) for view in VIEWS
    }


def lab_of(linear):
    """CIELAB of linear sRGB, to the screen's own white."""
    return lab_from_xyz(100 * linear @ RGB_TO_XYZ.T, 100 * RGB_TO_XYZ.sum(axis=1))


def decoded(picture):
    shown = picture / 255.0
    return np.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4)


def covered(seen):
    """Say which pixels are hair alone."""
    size, fine = len(seen.behind), seen.fine
    return (seen.piece.reshape(size, fine, size, fine) != NO_HAIR).all(axis=(1, 3))


def one_state(fallen):
    return np.zeros((len(fallen.paths), fallen.pieces), dtype=np.int32)


def test_screen_light_is_encoded_as_its_standard_says():
    linear = np.array([0.0, 0.002, 0.0031308, 0.2140411, 1.0, 1.3, -0.1])
    assert encoded(linear) == pytest.approx([0, 7, 10, 127.5, 255, 255, 0], abs=0.51)


@pytest.mark.parametrize("lab", ONE)
@pytest.mark.parametrize("view", VIEWS)
def test_hair_of_one_colour_keeps_its_colour(fallen, seen, view, lab):
    """Light and shade are factors: hue and chroma against lightness stay, the mean within 2 dE."""
    palette = linear_rgb(xyz_from_lab(np.array([lab])))
    picture = decoded(paint(seen[view], one_state(fallen), palette))[covered(seen[view])]
    given = lab_of(palette)[0]
    mean = lab_of(picture.mean(axis=0))
    assert float(delta_e00(mean, given)) < 2.0
    hue = lch_from_lab(np.stack([mean, given]))
    assert hue[0, 2] == pytest.approx(hue[1, 2], abs=1.5)
    lit = lab_of(picture)
    unlike = lab_of(palette * (picture[:, :1] / palette[0, 0]))
    assert np.median(delta_e00(lit, unlike)) < 1.0


def test_gray_stays_gray(fallen, seen):
    one = seen["side"]
    picture = paint(one, one_state(fallen), np.full((1, 3), 0.4)).astype(int)
    size = one.behind.shape[0]
    hair = (one.piece >= 0).reshape(size, one.fine, size, one.fine).all(axis=(1, 3))
    assert hair.sum() > 1000
    assert np.abs(np.diff(picture[hair], axis=1)).max() == 0


def test_light_and_dark_strands_are_both_seen_in_their_shares(fallen, seen, strands):
    state = np.broadcast_to(strands.white.astype(np.int32)[:, None], (len(strands), fallen.pieces))
    for one in seen.values():
        shown = one.piece[one.piece != NO_HAIR]
        share = strands.white[shown // fallen.pieces].mean()
        assert share == pytest.approx(strands.white.mean(), abs=0.03)
        palette = np.array([[0.02, 0.015, 0.01], [0.7, 0.68, 0.6]])
        bright = paint(one, state, palette).max(axis=2)[covered(one)]
        assert np.mean(bright > 180) > 0.03
        assert np.mean(bright < 70) > 0.03


def test_a_mix_is_averaged_in_light_not_in_screen_values(fallen):
    """Of four places to a pixel two white and two black: half the light, 188 and not 128."""
    piece = np.array([[0, 1], [1, 0]], dtype=np.int32)
    one = Seen(
        np.tile(piece, (64, 64)),
        np.ones((128, 128), dtype=np.float32),
        np.zeros((64, 64, 3), dtype=np.float32),
        2,
        1,
    )
    state = np.array([[0], [1]], dtype=np.int32)
    picture = paint(one, state, np.array([[0.0] * 3, [1.0] * 3]))
    assert np.unique(picture).tolist() == [188]


def test_regrowth_shows_at_the_parting_and_from_above_more_than_from_behind(fallen, seen):
    root = np.arange(fallen.pieces) < fallen.pieces // 10
    share = {}
    for view, one in seen.items():
        shown = one.piece[one.piece != NO_HAIR] % fallen.pieces
        share[view] = root[shown].mean()
    assert share["top"] > 2 * share["back"]
    assert share["top"] > 0.08


def test_the_scalp_is_covered_but_for_the_parting(seen, fallen):
    """From above: what is no hair within the head is a strip, not a bald head."""
    one = seen["top"]
    open_scalp = (one.piece == NO_HAIR)[300:600, 350:550].mean()
    assert 0.002 < open_scalp < 0.12


def test_thin_hair_shows_more_scalp(zones):
    open_scalp = []
    for density in (60, 250):
        grown = {zone.key: Grown(density, 0.4, 70, 367) for zone in zones}
        some = derive(zones, grown, key_of("pictures"), 20_000)
        head = fall(zones.scalp, some, HairStyle(20.0, parting="centre"))
        one = seen_of(head, camera_on(head, "top"), 200, width_cm(some))
        open_scalp.append((one.piece == NO_HAIR)[200:400, 230:370].mean())
    assert open_scalp[0] > 1.5 * open_scalp[1]


def test_hair_of_the_back_does_not_show_through_the_face(fallen, seen):
    shown = np.unique(seen["front"].piece)
    pieces = shown[shown != NO_HAIR]
    middle = (fallen.paths[:, :-1] + fallen.paths[:, 1:]).reshape(-1, 3)[pieces] / 2
    face = (np.abs(middle[:, 0]) < 3) & (np.abs(middle[:, 2]) < 4)
    assert not np.any(face & (middle[:, 1] < 5))


def test_a_piece_that_is_no_hair_shows_what_is_behind_it(fallen, strands):
    """Not a hole: the hair beneath it is seen."""
    camera, wide = camera_on(fallen, "back"), width_cm(strands)
    gone = np.arange(len(strands)) % 10 == 0
    there = np.repeat(~gone[:, None], fallen.pieces, axis=1)
    all_of, less = (seen_of(fallen, camera, 200, wide, some) for some in (None, there))
    shown = less.piece[less.piece != NO_HAIR] // fallen.pieces
    assert not gone[shown].any()
    assert gone[all_of.piece[all_of.piece != NO_HAIR] // fallen.pieces].any()
    bare = [(one.piece == NO_HAIR).mean() for one in (all_of, less)]
    assert bare[1] < bare[0] + 0.02


def test_the_plain_twin_finds_the_same_pieces(zones):
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    few = derive(zones, grown, key_of("few"), 1000)
    head = fall(zones.scalp, few, HairStyle(25.0, 1.35), pieces=24)
    camera = camera_on(head, "side")
    one = seen_of(head, camera, 100)
    plain = plain_pieces(head, camera, 100, one.fine)
    assert np.mean(plain == one.piece) > 0.995  # single precision moves a place in the odd case
    assert np.mean((plain == NO_HAIR) == (one.piece == NO_HAIR)) > 0.998


def test_the_same_head_gives_the_same_bytes(zones, strands, fallen):
    camera = camera_on(fallen, "front")
    pictures = [
        paint(
            seen_of(fall(zones.scalp, strands, HairStyle(30.0)), camera, 128, width_cm(strands)),
            one_state(fallen),
            np.full((1, 3), 0.3),
        ).tobytes()
        for _ in range(2)
    ]
    assert pictures[0] == pictures[1]


def test_rounding_of_another_machine_hardly_shows(zones, strands):
    """Roots moved by far more than rounding: the tolerance that `raster` states."""
    astray = np.random.default_rng(1).normal(size=(2, len(strands))) * 1e-6
    moved = dataclasses.replace(strands, u=strands.u + astray[0], y=strands.y + astray[1])
    shown = []
    for some in (strands, moved):
        head = fall(zones.scalp, some, HairStyle(24.0, 1.35))
        one = seen_of(head, camera_on(head, "front"), 200, width_cm(strands))
        state = np.broadcast_to(
            strands.white.astype(np.int32)[:, None], (len(strands), head.pieces)
        )
        shown.append(paint(one, state, np.array([[0.03, 0.02, 0.01], [0.6, 0.6, 0.5]])))
    unlike = np.abs(shown[0].astype(int) - shown[1])
    assert unlike.mean() < 0.1
    assert np.mean(unlike.max(axis=2) > 2) < 0.01


@pytest.mark.parametrize("size", [0, 63, 4001, -5])
def test_odd_sizes_are_refused(fallen, size):
    with pytest.raises(OutOfRangeError, match=f"{size} pixels wide; it must be 64-4000"):
        seen_of(fallen, camera_on(fallen, "front"), size)


@pytest.mark.parametrize(("size", "fine"), [(64, 6), (500, 3), (700, 2), (1601, 1)])
def test_a_picture_is_of_its_size(fallen, size, fine):
    one = seen_of(fallen, camera_on(fallen, "back"), size)
    assert (one.fine, one.piece.shape) == (fine, (size * fine, size * fine))
    picture = paint(one, one_state(fallen), np.full((1, 3), 0.3))
    assert (picture.shape, picture.dtype) == ((size, size, 3), np.uint8)


def test_what_cannot_be_looked_at_or_coloured_is_refused(fallen, seen):
    with pytest.raises(OutOfRangeError, match="The view is 'below'"):
        camera_on(fallen, "below")
    with pytest.raises(OutOfRangeError, match="tilted -30 degrees"):
        Camera(0.0, -30.0)
    with pytest.raises(OutOfRangeError, match="0 cm high"):
        Camera(0.0, 0.0, height_cm=0.0)
    with pytest.raises(OutOfRangeError, match="drawn in"):
        paint(seen["front"], np.zeros((10, 3), dtype=np.int32), np.full((1, 3), 0.3))
    with pytest.raises(OutOfRangeError, match="runs from 40 to 40; linear sRGB is 0-1"):
        paint(seen["front"], one_state(fallen), np.full((1, 3), 40.0))
    with pytest.raises(OutOfRangeError, match="the palette has 1 colours"):
        paint(seen["front"], one_state(fallen) + 1, np.full((1, 3), 0.3))


def test_her_right_is_on_the_left_of_the_front_and_on_the_right_of_the_back():
    assert Camera(0.0, 0.0).axes[0] == pytest.approx([-1, 0, 0], abs=1e-12)
    assert Camera(180.0, 0.0).axes[0] == pytest.approx([1, 0, 0], abs=1e-12)
    assert Camera(90.0, 0.0).axes[2] == pytest.approx([1, 0, 0], abs=1e-12)
    for turn, tilt in VIEWS.values():
        axes = Camera(turn, tilt).axes
        assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
        assert axes[1][2] >= 0


def test_of_strands_at_one_depth_one_lies_over_the_other_all_along():
    """Piece by piece the nearer of two strands changes by a tenth of a millimetre."""
    up = np.linspace(5.0, -5.0, 21)
    ahead = 15.0 + 0.005 * np.where(np.arange(21) // 2 % 2, 1.0, -1.0)
    one = np.stack([np.zeros(21), ahead, up], axis=1)
    two = np.stack([np.zeros(21), 30.0 - ahead, up], axis=1)
    pair = Fallen(np.stack([one, two]).astype(np.float32), np.full(2, 10.0), HeadShape(Scalp()))
    seen = seen_of(pair, Camera(0.0, 0.0), 200)
    shown = np.unique(seen.piece[seen.piece >= 0] // pair.pieces)
    assert len(shown) == 1
