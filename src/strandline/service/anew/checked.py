"""What the checks of a visit teach, and the clocks of its foils under it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.facts.visit import PlacedFoil, Visit
from strandline.science.chemistry.lift import tau
from strandline.service.formulate.lightening import progress_to
from strandline.service.formulate.strengths import NO_MORE, Dose
from strandline.service.learning.belief import Belief, eta_of
from strandline.service.learning.check import Override, updated
from strandline.service.learning.due import due_times
from strandline.service.learning.observation import Check
from strandline.service.learning.starting import known_of, row_of

Floats = NDArray[np.float64]

FIRST_SEEN_MIN = 3.0
"""A check sooner after a foil's start says nothing; from memory."""


@dataclass(frozen=True, slots=True)
class Awaited:
    """Minutes from a foil's own start to its aim, as believed now.

    Parameters
    ----------
    low, middle, high : min; infinite at a stall
    out : when it comes out, never past the label
    """

    low: float
    middle: float
    high: float
    out: float


def learned(
    visit: Visit, doses: Sequence[Dose], bowls: dict[int, str], before: Belief, label_min: float
) -> tuple[Belief | Override, int]:
    """Learn from the checks of a visit.

    Parameters
    ----------
    visit : its facts, folded
    doses : lightener by stretch and bowl, as planned
    bowls : of each planned foil
    before : what was believed when it began
    label_min : the label's longest time

    Returns
    -------
    (belief, or what overrides it; checks that were understood)
    """
    foils = {foil.number: foil for foil in visit.foils}
    checks = []
    for seen in visit.checks:
        foil = _foil_of(seen.foil, seen.section, foils)
        if foil is None or seen.minutes is None or not seen.minutes > FIRST_SEEN_MIN:
            continue
        dose = dose_of(seen.band, bowl_of(foil, bowls), doses)
        if dose is None:
            continue
        checks.append(
            Check(
                foil=foil.number,
                minutes=min(seen.minutes, 2 * label_min),
                stage=seen.stage,
                sureness=seen.sureness,
                row=_row(dose),
                gained=dose.lift.gained,
                stages=dose.lift.stages,
                dried=seen.dried,
                known=_known(dose),
            )
        )
    felt = [feeling.what for feeling in visit.feelings if feeling.rinsed is None]
    return updated(before, checks, felt), len(checks)


def awaited(belief: Belief, bowl: str, doses: Sequence[Dose], label_min: float) -> Awaited:
    """Give the clock of a bowl's foils: of the stretch that takes longest, its delay included."""
    served = [dose for dose in doses if bowl in ("strong", dose.bowl)] or list(doses)
    found = [_awaited(belief, dose, label_min) for dose in served]
    return max(found, key=lambda one: one.out)


def _awaited(belief: Belief, dose: Dose, label_min: float) -> Awaited:
    row, known = _row(dose)[None], _known(dose)
    longest = label_min - dose.after_min
    aim = progress_to(dose.aim_stage, dose.lift.gained, dose.lift.stages)
    due = due_times(belief, row, aim, longest, known=known)
    low, middle, high = (float(one[0]) for one in (due.low, due.middle, due.high))
    out = middle
    if not middle < longest:  # it comes no farther than the label lets it
        eta = float(eta_of(belief, row, known=known)[0][0])
        gained = math.exp(eta) * float(tau(longest))
        last = float(np.interp(gained, dose.lift.gained, dose.lift.stages)) - NO_MORE
        less = progress_to(last, dose.lift.gained, dose.lift.stages)
        out = float(due_times(belief, row, less, longest, known=known).middle[0])
    wait = dose.after_min
    return Awaited(low + wait, middle + wait, high + wait, min(out + wait, label_min))


def dose_of(band: str | None, bowl: str, doses: Sequence[Dose]) -> Dose | None:
    """Give the stretch that a check was made on: the one named, else the longest of the bowl."""
    served = [dose for dose in doses if bowl in ("strong", dose.bowl)]
    if not served:
        return None
    if band:
        words = band.lower()
        named = [
            dose for dose in served if ("regrowth" in words) == dose.band.startswith("regrowth")
        ]
        served = named or served
    return max(served, key=lambda dose: dose.to_cm - dose.from_cm)


def bowl_of(foil: PlacedFoil, bowls: dict[int, str]) -> str:
    """Give the bowl a foil was filled from: as recorded, else as planned."""
    recorded = (foil.bowl or "").strip().lower()
    return recorded if recorded in set(bowls.values()) else bowls.get(foil.number, "main")


def _foil_of(
    number: int | None, section: str | None, foils: dict[int, PlacedFoil]
) -> PlacedFoil | None:
    if number is not None:
        return foils.get(number)
    of_section = [foil for foil in foils.values() if foil.section == section]
    return min(of_section, key=lambda foil: foil.number, default=None)


def _row(dose: Dose) -> Floats:
    return row_of(
        old_colour=dose.ground.old_colour,
        first_cm=dose.ground.first_cm,
        stacked=False,
        developer_vol=dose.mix.poured_vol,
    )


def _known(dose: Dose) -> float:
    return known_of(old_colour=dose.ground.old_colour, gray_under=dose.ground.gray_under)
