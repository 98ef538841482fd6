"""Beside the unrolled head: the same foils on a head seen from both sides, the back and the top.

What lies behind is not drawn. A strip is as thick as it would be seen, so it narrows towards the
edge of the head.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.salon.report.aspect import NECK_CM, Aspect, Flags, Floats
from strandline.salon.report.ear import ear
from strandline.salon.report.foil_column import DETAILS_MM
from strandline.salon.report.foil_number import Label, drawn, settled
from strandline.salon.report.foil_strip import Ribbon, paint, taken
from strandline.salon.report.palette import Palette
from strandline.salon.report.svg import Place, group, path, points, text
from strandline.science.head.polygon import Polygon
from strandline.science.head.zones import Zones
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.placement.foil import Foil, FoilMap

MM_PER_CM = 1.8
THINNEST_MM = 0.62
"""A strip seen straight on is drawn no thinner."""
SIZE_MM = 2.5
"""Size of a number."""
SPOTS = (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92)
"""Places along what is seen of a strip where its number may stand, in turn."""
CLEAR_MM = 2.0
"""A strip is numbered where so much of it is seen."""
EDGE_ON = 0.2
"""Where the head is turned away so far that this is left of a width, strips would run together."""
PLAINLY = 0.4
"""The same where a number can stand beside its neighbours."""
NEAR_CM = 3.0
"""An ear so far before the middle of the head is seen whole, one so far behind it not at all."""
BACK = 0.6
"""A place on the midline, as a share of it, towards which scalp is seen from every look."""
STEP_CM = 0.12
KEPT_CM = 0.5
"""Lines are followed in the first of these and drawn in the second."""


@dataclass(frozen=True, eq=False)
class Course:
    """The parting of a foil laid on the head: its line, its two edges, the way out of the head."""

    line: Floats
    edges: tuple[Floats, Floats]
    out: Floats

    def seen(self, look: Aspect, facing: float = EDGE_ON) -> Flags:
        """Tell which points of its line are seen, and not edge-on."""
        return look.seen(self.line) & (look.facing(self.out) >= facing)


def aspects(zones: Zones) -> tuple[Aspect, ...]:
    """Give the four looks at a head, with their places on the sheet."""
    shape = HeadShape(zones.scalp)
    scale = MM_PER_CM / shape.grown
    left, right = DETAILS_MM + 20.6, DETAILS_MM + 59.4
    high, low = 43.0, 105.0
    return (
        Aspect("her left", shape, 270.0, 0.0, (left, high), scale),
        Aspect("her right", shape, 90.0, 0.0, (right, high), scale),
        Aspect("back", shape, 180.0, 0.0, (left, low), scale),
        Aspect("top", shape, 180.0, 90.0, (right, low), scale),
    )


def details(foil_map: FoilMap, ghosts: FoilMap | None, parting: Polygon, palette: Palette) -> str:
    """Draw the details.

    Parameters
    ----------
    foil_map, ghosts : today's foils; last visit's, as a dashed line each
    parting : line of her parting in the chart; empty without one
    """
    looks = aspects(foil_map.zones)
    shape, scale = looks[0].shape, looks[0].mm_per_cm
    laid = [(foil, lay(foil, shape, scale)) for foil in foil_map]
    old = [lay(foil, shape, scale) for foil in ghosts or ()]
    borders = [_on_head(zone.outline, shape, closed=True) for zone in foil_map.zones]
    hairline = _on_head(foil_map.zones.scalp.outline, shape, closed=True)
    way = _on_head(parting, shape) if parting else None
    drawings = []
    for look in looks:
        parts = [_head(look, hairline, borders, palette)]
        parts += [_ghost(look, course, palette) for course in old]
        parts += [_strip(look, foil, course, palette) for foil, course in laid]
        if way is not None:
            parts += _parting(look, way, palette)
        parts.append(_near_ear(look, palette))
        parts += drawn(numbers(look, laid), SIZE_MM, palette)
        drawings.append(group(f"detail {look.name}", [*parts, _name(look, palette)]))
    return group("details", drawings)


def lay(foil: Foil, shape: HeadShape, mm_per_cm: float) -> Course:
    """Lay a foil's parting on the head, point by point at equal shares of it."""
    count = 2 * max(int(np.ceil(foil.length_cm / STEP_CM / 2)), 2) + 1
    share = np.linspace(0.0, 1.0, count)
    u, y = np.array(foil.line).T
    if foil.bent:
        own = np.linspace(0.0, 1.0, len(foil.line))
    else:
        along = u if foil.across else y
        own = (along - along[0]) / (along[-1] - along[0])
    line = shape.place(np.interp(share, own, u), np.interp(share, own, y))
    half = max(foil.thickness_mm / 10, THINNEST_MM / mm_per_cm) / 2
    out = shape.normal(line)
    aside = np.cross(out, np.gradient(line, axis=1), axis=0)
    aside *= half / np.linalg.norm(aside, axis=0)
    return Course(line, (line + aside, line - aside), out)


def numbers(look: Aspect, laid: Sequence[tuple[Foil, Course]]) -> list[Label]:
    """Give the numbers of the first and the last foil of each section that is seen well."""
    strips: dict[int, list[Place]] = {}
    for foil, course in laid:
        runs = list(_runs(course.seen(look, PLAINLY)))
        if runs:
            run = max(runs, key=lambda one: one.stop - one.start)
            strips[foil.number] = look.at(course.line[:, run])
    wanted: list[tuple[int, list[Place]]] = []
    clear = [foil for foil, _ in laid if _long(strips.get(foil.number, [])) >= CLEAR_MM]
    for section in dict.fromkeys(foil.section for foil in clear):
        run_of = [foil.number for foil in clear if foil.section == section]
        for number in dict.fromkeys((run_of[0], run_of[-1])):
            line = strips[number]
            last = len(line) - 1
            wanted.append((number, [line[round(share * last)] for share in SPOTS]))
    return settled(wanted, strips, SIZE_MM)


def _head(look: Aspect, hairline: Floats, borders: Sequence[Floats], palette: Palette) -> str:
    edge = look.on_sheet(look.outline)
    ears = [
        path(
            points(look.on_sheet(look.ellipse(name)), closed=True),
            stroke=palette.line,
            width=0.25,
            fill=palette.paper,
        )
        for name in ("left ear", "right ear")
        if abs(look.toward(name)) < NEAR_CM
    ]
    lines = "".join(
        points(look.at(one[:, run])) for one in borders for run in _runs(look.seen(one))
    )
    rim = "".join(points(look.at(hairline[:, run])) for run in _runs(look.seen(hairline)))
    return group(
        "head",
        [
            *ears,
            path(points(edge), fill=palette.paper),
            path(points(look.on_sheet(ground(look, hairline)), closed=True), fill=palette.ground),
            path(lines, stroke=palette.line, width=0.14),
            path(points(edge, closed=not look.upright), stroke=palette.line, width=0.25),
            path(rim, stroke=palette.ink, width=0.28),
        ],
    )


def ground(look: Aspect, hairline: Floats) -> Floats:
    """Give the scalp that is seen: along the hairline, then back along the head's outline.

    Parameters
    ----------
    hairline : shape (3, N)   closed, cm

    Returns
    -------
    shape (2, M)   cm in the picture
    """
    ring = hairline[:, :-1]
    flags = look.seen(ring)
    if flags.all():
        return look.flat(ring)
    first = int(np.flatnonzero(~flags)[0])
    run = max(_runs(np.roll(flags, -first)), key=lambda one: one.stop - one.start)
    line = look.flat(np.roll(ring, -first, axis=1)[:, run])
    # from the line's end to its start, on that way round that passes the back of the head
    start, end = (np.arctan2(line[1, k], line[0, k]) for k in (0, -1))
    nape = look.shape.scalp.front_to_nape_cm
    back = look.flat(look.shape.place(np.zeros(1), np.full(1, BACK * nape)))[:, 0]
    round_, by_back = np.mod([start - end, np.arctan2(back[1], back[0]) - end], 2 * np.pi)
    sign, wide = (1, round_) if by_back <= round_ else (-1, 2 * np.pi - round_)
    ahead = np.mod(sign * (np.arctan2(look.outline[1], look.outline[0]) - end), 2 * np.pi)
    held = np.argsort(ahead)[: np.count_nonzero(ahead < wide)]
    return np.concatenate([line, look.outline[:, held]], axis=1)


def _parting(look: Aspect, way: Floats, palette: Palette) -> list[str]:
    flags = look.seen(way) & (look.facing(look.shape.normal(way)) >= EDGE_ON)
    lines = "".join(points(look.at(way[:, run])) for run in _runs(flags))
    dashed = 'stroke-dasharray="1.6 0.8"'
    return [
        path(lines, stroke=palette.paper, width=0.7),
        path(lines, stroke=palette.ink, width=0.25, more=dashed),
    ]


def _near_ear(look: Aspect, palette: Palette) -> str:
    """Draw the ear that is turned to the eye, as the unrolled head has it."""
    for name in ("left ear", "right ear"):
        if look.toward(name) > NEAR_CM:
            rim = np.array(look.on_sheet(look.ellipse(name)))
            (x0, y0), (x1, y1) = rim.min(axis=0), rim.max(axis=0)
            back = -1.0 if name == "right ear" else 1.0
            return group("ear", ear(((x0 + x1) / 2, (y0 + y1) / 2), y1 - y0, back, palette))
    return ""


def _strip(look: Aspect, foil: Foil, course: Course, palette: Palette) -> str:
    ribbons = _ribbons(look, course, taken(foil, look.mm_per_cm))
    whole = [look.at(course.line[:, _few(run)]) for run in _runs(course.seen(look))]
    flags = course.seen(look)
    ends = look.at(course.line[:, [k for k in (0, -1) if flags[k]]])
    return paint(foil.kind, whole, ribbons, ends, palette) if ribbons else ""


def _ghost(look: Aspect, course: Course, palette: Palette) -> str:
    lines = [look.at(course.line[:, _few(run)]) for run in _runs(course.seen(look))]
    dashed = 'stroke-dasharray="0.9 0.7"'
    return path("".join(map(points, lines)), stroke=palette.ghost, width=0.16, more=dashed)


def _ribbons(look: Aspect, course: Course, shares: Sequence[tuple[float, float]]) -> list[Ribbon]:
    """Give what is seen of stretches of a strip, on the sheet."""
    last = course.line.shape[1] - 1
    flags = course.seen(look)
    one, two = (look.at(edge) for edge in course.edges)
    out: list[Ribbon] = []
    for low, high in shares:
        start = round(low * last)
        stop = max(round(high * last), start + 1) + 1
        for run in _runs(flags[start:stop]):
            kept = [start + int(k) for k in _few(run)]
            out.append(([one[k] for k in kept], [two[k] for k in kept]))
    return out


def _on_head(line: Polygon, shape: HeadShape, *, closed: bool = False) -> Floats:
    """Lay a line of the chart on the head in short pieces, shape (3, N)."""
    chart = np.array((*line, line[0]) if closed else line)
    parts = [chart[:1]]
    for start, end in itertools.pairwise(chart):
        steps = max(int(np.ceil(np.linalg.norm(end - start) / (2 * STEP_CM))), 1)
        parts.append(start + (end - start) * (np.arange(1, steps + 1) / steps)[:, None])
    u, y = np.concatenate(parts).T
    return shape.place(u, y)


def _runs(flags: Flags) -> Iterator[slice]:
    """Give the runs of what is true, of two and more."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    for start, stop in zip(edges[::2], edges[1::2], strict=True):
        if stop - start > 1:
            yield slice(int(start), int(stop))


def _few(run: slice) -> NDArray[np.int64]:
    """Give the points of a run that are drawn."""
    count = max(round((run.stop - run.start - 1) * STEP_CM / KEPT_CM), 1) + 1
    return np.unique(np.linspace(run.start, run.stop - 1, count).round().astype(np.int64))


def _long(line: Sequence[Place]) -> float:
    if not line:
        return 0.0
    steps = np.diff(np.array(line), axis=0)
    return float(np.hypot(*steps.T).sum())


def _name(look: Aspect, palette: Palette) -> str:
    at = (look.middle[0], look.middle[1] - look.mm_per_cm * NECK_CM + 5.0)
    return text(at, look.name, size=2.6, colour=palette.quiet, anchor="middle")
