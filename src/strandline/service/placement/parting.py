"""Partings: strips of scalp across or along a zone, no longer than a foil is wide.

Fixed units inside: cm and cm2 in the chart of the scalp. Height is measured from a zone's
lower edge in the direction in which its partings pile up.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from strandline.science.head.polygon import (
    TINY_CM2,
    Axis,
    Point,
    Polygon,
    area,
    cut,
    extent,
    mirrored,
    span,
)
from strandline.science.head.zones import Zone, Zones, hairline_band, strip_u
from strandline.service.placement.slant import slant

SHORTEST_CM = 3.0
"""A parting shorter than this is not taken on its own; common practice, no source."""
STEPS = 100
"""Steps in which a curved parting is walked."""
BENT_PIECES = 40
"""A parting that is turned or bent is a line of so many equal pieces."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch of scalp between two lines, as long as a foil or less.

    Parameters
    ----------
    outline : polygon        (u, y) in cm
    line : tuple of points   its middle, from one end to the other
    across : (float, float)  ends along the line in the zone's frame: u for partings across the
                             head, else y; cm
    area_cm2 : float
    length_cm : float        arc along the middle
    """

    outline: Polygon
    line: Polygon
    across: tuple[float, float]
    area_cm2: float
    length_cm: float


def runs_across(zone: Zone) -> bool:
    """Tell whether a zone's partings run from ear to ear."""
    return zone.rows in ("forward", "backward")


def height_cm(zones: Zones, zone: Zone, tilt_deg: float = 0.0) -> float:
    """Give how far a zone's partings pile up, arc, cm."""
    if tilt_deg:
        return slant(zones, zone, tilt_deg, SHORTEST_CM).height_cm
    if runs_across(zone):
        low, high = extent(zone.outline, 1)
        return high - low
    if zone.rows == "hairline":
        return zones.cuts.hairline_depth_cm
    near, far = _laterals(zone)
    return zones.scalp.arc_of_u(far) - zones.scalp.arc_of_u(near) - tip_cm(zones, zone)


def crest_cm(zones: Zones, zone: Zone, tilt_deg: float = 0.0) -> float:
    """Give how far a zone reaches above its highest parting; 0 but for diagonal ones, cm."""
    return slant(zones, zone, tilt_deg, SHORTEST_CM).crest_cm if tilt_deg else 0.0


def tip_cm(zones: Zones, zone: Zone, tilt_deg: float = 0.0) -> float:
    """Give how far a zone's tip reaches below its lower edge, cm.

    Notes
    -----
    Where partings run along the head the lowest would be no more than a point; the lower edge
    is the first parting of SHORTEST_CM, or the tip itself where none is as long.
    """
    if tilt_deg:
        return slant(zones, zone, tilt_deg, SHORTEST_CM).tip_cm
    if zone.rows != "inward":
        return 0.0
    scalp = zones.scalp
    near, far = _laterals(zone)
    sign = 1.0 if zone.side == "right" else -1.0
    inner, outer = scalp.arc_of_u(near), scalp.arc_of_u(far)
    if _along_length(zones, zone, sign * scalp.u_of_arc(inner + 1e-6)) < SHORTEST_CM:
        return 0.0
    for _ in range(30):
        middle = (inner + outer) / 2
        if _along_length(zones, zone, sign * scalp.u_of_arc(middle)) < SHORTEST_CM:
            outer = middle
        else:
            inner = middle
    return scalp.arc_of_u(far) - inner


def _along_length(zones: Zones, zone: Zone, u: float) -> float:
    ends = span(zone.outline, 0, u)
    return zones.scalp.length_cm(((u, ends[0]), (u, ends[1]))) if ends else 0.0


def partings(
    zones: Zones,
    zone: Zone,
    start_cm: float,
    thickness_cm: float,
    max_parting_cm: float,
    tilt_deg: float = 0.0,
) -> tuple[Strip, ...]:
    """Part a zone at a height into strips, as few as a foil's width allows.

    Parameters
    ----------
    start_cm : float         height of the lower line; below 0 only into a zone's tip
    thickness_cm : float     > 0
    max_parting_cm : float   longest strip, > 0
    tilt_deg : float         of diagonal partings, `slant.tilt_of`

    Returns
    -------
    tuple of Strip   from left to right or from the front back; empty where no hair is
    """
    if tilt_deg or zones.whirls.get(zone.key):
        return _bent(zones, zone, (start_cm, thickness_cm), max_parting_cm, tilt_deg)
    band = _band(zones, zone, start_cm, start_cm + thickness_cm)
    if len(band) < 3 or area(band) <= TINY_CM2:
        return ()
    middle = _middle(zones, zone, band, start_cm + thickness_cm / 2)
    length = zones.scalp.length_cm(middle)
    pieces = max(1, math.ceil(length / max_parting_cm - 1e-9))
    axis: Axis = 0 if runs_across(zone) else 1
    edges = [_along(zones, middle, axis, length * k / pieces) for k in range(1, pieces)]
    bounds: list[float | None] = [None, *edges, None]
    strips = []
    for low, high in itertools.pairwise(bounds):
        outline = cut(band, axis, low, high)
        line = _line_between(middle, axis, low, high)
        across = (line[0][axis], line[-1][axis])
        strips.append(Strip(outline, line, across, area(outline), length / pieces))
    return tuple(strips)


def _bent(
    zones: Zones, zone: Zone, at: tuple[float, float], max_parting_cm: float, tilt_deg: float
) -> tuple[Strip, ...]:
    """Part a zone where its partings are turned or bent: straight in its frame, then carried."""
    course = zones.course(zone.key, tilt_deg)
    start, thickness = at
    if tilt_deg:
        held = slant(zones, zone, tilt_deg, SHORTEST_CM)
        band = held.band(start, start + thickness)
    else:
        band = _band(zones, zone, start, start + thickness)
    if len(band) < 3 or area(band) <= TINY_CM2:
        return ()
    if tilt_deg:
        middle = _chord(band, held.pile)
    else:
        middle = _middle(zones, zone, band, start + thickness / 2)
    axis: Axis = 0 if runs_across(zone) else 1
    pieces = 1
    while True:
        cuts = [
            middle[0][axis] + k / pieces * (middle[-1][axis] - middle[0][axis])
            for k in range(pieces + 1)
        ]
        own = [_line_between(middle, axis, a, b) for a, b in itertools.pairwise(cuts)]
        lines = [course.line(one, axis, BENT_PIECES) for one in own]
        lengths = [zones.scalp.length_cm(one) for one in lines]
        if max(lengths) <= max_parting_cm + 1e-6:
            break
        pieces = max(pieces + 1, math.ceil(sum(lengths) / max_parting_cm - 1e-9))
    bounds: list[float | None] = [None, *cuts[1:-1], None]
    out = []
    for (low, high), line, length, ends in zip(
        itertools.pairwise(bounds), lines, lengths, itertools.pairwise(cuts), strict=True
    ):
        shape = cut(band, axis, low, high)
        out.append(Strip(course.ring(shape), line, ends, area(shape), length))
    return tuple(out)


def _chord(band: Polygon, pile: Axis) -> Polygon:
    """Give the middle of a band of diagonal partings, from its first end to its last."""
    low, high = extent(band, pile)
    held = (low + high) / 2
    ends = span(band, pile, held) or extent(band, 0 if pile == 1 else 1)
    return ((ends[0], held), (ends[1], held)) if pile == 1 else ((held, ends[0]), (held, ends[1]))


def _laterals(zone: Zone) -> tuple[float, float]:
    low, high = extent(zone.outline, 0)
    return (low, high) if zone.side == "right" else (-high, -low)


def _band(zones: Zones, zone: Zone, low_cm: float, high_cm: float) -> Polygon:
    if zone.rows == "forward":
        top = extent(zone.outline, 1)[1]
        return cut(zone.outline, 1, top - high_cm, top - low_cm)
    if zone.rows == "backward":
        top = extent(zone.outline, 1)[0]
        return cut(zone.outline, 1, top + low_cm, top + high_cm)
    scalp = zones.scalp
    if zone.rows == "inward":
        far = scalp.arc_of_u(_laterals(zone)[1]) - tip_cm(zones, zone)
        low, high = scalp.u_of_arc(max(far - high_cm, 0.0)), scalp.u_of_arc(far - low_cm)
        if zone.side == "right":
            return cut(zone.outline, 0, low, high)
        return cut(zone.outline, 0, -high, -low)
    depth = zones.cuts.hairline_depth_cm
    band = hairline_band(scalp, min(low_cm, depth), min(high_cm, depth))
    left, right = strip_u(scalp, zones.cuts)
    edge = right if zone.side == "right" else -left
    end = zones.cuts.side_end_share * scalp.front_to_nape_cm
    band = cut(cut(band, 1, 0.0, end), 0, edge, None)
    return band if zone.side == "right" else mirrored(band)


def _middle(zones: Zones, zone: Zone, band: Polygon, height: float) -> Polygon:
    """Give the middle of a band from its first to its last end."""
    scalp = zones.scalp
    if zone.rows == "hairline":
        low, high = extent(band, 1)
        inside = [y for y, _ in scalp.knots if low < y < high]
        sign = 1.0 if zone.side == "right" else -1.0
        depth = min(height, zones.cuts.hairline_depth_cm)
        return tuple((sign * scalp.inset_u(y, depth), y) for y in (low, *inside, high))
    return _chord(band, 1 if runs_across(zone) else 0)


def _along(zones: Zones, line: Polygon, axis: Axis, length_cm: float) -> float:
    """Give the coordinate at an arc length along a line."""
    scalp = zones.scalp
    first, last = line[0], line[-1]
    if axis == 0:
        return scalp.u_of_arc(scalp.arc_of_u(first[0]) + length_cm)
    if first[0] == last[0]:
        return first[1] + length_cm / scalp.length_cm(line) * (last[1] - first[1])
    walked = 0.0
    before = first
    for step in range(1, STEPS + 1):
        after = _at(line, axis, first[1] + step / STEPS * (last[1] - first[1]))
        stretch = scalp.distance_cm(before, after)
        if walked + stretch >= length_cm:
            return before[1] + (length_cm - walked) / stretch * (after[1] - before[1])
        walked += stretch
        before = after
    return last[1]


def _line_between(line: Polygon, axis: Axis, low: float | None, high: float | None) -> Polygon:
    start = line[0][axis] if low is None else low
    end = line[-1][axis] if high is None else high
    inside = [point for point in line[1:-1] if start < point[axis] < end]
    return (_at(line, axis, start), *inside, _at(line, axis, end))


def _at(line: Polygon, axis: Axis, value: float) -> Point:
    for a, b in itertools.pairwise(line):
        if a[axis] <= value <= b[axis] and a[axis] < b[axis]:
            share = (value - a[axis]) / (b[axis] - a[axis])
            return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
    return line[-1] if value > line[-1][axis] else line[0]
