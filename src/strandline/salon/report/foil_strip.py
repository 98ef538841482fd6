"""Foils as strips: slices whole, weaves in their picks, tip-outs ringed at their ends."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from strandline.salon.report.palette import Palette
from strandline.salon.report.svg import Place, circle, group, path, points
from strandline.salon.report.view import View
from strandline.science.head.polygon import Polygon
from strandline.service.placement.foil import Foil, picks
from strandline.service.placement.pattern import Kind

THINNEST_MM = 1.0
"""A strip is drawn no thinner, so that it can be seen; told in the key."""
END_MM = 0.3
"""Air at each end of a slice, so that two foils of one parting stay two."""
HATCH_MM = 0.7
"""Distance of the strokes of the hatch along a strip."""


def strip_mm(foil: Foil, view: View) -> float:
    """Give the drawn thickness of a foil, mm on paper."""
    return max(foil.thickness_mm / 10 * view.mm_per_cm, THINNEST_MM)


def along(foil: Foil, start: float, end: float) -> Polygon:
    """Give the stretch of a parting between two shares of its length, in the chart."""
    line = foil.line
    if foil.bent:
        return _by_share(line, start, end)
    axis = 0 if foil.across else 1
    first, last = line[0][axis], line[-1][axis]
    low, high = (first + share * (last - first) for share in (start, end))
    inside = [point for point in line[1:-1] if low < point[axis] < high]
    return (_at(line, axis, low), *inside, _at(line, axis, high))


def _by_share(line: Polygon, start: float, end: float) -> Polygon:
    """Give a stretch of a line whose points stand at equal shares of it."""
    last = len(line) - 1

    def at(share: float) -> tuple[float, float]:
        k = min(int(share * last), last - 1)
        part = share * last - k
        (u0, y0), (u1, y1) = line[k], line[k + 1]
        return (u0 + part * (u1 - u0), y0 + part * (y1 - y0))

    inside = [point for k, point in enumerate(line) if start < k / last < end]
    return (at(start), *inside, at(end))


def _at(line: Polygon, axis: int, value: float) -> tuple[float, float]:
    for a, b in itertools.pairwise(line):
        if a[axis] <= value <= b[axis] and a[axis] < b[axis]:
            share = (value - a[axis]) / (b[axis] - a[axis])
            return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
    return line[-1] if value > line[-1][axis] else line[0]


def pieces(foil: Foil, view: View) -> list[list[Place]]:
    """Give the stretches of a parting that are taken, on the sheet: one, or each pick."""
    if not foil.left_mm:
        air = min(END_MM / (foil.length_cm * view.mm_per_cm), 0.2)
        return [view.line(along(foil, air, 1 - air))]
    count = picks(foil)
    half = foil.pick_mm / (foil.pick_mm + foil.left_mm) / 2
    shift = 0.0 if foil.flipped else 0.5
    out = []
    for k in range(count + (1 if foil.flipped else 0)):
        low = max((k + shift - half) / count, 0.0)
        high = min((k + shift + half) / count, 1.0)
        out.append(view.line(along(foil, low, high)))
    return out


def draw(foil: Foil, view: View, palette: Palette) -> str:
    """Draw one foil with its hatch."""
    return paint(foil.kind, view.line(foil.line), pieces(foil, view), strip_mm(foil, view), palette)


def paint(
    kind: Kind, whole: list[Place], taken: list[list[Place]], width: float, palette: Palette
) -> str:
    """Paint a strip on the sheet: its parting, the stretches taken, its thickness in mm."""
    dark = kind == "lowlight weave"
    fill, hatch = (palette.dark, palette.dark_hatch) if dark else (palette.foil, palette.hatch)
    edge = palette.dark if dark else palette.foil_edge
    parts = [path(points(whole), stroke=edge, width=0.14)] if len(taken) > 1 else []
    if kind == "tip-out":
        parts.append(path("".join(map(points, taken)), stroke=edge, width=0.42))
        parts += [
            circle(end, 0.62, fill=palette.ground, stroke=palette.ink, width=0.28)
            for end in (whole[0], whole[-1])
        ]
        return group("tip-out", parts)
    data = "".join(_band(line, width) for line in taken)
    parts.append(path(data, stroke=edge, width=0.16, fill=fill))
    parts.append(path("".join(_hatch(line, width) for line in taken), stroke=hatch, width=0.11))
    return group("lowlight" if dark else kind, parts)


def dashes(line: list[Place], width: float, palette: Palette, *, old: bool = False) -> str:
    """Draw the outline of a foil of the last visit, dashed, or of one before it, dotted."""
    beat = "0.2 0.75" if old else "0.9 0.7"
    return path(
        _band(line, width), stroke=palette.ghost, width=0.16, more=f'stroke-dasharray="{beat}"'
    )


def ghost(foil: Foil, view: View, palette: Palette, *, old: bool = False) -> str:
    """Draw the outline of a foil of the last visit, or of one before it."""
    return dashes(view.line(foil.line), strip_mm(foil, view), palette, old=old)


def _normals(line: Sequence[Place]) -> list[Place]:
    out = []
    last = len(line) - 1
    for k in range(len(line)):
        (x0, y0), (x1, y1) = line[max(k - 1, 0)], line[min(k + 1, last)]
        size = math.hypot(x1 - x0, y1 - y0) or 1.0
        out.append(((y0 - y1) / size, (x1 - x0) / size))
    return out


def _band(line: Sequence[Place], width: float) -> str:
    half = width / 2
    normals = _normals(line)
    one = [(x + half * a, y + half * b) for (x, y), (a, b) in zip(line, normals, strict=True)]
    two = [(x - half * a, y - half * b) for (x, y), (a, b) in zip(line, normals, strict=True)]
    return points(one + two[::-1], closed=True)


def _hatch(line: Sequence[Place], width: float) -> str:
    """Draw slanted strokes across a strip, clear of its ends."""
    half = width / 2 - 0.08
    lean = half
    out = []
    walked, due = 0.0, lean + 0.25
    length = sum(math.dist(a, b) for a, b in itertools.pairwise(line))
    for (x0, y0), (x1, y1) in itertools.pairwise(line):
        step = math.dist((x0, y0), (x1, y1))
        while step and due <= walked + step and due <= length - lean - 0.1:
            share = (due - walked) / step
            x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
            dx, dy = (x1 - x0) / step, (y1 - y0) / step
            out.append(
                points(
                    [
                        (x - lean * dx - half * dy, y - lean * dy + half * dx),
                        (x + lean * dx + half * dy, y + lean * dy - half * dx),
                    ]
                )
            )
            due += HATCH_MM
        walked += step
    return "".join(out)
