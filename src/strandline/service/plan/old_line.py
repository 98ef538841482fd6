"""Where hair left out still shows today's old line: what each way with the root shadow leaves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from strandline.base.errors import UnreachableError
from strandline.science.fibre import Fibre
from strandline.science.seeing.line import WINDOW_CM
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.gloss import GlossOn
from strandline.service.formulate.lowlights import lowlight
from strandline.service.formulate.shadow import PAST_LINE_CM
from strandline.service.growout.grow import grow_out
from strandline.service.growout.look import HairClass
from strandline.service.plan.glossing import Toned
from strandline.service.plan.model import OldLine
from strandline.service.plan.on_top import left_out
from strandline.service.practice.bench import Bench

NEAR_CM = 0.3
Way = Literal["as it is", "under a root shadow", "melted past it", "woven with lowlights"]
SAID: dict[Way, str] = {
    "as it is": "No shadow on it: the line stays where it is and grows away.",
    "under a root shadow": "A shadow of the usual width, short of the old line.",
    "melted past it": "The shadow melts past the old line, on left-out hair alone.",
    "woven with lowlights": "Every second pick of left-out hair takes a lowlight past the line.",
}
WOVEN = 0.5
"""Share of the left-out hair that a lowlight weave takes: pick as wide as what is left."""


def unfaded(states: Fibre, weeks: float) -> Fibre:  # noqa: ARG001  # the day alone is looked at
    """Leave a state as it is: nothing fades on the day."""
    return states


def old_line(
    head: HeadReading,
    toned: Toned,
    gray: float,
    level: float,
    bench: Bench,
    shades: Sequence[GlossShade],
) -> list[OldLine]:
    """Show the old line on left-out hair as it is, under a shadow, melted past, and woven.

    Returns
    -------
    list of OldLine, empty where no permanent colour is left out, no shadow is planned or the line
    lies outside the 6 cm by the parting that are looked at. The step
    is the steepest of the part line on that hair alone, on the day, dE00. Lowlights woven into it
    are a way of their own where the shelf has a shade for them.
    """
    shadow = next((one for one in toned.on if one.place == "root shadow"), None)
    line = head.old_line_cm
    if shadow is None or line is None or line > WINDOW_CM - NEAR_CM:
        return []
    width = bench["shadow_width_cm"]
    ways: list[tuple[Way, GlossOn | None]] = [("as it is", None)]
    if abs(shadow.to_cm - width) > NEAR_CM or line > width:
        ways.append(("under a root shadow", replace(shadow, to_cm=width)))
    if line > 0:
        ways.append(("melted past it", replace(shadow, to_cm=line + PAST_LINE_CM)))
    plain = left_out(head, gray, level, None, bench)
    if not plain:
        return []
    out = []
    for way, gloss in ways:
        classes = left_out(head, gray, level, gloss, bench)
        to_cm = gloss.to_cm if gloss is not None else 0.0
        planned = gloss is not None and abs(to_cm - shadow.to_cm) < NEAR_CM
        out.append(_shown(way, classes, to_cm, planned=planned))
    woven = _woven(head, shades, bench, line + PAST_LINE_CM)
    if woven is not None:
        darker = left_out(head, gray, level, woven, bench)
        mixed = [*_part(plain, 1 - WOVEN, "between"), *_part(darker, WOVEN, "lowlights")]
        out.append(_shown("woven with lowlights", mixed, woven.to_cm, planned=False))
    return out


def _shown(way: Way, classes: Sequence[HairClass], to_cm: float, *, planned: bool) -> OldLine:
    seen = grow_out(classes, [0.0], rate_cm_per_week=0.25, fade=unfaded).weeks[0]
    return OldLine(
        way=way,
        shadow_to_cm=round(to_cm, 1),
        step_de00=round(seen.edge, 1),
        at_cm=round(seen.edge_cm, 1),
        planned=planned,
        what=SAID[way],
    )


def _woven(
    head: HeadReading, shades: Sequence[GlossShade], bench: Bench, to_cm: float
) -> GlossOn | None:
    """Give a lowlight from the scalp past the old line; None where the shelf has no shade."""
    try:
        found = lowlight(head, bench["lowlight_grams"], shades, bench)
    except UnreachableError:
        return None
    return replace(found, to_cm=min(to_cm, head.length_cm))


def _part(classes: Sequence[HairClass], share: float, name: str) -> list[HairClass]:
    return [
        replace(one, name=f"{one.name}, {name}", share=one.share * share, strand=name)
        for one in classes
    ]
