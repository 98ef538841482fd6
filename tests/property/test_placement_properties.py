"""What holds for any placement."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.science.head.polygon import extent, holds
from strandline.science.head.zones import NAMES, CutLines, Zone, Zones, cut_zones
from strandline.service.placement.foil import Foil, FoilMap, takes
from strandline.service.placement.pattern import Row, pattern, pattern_names
from strandline.service.placement.place import place

ZONES = cut_zones()
LOPSIDED = cut_zones(cuts=CutLines(strip_offset_cm=1.2, centre_strip_cm=9.0))
names = st.sampled_from(pattern_names())
scales = st.floats(0.3, 4.0)
heads = st.sampled_from([ZONES, LOPSIDED])


def roots(zone: Zone, count: int, seed: int) -> list[tuple[float, float]]:
    """Draw roots evenly over a zone: the chart is equal in area."""
    chance = random.Random(seed)  # noqa: S311 - a draw, not a secret
    (u0, u1), (y0, y1) = extent(zone.outline, 0), extent(zone.outline, 1)
    out: list[tuple[float, float]] = []
    while len(out) < count:
        point = (chance.uniform(u0, u1), chance.uniform(y0, y1))
        if holds(zone.outline, point):
            out.append(point)
    return out


def takers(foils: FoilMap, zones: Zones, key: str, root: tuple[float, float]) -> list[Foil]:
    return [foil for foil in foils.in_zone(key) if takes(foil, zones, root)]


@given(heads, names, scales)
@settings(max_examples=40, deadline=None)
def test_doubling_the_spacing_never_gives_more(zones: Zones, name: str, scale: float) -> None:
    once = place(zones, pattern(name), pitch_scale=scale)
    twice = place(zones, pattern(name), pitch_scale=2 * scale)
    assert len(twice) <= len(once)


@given(heads, st.floats(4.0, 20.0), st.integers(0, 1000))
@settings(max_examples=6, deadline=None)
def test_slices_with_no_space_take_every_root_once(zones: Zones, thick: float, seed: int) -> None:
    row = Row("slice", "full", thickness_mm=thick, pitch_mm=thick)
    foils = place(zones, dict.fromkeys(NAMES, row))
    for zone in zones:
        assert foils.left_out[zone.key] == pytest.approx(0.0, abs=1e-9)
        for root in roots(zone, 40, seed):
            assert len(takers(foils, zones, zone.key, root)) == 1


@pytest.mark.parametrize("comb", [2.0, 3.0, 5.0, 9.0])
def test_weave_of_pick_and_left_alike_takes_half(comb: float) -> None:
    """5000 roots: two and a half standard errors of a half are 0.018."""
    row = Row("weave", "fine", thickness_mm=6.0, pitch_mm=6.0, pick_mm=comb, left_mm=comb)
    foils = place(ZONES, dict.fromkeys(NAMES, row))
    for key in ("top", "fringe", "sides right", "side_hairlines left"):
        drawn = roots(ZONES[key], 5000, 7)
        taken = sum(bool(takers(foils, ZONES, key, root)) for root in drawn) / len(drawn)
        assert taken == pytest.approx(0.5, abs=0.03 if "side" in key else 0.018)
        assert 1 - foils.left_out[key] == pytest.approx(0.5)


@given(names, scales, st.integers(0, 1000))
@settings(max_examples=15, deadline=None)
def test_no_root_is_in_two_foils(name: str, scale: float, seed: int) -> None:
    foils = place(ZONES, pattern(name), pitch_scale=scale)
    for zone in ZONES:
        for root in roots(zone, 30, seed):
            assert len(takers(foils, ZONES, zone.key, root)) <= 1


@given(st.sampled_from(["heavy", "soft", "return"]), st.sampled_from(["soft", "return", "partial"]))
@settings(max_examples=9, deadline=None)
def test_two_visits_share_no_root_and_leave_the_stated_rest(first: str, second: str) -> None:
    one = place(ZONES, pattern(first).without_kinds("lowlight weave"))
    two = place(ZONES, pattern(second).without_kinds("lowlight weave"), ghosts=one)
    for key in ("top", "crown", "fringe", "sides left", "nape_hairline"):
        drawn = roots(ZONES[key], 1500, 11)
        counts = [
            len(takers(one, ZONES, key, root)) + len(takers(two, ZONES, key, root))
            for root in drawn
        ]
        assert max(counts) <= 1
        rest = one.left_out[key] + two.left_out[key] - 1
        assert counts.count(0) / len(drawn) == pytest.approx(rest, abs=0.04)


@given(heads, names, scales)
@settings(max_examples=15, deadline=None)
def test_mirrored_head_has_mirrored_foils(zones: Zones, name: str, scale: float) -> None:
    foils = place(zones, pattern(name), pitch_scale=scale)
    other = place(zones.mirrored(), pattern(name).mirrored(), pitch_scale=scale)
    one, mirror = sorted(map(_looks, foils), key=_near), sorted(map(_mirrored, other), key=_near)
    assert [words for words, _ in one] == [words for words, _ in mirror]
    for (_, shape), (_, mirrored) in zip(one, mirror, strict=True):
        assert shape == pytest.approx(mirrored, abs=2e-5)


Looks = tuple[str, tuple[float, ...]]


def _near(one: Looks) -> tuple[str, tuple[float, ...]]:
    return one[0], tuple(round(value + 3e-4, 3) for value in one[1])


def _looks(foil: Foil) -> Looks:
    return _shape(foil, 1.0, foil.key)


def _mirrored(foil: Foil) -> Looks:
    swap = {"left": "right", "right": "left", "centre": "centre"}[foil.side]
    return _shape(foil, -1.0, foil.zone if swap == "centre" else f"{foil.zone} {swap}")


def _shape(foil: Foil, sign: float, key: str) -> Looks:
    (u0, u1), (y0, y1) = extent(foil.outline, 0), extent(foil.outline, 1)
    low, high = sorted((sign * u0, sign * u1))
    return f"{key} {foil.kind} {foil.grade} {foil.roots}", (y0, y1, low, high, foil.hair_grams)


@given(names, scales, st.floats(60, 400), st.floats(5, 80), st.floats(30, 120), st.floats(1, 6))
@settings(max_examples=25, deadline=None)
def test_grams_are_the_treated_mass_by_the_factor(
    name: str, scale: float, density: float, length: float, diameter: float, factor: float
) -> None:
    foils = place(
        ZONES,
        pattern(name),
        pitch_scale=scale,
        density_per_cm2=density,
        length_cm=length,
        diameter_um=diameter,
        grams_factor=factor,
    )
    product = foils.lightener_grams + foils.colour_grams
    assert product == pytest.approx(factor * foils.hair_grams)
    roots_taken = foils.taken_share() * ZONES.area_cm2 * density
    assert sum(foil.roots for foil in foils) == pytest.approx(roots_taken, abs=0.5 * len(foils) + 1)
