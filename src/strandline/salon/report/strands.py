"""Strands beside the parting in their computed colours: a small picture of a week.

The scalp is at the top, the first centimetres are shown, on neutral gray. Strands lie in three
layers, each class spread evenly over every layer; they fall in one common curve, a little apart
from each other, and lie over each other with a fine shadow. Every colour comes from the plan.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from strandline.base.errors import OutOfRangeError
from strandline.salon.report.palette import LIGHT
from strandline.salon.report.svg import Place, figure
from strandline.service.plan.model import ServicePlan, StrandClass

Look = Literal["as kept", "planned"]
LOOKS: tuple[Look, ...] = ("as kept", "planned")

WIDTH_MM, HEIGHT_MM = 30.0, 46.0
SHOWN_CM = 8.0
"""This much of the length is drawn."""
STRANDS = 120
TOP_MM = 1.6
"""Gray above the scalp's edge."""
MM_PER_CM = (HEIGHT_MM - TOP_MM) / SHOWN_CM

_GOLDEN = (math.sqrt(5) - 1) / 2
_SILVER = math.sqrt(2) - 1
_LAYERS = 3
_WIDE_MM = (1.05, 0.52, 0.33)
"""Width of a strand by its layer, the lowest the widest: no ground shows through."""
_SWAY = (0.25, 0.8, 1.0)
"""How freely a strand of each layer falls; the lowest lies close and covers."""
_BESIDE_MM = (1.0, 5.0)
"""Strands stand so far beyond the left and right edge, and fall into the picture."""
_SHADOW_MM, _SHADOW = 0.10, 0.22
"""How far, and how dark, a strand's shadow falls on those beneath it."""
_ROOTS_CM = 0.22
"""Roots lie in rows beside the parting, over this width."""
_TIP_CM = 0.16
"""A colour runs out in a tip so far to either side of where it ends: hair has no straight seam."""
_SWEEP_MM, _FALL_MM = 4.6, 1.9
"""Sideways reach of the common curve, and of what strands differ in."""


@dataclass(frozen=True, slots=True)
class Strand:
    """A strand to draw.

    Parameters
    ----------
    of : its class
    x_mm : where its root stands
    root_cm : how far its row lies from the parting
    swing : -1 to 1, how it falls against its neighbours
    wide_mm : its width
    """

    of: StrandClass
    x_mm: float
    root_cm: float
    swing: float
    wide_mm: float


def strand_strip_svg(plan: ServicePlan, look: Look, week: float, high_mm: float = HEIGHT_MM) -> str:
    """Draw the strands of a look in a week.

    Parameters
    ----------
    plan : with its strands and weeks
    look : 'as kept' or 'planned'
    week : one of the plan's weeks
    high_mm : how much of the picture, from the scalp down, 5-46

    Returns
    -------
    str   an SVG drawing, 30 mm wide

    Raises
    ------
    OutOfRangeError   a week that the plan did not compute, or a look without strands
    """
    classes = [one for one in plan.growout.strands if one.look == look and one.share > 0]
    grown = {w.week: w.grown_cm for w in plan.growout.weeks}
    if week not in grown:
        raise OutOfRangeError(
            f"Week {week:g} is not among the plan's weeks.",
            f"Ask for one of {', '.join(f'{w:g}' for w in grown) or 'none'}.",
            "week",
        )
    if not classes:
        raise OutOfRangeError(
            f"The plan has no strands for the look '{look}'.",
            f"Ask for one of {', '.join(LOOKS)}, of a plan with a grow-out.",
            "look",
        )
    body = "".join(_drawn(strand, grown[week]) for strand in laid(classes))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH_MM:g}mm" '
        f'height="{high_mm:g}mm" viewBox="0 0 {WIDTH_MM:g} {high_mm:g}" role="img">'
        f"<title>Strands {look}, week {week:g}</title>"
        f'<rect width="{WIDTH_MM:g}" height="{HEIGHT_MM:g}" fill="{LIGHT.neutral}"/>'
        f"{body}</svg>"
    )


def laid(classes: Sequence[StrandClass]) -> list[Strand]:
    """Lay the strands, lowest layer first.

    Places follow two additive recurrences: of any run of strands each class has its share, and
    the same plan gives the same picture.
    """
    ends = list(itertools.accumulate(one.share for one in classes))
    each = STRANDS // _LAYERS
    out = []
    for number in range(STRANDS):
        layer, place = divmod(number, each)
        at = (0.5 + number * _GOLDEN) % 1.0 * ends[-1]
        of = next(
            one for one, end in zip(classes, ends, strict=True) if at < end or end == ends[-1]
        )
        other = (0.5 + number * _SILVER) % 1.0
        step = (WIDTH_MM + sum(_BESIDE_MM)) / each
        x = (place + layer / _LAYERS + 0.5 * (other - 0.5)) * step - _BESIDE_MM[0]
        root = _ROOTS_CM * ((0.25 + number * _GOLDEN * _SILVER * 7) % 1.0)
        wide = _WIDE_MM[layer] * (0.85 + 0.3 * other)
        swing = _SWAY[layer] * (2 * ((0.3 + number * _SILVER * 3) % 1.0) - 1)
        out.append(Strand(of, x, root, swing, wide))
    return out


def stretches(one: StrandClass, grown_cm: float) -> Iterator[tuple[float, float, str]]:
    """Give a strand's colours from the scalp on after it grew: from, to and hex.

    What was there moves out by what has grown; what grew has the root's colour. The last
    stretch goes on to the end.
    """
    if grown_cm > 0:
        yield 0.0, grown_cm, one.root_colour
    for number, part in enumerate(one.stretches, start=1):
        last = number == len(one.stretches)
        to_cm = max(part.to_cm, SHOWN_CM) if last else part.to_cm
        yield part.from_cm + grown_cm, to_cm + grown_cm, part.colour


def _drawn(strand: Strand, grown_cm: float) -> str:
    """Draw a strand: its shadow, then its stretches, each a piece of the same cubic curve."""
    curve = _curve(strand)
    whole = _path(_piece(curve, 0.03, 1.0))
    wide = figure(strand.wide_mm + 2 * _SHADOW_MM)
    parts = [
        (
            f'<path d="{whole}" fill="none" stroke="#000" stroke-width="{wide}" '
            f'stroke-opacity="{_SHADOW:g}"/>'
        )
    ]
    length = SHOWN_CM - strand.root_cm
    for low, high, colour in reversed(list(stretches(strand.of, grown_cm))):
        start, end = max(0.0, low - _TIP_CM) / length, min(1.0, (high - _TIP_CM) / length)
        if start >= 1.0 or end <= start:
            continue
        parts.append(
            f'<path d="{_path(_piece(curve, start, end))}" fill="none" stroke="{colour}" '
            f'stroke-width="{figure(strand.wide_mm)}"/>'
        )
        if end < 1.0:
            parts.append(_tip(curve, end, end + 2 * _TIP_CM / length, strand.wide_mm, colour))
        if low == 0.0:
            parts.append(_tip(curve, 0.0, -2 * _TIP_CM / length, strand.wide_mm, colour))
    return "".join(parts)


def _tip(curve: Cubic, start: float, end: float, wide_mm: float, colour: str) -> str:
    """Draw the tip in which a colour runs out over the next, or a root into the scalp."""
    (x, y), (end_x, end_y) = _piece(curve, start, start)[0], _piece(curve, end, end)[0]
    half = wide_mm / 2
    return (
        f'<path d="M{figure(x - half)} {figure(y)}L{figure(x + half)} {figure(y)}'
        f'L{figure(end_x)} {figure(end_y)}Z" fill="{colour}"/>'
    )


Cubic = tuple[Place, Place, Place, Place]


def _curve(strand: Strand) -> Cubic:
    """Give the curve of a strand; its height runs evenly, so that a cut of it is a length."""
    top = TOP_MM + strand.root_cm * MM_PER_CM
    third = (HEIGHT_MM - top) / 3
    x, fall = strand.x_mm, strand.swing * _FALL_MM
    return (
        (x, top),
        (x + 0.12 * _SWEEP_MM + 0.1 * fall, top + third),
        (x - 0.75 * _SWEEP_MM + 0.45 * fall, top + 2 * third),
        (x - 0.35 * _SWEEP_MM + fall, top + 3 * third),
    )


def _piece(curve: Cubic, start: float, end: float) -> Cubic:
    """Cut a cubic between two of its parameters (blossom of Bezier's form)."""

    def at(*t: float) -> Place:
        points: list[Place] = list(curve)
        for u in t:
            points = [
                ((1 - u) * a[0] + u * b[0], (1 - u) * a[1] + u * b[1])
                for a, b in itertools.pairwise(points)
            ]
        return points[0]

    return (
        at(start, start, start),
        at(start, start, end),
        at(start, end, end),
        at(end, end, end),
    )


def _path(curve: Cubic) -> str:
    first, *rest = (f"{figure(x)} {figure(y)}" for x, y in curve)
    return f"M{first}C{' '.join(rest)}"
