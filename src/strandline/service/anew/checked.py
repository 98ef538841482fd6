"""What the checks of a visit teach, and the clocks of its foils under it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.facts.visit import PlacedFoil, Visit
from strandline.science.chemistry.lift import LONGEST_MIN, tau
from strandline.service.formulate.lightening import progress_to
from strandline.service.formulate.strengths import NO_MORE, Dose
from strandline.service.learning.belief import Belief, eta_of
from strandline.service.learning.check import Override, updated
from strandline.service.learning.due import due_times
from strandline.service.learning.observation import Check
from strandline.service.learning.starting import known_of, row_of
from strandline.service.schedule.chair import Wait

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
    visit: Visit,
    doses: Sequence[Dose],
    bowl: Callable[[PlacedFoil], str],
    poured: Mapping[str, float],
    before: Belief,
) -> tuple[Belief, list[bool]]:
    """Learn from the checks of a visit.

    Parameters
    ----------
    visit : its facts, folded
    doses : lightener by stretch and bowl, as planned
    bowl : gives the bowl a foil was filled from
    poured : strength of each bowl as it was mixed, vol
    before : what was believed when it began

    Returns
    -------
    (belief; whether each check of the visit taught, in their order)
    """
    checks, taught = checks_of(visit, doses, bowl, poured)
    believed = updated(before, checks)
    return (before if isinstance(believed, Override) else believed), taught


def checks_of(
    visit: Visit,
    doses: Sequence[Dose],
    bowl: Callable[[PlacedFoil], str],
    poured: Mapping[str, float],
) -> tuple[list[Check], list[bool]]:
    """Give the checks of a visit that teach, and whether each of its checks does.

    Parameters
    ----------
    visit, doses, bowl, poured : as `learned`
    """
    foils = {foil.number: foil for foil in visit.foils}
    checks, taught = [], []
    for seen in visit.checks:
        foil = _foil_of(seen.foil, seen.section, foils)
        dose = None
        if foil is not None and FIRST_SEEN_MIN < (seen.minutes or 0.0) <= LONGEST_MIN:
            dose = dose_of(seen.band, bowl(foil), doses)
        taught.append(dose is not None)
        if foil is None or dose is None or seen.minutes is None:
            continue
        checks.append(
            check_on(
                dose,
                recorded(foil, dose, poured),
                foil=foil.number,
                minutes=seen.minutes,
                stage=seen.stage,
                sureness=seen.sureness,
                dried=seen.dried,
            )
        )
    return checks, taught


def recorded(foil: PlacedFoil, dose: Dose, poured: Mapping[str, float]) -> Mapping[str, float]:
    """Give the strengths as mixed, with the bowl the foil was filled from for its stretch's own.

    A bowl that was recorded and mixed tells what was in the foil, whatever the plan called it. A
    foil of dark old colour takes two bowls, and one name says nothing of the other.
    """
    name = (foil.bowl or "").strip().lower()
    if name not in poured or name == "strong":
        return poured
    return {**poured, dose.bowl: poured[name]}


def check_on(
    dose: Dose,
    poured: Mapping[str, float],
    *,
    foil: int,
    minutes: float,
    stage: float,
    sureness: str,
    dried: bool | None = None,
    rinsed: bool = False,
) -> Check:
    """Give a check of a stretch as learning reads it; parameters as `Check`."""
    return Check(
        foil=foil,
        minutes=minutes,
        stage=stage,
        sureness=sureness,
        row=_row(dose, poured),
        gained=dose.lift.gained,
        stages=dose.lift.stages,
        dried=dried,
        rinsed=rinsed,
        known=_known(dose),
    )


def awaited(
    belief: Belief, bowl: str, doses: Sequence[Dose], poured: Mapping[str, float], wait: Wait
) -> Awaited:
    """Give the clock of a bowl's foils: of the stretch that takes longest, its delay included.

    A bowl without lightener waits for what its plan says.
    """
    served = [dose for dose in doses if bowl in ("strong", dose.bowl)]
    if not served:
        return Awaited(wait.due_min, wait.due_min, wait.due_min, wait.out_min)
    found = [_awaited(belief, dose, poured, wait.longest_min) for dose in served]
    return max(found, key=lambda one: one.out)


def _awaited(belief: Belief, dose: Dose, poured: Mapping[str, float], label_min: float) -> Awaited:
    row, known = _row(dose, poured)[None], _known(dose)
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


def bowl_of(foil: PlacedFoil, bowls: Mapping[int, str], waits: Mapping[str, Wait]) -> str:
    """Give the bowl a foil was filled from: as recorded, else as planned, else the last of them."""
    recorded = (foil.bowl or "").strip().lower()
    known = (recorded, bowls.get(foil.number, ""), "main", *reversed(list(waits)))
    return next(name for name in known if name in waits)


def _foil_of(
    number: int | None, section: str | None, foils: dict[int, PlacedFoil]
) -> PlacedFoil | None:
    if number is not None:
        return foils.get(number)
    of_section = [foil for foil in foils.values() if foil.section == section]
    return min(of_section, key=lambda foil: foil.number, default=None)


def _row(dose: Dose, poured: Mapping[str, float]) -> Floats:
    return row_of(
        old_colour=dose.ground.old_colour,
        first_cm=dose.ground.first_cm,
        stacked=False,
        developer_vol=poured.get(dose.bowl, dose.mix.poured_vol),
    )


def _known(dose: Dose) -> float:
    return known_of(old_colour=dose.ground.old_colour, gray_under=dose.ground.gray_under)
