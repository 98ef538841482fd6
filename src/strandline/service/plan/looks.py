"""The strands of the head as they look: kept as today, and as planned; and how they grow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from strandline.base.draws import draws
from strandline.base.quantities import DAYS_PER_MONTH, MICROMETRES_PER_CM
from strandline.science.chemistry.fade import fade
from strandline.science.fibre import Fibre
from strandline.science.head.strands import Flags, Floats, Strands
from strandline.science.head.zones import Zones
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.strengths import Dose
from strandline.service.growout.cover import since_cover
from strandline.service.growout.grow import GrowOut, grow_out
from strandline.service.growout.look import Fade
from strandline.service.growout.pictures.style import HairStyle
from strandline.service.plan.glossing import Toned
from strandline.service.plan.on_top import doing
from strandline.service.plan.placing import scalp_of, zones_of
from strandline.service.plan.rounds import Today
from strandline.service.plan.strand_look import (
    HeadLook,
    beside_parting,
    kept_look,
    planned_look,
    style_of,
)
from strandline.service.practice.bench import Bench

MEASURED_SPREAD = 0.05
"""Spread of a client's own measured growth, one sd over the rate; from memory."""


@dataclass(frozen=True, eq=False)
class Looks:
    """The head by strands, and how it grows: what pictures and measures are made from.

    Parameters
    ----------
    kept, planned : all its strands by class
    zones : where they grow
    strands : themselves
    style : how they are worn
    beside : shape (N,)   those that lie on top along the parting
    rate_cm_per_week, rate_draws : usual growth, and drawn
    fade : of what has no fade of its own
    """

    kept: HeadLook
    planned: HeadLook
    zones: Zones
    strands: Strands
    style: HairStyle
    beside: Flags
    rate_cm_per_week: float
    rate_draws: Floats
    fade: Fade

    def grown(
        self, look: HeadLook, weeks: Sequence[float], *, every_weeks: float | None = None
    ) -> GrowOut:
        """Look at the part line of the head as kept or as planned.

        Parameters
        ----------
        look : one of this head
        weeks : shape (T,)   rising, >= 0
        every_weeks : weeks after which it is made as on the day again; None for never
        """
        return grow_out(
            look.classes,
            weeks,
            rate_cm_per_week=self.rate_cm_per_week,
            fade=self.fade,
            rate_draws=self.rate_draws,
            since_day=since_cover(weeks, every_weeks),
            strands=look.hair.some(self.beside),
        )


def looks_of(
    c: Consultation,
    head: HeadReading,
    today: Today,
    doses: Sequence[Dose],
    toned: Toned,
    bench: Bench,
) -> Looks:
    """Give every strand its class, as it is kept today and as planned."""
    zones = zones_of(scalp_of(c))
    style = style_of(c, head, zones)
    rate, spread = _growth(c, bench)
    return Looks(
        kept=kept_look(head, today, zones, style),
        planned=planned_look(doing(head, doses, toned, bench), today, zones, style),
        zones=zones,
        strands=today.strands,
        style=style,
        beside=beside_parting(today.strands, zones, style),
        rate_cm_per_week=rate,
        rate_draws=np.maximum(rate + spread * draws(("growth",))["growth"], rate / 4),
        fade=_gloss_fade(bench),
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
