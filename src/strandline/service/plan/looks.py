"""The strands of the head as they look: kept as today, and as planned; and how they grow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

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
from strandline.service.growout.spread import OfStrands
from strandline.service.growout.trims import Trims
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
    trims : how it is cut as it grows; None where that is not said
    known : how it grows as it is kept, where that was computed before; the same for every plan
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
    trims: Trims | None = None
    known: GrowOut | None = None

    def as_kept(self, weeks: Sequence[float]) -> GrowOut:
        """Look at the part line of the head as kept, over weeks rising from 0."""
        known = self.known
        if known is not None and [seen.week for seen in known.weeks] == list(weeks):
            return known
        return self.grown(self.kept, weeks)

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
            strands=self.cut(look, weeks).some(self.beside),
        )

    def cut(self, look: HeadLook, weeks: Sequence[float]) -> OfStrands:
        """Give all strands of a look with the cuts of those weeks.

        Raises
        ------
        OutOfRangeError   cuts that leave no hair
        """
        if self.trims is None:
            return look.hair
        cuts = self.trims.cuts(self.style.length_cm, max(weeks), self.rate_cm_per_week)
        return replace(look.hair, cuts=cuts)

    def lengths_cm(self, weeks: Sequence[float]) -> tuple[float, ...]:
        """Give the mean length in each week, cm; that of the day where no trims are said."""
        length, rate = self.style.length_cm, self.rate_cm_per_week
        if self.trims is None:
            return tuple(length for _ in weeks)
        return tuple(self.trims.length_cm(length, week, rate) for week in weeks)


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
        trims=trims_of(c),
    )


def trims_of(c: Consultation) -> Trims | None:
    """Give her habit of trims; None where the consultation says none."""
    if c.hair.trim_every_weeks is None:
        return None
    return Trims(c.hair.trim_every_weeks, c.hair.trim_cm)


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
