"""Where hair left out still shows today's old line: what each way with the root shadow leaves."""

from __future__ import annotations

from dataclasses import replace

from strandline.science.fibre import Fibre
from strandline.science.seeing.line import WINDOW_CM
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.gloss import PAST_LINE_CM, GlossOn
from strandline.service.growout.grow import grow_out
from strandline.service.plan.glossing import Toned
from strandline.service.plan.model import OldLine
from strandline.service.plan.on_top import left_out
from strandline.service.practice.bench import Bench

NEAR_CM = 0.3
SAID = {
    "as it is": "No shadow on it: the line stays where it is and grows away.",
    "under a root shadow": "A shadow of the usual width, short of the old line.",
    "melted past it": "The shadow melts past the old line, on left-out hair alone.",
}


def unfaded(states: Fibre, weeks: float) -> Fibre:  # noqa: ARG001  # the day alone is looked at
    """Leave a state as it is: nothing fades on the day."""
    return states


def old_line(
    head: HeadReading, toned: Toned, gray: float, level: float, bench: Bench
) -> list[OldLine]:
    """Show the old line on left-out hair as it is, under a usual shadow, and melted past.

    Returns
    -------
    list of OldLine, empty where no permanent colour is left out, no shadow is planned or the line
    lies outside the 6 cm by the parting that are looked at. The step
    is the steepest of the part line on that hair alone, on the day, dE00; lowlights are the
    fourth way, and are planned by themselves.
    """
    shadow = next((one for one in toned.on if one.place == "root shadow"), None)
    line = head.old_line_cm
    if shadow is None or line is None or line > WINDOW_CM - NEAR_CM:
        return []
    width = bench["shadow_width_cm"]
    ways: list[tuple[str, GlossOn | None]] = [("as it is", None)]
    if abs(shadow.to_cm - width) > NEAR_CM or line > width:
        ways.append(("under a root shadow", replace(shadow, to_cm=width)))
    if line > 0:
        ways.append(("melted past it", replace(shadow, to_cm=line + PAST_LINE_CM)))
    out = []
    for way, gloss in ways:
        classes = left_out(head, gray, level, gloss, bench)
        if not classes:
            return []
        seen = grow_out(classes, [0.0], rate_cm_per_week=0.25, fade=unfaded).weeks[0]
        to_cm = gloss.to_cm if gloss is not None else 0.0
        out.append(
            OldLine(
                way=way,
                shadow_to_cm=round(to_cm, 1),
                step_de00=round(seen.edge, 1),
                at_cm=round(seen.edge_cm, 1),
                planned=gloss is not None and abs(to_cm - shadow.to_cm) < NEAR_CM,
                what=SAID[way],
            )
        )
    return out
