"""From a consultation to a plan. Assembly only: every figure is computed in a room below.

Time and the day are handed in; nothing here reads a clock or a file.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strandline import __version__
from strandline.base.draws import draws as shared_draws
from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range
from strandline.base.sources import COMMON_PRACTICE, cite
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.science.hair.levels import underlying
from strandline.service.care.cautions import for_colour, for_lightener
from strandline.service.care.finding import Finding, verdict
from strandline.service.care.gates import judge
from strandline.service.choose.technique import Technique, choose_technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading, read_head
from strandline.service.formulate.bowls import weigh_bowls
from strandline.service.formulate.lowlights import lowlight_shades
from strandline.service.formulate.strengths import (
    WHITE_OR_FINE,
    Asked,
    Dose,
    Foiled,
    expected_stage,
    set_strengths,
)
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.defaults import defaults_told
from strandline.service.plan.earlier import Earlier, carried, lanes_kept
from strandline.service.plan.evidence import laws
from strandline.service.plan.glossing import gloss_today, on_shelf
from strandline.service.plan.look import grow_out_part
from strandline.service.plan.model import Bowl, Reason, ServicePlan, Strength, figure
from strandline.service.plan.money import quote
from strandline.service.plan.placing import Placed, bowl_of, foil_rows, place_foils, scalp_of
from strandline.service.plan.returning import next_visit, visits_needed
from strandline.service.plan.timing import (
    bowls_of,
    clock_of,
    head_clock,
    runs,
    strengths_of,
    waits_of,
)
from strandline.service.plan.working import order_of_work
from strandline.service.practice.bench import Bench, default_bench
from strandline.service.schedule.chair import Wait
from strandline.service.schedule.clock import Clock


@dataclass(frozen=True)
class Made:
    """A plan, the maps its drawings are made from, and what it was computed from.

    Parameters
    ----------
    plan : as it is kept
    foils, ghosts : today's map, and last visit's beneath it
    consultation : with the earlier visit carried into it
    head, bench : as read, and her numbers
    doses : lightener by stretch and bowl
    asked : what lightener is asked for; None where none is planned
    waits : of each bowl in today's foils, as the plan's clock has them
    """

    plan: ServicePlan
    foils: FoilMap | None
    ghosts: FoilMap | None
    consultation: Consultation
    head: HeadReading
    bench: Bench
    doses: tuple[Dose, ...]
    asked: Asked | None
    waits: Mapping[str, Wait]


def make_plan(c: Consultation, day: dt.date, *, earlier: Earlier | None = None) -> Made:
    """Plan one visit.

    Parameters
    ----------
    c : the consultation
    day : day of the visit
    earlier : the last visit's plan and facts, to start from what was really done

    Returns
    -------
    Made   the plan with its maps

    Raises
    ------
    StrandlineError   what is missing or contradicts, with its field
    """
    bench = default_bench().with_own(c.practice)
    ghosts = None
    if earlier is not None:
        c, ghosts = carried(c, earlier, day, bench)
    findings = judge(c, bench, day)
    head = read_head(c)
    technique = choose_technique(c, head, findings, bench)
    placed = place_foils(c, head, technique, bench, ghosts)
    lifted = _lift(c, head, technique, placed, bench)
    toned = gloss_today(c, head, technique, placed, lifted.doses, bench)
    grown = grow_out_part(c, head, technique, placed, lifted.doses, toned, bench)
    interval = _interval(technique, c, grown.planned_passes_week.middle)
    clock = head_clock(lifted.clock, toned.steps, bench, lowlights=technique.kind == "lowlights")
    minutes = (clock.end_min if clock else 0.0) + bench["minutes_consult"]
    visits = visits_needed(technique, c, placed, lifted.stage, bench)
    refused = [*_refused(findings, technique), *toned.refused]
    findings = [*findings, *_hours(c, minutes)]
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
        technique_reasons=list(technique.reasons),
        aim_stage=technique.aim_stage,
        expected_stage=figure(lifted.stage) if lifted.stage else None,
        foil_count=len(placed.foils) if placed else 0,
        foil_range=technique.foils,
        foils=foil_rows(placed.foils, lifted.bowls) if placed else [],
        strengths=lifted.strengths,
        order=order_of_work(technique, placed, toned.steps),
        first_check_min=lifted.first_check if technique.kind == "foils" else None,
        check_every_min=bench["check_every_min"] if technique.kind == "foils" else None,
        bowls=lifted.weighed,
        clock=clock,
        gloss=toned.steps,
        tone_family=toned.family,
        tone_why=toned.why,
        growout=grown,
        interval_weeks=interval,
        interval_range=technique.interval_weeks,
        cautions=[
            _reason(f)
            for f in [*findings, *_cautions(c, technique, lifted)]
            if f.weight == "caution"
        ],
        quote=quote(c, bench, lifted.weighed, toned.steps, minutes, interval),
        next_visit=next_visit(head, technique, placed, interval, visits, day, bench),
        lanes=lanes_kept(c),
        scalp=scalp_of(c),
        evidence=laws(technique, bench),
        defaults=defaults_told(c),
    )
    foils = placed.foils if placed else None
    return Made(
        plan, foils, ghosts, c, head, bench, tuple(lifted.doses), lifted.asked, lifted.waits
    )


@dataclass(frozen=True)
class _Lifted:
    """What lightening plans: strengths, bowls, clock."""

    doses: list[Dose]
    bowls: dict[int, str]
    clock: Clock | None
    strengths: list[Strength]
    weighed: list[Bowl]
    stage: Range | None
    first_check: float
    waits: Mapping[str, Wait]
    asked: Asked | None = None


def _lift(
    c: Consultation,
    head: HeadReading,
    technique: Technique,
    placed: Placed | None,
    bench: Bench,
) -> _Lifted:
    if placed is None or technique.kind not in ("foils", "lowlights"):
        return _Lifted([], {}, None, [], [], None, 0.0, {})
    if technique.kind == "lowlights":
        bowls = {foil.number: "lowlight" for foil in placed.foils}
        waits = {"lowlight": _lowlight_wait(c, head, bench)}
        clock = clock_of(c, placed.foils, bowls, waits, bench)
        return _Lifted([], bowls, clock, [], [], None, waits["lowlight"].first_check_min, waits)
    asked = _asked(c, technique, bench)
    doses = set_strengths(foiled_of(head), asked, bench, shared_draws(LIFT_DRAWS))
    bowls = {
        foil.number: bowl_of(foil, technique, asked.weak_on, bench["weak_foils"])
        for foil in placed.foils
    }
    first_check = _first_check(head, technique, bench)
    waits = waits_of(doses, first_check, asked.label_max_min)
    if "lowlight" in bowls.values():
        waits["lowlight"] = _lowlight_wait(c, head, bench)
    clock = clock_of(c, placed.foils, bowls, waits, bench)
    names = {}
    for index, dose in enumerate(doses):
        names[index] = underlying(min(10.0, max(1.0, dose.stage_when_due.middle)))
    strengths = strengths_of(doses, bowls, first_check, names)
    return _Lifted(
        doses,
        bowls,
        clock,
        strengths,
        _weighed(c, placed, bowls, doses, clock, bench),
        expected_stage(doses),
        first_check,
        waits,
        asked,
    )


def _lowlight_wait(c: Consultation, head: HeadReading, bench: Bench) -> Wait:
    """Give what a lowlight waits for, by the label of the shades it may be made of."""
    label = min(shade.label_min for shade in lowlight_shades(head, on_shelf(c)))
    due = min(bench["lowlight_min"], label)
    return Wait(due, due / 2, label)


def _asked(c: Consultation, technique: Technique, bench: Bench) -> Asked:
    lightener = c.shelf.lightener
    if lightener is None or lightener.label_max_min is None:
        raise OutOfRangeError(
            "Lightener is planned, but the longest time on its label is not given.",
            "Read it off the label and enter shelf.lightener.label_max_min, in minutes; "
            "there is no default.",
            "shelf.lightener.label_max_min",
        )
    weak_on = "none"
    if technique.scale in ("heavy", "soft") and not technique.dark_cover:
        weak_on = "first"
    elif technique.scale == "return":
        weak_on = "hairline"
    return Asked(
        aim_stage=technique.aim_stage,
        dark=technique.dark_cover,
        weak_on=weak_on,
        label_max_min=lightener.label_max_min,
        label_max_vol=lightener.label_max_vol or bench["powder_max_vol"],
        stock_vols=tuple(bottle.vol for bottle in c.shelf.developers if bottle.grams > 0),
    )


def foiled_of(head: HeadReading) -> Foiled:
    """Give the stretches that lie in today's foils."""
    lanes = [
        lane
        for lane in head.lanes["crown"]
        if not any(s.band and s.band.past == "lightened" for s in lane.stretches)
    ] or list(head.lanes["crown"])
    taken = max(lanes, key=lambda lane: lane.share)
    return Foiled(taken.stretches, head.gray_mean, head.level_mean)


def _first_check(head: HeadReading, technique: Technique, bench: Bench) -> float:
    if technique.dark_cover:
        return bench["first_check_dark_min"]
    if head.gray_mean >= WHITE_OR_FINE or head.diameter_um < FINE_UM:
        return bench["first_check_white_fine_min"]
    return bench["first_check_min"]


FINE_UM = 60.0
"""Below this diameter hair counts as fine; common practice, no source."""


def _weighed(
    c: Consultation,
    placed: Placed,
    bowls: dict[int, str],
    doses: Sequence[Dose],
    clock: Clock,
    bench: Bench,
) -> list[Bowl]:
    """Weigh each bowl; a foil of old dark colour takes from two, by the length each covers."""
    lightener = c.shelf.lightener
    ratio = lightener.powder_ratio if lightener else 2.0
    grams: dict[str, float] = {}
    vols = {dose.bowl: dose.mix.target_vol for dose in doses}
    for foil in placed.foils:
        name = bowls[foil.number]
        served = [dose for dose in doses if name in ("strong", dose.bowl)]
        whole = sum(dose.to_cm - dose.from_cm for dose in served)
        for dose in served:
            share = (dose.to_cm - dose.from_cm) / whole
            grams[dose.bowl] = grams.get(dose.bowl, 0.0) + share * foil.lightener_grams
    stocks = tuple(bottle.vol for bottle in c.shelf.developers if bottle.grams > 0)
    mixed = weigh_bowls(grams, vols, stocks, ratio, bench, times_fresh=clock.bowls)
    serves = {
        name: f"foils {runs([n for n, b in bowls.items() if b == name])}"
        for name in set(bowls.values())
    }
    if "strong" in serves:
        foils = serves["strong"]
        serves = {
            "strong": f"{foils}, the old colour, first",
            "main": f"{foils}, next the scalp and the regrowth, later",
        }
    return bowls_of(mixed, serves)


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


def _hours(c: Consultation, minutes: float) -> list[Finding]:
    if minutes <= c.limits.hours * 60:
        return []
    return [
        Finding(
            "note",
            f"The visit takes about {minutes / 60:.1f} h; {c.limits.hours:g} h are given.",
            "Take a helper for the placing, fewer foils, or two days.",
            COMMON_PRACTICE,
            about="limits.hours",
        )
    ]


def _cautions(c: Consultation, technique: Technique, lifted: _Lifted) -> list[Finding]:
    if technique.kind == "none":
        return []
    out = list(for_colour())
    out += [
        Finding(
            "caution",
            f"Cowlick or swirl: {where}.",
            "Turn the partings round it and weave there; a slice would stand up as a stripe.",
            COMMON_PRACTICE,
            "foils",
            "hair.cowlicks",
        )
        for where in c.hair.cowlicks
    ]
    lightener = c.shelf.lightener
    if lifted.doses and lightener and lightener.label_max_min:
        strongest = max(dose.mix.poured_vol for dose in lifted.doses)
        out += for_lightener(lightener.label_max_min, strongest)
    return out


def _reason(f: Finding) -> Reason:
    return Reason(**f.as_json())
