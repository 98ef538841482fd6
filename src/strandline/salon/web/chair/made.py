"""From a plan as it was made to what the chair runs from."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from strandline.salon.report.colours import hex_of, shown_stage
from strandline.salon.report.foil_words import lines_of
from strandline.salon.report.worksheet_words import LOWLIGHTS, bowl_words
from strandline.salon.web.chair.model import (
    ChairBack,
    ChairBelief,
    ChairBowl,
    ChairCaution,
    ChairGloss,
    ChairGround,
    ChairHair,
    ChairMiss,
    ChairPlan,
    ChairSection,
    ChairStage,
    ChairWait,
    Later,
    Stretch,
)
from strandline.salon.web.words import Manner
from strandline.service.anew.checked import FIRST_SEEN_MIN
from strandline.service.formulate.misses import misses
from strandline.service.formulate.strengths import NO_MORE
from strandline.service.learning.device import device_numbers

if TYPE_CHECKING:
    from strandline.service.formulate.misses import Miss
    from strandline.service.formulate.strengths import Dose
    from strandline.service.plan.assemble import Made
    from strandline.service.plan.gloss_parts import GlossStep
    from strandline.service.plan.model import Bowl, ServicePlan
    from strandline.service.schedule.chair import Group

STAGES = tuple(half / 2 for half in range(6, 22))
"""What a check may say, 3-10.5 by halves."""


def chair_plan(made: Made, manner: Manner) -> ChairPlan:
    """Give what the chair runs from.

    Parameters
    ----------
    made : the plan that is followed, with what it was computed from; one at 'stop' has no section
    manner : how its weights and lengths are written
    """
    plan, work = made.plan, made.work
    stopped = plan.verdict == "stop"
    groups = [] if work is None or stopped else work.clock.groups
    return ChairPlan(
        client=plan.client,
        date=plan.date.isoformat(),
        technique=plan.technique_words,
        label_min=made.asked.label_max_min if made.asked else None,
        aim_stage=plan.aim_stage,
        sections=[_section(group, made, manner) for group in groups],
        bowls=[] if stopped else [_bowl(bowl, manner) for bowl in plan.bowls],
        waits={
            name: ChairWait(
                due_min=wait.due_min,
                out_min=wait.out_min,
                first_check_min=wait.first_check_min,
                longest_min=wait.longest_min,
            )
            for name, wait in made.waits.items()
        },
        stretches=[_stretch(dose) for dose in made.doses],
        belief=ChairBelief(mean=made.believed.mean.tolist(), cov=made.believed.cov.tolist()),
        numbers=device_numbers(),
        check_every_min=plan.check_every_min or 0.0,
        first_seen_min=FIRST_SEEN_MIN,
        no_more=NO_MORE,
        stages=[_stage(stage) for stage in STAGES],
        gloss=[] if stopped else [_gloss(s, manner) for s in plan.gloss if s.place != LOWLIGHTS],
        misses=[] if stopped else [_miss(one, plan) for one in misses().values()],
        cautions=[ChairCaution(what=c.what, do=c.do, step=c.step) for c in plan.cautions],
        order=[] if stopped else plan.order,
        last_foil=max((foil.number for foil in plan.foils), default=0),
        minutes=plan.quote.minutes,
    )


def chair_json(made: Made, manner: Manner = Manner()) -> str:  # noqa: B008  # frozen
    """Give it as it is sent, a name in every place; no number is rounded."""
    return json.dumps(chair_plan(made, manner).model_dump(), separators=(",", ":"), allow_nan=False)


def _section(group: Group, made: Made, manner: Manner) -> ChairSection:
    inside = [foil for foil in made.foils or () if group.first <= foil.number <= group.last]
    pace = {foil.number: foil.place_min for foil in made.plan.foils}
    lines = [
        f"{line.numbers}: {line.words}, {manner.thickness(line.thickness_mm)} thick"
        if line.numbers
        else line.words
        for line in lines_of(inside)
    ]
    later = [
        Later(band=dose.band, bowl=dose.bowl, after_min=dose.after_min)
        for dose in made.doses
        if dose.after_min > 0 and group.bowl in ("strong", dose.bowl)
    ]
    names = {"strong": "strong and main bowl", "lowlight": "lowlight colour"}
    return ChairSection(
        section=group.section,
        first=group.first,
        last=group.last,
        bowl=group.bowl,
        bowl_words=names.get(group.bowl, f"{group.bowl} bowl"),
        lines=lines,
        start_min=group.start,
        out_how=group.how,
        pace_min=[pace[foil.number] for foil in inside],
        later=later,
    )


def _stretch(dose: Dose) -> Stretch:
    ground = dose.ground
    return Stretch(
        bowl=dose.bowl,
        band=dose.band,
        length_cm=dose.to_cm - dose.from_cm,
        after_min=dose.after_min,
        aim_stage=dose.aim_stage,
        hair=ChairHair(
            old_colour=ground.old_colour,
            first_cm=ground.first_cm,
            stacked=False,
            developer_vol=dose.mix.poured_vol,
            gray_under=ground.gray_under,
        ),
        ground=ChairGround(gained=dose.lift.gained.tolist(), stages=dose.lift.stages.tolist()),
    )


def _stage(stage: float) -> ChairStage:
    name, colour = shown_stage(stage)
    return ChairStage(stage=stage, name=name, colour=colour)


def _bowl(bowl: Bowl, manner: Manner) -> ChairBowl:
    said = bowl_words(bowl)
    poured = [f"{manner.grams(one.grams)} {one.vol:g} vol" for one in bowl.poured]
    powder = f"{manner.grams(bowl.powder_grams)} powder"
    return ChairBowl(
        name=bowl.name,
        what=said["what"],
        count=bowl.count,
        grams=[*poured, powder] if bowl.powder_grams else poured,
        developer_vol=bowl.developer_vol,
        developer_grams=bowl.developer_grams,
        powder_grams=bowl.powder_grams,
        serves=said["serves"],
    )


def _gloss(step: GlossStep, manner: Manner) -> ChairGloss:
    mixed = [part for part in step.parts if part.grams]
    grams = [f"{manner.grams(part.grams)} {part.shade}" for part in mixed]
    developer = f"{manner.grams(step.developer_grams)} developer {step.developer_vol:g} vol"
    return ChairGloss(
        place=step.place,
        recipe=", ".join([*grams, developer])[:200] if mixed else step.kind,
        grams=[*grams, developer] if mixed else ["from the same bowl"],
        first_look_min=step.first_look_min,
        minutes_low=step.minutes_low,
        minutes_high=step.minutes_high,
        alone_min=step.alone_min,
        colour=hex_of(step.lab),
        why=step.why,
        miss=step.miss,
    )


def _miss(miss: Miss, plan: ServicePlan) -> ChairMiss:
    """Give a miss with the plan's steps back; hair is lightened again only where the plan goes."""
    told = [one for one in plan.gloss_misses if one.seen == miss.said]
    return ChairMiss(
        said=miss.said,
        also=list(miss.also),
        words=list(miss.words),
        turned="past" if any(took > 1 for _, took, _ in miss.took) else "there",
        back={
            one.place: [
                ChairBack(name=s.name, what=s.what, away_de00=s.delta_e00, gate=s.gate)
                for s in one.steps[1:]
                if s.name != "lighten again" or plan.verdict == "go"
            ]
            for one in told
        },
    )
