"""Side, back and top beside the unrolled head: true to the geometry, nothing hidden drawn."""

from __future__ import annotations

import itertools
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from strandline.salon.report.aspect import Aspect
from strandline.salon.report.foil_column import COLUMN_MM, DETAILS_MM, HEIGHT_MM
from strandline.salon.report.foil_details import SIZE_MM, aspects, ground, lay, numbers
from strandline.salon.report.foil_map import foil_map_svg
from strandline.science.head.polygon import holds
from strandline.science.head.scalp import Scalp
from strandline.science.head.zones import CutLines, cut_zones
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.placement.foil import FoilMap, grown_out
from strandline.service.placement.pattern import pattern, pattern_names
from strandline.service.placement.place import place

ZONES = cut_zones()
MAPS = {name: place(ZONES, pattern(name)) for name in pattern_names()}
SVG = "{http://www.w3.org/2000/svg}"
SIDES = ("her left", "her right", "back", "top")
KINDS = {"slice", "weave", "tip-out", "lowlight"}


def details_of(svg: str) -> dict[str, ET.Element]:
    root = ET.fromstring(svg)  # noqa: S314 - drawn by this project
    drawn = [g for g in root.iter(f"{SVG}g") if (g.get("class") or "").startswith("detail ")]
    return {str(g.get("class")).removeprefix("detail "): g for g in drawn}


def foils_in(detail: ET.Element) -> list[ET.Element]:
    return [g for g in detail if g.tag == f"{SVG}g" and g.get("class") in KINDS]


def look(name: str, foils: FoilMap | None = None) -> Aspect:
    (found,) = (one for one in aspects((foils or MAPS["soft"]).zones) if one.name == name)
    return found


def laid(foils: FoilMap, one: Aspect) -> list:
    return [(foil, lay(foil, one.shape, one.mm_per_cm)) for foil in foils]


@pytest.mark.parametrize("name", pattern_names())
def test_every_foil_is_seen_from_somewhere_and_drawn_there(name: str) -> None:
    foils = MAPS[name]
    drawn = details_of(foil_map_svg(foils))
    assert tuple(drawn) == SIDES
    seen_of: set[int] = set()
    for one in aspects(foils.zones):
        seen = {f.number for f, course in laid(foils, one) if _in_runs(course.seen(one))}
        assert len(foils_in(drawn[one.name])) == len(seen)
        seen_of |= seen
    assert seen_of == {foil.number for foil in foils}


def _in_runs(flags: np.ndarray) -> bool:
    return bool((flags[1:] & flags[:-1]).any())


def test_far_side_nape_and_fringe_are_hidden_where_they_should_be() -> None:
    foils = MAPS["soft"]
    hidden = {
        "her left": foils.in_zone("sides right"),
        "her right": foils.in_zone("sides left"),
        "back": foils.in_zone("fringe"),
        "top": foils.in_zone("nape"),
    }
    for name, gone in hidden.items():
        one = look(name)
        assert gone
        for foil in gone:
            assert not lay(foil, one.shape, one.mm_per_cm).seen(one).any()
    for name, key in (("her left", "sides left"), ("back", "nape"), ("top", "top")):
        one = look(name)
        for foil in foils.in_zone(key):
            assert lay(foil, one.shape, one.mm_per_cm).seen(one).mean() > 0.4


def test_what_is_seen_is_nearest_to_the_eye() -> None:
    """Of points that fall on one place of a picture none far behind the nearest is seen."""
    shape = HeadShape(ZONES.scalp)
    y, share = np.meshgrid(np.linspace(0.5, 35.7, 90), np.linspace(-0.97, 0.97, 91))
    half = np.array([ZONES.scalp.half_u(float(v)) for v in y.ravel()])
    on = shape.place(share.ravel() * half, y.ravel())
    for one in aspects(ZONES):
        near = one.facing(on)
        places = np.round(one.flat(on) / 0.4).astype(int).T.tolist()
        nearest: dict[tuple[int, ...], float] = {}
        for place_, far in zip(map(tuple, places), near.tolist(), strict=True):
            nearest[place_] = max(far, nearest.get(place_, -99.0))
        front = np.array([nearest[tuple(place_)] for place_ in places])
        assert (front - near > 4).sum() > 500
        assert not one.seen(on)[front - near > 4].any()
        assert one.seen(on)[(front == near) & (one.facing(shape.normal(on)) > 0.2)].all()


def test_mirrored_head_gives_mirrored_details() -> None:
    zones = cut_zones(Scalp(), CutLines(strip_offset_cm=1.5))
    one = place(zones, pattern("soft"))
    other = place(zones.mirrored(), pattern("soft"))
    for here, there in (("her left", "her right"), ("back", "back"), ("top", "top")):
        a, b = look(here, one), look(there, other)
        left = [c.line[:, c.line.shape[1] // 2] for _, c in _seen(one, a)]
        right = [c.line[:, c.line.shape[1] // 2] for _, c in _seen(other, b)]
        assert len(left) == len(right)
        assert len(left) > 20
        spots = np.array(b.at(np.array(right).T))
        for x, y in a.at(np.array(left).T):
            mirror = (b.middle[0] - (x - a.middle[0]), y)
            assert np.abs(spots - mirror).max(axis=1).min() < 0.02


def _seen(foils: FoilMap, one: Aspect) -> list:
    return [(f, c) for f, c in laid(foils, one) if c.seen(one).any()]


def test_strips_narrow_towards_the_edge_of_the_head() -> None:
    one = look("top")
    foil = next(f for f in MAPS["heavy"].in_zone("crown"))
    course = lay(foil, one.shape, one.mm_per_cm)
    width = np.linalg.norm(one.flat(course.edges[0]) - one.flat(course.edges[1]), axis=0)
    slanted = one.facing(course.out)
    true = max(foil.thickness_mm / 10, 0.62 / one.mm_per_cm)
    assert width.max() <= true + 1e-9
    assert np.all(width >= true * slanted - 1e-6)


def test_head_is_as_long_and_broad_as_its_shape() -> None:
    shape = HeadShape(ZONES.scalp)
    back, side = look("back").outline, look("her right").outline
    _, half = shape.parts["cranium"]
    assert np.ptp(back[0]) == pytest.approx(2 * half[0], rel=0.01)
    assert side[1].max() == pytest.approx(half[2] + shape.parts["cranium"][0][2], rel=0.01)
    front = shape.parts["nose"]
    assert side[0].max() == pytest.approx(front[0][1] + front[1][1], rel=0.01)


@pytest.mark.parametrize("name", SIDES)
def test_ground_is_scalp_alone(name: str) -> None:
    """The open ground is held by the head's outline and holds the scalp that faces the eye."""
    one = look(name)
    ring = np.array([*ZONES.scalp.outline, ZONES.scalp.outline[0]])
    fine = np.concatenate(
        [a + (b - a) * np.linspace(0, 1, 30)[:, None] for a, b in itertools.pairwise(ring)]
    )
    shape = ground(one, one.shape.place(*fine.T)).T.tolist()
    inside = [tuple(point) for point in shape]
    for zone in ZONES:
        u, y = np.mean(zone.outline, axis=0)
        spot = one.shape.place(np.array([u]), np.array([y]))
        if one.seen(spot)[0] and one.facing(one.shape.normal(spot))[0] > 0.3:
            assert holds(inside, tuple(one.flat(spot)[:, 0]))
    face = {"her left": (-9.0, 0.0), "her right": (9.0, 0.0), "back": (0.0, -11.0)}
    if name in face:
        assert not holds(inside, face[name])


@pytest.mark.parametrize("name", pattern_names())
def test_numbers_are_sparse_and_meet_no_other(name: str) -> None:
    foils = MAPS[name]
    assert SIZE_MM >= 2.4
    for one in aspects(foils.zones):
        placed = numbers(one, laid(foils, one))
        assert len(placed) <= 2 * len(foils.order)
        for a, b in itertools.combinations(placed, 2):
            assert not a.meets(b, (0.0, 0.0))


@pytest.mark.parametrize("round_cm", [52.0, 55.2, 58.0])
def test_details_stand_between_map_and_column(round_cm: float) -> None:
    zones = cut_zones(Scalp(round_cm, 36.2 * round_cm / 55.2))
    boxes = []
    for one in aspects(zones):
        edge = np.array(one.on_sheet(one.outline))
        low, high = edge.min(axis=0), edge.max(axis=0)
        assert low[0] > DETAILS_MM
        assert high[0] < COLUMN_MM - 1
        assert low[1] > 19
        assert high[1] < HEIGHT_MM - 8
        boxes.append((low, high))
    for (low, high), (under, over) in itertools.combinations(boxes, 2):
        assert np.any(high < under) or np.any(over < low)


def test_last_visit_is_dashed_in_the_details() -> None:
    old = grown_out(MAPS["soft"], 3.3)
    detail = details_of(foil_map_svg(MAPS["return"], ghosts=old))["back"]
    bare = details_of(foil_map_svg(MAPS["return"]))["back"]
    assert len(list(detail.iter())) > len(list(bare.iter())) + 10
    dashed = [p for p in detail if p.get("stroke-dasharray")]
    one = look("back")
    assert len(dashed) == sum(_in_runs(c.seen(one)) for _, c in laid(old, one))
    assert not [p for p in bare if p.get("stroke-dasharray")]
