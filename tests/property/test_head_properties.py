"""Growth and history hold for any days, rates and stretches."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from strandline.science.head.history import Treatment, segments
from strandline.science.head.scalp import Scalp
from strandline.science.head.zones import CutLines, cut_zones

days = st.integers(0, 2000)
rates = st.floats(150, 600)
treatments = st.builds(
    lambda day, low, width, what: Treatment(day, low, low + width, what),
    days,
    st.floats(0, 30),
    st.floats(0.1, 40),
    st.sampled_from("abc"),
)


@given(treatments, days, days, rates)
def test_growing_a_then_b_is_growing_a_and_b(
    one: Treatment, first: int, second: int, rate: float
) -> None:
    """What lies somewhere after a, written down anew and grown by b, lies where a + b put it."""
    between = one.day + first
    again = Treatment(between, *one.reach_cm(between, rate), one.what)
    straight = one.reach_cm(between + second, rate)
    assert again.reach_cm(between + second, rate) == pytest.approx(straight, rel=1e-13)
    assert straight[1] - straight[0] == pytest.approx(one.to_cm - one.from_cm, rel=1e-9)


@given(st.lists(treatments, max_size=6), days, rates, st.floats(1, 80))
def test_segments_cover_the_strand_once(
    done: list[Treatment], day: int, rate: float, length: float
) -> None:
    parts = segments(done, day, rate, length)
    assert parts[0].from_cm == 0
    assert parts[-1].to_cm == length
    for before, after in itertools.pairwise(parts):
        assert before.to_cm == after.from_cm
        assert before.treatments != after.treatments
    for part in parts:
        middle = (part.from_cm + part.to_cm) / 2
        expected = [
            one
            for one in sorted(done, key=lambda t: t.day)
            if one.day <= day and _covers(one, middle, day, rate)
        ]
        assert list(part.treatments) == expected


def _covers(one: Treatment, place: float, day: float, rate: float) -> bool:
    low, high = one.reach_cm(day, rate)
    return low <= place <= high


@given(
    st.floats(52, 57),
    st.floats(35, 38),
    st.floats(8, 12),
    st.floats(-2, 2),
    st.floats(2, 8),
    st.floats(0.6, 1.6),
)
def test_zones_tile_any_head(
    round_cm: float, back_cm: float, strip: float, offset: float, fringe: float, depth: float
) -> None:
    assume(strip / 2 + abs(offset) <= 6.5)
    scalp = Scalp(round_cm, back_cm)
    cuts = CutLines(strip, offset, fringe, depth)
    zones = cut_zones(scalp, cuts)
    assert abs(zones.area_cm2 - scalp.area_cm2) < 1e-8 * scalp.area_cm2
    for zone, other in zip(zones, zones.mirrored(), strict=True):
        twin = other if zone.side == "centre" else None
        if twin is not None:
            assert abs(twin.area_cm2 - zone.area_cm2) < 1e-8
