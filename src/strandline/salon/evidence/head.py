"""Checks of the head and of placement against measured values, geometry and practice."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cache, partial

from strandline.salon.evidence.check import Check, Kind
from strandline.science.head.growth import mm_per_month, rate_um_per_day, weeks_cm
from strandline.science.head.history import Treatment
from strandline.science.head.mass import hairs, linear_mass_mg_per_cm
from strandline.science.head.measure import (
    ellipse_circumference,
    hemisphere_area,
    superellipse_exponent,
)
from strandline.science.head.polygon import Point, extent, holds
from strandline.science.head.scalp import Scalp
from strandline.science.head.zones import NAMES, CutLines, Zone, Zones, cut_zones
from strandline.service.placement.foil import Foil, FoilMap, takes
from strandline.service.placement.pattern import Pattern, Row, pattern, pattern_names
from strandline.service.placement.place import place

PRACTICE = "common practice, no source"
RATE = 367.0
SCALES = (0.5, 0.8, 1.0, 1.3, 1.7, 2.4)


@cache
def _head() -> Zones:
    return cut_zones()


@cache
def _foils(name: str) -> FoilMap:
    return place(_head(), pattern(name))


def _roots(zone: Zone, count: int) -> list[Point]:
    """Give roots spread evenly over a zone: the chart is equal in area."""
    (u0, u1), (y0, y1) = extent(zone.outline, 0), extent(zone.outline, 1)
    grid = (
        (
            u0 + (u1 - u0) * ((k * 0.754877666) % 1),
            y0 + (y1 - y0) * ((k * 0.569840291) % 1),
        )
        for k in range(1, count + 1)
    )
    return [root for root in grid if holds(zone.outline, root)]


def _taken(foils: FoilMap, zone: Zone, root: Point) -> int:
    return sum(takes(foil, foils.zones, root) for foil in foils.in_zone(zone.key))


def _everywhere(row: Row) -> dict[str, tuple[Row, ...]]:
    return dict.fromkeys(NAMES, (row,))


def _weeks_mm(weeks: float) -> float:
    return 10 * weeks_cm(RATE, weeks)


def _two_growths() -> float:
    one = Treatment(0, 1.0, 3.0, "foil")
    again = Treatment(84, *one.reach_cm(84, RATE), "foil")
    return again.reach_cm(175, RATE)[0] - one.reach_cm(175, RATE)[0]


def _length_kept() -> float:
    low, high = Treatment(0, 1.0, 3.0, "foil").reach_cm(400, RATE)
    return high - low


def _moved_out() -> float:
    return Treatment(0, 1.0, 3.0, "foil").reach_cm(84, RATE)[0] - 1.0


def _gap_in_tiling() -> float:
    worst = 0.0
    for cuts in (CutLines(), CutLines(strip_offset_cm=1.5), CutLines(9.0, 0.0, 3.0, 2.0)):
        zones = cut_zones(cuts=cuts)
        worst = max(worst, 100 * abs(zones.area_cm2 / zones.scalp.area_cm2 - 1))
    return worst


def _overlaps() -> float:
    zones = _head()
    points = [(u / 4 + 0.013, y / 4 + 0.007) for u in range(-36, 37) for y in range(146)]
    return max(sum(holds(zone.outline, point) for zone in zones) for point in points)


def _more_by_doubling() -> float:
    return max(
        len(place(_head(), pattern(name), pitch_scale=2 * scale))
        - len(place(_head(), pattern(name), pitch_scale=scale))
        for name in pattern_names()
        for scale in SCALES
    )


def _back_to_back() -> FoilMap:
    return place(_head(), _everywhere(Row("slice", "full", 8.0, 8.0)))


def _roots_not_once() -> float:
    foils = _back_to_back()
    return sum(_taken(foils, zone, root) != 1 for zone in foils.zones for root in _roots(zone, 150))


def _woven_half() -> float:
    foils = place(_head(), _everywhere(Row("weave", "fine", 6.0, 6.0, 3.0, 3.0)))
    zone = foils.zones["top"]
    roots = _roots(zone, 4000)
    return sum(_taken(foils, zone, root) for root in roots) / len(roots)


@cache
def _two_visits() -> tuple[float, float]:
    """Give the roots taken twice, and the worst miss of the stated rest over some zones."""
    first = _foils("soft")
    second = place(_head(), pattern("return").without_kinds("lowlight weave"), ghosts=first)
    twice, miss = 0, 0.0
    for key in ("top", "crown", "fringe", "sides left"):
        zone = first.zones[key]
        counts = [
            _taken(first, zone, root) + _taken(second, zone, root) for root in _roots(zone, 1500)
        ]
        twice += sum(count > 1 for count in counts)
        rest = first.left_out[key] + second.left_out[key] - 1
        miss = max(miss, abs(counts.count(0) / len(counts) - rest))
    return float(twice), miss


def _mirror() -> float:
    zones = cut_zones(cuts=CutLines(strip_offset_cm=1.2))
    names: Mapping[str, str] = {"left": "right", "right": "left", "centre": "centre"}

    def seen(foil: Foil, sign: float, side: str) -> tuple[str, str, str, int, int]:
        middle = sum(sign * u for u, _ in foil.line) / len(foil.line)
        return (foil.zone, side, foil.kind, round(1000 * middle), foil.roots)

    one = sorted(seen(f, 1.0, f.side) for f in place(zones, pattern("heavy")))
    other = sorted(seen(f, -1.0, names[f.side]) for f in place(zones.mirrored(), pattern("heavy")))
    return float(len(one) != len(other)) + sum(a != b for a, b in zip(one, other, strict=False))


def _grams_off() -> float:
    foils = _foils("heavy")
    mass = sum(
        foil.roots * (30.0 - foil.from_cm) * linear_mass_mg_per_cm(70) / 1000 for foil in foils
    )
    return foils.lightener_grams - 4.0 * mass


def _for_nothing() -> float:
    foils = place(_head(), Pattern("", {}), foil_budget=(50, 65))
    return len(foils) + foils.lightener_grams + foils.colour_grams


def _near(
    name: str,
    source: str,
    expected: float,
    compute: Callable[[], float],
    tolerance: float,
    unit: str,
) -> Check:
    kind: Kind = (
        "measured" if source in ("loussouarn2005", "scalp_area", "barman1965") else "identity"
    )
    return Check(name, kind, source, expected, compute, tolerance, unit=unit)


def _counts(name: str, fewest: int, most: int) -> list[Check]:
    def count() -> float:
        return len(_foils(name))

    said = f"Foils of the pattern '{name}' on the mean head"
    return [
        Check(said, "practice", PRACTICE, fewest, count, relation="at least", unit="foils"),
        Check(said, "practice", PRACTICE, most, count, relation="at most", unit="foils"),
    ]


def _area() -> float:
    return Scalp().area_cm2


CHECKS: tuple[Check, ...] = (
    *(
        _near(
            f"Growth a month at {rate} um/day",
            "loussouarn2005",
            mm,
            partial(mm_per_month, rate),
            0.01,
            "mm",
        )
        for rate, mm in ((280, 8.52), (367, 11.17), (411, 12.51))
    ),
    _near(
        "Half an inch a month", "arithmetic", 417.2, lambda: rate_um_per_day(12.7), 0.1, "um/day"
    ),
    *(
        _near(
            f"Growth in {weeks} weeks at 367 um/day",
            "arithmetic",
            mm,
            partial(_weeks_mm, weeks),
            0.1,
            "mm",
        )
        for weeks, mm in ((8, 20.6), (12, 30.8), (16, 41.1))
    ),
    _near(
        "Scalp area of the mean head, within one deviation",
        "scalp_area",
        492.36,
        _area,
        30.97,
        "cm2",
    ),
    Check(
        "Scalp area, least", "measured", "scalp_area", 430, _area, relation="at least", unit="cm2"
    ),
    Check("Scalp area, most", "measured", "scalp_area", 555, _area, relation="at most", unit="cm2"),
    Check(
        "Ear to ear over the top",
        "measured",
        "wig_cap",
        34.3,
        lambda: math.pi * Scalp().radius_cm,
        1.0,
        unit="cm",
        failing="a sphere of the right circumference is lower than a head; areas and the midline "
        "are right, the arc from ear to ear is not used",
    ),
    _near("Hemisphere of 57.2 cm", "geometry", 520.7, lambda: hemisphere_area(57.2), 0.05, "cm2"),
    _near("Hemisphere of 55.2 cm", "geometry", 485.0, lambda: hemisphere_area(55.2), 0.05, "cm2"),
    _near(
        "Ellipse of 195 by 155 mm",
        "geometry",
        551.6,
        lambda: ellipse_circumference(195, 155),
        0.2,
        "mm",
    ),
    Check(
        "Superellipse of 97.5 by 77.5 mm about 572 mm: exponent",
        "regression",
        "geometry",
        2.443,
        lambda: superellipse_exponent(97.5, 77.5, 572),
        0.005,
        unit="1",
    ),
    _near(
        "Hairs on 492 cm2 at 223/cm2", "barman1965", 109_716, lambda: hairs(223, 492), 0.0, "hairs"
    ),
    _near(
        "A centimetre of hair of 70 um",
        "geometry",
        0.0508,
        lambda: linear_mass_mg_per_cm(70),
        0.0001,
        "mg",
    ),
    _near("Growth a, then b, against a + b", "arithmetic", 0.0, _two_growths, 1e-12, "cm"),
    _near("A treated stretch keeps its length", "arithmetic", 2.0, _length_kept, 1e-12, "cm"),
    _near(
        "A treated stretch moves out by rate x time", "arithmetic", 3.0828, _moved_out, 1e-12, "cm"
    ),
    _near("Zones tile the scalp: areas differ by", "arithmetic", 0.0, _gap_in_tiling, 0.5, "%"),
    _near("Zones that hold one point, at most", "arithmetic", 1.0, _overlaps, 0.0, "zones"),
    Check(
        "Foils gained by doubling the spacing",
        "identity",
        "arithmetic",
        0.0,
        _more_by_doubling,
        relation="at most",
        unit="foils",
    ),
    _near(
        "Slices with no space: roots not in exactly one foil",
        "arithmetic",
        0.0,
        _roots_not_once,
        0.0,
        "roots",
    ),
    _near(
        "Slices with no space: share left out",
        "arithmetic",
        0.0,
        lambda: max(map(abs, _back_to_back().left_out.values())),
        1e-9,
        "1",
    ),
    _near(
        "Weave of pick and left alike: share of roots", "arithmetic", 0.5, _woven_half, 0.02, "1"
    ),
    _near(
        "Two brick-laid visits: roots in both",
        "arithmetic",
        0.0,
        lambda: _two_visits()[0],
        0.0,
        "roots",
    ),
    _near(
        "Two brick-laid visits: miss of the stated rest",
        "arithmetic",
        0.0,
        lambda: _two_visits()[1],
        0.03,
        "1",
    ),
    _near("Mirrored head: foils that are not mirrored", "arithmetic", 0.0, _mirror, 0.0, "foils"),
    _near("Grams against treated mass x factor", "arithmetic", 0.0, _grams_off, 1e-9, "g"),
    _near("No hair aimed at: foils and grams", "arithmetic", 0.0, _for_nothing, 0.0, ""),
    *_counts("heavy", 70, 85),
    *_counts("soft", 50, 65),
    *_counts("return", 40, 50),
    *_counts("partial", 25, 35),
    *_counts("lowlights", 25, 35),
)
"""Every outside check of the head and of placement."""
