"""Bowls, strengths and clocks put together: who waits for what, and until when."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from strandline.service.consultation.model import Consultation
from strandline.service.formulate.bowls import MixedBowl
from strandline.service.formulate.strengths import Dose
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.model import Bowl, ClockGroup, ClockOfHead, Poured, Strength
from strandline.service.plan.parts import figure
from strandline.service.practice.bench import Bench
from strandline.service.schedule.chair import Wait
from strandline.service.schedule.clock import Clock, Placing, set_clock

LAW = "each foil its own clock at her pace; out when due, never past the label"


def clock_of(
    c: Consultation,
    foils: FoilMap,
    bowls: Mapping[int, str],
    waits: Mapping[str, Wait],
    bench: Bench,
) -> Clock:
    """Set the clock of today's map."""
    placings = [Placing(foil.number, foil.kind, foil.section, bowls[foil.number]) for foil in foils]
    return set_clock(placings, waits, bench, helper=c.limits.helper)


def waits_of(doses: Sequence[Dose], first_check: float, label_max_min: float) -> dict[str, Wait]:
    """Give each bowl's wait: of the stretch that takes longest, its own delay included.

    Foils of old dark colour are filled 'strong' first and 'main' later: their wait is the
    longer of the two.
    """
    out: dict[str, Wait] = {}
    for dose in doses:
        until = dose.after_min + dose.due_min
        known = out.get(dose.bowl)
        if known is None or until > known.due_min:
            out[dose.bowl] = Wait(until, first_check, label_max_min)
    if "strong" in out:
        longest = max(wait.due_min for wait in out.values())
        out["strong"] = Wait(longest, first_check, label_max_min, twice=True)
    return out


def strengths_of(
    doses: Sequence[Dose],
    bowls: Mapping[int, str],
    first_check: float,
    underlying: Mapping[int, tuple[str, str]],
) -> list[Strength]:
    """Write the strengths down with the foils each serves."""
    out = []
    for index, dose in enumerate(doses):
        served = "strong" if "strong" in bowls.values() else dose.bowl
        numbers = [number for number, bowl in bowls.items() if bowl == served]
        if not numbers:
            continue
        name, neutraliser = underlying[index]
        out.append(
            Strength(
                bowl=dose.bowl,
                band=dose.band,
                from_cm=round(dose.from_cm, 1),
                to_cm=round(dose.to_cm, 1),
                foils=runs(numbers),
                target_vol=dose.mix.target_vol,
                poured_vol=dose.mix.poured_vol,
                poured=[
                    Poured(vol=p.vol, parts=p.parts, grams=round(p.grams, 1))
                    for p in dose.mix.poured
                ],
                after_min=dose.after_min,
                aim_stage=dose.aim_stage,
                minutes_to_aim=figure(dose.minutes_to_aim, 0),
                due_min=round(dose.due_min),
                stage_when_due=figure(dose.stage_when_due),
                chance_before_label=round(dose.chance, 2),
                cystine_oxidised=figure(dose.oxidised, 0),
                underlying=name,
                neutraliser=neutraliser,
                first_check_min=first_check,
                why=dose.why,
            )
        )
    return out


def runs(numbers: Sequence[int]) -> str:
    """Write numbers as runs: '1-24, 30'."""
    out: list[list[int]] = []
    for number in sorted(numbers):
        if out and number == out[-1][1] + 1:
            out[-1][1] = number
        else:
            out.append([number, number])
    return ", ".join(f"{a}-{z}" if a != z else f"{a}" for a, z in out)


def bowls_of(mixed: Sequence[MixedBowl], serves: Mapping[str, str]) -> list[Bowl]:
    """Write the bowls down."""
    first = serves.get("weak", "").startswith("foils 1-") and "," not in serves["weak"]
    weak = "weak first bowl" if first else "weak bowl"
    names = {"weak": weak, "main": "main bowl", "strong": "bowl for the old colour"}
    return [
        Bowl(
            name=bowl.name,
            what=names[bowl.name],
            count=bowl.count,
            developer_vol=bowl.mix.poured_vol,
            poured=[
                Poured(vol=p.vol, parts=p.parts, grams=round(p.grams, 1)) for p in bowl.mix.poured
            ],
            developer_grams=round(sum(p.grams for p in bowl.mix.poured), 1),
            powder_grams=round(bowl.mix.powder_grams or 0.0, 1),
            total_grams=round(
                sum(p.grams for p in bowl.mix.poured) + (bowl.mix.powder_grams or 0.0), 1
            ),
            bowl_percent=round(bowl.mix.bowl_percent or 0.0, 1),
            serves=serves.get(bowl.name, ""),
        )
        for bowl in mixed
    ]


def head_clock(
    clock: Clock | None, gloss: Sequence[GlossStep], bench: Bench, *, lowlights: bool
) -> ClockOfHead | None:
    """Lay out the whole visit in minutes from the first parting."""
    steps: list[tuple[str, float]] = []
    now = 0.0
    groups: list[ClockGroup] = []
    if clock is not None:
        now = clock.rinse
        steps.append(("all foils placed", round(clock.placed)))
        steps.append(("rinse", round(now)))
        groups = [
            ClockGroup(
                foils=group.foils,
                section=group.section,
                bowl=group.bowl,
                start_min=math.floor(group.start),
                placed_min=math.floor(group.end),
                first_check_min=math.floor(group.first_check),
                due_min=math.floor(group.due),
                latest_min=math.floor(group.latest),
                out_min=math.floor(group.out),
                how=group.how,
            )
            for group in clock.groups
        ]
        now += bench["minutes_rinse"]
    for step in gloss:
        if step.place == "lowlights":
            continue
        steps.append((step.place, round(now)))
        now += step.alone_min
    if any(step.place != "lowlights" for step in gloss):
        steps.append(("rinse the gloss", round(now)))
        now += bench["minutes_rinse"]
    if not steps:
        return None
    steps.append(("dry and look", round(now)))
    now += bench["minutes_finish"]
    return ClockOfHead(
        groups=groups,
        placed_min=round(clock.placed) if clock else 0,
        rinse_min=round(clock.rinse) if clock else 0,
        end_min=round(now),
        steps=steps,
        notes=list(clock.notes) if clock else [],
        law="processing time of the lowlight demi" if lowlights else LAW,
    )
