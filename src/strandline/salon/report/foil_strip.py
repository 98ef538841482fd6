"""Foils as strips: slices whole, weaves in their picks, tip-outs ringed at their ends.

A strip on the sheet is a ribbon: its two edges, point by point beside each other.
"""

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

Ribbon = tuple[list[Place], list[Place]]

THINNEST_MM = 1.0
"""A strip is drawn no thinner, so that it can be seen; told in the key."""
END_MM = 0.3
"""Air at each end of a slice, so that two foils of one parting stay two."""
HATCH_MM = 0.7
"""Distance of the strokes of the hatch along a strip."""
LEAST_MM = 0.12
"""Half of a strip narrower than this has no hatch."""


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


def taken(foil: Foil, mm_per_cm: float) -> list[tuple[float, float]]:
    """Give the stretches of a parting that are taken, as shares of it: one, or each pick."""
    if not foil.left_mm:
        air = min(END_MM / (foil.length_cm * mm_per_cm), 0.2)
        return [(air, 1 - air)]
    count = picks(foil)
    half = foil.pick_mm / (foil.pick_mm + foil.left_mm) / 2
    shift = 0.0 if foil.flipped else 0.5
    out = []
    for k in range(count + (1 if foil.flipped else 0)):
        low = max((k + shift - half) / count, 0.0)
        high = min((k + shift + half) / count, 1.0)
        out.append((low, high))
    return out


def pieces(foil: Foil, view: View) -> list[list[Place]]:
    """Give the stretches of a parting that are taken, on the sheet."""
    return [view.line(along(foil, low, high)) for low, high in taken(foil, view.mm_per_cm)]


def draw(foil: Foil, view: View, palette: Palette) -> str:
    """Draw one foil with its hatch."""
    width = strip_mm(foil, view)
    ribbons = [ribbon(line, width) for line in pieces(foil, view)]
    line = view.line(foil.line)
    return paint(foil.kind, [line], ribbons, (line[0], line[-1]), palette)


def paint(
    kind: Kind,
    whole: Sequence[list[Place]],
    ribbons: Sequence[Ribbon],
    ends: Sequence[Place],
    palette: Palette,
) -> str:
    """Paint a strip on the sheet.

    Parameters
    ----------
    whole : the stretches of its parting that are seen
    ribbons : of the stretches taken
    ends : of its parting, so far as they are seen
    """
    dark = kind == "lowlight weave"
    fill, hatch = (palette.dark, palette.dark_hatch) if dark else (palette.foil, palette.hatch)
    edge = palette.dark if dark else palette.foil_edge
    parts = []
    if len(ribbons) > 1:
        parts.append(path("".join(map(points, whole)), stroke=edge, width=0.14))
    if kind == "tip-out":
        middles = [points(_middle(one)) for one in ribbons]
        parts.append(path("".join(middles), stroke=edge, width=0.42))
        parts += [
            circle(end, 0.62, fill=palette.ground, stroke=palette.ink, width=0.28) for end in ends
        ]
        return group("tip-out", parts)
    parts.append(path("".join(map(_band, ribbons)), stroke=edge, width=0.16, fill=fill))
    parts.append(path("".join(map(_hatch, ribbons)), stroke=hatch, width=0.11))
    return group("lowlight" if dark else kind, parts)


def dashes(ribbons: Sequence[Ribbon], palette: Palette, *, old: bool = False) -> str:
    """Draw the outline of a foil of the last visit, dashed, or of one before it, dotted."""
    beat = "0.2 0.75" if old else "0.9 0.7"
    data = "".join(map(_band, ribbons))
    return path(data, stroke=palette.ghost, width=0.16, more=f'stroke-dasharray="{beat}"')


def ghost(foil: Foil, view: View, palette: Palette, *, old: bool = False) -> str:
    """Draw the outline of a foil of the last visit, or of one before it."""
    return dashes([ribbon(view.line(foil.line), strip_mm(foil, view))], palette, old=old)


def ribbon(line: Sequence[Place], width: float) -> Ribbon:
    """Give the edges of a strip of one width, mm, about a line on the sheet."""
    half = width / 2
    one, two = [], []
    last = len(line) - 1
    for k, (x, y) in enumerate(line):
        (x0, y0), (x1, y1) = line[max(k - 1, 0)], line[min(k + 1, last)]
        size = math.hypot(x1 - x0, y1 - y0) or 1.0
        dx, dy = half * (y0 - y1) / size, half * (x1 - x0) / size
        one.append((x + dx, y + dy))
        two.append((x - dx, y - dy))
    return one, two


def _band(edges: Ribbon) -> str:
    one, two = edges
    return points(one + two[::-1], closed=True)


def _middle(edges: Ribbon) -> list[Place]:
    return [((x0 + x1) / 2, (y0 + y1) / 2) for (x0, y0), (x1, y1) in zip(*edges, strict=True)]


def _hatch(edges: Ribbon) -> str:
    """Draw slanted strokes across a strip, clear of its ends."""
    line = _middle(edges)
    steps = [math.dist(a, b) for a, b in itertools.pairwise(line)]
    length = sum(steps)
    half = [math.dist(a, b) / 2 for a, b in zip(*edges, strict=True)]
    out = []
    walked, due = 0.0, half[0] + 0.25
    for k, step in enumerate(steps):
        while step and due <= walked + step:
            share = (due - walked) / step
            lean = half[k] + share * (half[k + 1] - half[k]) - 0.08
            if lean > LEAST_MM and due <= length - lean - 0.1:
                out.append(_stroke(line[k], line[k + 1], share, lean))
            due += HATCH_MM
        walked += step
    return "".join(out)


def _stroke(start: Place, end: Place, share: float, lean: float) -> str:
    """Draw one stroke, as far along the strip as across it."""
    step = math.dist(start, end)
    dx, dy = lean * (end[0] - start[0]) / step, lean * (end[1] - start[1]) / step
    x, y = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
    return points([(x - dx - dy, y - dy + dx), (x + dx + dy, y + dy - dx)])
