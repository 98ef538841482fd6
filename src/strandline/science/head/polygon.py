"""Plane polygons in the equal-area chart of the scalp: area, cuts, spans.

Points are (u, y) in cm. All polygons here are simple; a cut of one that is not convex may
run back along its cutting line, which leaves its area right.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

Point = tuple[float, float]
Polygon = tuple[Point, ...]
Axis = Literal[0, 1]

TINY_CM2 = 1e-9
"""Below this a polygon holds no hair."""


def area(polygon: Polygon) -> float:
    """Give the area by the shoelace rule, cm2, >= 0."""
    total = 0.0
    for (u0, y0), (u1, y1) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        total += u0 * y1 - u1 * y0
    return abs(total) / 2


def cut(polygon: Polygon, axis: Axis, low: float | None, high: float | None) -> Polygon:
    """Keep what lies between two lines across an axis; None leaves that side open.

    Parameters
    ----------
    axis : 0 for lines of constant u, 1 for lines of constant y
    low, high : cm
    """
    if low is not None:
        polygon = _half(polygon, axis, low, 1.0)
    if high is not None:
        polygon = _half(polygon, axis, high, -1.0)
    return polygon


def _half(polygon: Polygon, axis: Axis, bound: float, sign: float) -> Polygon:
    kept: list[Point] = []
    for start, end in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        before, after = sign * (start[axis] - bound), sign * (end[axis] - bound)
        if before >= 0:
            kept.append(start)
        if (before > 0 > after) or (before < 0 < after):
            kept.append(_between(start, end, before / (before - after)))
    return tuple(kept)


def _between(start: Point, end: Point, share: float) -> Point:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def extent(polygon: Polygon, axis: Axis) -> tuple[float, float]:
    """Give the least and the greatest coordinate along an axis, cm."""
    values = [point[axis] for point in polygon]
    return min(values), max(values)


def span(polygon: Polygon, axis: Axis, value: float) -> tuple[float, float] | None:
    """Give where a line of one coordinate enters and leaves, in the other coordinate.

    Parameters
    ----------
    axis : the coordinate that is held
    value : cm, at which it is held

    Returns
    -------
    (first, last), cm, or None where the line misses the polygon
    """
    other: Axis = 1 if axis == 0 else 0
    hits: list[float] = []
    for start, end in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        before, after = start[axis] - value, end[axis] - value
        if before == 0:
            hits.append(start[other])
        if (before > 0 > after) or (before < 0 < after):
            hits.append(_between(start, end, before / (before - after))[other])
    return (min(hits), max(hits)) if hits else None


def holds(polygon: Polygon, point: Point) -> bool:
    """Tell whether a point lies inside, by the number of edges that a ray crosses."""
    u, y = point
    inside = False
    for (u0, y0), (u1, y1) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (y0 > y) != (y1 > y) and u < u0 + (y - y0) / (y1 - y0) * (u1 - u0):
            inside = not inside
    return inside


def mirrored(polygon: Iterable[Point]) -> Polygon:
    """Change left for right."""
    return tuple((-u, y) for u, y in polygon)
