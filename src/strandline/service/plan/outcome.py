"""What a plan comes to in a few figures, without its look over the weeks: a hundredth of its text.

The same rooms as `assemble` are asked, so the figures are the plan's own. Only the weeks until
the return differ where none are said: the look over the weeks would find them, here the middle of
her range stands.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from strandline.base.quantities import Range
from strandline.service.care.finding import Finding, verdict
from strandline.service.consultation.model import Consultation
from strandline.service.learning.pooled import Pooled
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.model import Quote
from strandline.service.plan.money import quote
from strandline.service.plan.worked import Worked, work_out


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a plan comes to.

    Parameters
    ----------
    verdict : go, wait or stop
    kind : foils, lowlights, gloss or none
    technique : in words
    foils : how many
    minutes : of the visit
    aim : the stage the foils aim for, 0 without lift
    stage : expected, None without lift
    tone : its family, '' without gloss
    interval_weeks : to the next visit of its kind, 0 for none
    quote : the floor of a price, and the year
    findings : what stops, waits, holds or warns
    """

    verdict: str
    kind: str
    technique: str
    foils: int
    minutes: float
    aim: float
    stage: Range | None
    tone: str
    interval_weeks: float
    quote: Quote
    findings: tuple[Finding, ...]

    @property
    def year(self) -> float | None:
        """Give what a year of it must bring; None where she has not said what she lives from."""
        return self.quote.year_blending.amount

    @property
    def year_minutes(self) -> float:
        """Give a year's minutes at the chair."""
        return self.quote.year_blending.hours * 60


def outcome_of(
    c: Consultation,
    day: dt.date,
    *,
    earlier: Earlier | None = None,
    pooled: Pooled | None = None,
) -> Outcome:
    """Give what the plan of a day comes to; parameters and errors as for `make_plan`."""
    done = work_out(c, day, earlier=earlier, pooled=pooled)
    weeks = _interval(done)
    return Outcome(
        verdict=verdict(done.findings),
        kind=done.technique.kind,
        technique=done.technique.name,
        foils=len(done.placed.foils) if done.placed else 0,
        minutes=done.minutes,
        aim=done.technique.aim_stage,
        stage=done.lifted.stage,
        tone=done.toned.family,
        interval_weeks=weeks,
        quote=quote(
            done.consultation,
            done.bench,
            done.lifted.weighed,
            done.toned.steps,
            done.minutes,
            weeks,
        ),
        findings=tuple(done.findings),
    )


def _interval(done: Worked) -> float:
    low, high = done.technique.interval_weeks
    if high == 0:
        return 0.0
    asked = done.consultation.aim.return_weeks or (low + high) / 2
    return float(round(min(max(asked, low), high)))
