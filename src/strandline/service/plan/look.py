"""How the part line looks and grows out: as it is kept today, and as planned.

The classes of hair on top: in today's foils or left out, white or pigmented, by their lanes; each
with its stretches as they are on the day. The first six centimetres are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from strandline.base.draws import draws
from strandline.base.quantities import DAYS_PER_MONTH, MICROMETRES_PER_CM, Range
from strandline.science.chemistry.fade import fade
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.fibre import Fibre
from strandline.science.hair.pigment import lab
from strandline.service.choose.technique import LITTLE_GRAY, Technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.strengths import Dose
from strandline.service.growout.grow import GrowOut, WeekSeen, grow_out
from strandline.service.growout.look import Fade, HairClass
from strandline.service.plan.glossing import Toned, on_shelf
from strandline.service.plan.model import GrowOutPart, GrowOutWeek, Seen, StrandClass, StrandStretch
from strandline.service.plan.old_line import old_line
from strandline.service.plan.on_top import as_kept, as_planned
from strandline.service.plan.parts import figure
from strandline.service.plan.placing import Placed
from strandline.service.practice.bench import Bench

SHOWN = (0.0, 4.0, 8.0, 12.0, 16.0)
"""Weeks of the sheets."""
LAST_WEEK = 26
LOOKED_AT_CM = 8.0
"""Strands are drawn this far."""
TOP = {"front": 0.5, "crown": 0.5}
"""The part line lies on top, which front and crown answer for alike."""
MEASURED_SPREAD = 0.05
"""Spread of a client's own measured growth, one sd over the rate; from memory."""
MOSTLY_WHITE = 0.75


@dataclass(frozen=True)
class _Looks:
    kept: tuple[HairClass, ...]
    planned: tuple[HairClass, ...]


def grow_out_part(
    c: Consultation,
    head: HeadReading,
    technique: Technique,
    placed: Placed | None,
    doses: Sequence[Dose],
    toned: Toned,
    bench: Bench,
) -> GrowOutPart:
    """Compute the grow-out of today's plan beside the way it is kept."""
    gray, level = head.gray_of(TOP), head.level_of(TOP)
    kept = as_kept(head, gray, level)
    looks = _Looks(kept, as_planned(head, placed, doses, toned, gray, level, bench) or kept)
    rate, spread = _growth(c, bench)
    weeks = [float(week) for week in range(LAST_WEEK + 1)]
    drawn = np.maximum(rate + spread * draws(("growth",))["growth"], rate / 4)

    def grown(classes: Sequence[HairClass]) -> GrowOut:
        return grow_out(
            classes, weeks, rate_cm_per_week=rate, fade=_gloss_fade(bench), rate_draws=drawn
        )

    now, then = grown(looks.kept), grown(looks.planned)
    threshold = bench["line_threshold"]
    passes = (
        now.week_line_passes(threshold, growth_alone=True),
        then.week_line_passes(threshold, growth_alone=True),
    )
    return GrowOutPart(
        weeks=[
            GrowOutWeek(
                week=week,
                grown_cm=round(rate * week, 2),
                as_kept=_seen(now.weeks[int(week)]),
                planned=_seen(then.weeks[int(week)]),
            )
            for week in SHOWN
        ],
        threshold=threshold,
        as_kept_passes_week=figure(passes[0]),
        planned_passes_week=figure(passes[1]),
        sentence=_sentence(technique, head, passes, now, then),
        old_line=old_line(head, toned, gray, level, bench, on_shelf(c))
        if technique.kind == "foils"
        else [],
        strands=[
            *(_strand(one, "as kept") for one in looks.kept),
            *(_strand(one, "planned") for one in looks.planned),
        ],
        law="shown growth S = integral over 6 cm of max(0, dE00 - 2) dy on the part line",
    )


def _growth(c: Consultation, bench: Bench) -> tuple[float, float]:
    """Give growth in cm a week and its spread."""
    own = c.client.growth_cm_per_month
    if own is not None:
        rate = own / DAYS_PER_MONTH * 7
        return rate, rate * MEASURED_SPREAD
    number = bench.numbers["growth_um_per_day"]
    return number.value * 7 / MICROMETRES_PER_CM, number.spread * 7 / MICROMETRES_PER_CM


def _gloss_fade(bench: Bench) -> Fade:
    def faded(states: Fibre, weeks: float) -> Fibre:
        return fade(states, "acid demi", weeks, washes_per_week=bench["washes_per_week"])

    return faded


def _seen(week: WeekSeen) -> Seen:
    contrast = week.contrast
    return Seen(
        line=round(week.line_of_growth, 1),
        edge=round(week.edge, 1),
        edge_cm=round(week.edge_cm, 1),
        stripes=round(week.stripes_mirror, 1),
        light_share=round(contrast.light_share, 2),
        light_level=round(contrast.light_level, 1),
        dark_level=round(contrast.dark_level, 1),
        colours=hex_from_lab(week.lab[::5]),
    )


def _strand(one: HairClass, look: str) -> StrandClass:
    return StrandClass(
        name=one.name,
        look="as kept" if look == "as kept" else "planned",
        share=round(one.share, 4),
        root_colour=hex_from_lab(lab(one.root))[0],
        stretches=[
            StrandStretch(
                from_cm=round(layer.from_cm, 2),
                to_cm=round(min(layer.to_cm, LOOKED_AT_CM * 10), 2),
                colour=hex_from_lab(lab(layer.fibre))[0],
            )
            for layer in one.layers
            if layer.from_cm < LOOKED_AT_CM
        ],
    )


def _sentence(
    technique: Technique,
    head: HeadReading,
    passes: tuple[Range, Range],
    now: GrowOut,
    then: GrowOut,
) -> str:
    """Say in a sentence or two what the figures mean."""
    gray = head.gray_mean
    if technique.kind == "none":
        return "Nothing is planned, so nothing changes."
    told = []
    week = 8
    if head.cover_depth is not None and technique.kind == "foils":
        kept, planned = passes[0].middle, passes[1].middle
        told.append(
            f"Covered as today the line is seen after {_weeks(kept)}; as planned {_after(planned)}."
        )
    elif technique.kind == "lowlights":
        told.append("What grows is what grew before: there is no line at the root.")
    if (
        technique.kind == "foils"
        and gray < LITTLE_GRAY
        and now.weeks[week].line_of_growth < then.weeks[week].line_of_growth
    ):
        told.append("With so little gray solid cover shows less than foils would.")
    if gray >= MOSTLY_WHITE and technique.kind == "foils":
        told.append("So much is white that contrast comes only by lowlights.")
    return " ".join(told) or f"As planned {_after(passes[1].middle)}."


def _weeks(value: float) -> str:
    return "more than half a year" if np.isinf(value) else f"{value:.0f} weeks"


def _after(value: float) -> str:
    if np.isinf(value):
        return "no line is seen in half a year"
    return f"it is seen after {value:.0f} weeks"
