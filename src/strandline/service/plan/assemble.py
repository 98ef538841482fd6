"""From a consultation to a plan. Assembly only: every figure is computed in a room below.

Time and the day are handed in; nothing here reads a clock or a file.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strandline import __version__
from strandline.base.sources import COMMON_PRACTICE, cite
from strandline.service.care.finding import Finding, verdict
from strandline.service.choose.technique import Technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.strengths import (
    Asked,
    Dose,
)
from strandline.service.learning.belief import Belief
from strandline.service.learning.pooled import Pooled
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.carrying import carried_part
from strandline.service.plan.cautions import for_work, not_gone_by, on_old_light
from strandline.service.plan.chosen import Chosen
from strandline.service.plan.defaults import defaults_told
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.evidence import laws
from strandline.service.plan.fitting import hours_told
from strandline.service.plan.foil_work import FoilWork
from strandline.service.plan.glossing import Toned
from strandline.service.plan.learned import (
    Floats,
    belief_of,
    leans_on,
)
from strandline.service.plan.lifting import Lifted
from strandline.service.plan.look import grow_out_part
from strandline.service.plan.looks import Looks, looks_of
from strandline.service.plan.missed import misses_told
from strandline.service.plan.model import Reason, ServicePlan
from strandline.service.plan.money import quote
from strandline.service.plan.parts import figure
from strandline.service.plan.patterning import Laying, told_of_pattern
from strandline.service.plan.picture import Reach
from strandline.service.plan.placing import Placed, foil_rows, scalp_of, zones_of
from strandline.service.plan.rebooked import returned
from strandline.service.plan.returning import gained_a_visit, next_visit, visits_needed
from strandline.service.plan.rounds import walk
from strandline.service.plan.trimming import not_counted
from strandline.service.plan.under import Under, lanes_kept
from strandline.service.plan.wearing import gloss_weeks
from strandline.service.plan.worked import work_out
from strandline.service.plan.working import order_of_work
from strandline.service.practice.bench import Bench
from strandline.service.schedule.chair import Wait


@dataclass(frozen=True)
class Made:
    """A plan, the maps its drawings are made from, and what it was computed from.

    Parameters
    ----------
    plan : as it is kept
    foils, ghosts : today's map, and last visit's beneath it
    older : the maps of the visits before that, the earliest first
    consultation : with the earlier visit carried into it
    head, bench : as read, and her numbers
    work : how the foils are worked; None without foils
    asked : what lightener is asked for; None where none is planned
    drawn : draws of lift, as earlier visits left them
    believed : of this head before the first foil
    looks : its strands by class, as it is kept and as planned
    technique, toned : the kind of service, and its glosses
    under : the earlier visits; None where none are known
    """

    plan: ServicePlan
    foils: FoilMap | None
    ghosts: FoilMap | None
    older: tuple[FoilMap, ...]
    consultation: Consultation
    head: HeadReading
    bench: Bench
    work: FoilWork | None
    asked: Asked | None
    drawn: Mapping[str, Floats]
    believed: Belief
    looks: Looks
    technique: Technique
    toned: Toned
    under: Under | None

    @property
    def doses(self) -> tuple[Dose, ...]:
        """Give the lightener by stretch and bowl."""
        return () if self.work is None else self.work.doses

    @property
    def waits(self) -> Mapping[str, Wait]:
        """Give each bowl's wait, as the plan's clock has it."""
        return {} if self.work is None else self.work.waits


def make_plan(
    c: Consultation,
    day: dt.date,
    *,
    earlier: Earlier | None = None,
    pooled: Pooled | None = None,
    timed: bool = False,
    chosen: Chosen | None = None,
) -> Made:
    """Plan one visit.

    Parameters
    ----------
    c : the consultation
    day : day of the visit
    earlier : the last visit's plan and facts, to start from what was really done
    pooled : what visits have taught of products, clients and her pace
    timed : let the search of timings set the foils where it finds better than her rule
    chosen : one of several plans, in place of what her rules take

    Returns
    -------
    Made   the plan with its maps

    Raises
    ------
    StrandlineError   what is missing or contradicts, with its field
    """
    done = work_out(c, day, earlier=earlier, pooled=pooled, timed=timed, chosen=chosen)
    c, under, hers, bench = done.consultation, done.under, done.hers, done.bench
    head, technique, placed = done.head, done.technique, done.placed
    lifted, toned, clock, minutes = done.lifted, done.toned, done.clock, done.minutes
    findings, laid = done.findings, placed.chosen if placed else None
    visits_before = under.visits if under else ()
    walked = walk(c, head, visits_before, _map_of(c, placed), day, bench)
    looks = looks_of(c, head, walked.today, lifted.doses, toned, bench)
    visits = visits_needed(technique, head, placed, lifted.stage, bench)
    reach = Reach(gained_a_visit(placed, bench), visits, technique.aim_stage)
    grown = grow_out_part(c, head, technique, looks, toned, bench, reach, returned(earlier, day))
    interval = _interval(technique, c, grown.planned_passes_week.middle)
    kept = carried_part(walked, visits_before, placed.foils if placed else None, interval)
    refused = [*_refused(findings, technique), *toned.refused]
    cut = not_counted(c) if under is None else [under.worn.told()] if under.worn else []
    over = hours_told(c, minutes, placed.foils if placed else None, lifted.work, bench)
    findings = [*findings, *over, *cut]
    plan = ServicePlan(
        made_with=f"strandline {__version__}",
        client=c.client.name,
        date=day,
        visit=c.visit.number,
        verdict=verdict(findings),
        reasons=[_reason(f) for f in findings if f.weight != "caution"],
        refused=refused,
        technique=technique.name,
        technique_kind=technique.kind,
        technique_reasons=[
            *technique.reasons,
            *_how_laid(laid),
            *([_how_timed(lifted)] if timed else []),
        ],
        pattern=laid.kept if laid else None,
        aim_stage=technique.aim_stage,
        expected_stage=figure(lifted.stage) if lifted.stage else None,
        foil_count=len(placed.foils) if placed else 0,
        foil_range=technique.foils,
        foils=foil_rows(placed.foils, lifted.bowls, bench) if placed else [],
        strengths=lifted.strengths,
        order=order_of_work(technique, placed, toned.steps),
        first_check_min=lifted.first_check if technique.kind == "foils" else None,
        check_every_min=bench["check_every_min"] if technique.kind == "foils" else None,
        bowls=lifted.weighed,
        clock=clock,
        gloss=toned.steps,
        wear=toned.wear,
        gloss_misses=misses_told(c, toned.steps, lightens=bool(lifted.doses)),
        tone_family=toned.family,
        tone_why=toned.why,
        growout=grown,
        interval_weeks=interval,
        interval_range=technique.interval_weeks,
        cautions=[
            _reason(f)
            for f in [
                *findings,
                *not_gone_by(under),
                *on_old_light(kept, bench),
                *told_of_pattern(hers, technique, laid, len(placed.foils) if placed else 0),
                *for_work(c, technique, lifted),
            ]
            if f.weight == "caution"
        ],
        quote=quote(c, bench, lifted.weighed, toned.steps, minutes, interval),
        next_visit=next_visit(
            head,
            technique,
            placed,
            interval,
            visits,
            day,
            bench,
            kept,
            gloss=gloss_weeks(toned.wear, bench),
        ),
        lanes=lanes_kept(c),
        length_cm=round(head.length_cm, 2),
        scalp=scalp_of(c),
        carried=kept,
        leans_on=leans_on(c, pooled, lightener=bool(lifted.doses)),
        evidence=laws(technique, bench),
        defaults=defaults_told(c, pace_learned=pooled is not None),
    )
    foils = placed.foils if placed else None
    return Made(
        plan,
        foils,
        under.last if under else None,
        under.older if under else (),
        c,
        head,
        bench,
        lifted.work,
        lifted.asked,
        done.drawn,
        belief_of(c, pooled),
        looks,
        technique,
        toned,
        under,
    )


def _map_of(c: Consultation, placed: Placed | None) -> FoilMap:
    """Give today's foils, or the scalp without any."""
    if placed is not None:
        return placed.foils
    return FoilMap((), zones_of(scalp_of(c)), {}, ())


def _how_laid(chosen: Laying | None) -> list[str]:
    """Say whose pattern the foils follow, where the consultation names one."""
    if chosen is None or chosen.kept is None:
        return []
    return [f"Where the foils lie, and how close, is as the {chosen.kept.words} has it."]


def _how_timed(lifted: Lifted) -> str:
    """Say what the search of timings came to."""
    if lifted.asked is None:
        return "There are no foils of lightener to time."
    if lifted.searched:
        return "Strengths, wipes and rinse are the best that the search of timings found."
    if lifted.asked.dark:
        return "Dark old colour takes two bowls in a foil: its timing stays with her rule."
    return "The search of timings found nothing better than her rule."


def _interval(technique: Technique, c: Consultation, passes: float | None) -> float:
    """Give the return within her range: the week the line is seen, held to the range."""
    low, high = technique.interval_weeks
    if high == 0:
        return 0.0
    asked = c.aim.return_weeks or passes or high
    return float(round(min(max(asked, low), high)))


def _refused(findings: Sequence[Finding], technique: Technique) -> list[Reason]:
    held = [f for f in findings if f.weight == "hold"]
    out = [
        Reason(what="Lightener today.", do=f.do, source=cite(f.source), weight="hold", about=f.what)
        for f in held[:1]
    ]
    if technique.in_phases:
        out.append(
            Reason(
                what="The whole change in one visit.",
                do="Go in phases; the other way is a remover, tried on one strand a visit before.",
                source=COMMON_PRACTICE,
                weight="hold",
            )
        )
    return out


def _reason(f: Finding) -> Reason:
    return Reason(**f.as_json())
