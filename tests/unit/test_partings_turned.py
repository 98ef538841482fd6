"""Partings that are diagonal, back to back, or bend round a place where hair turns."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.base.errors import OutOfRangeError
from strandline.salon.report.foil_words import section_lines
from strandline.science.head.course import Course, Whirl
from strandline.science.head.polygon import area, extent, holds
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import CutLines, cut_zones
from strandline.service.placement.foil import takes
from strandline.service.placement.pattern import Pattern, Row
from strandline.service.placement.place import place
from strandline.service.placement.sight import lies_in

ZONES = cut_zones()
RADIUS = ZONES.scalp.radius_cm
SWIRL = Whirl(0.0, 17.9, 2.4, 35.0)
whirls = st.builds(
    Whirl, st.floats(-4, 4), st.floats(10, 25), st.floats(0.5, 5), st.floats(-60, 60)
)
courses = st.builds(
    Course,
    st.just(RADIUS),
    st.tuples(st.floats(-6, 6), st.floats(5, 30)),
    st.floats(-60, 60),
    st.lists(whirls, max_size=2).map(tuple),
)


def whirled(*found, key="crown"):
    return replace(ZONES, whirls={key: found})


def full(diagonal="", deg=30.0, thick=3.0, pitch=9.0):
    return Row("slice", "full", thick, pitch, diagonal=diagonal, diagonal_deg=deg)


def roots(zone, count, seed=3):
    chance = random.Random(seed)  # noqa: S311 - a draw, not a secret
    (u0, u1), (y0, y1) = extent(zone.outline, 0), extent(zone.outline, 1)
    out = []
    while len(out) < count:
        point = (chance.uniform(u0, u1), chance.uniform(y0, y1))
        if holds(zone.outline, point):
            out.append(point)
    return out


@given(courses)
@settings(max_examples=60, deadline=None)
def test_a_point_carried_onto_the_chart_and_back_is_where_it_was(course):
    u, y = np.linspace(-5, 5, 9), np.linspace(4, 30, 9)
    back = course.chart(*course.own(u, y))
    assert np.allclose(back, (u, y), atol=2e-3)


@given(courses)
@settings(max_examples=40, deadline=None)
def test_a_frame_keeps_areas(course):
    """The determinant of the map is 1: hairs are counted in a frame as on the scalp."""
    u, y, h = np.linspace(-4, 4, 7), np.linspace(8, 26, 7), 1e-4
    one, two = course.own(u + h, y), course.own(u - h, y)
    up, low = course.own(u, y + h), course.own(u, y - h)
    du = [(a - b) / (2 * h) for a, b in zip(one, two, strict=True)]
    dy = [(a - b) / (2 * h) for a, b in zip(up, low, strict=True)]
    assert np.allclose(du[0] * dy[1] - du[1] * dy[0], 1.0, atol=5e-3)


def test_one_whirl_turns_its_middle_by_its_angle_and_its_rim_not_at_all():
    """Clockwise as seen from above: what lies to the right of the middle moves to the nape."""
    course = Course(RADIUS, (0.0, 17.9), 0.0, (SWIRL,))
    u, y = course.chart(np.array([0.01, 2.4, 0.0]), np.array([17.9, 17.9, 17.9]))
    assert math.degrees(math.atan2(y[0] - 17.9, u[0])) == pytest.approx(35, abs=0.1)
    assert (u[1], y[1]) == (2.4, 17.9)
    assert (u[2], y[2]) == pytest.approx((0, 17.9))


@pytest.mark.parametrize("diagonal", ["left", "right"])
@pytest.mark.parametrize("deg", [10.0, 30.0, 55.0])
def test_diagonal_slices_without_space_take_every_root_once(diagonal, deg):
    row = full(diagonal, deg, 6.0, 6.0)
    foils = place(ZONES, Pattern("x", {"crown": (row,), "top": (row,), "nape": (row,)}))
    for key in ("crown", "top", "nape"):
        assert foils.left_out[key] == pytest.approx(0, abs=1e-9)
        for root in roots(ZONES[key], 120):
            assert sum(takes(foil, ZONES, root) for foil in foils.in_zone(key)) == 1


def test_slices_round_a_swirl_take_every_root_once():
    zones = whirled(SWIRL)
    foils = place(zones, Pattern("x", {"crown": (full("", 30, 4.0, 4.0),)}))
    found = [sum(takes(f, zones, r) for f in foils) for r in roots(zones["crown"], 2000)]
    assert sum(one != 1 for one in found) <= 2  # a root within .02 mm of a bent edge
    whole = sum(area(foil.outline) for foil in foils)
    assert whole == pytest.approx(zones["crown"].area_cm2, rel=1e-4)


def test_a_swirl_changes_neither_foils_nor_the_hair_they_take():
    """A turn keeps areas: the same foils with the same hair, along another line."""
    pattern = Pattern("x", {"crown": (full(),)})
    plain, turned = place(ZONES, pattern), place(whirled(SWIRL), pattern)
    assert [f.roots for f in turned] == [f.roots for f in plain]
    moved = [f for f, g in zip(turned, plain, strict=True) if f.length_cm > g.length_cm + 0.01]
    assert len(moved) >= 3
    assert {f.turned for f in turned} == {True}
    assert max(f.length_cm for f in turned) <= 11.0


def test_a_diagonal_lies_as_it_is_named():
    rows = {"crown": "right", "sides": "back", "temples": "forward", "nape": "left"}
    foils = place(ZONES, Pattern("x", {z: (full(d),) for z, d in rows.items()}))

    def lower(foil):  # nearer the nape on the middle strip, nearer the ear at the sides
        first, last = foil.line[0], foil.line[-1]
        if foil.across:
            return "right" if last[1] > first[1] else "left"
        return "back" if abs(last[0]) > abs(first[0]) else "forward"

    for foil in foils:
        assert lower(foil) == rows[foil.zone]
    said = {line.words for line in section_lines(foils, "centre strip")}
    assert "its partings diagonal, right end lower" in said
    sides = {line.words for line in section_lines(foils, "sides")}
    assert {
        "its partings diagonal, back end lower",
        "its partings diagonal, front end lower",
    } <= sides


def test_a_diagonal_is_turned_by_its_angle_near_the_middle():
    foils = place(ZONES, Pattern("x", {"crown": (full("right", 25.0),)}))
    for foil in foils:
        (u0, y0), (u1, y1) = foil.line[0], foil.line[-1]
        assert math.degrees(math.atan2(y1 - y0, u1 - u0)) == pytest.approx(25, abs=0.01)


@pytest.mark.parametrize("rows", [("right", "forward"), ("left", "back")])
def test_a_mirrored_head_has_mirrored_diagonals_and_swirls(rows):
    zones = whirled(SWIRL, Whirl(1.0, 17.0, 1.0, -20.0))
    pattern = Pattern("x", {"crown": (full(rows[0]),), "sides": (full(rows[1]),)})
    plain = place(zones, pattern)
    other = place(zones.mirrored(), pattern.mirrored())
    assert len(plain) == len(other)
    seen = sorted(round(sum(u for u, _ in f.outline) / len(f.outline), 3) for f in plain)
    back = sorted(-round(sum(u for u, _ in f.outline) / len(f.outline), 3) for f in other)
    assert seen == pytest.approx(back, abs=0.15)
    assert sum(f.roots for f in plain) == sum(f.roots for f in other)


def test_no_diagonal_is_wider_than_a_foil():
    rows = {key: (full("left", 40.0),) for key in ("top", "nape", "nape_hairline")}
    rows["sides"] = (full("back", 40.0),)
    for foil in place(ZONES, Pattern("x", rows), max_parting_cm=9.0):
        assert foil.length_cm <= 9.0 + 1e-6


def test_back_to_back_leaves_no_hair_whatever_the_scale():
    row = Row("slice", "normal", 4.0, back_to_back=True)
    foils = place(ZONES, Pattern("x", {"top": (row,)}), pitch_scale=3.0)
    assert foils.left_out["top"] == pytest.approx(0, abs=1e-9)
    assert section_lines(foils, "centre strip")[0].words == "top, slice, back to back"


def test_the_next_visit_follows_last_times_diagonal():
    """What was left out lies along last visit's partings, whatever today's pattern says."""
    last = place(ZONES, Pattern("x", {"top": (full("left"),)}))
    today = place(ZONES, Pattern("x", {"top": (full("right"),)}), ghosts=last)
    assert today.foils
    assert {foil.tilt_deg for foil in today} == {foil.tilt_deg for foil in last}
    for root in roots(ZONES["top"], 300):
        assert not (
            any(takes(f, ZONES, root) for f in last) and any(takes(f, ZONES, root) for f in today)
        )


def test_strands_lie_in_turned_foils_as_their_roots_do():
    zones = whirled(SWIRL)
    weave = Row("weave", "medium", 4.0, 9.0, 5.0, 5.0)
    rows = {"crown": (weave,), "top": (full("left"),), "nape": (weave,)}
    foils = place(zones, Pattern("x", rows))
    head = derive(zones, {z.key: Grown(223, 0.4, 70, 367) for z in zones}, key_of("x"), 3000)
    for foil in foils:
        found = lies_in(foil, zones, head)
        for i in np.flatnonzero(head.in_zone(foil.key))[::5]:
            assert bool(found[i]) == takes(foil, zones, (float(head.u[i]), float(head.y[i])))
    share = (
        head.weight[np.any([lies_in(f, zones, head) for f in foils.in_zone("crown")], axis=0)].sum()
        / head.weight[head.in_zone("crown")].sum()
    )
    assert share == pytest.approx(1 - foils.left_out["crown"], abs=0.06)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ({"crown": (full("back"),)}, "turned 'back'"),
        ({"sides": (full("left"),)}, "turned 'left'"),
        ({"side_hairlines": (full("back"),)}, "follow the hairline"),
        ({"top": (full("left"), full("right"))}, "would cross"),
        ({"top": (full("left"), full())}, "would cross"),
    ],
)
def test_a_turn_that_a_zone_cannot_have_is_told(rows, said):
    with pytest.raises(OutOfRangeError, match=said):
        place(ZONES, Pattern("x", rows))


def test_what_no_comb_does_is_told():
    with pytest.raises(OutOfRangeError, match="turned 'up'"):
        full("up")
    with pytest.raises(OutOfRangeError, match="5-60 degrees"):
        full("left", 80.0)
    with pytest.raises(OutOfRangeError, match=r"0\.5-6 cm"):
        Whirl(0, 0, 9, 20)
    with pytest.raises(OutOfRangeError, match="-90-90 degrees"):
        Whirl(0, 0, 2, 120)


def test_a_mirrored_head_keeps_its_swirl_where_it_is_mirrored():
    zones = cut_zones(cuts=CutLines(strip_offset_cm=1.0))
    zones = replace(zones, whirls={"sides left": (Whirl(-6.0, 18.0, 1.5, 20.0),)})
    (found,) = zones.mirrored().whirls["sides right"]
    assert (found.u, found.angle_deg) == (6.0, -20.0)
