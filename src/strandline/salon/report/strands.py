"""Strands beside the parting in their computed colours: a small picture of a week.

Root at the top, the first centimetres, on neutral gray. Strands are laid in a fixed order that
spreads each class evenly; they fall with one gentle curve and lie a little over each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from strandline.service.plan.model import ServicePlan, StrandClass

WIDTH_MM, HEIGHT_MM = 30.0, 44.0
SHOWN_CM = 8.0
STRANDS = 84
GROUND = "#8f8f8f"
_GOLDEN = (math.sqrt(5) - 1) / 2


def strand_strip_svg(plan: ServicePlan, look: str, week: float) -> str:
    """Draw the strands of a look in a week.

    Parameters
    ----------
    plan : with its strands and weeks
    look : 'as kept' or 'planned'
    week : one of the plan's weeks

    Returns
    -------
    str   an SVG drawing, 30 x 44 mm
    """
    classes = [one for one in plan.growout.strands if one.look == look and one.share > 0]
    grown = next(w.grown_cm for w in plan.growout.weeks if w.week == week)
    lines = "".join(_strands(classes, grown))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH_MM}mm" height="{HEIGHT_MM}mm" '
        f'viewBox="0 0 {WIDTH_MM} {HEIGHT_MM}">'
        f'<rect width="{WIDTH_MM}" height="{HEIGHT_MM}" fill="{GROUND}"/>{lines}</svg>'
    )


def _strands(classes: Sequence[StrandClass], grown_cm: float) -> Iterator[str]:
    """Lay strands two deep, the lower row first, each with its class by a low-discrepancy order."""
    for row in (1, 0):
        for index in range(row, STRANDS, 2):
            one = _class_at(classes, (index * _GOLDEN) % 1.0)
            swing = ((index * 7919) % 97) / 97 - 0.5
            x = (index + 0.5) / STRANDS * (WIDTH_MM + 1) - 0.5
            yield from _strand(one, x, swing, grown_cm)


def _class_at(classes: Sequence[StrandClass], share: float) -> StrandClass:
    at = share * sum(one.share for one in classes)
    for one in classes:
        at -= one.share
        if at < 0:
            return one
    return classes[-1]


def _strand(one: StrandClass, x: float, swing: float, grown_cm: float) -> Iterator[str]:
    width = 0.48 + 0.12 * swing
    stretches = [(0.0, grown_cm, one.root_colour)] if grown_cm > 0 else []
    stretches += [(s.from_cm + grown_cm, s.to_cm + grown_cm, s.colour) for s in one.stretches]
    for low, high, colour in stretches:
        start, end = min(low, SHOWN_CM), min(high, SHOWN_CM)
        if end - start <= 0:
            continue
        steps = max(1, math.ceil((end - start) / 1.6))
        at = [start + (end - start) * i / steps for i in range(steps + 1)]
        path = " ".join(f"{_x(x, swing, y):.2f},{y / SHOWN_CM * HEIGHT_MM:.2f}" for y in at)
        yield (
            f'<polyline points="{path}" fill="none" stroke="{colour}" '
            f'stroke-width="{width:.2f}" stroke-linejoin="round"/>'
        )


def _x(x: float, swing: float, y_cm: float) -> float:
    down = y_cm / SHOWN_CM
    return x + 1.1 * math.sin(down * 2.4 + x * 0.16) * down + swing * 0.8 * down
