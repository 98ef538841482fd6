"""What is done today, worked out up to the clock: all of a plan but its look over the weeks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from strandline.service.care.finding import Finding
from strandline.service.care.gates import judge
from strandline.service.choose.technique import Technique, choose_technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading, read_head
from strandline.service.learning.pooled import Pooled
from strandline.service.placement.pattern import Pattern
from strandline.service.plan.chosen import Chosen, allowed
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.glossing import Toned, gloss_today
from strandline.service.plan.learned import Floats, lift_draws, with_pace
from strandline.service.plan.lifting import Lifted, lift_today
from strandline.service.plan.model import ClockOfHead
from strandline.service.plan.patterning import named_pattern
from strandline.service.plan.placing import Placed, place_foils
from strandline.service.plan.timing import head_clock
from strandline.service.plan.under import Under, carried
from strandline.service.practice.bench import Bench, default_bench


@dataclass(frozen=True, eq=False)
class Worked:
    """A visit worked out.

    Parameters
    ----------
    consultation : with the earlier visit carried into it
    under : what earlier visits left, None at the first
    hers : the pattern the consultation names
    bench : her numbers
    drawn : draws of lift
    findings : of care
    head : as read
    technique : the kind of service
    placed : foils, None without
    lifted : lightener and lowlights
    toned : glosses
    clock : of the head, None where nothing is done
    minutes : of the whole visit, the talk before it among them
    """

    consultation: Consultation
    under: Under | None
    hers: Pattern | None
    bench: Bench
    drawn: Mapping[str, Floats]
    findings: list[Finding]
    head: HeadReading
    technique: Technique
    placed: Placed | None
    lifted: Lifted
    toned: Toned
    clock: ClockOfHead | None
    minutes: float


def work_out(
    c: Consultation,
    day: dt.date,
    *,
    earlier: Earlier | None = None,
    pooled: Pooled | None = None,
    timed: bool = False,
    chosen: Chosen | None = None,
) -> Worked:
    """Work a visit out; parameters and errors as for `assemble.make_plan`."""
    hers = named_pattern(c)
    bench = with_pace(default_bench().with_own(c.practice), pooled)
    drawn = lift_draws(c, pooled)
    under = None
    if earlier is not None:
        under = carried(c, earlier, day, bench)
        c = under.consultation
    findings = judge(c, bench, day)
    head = read_head(c)
    if chosen is None:
        chosen = Chosen(choose_technique(c, head, findings, bench))
    technique = allowed(chosen, findings)
    placed = place_foils(c, head, technique, bench, under, hers, chosen.laying)
    lifted = lift_today(c, head, technique, placed, bench, drawn, timed=timed, bowls=chosen.bowls)
    toned = gloss_today(c, head, technique, placed, lifted.doses, bench)
    clock = head_clock(lifted.clock, toned.steps, bench, lowlights=technique.kind == "lowlights")
    minutes = (clock.end_min if clock else 0.0) + bench["minutes_consult"]
    return Worked(
        consultation=c,
        under=under,
        hers=hers,
        bench=bench,
        drawn=drawn,
        findings=findings,
        head=head,
        technique=technique,
        placed=placed,
        lifted=lifted,
        toned=toned,
        clock=clock,
        minutes=minutes,
    )
