"""What binds a head that cannot be timed: bonds are taken away one at a time, each searched anew.

Nothing here is to be done at the chair: a label is never passed. It is said what stands in the
way.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from strandline.service.schedule.blocks import Band
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.result import Timing
from strandline.service.schedule.value import longest
from strandline.service.schedule.wayout import Solver


@dataclass(frozen=True, slots=True)
class Bond:
    """What binds: 'minutes', 'label', 'strength' or 'harm', and a sentence on it."""

    what: str
    why: str


WHY = {
    "minutes": "Placing and wiping take longer than the window between first and last foil.",
    "label": "The label's longest time ends before the foils are where they should be.",
    "harm": "Her limit of harm ends before the foils are where they should be.",
    "strength": "More strengths would have to be mixed than are allowed in one service.",
}


def bonds(problem: Problem, timing: Timing, solver: Solver) -> tuple[Bond, ...]:
    """Say what binds a head.

    Returns
    -------
    tuple of Bond   of hair that cannot reach its aim even in one foil by itself; else of the bonds
    without which the aims are met, or, where no one of them is enough, that make it better
    """
    alone = tuple(
        dict.fromkeys(
            bond
            for block in problem.blocks
            for band in block.bands
            for stretch in band.stretches
            if (bond := _alone(stretch, problem.wishes.window_min))
        )
    )
    if alone:
        return alone
    found = []
    for what, changed in _relaxed(problem):
        if solver.stop():
            break
        found.append((what, solver.solve(changed).value))
    enough = [what for what, value in found if value.meets]
    better = [what for what, value in found if value[:3] < timing.value[:3]]
    return tuple(Bond(what, WHY[what]) for what in enough or better)


def _alone(band: Band, window_min: float) -> Bond | None:
    """Say why a foil of this hair cannot reach its aim by itself, where it cannot."""
    before = [choice.minutes_to_aim - window_min for choice in band.choices]
    if any(b <= longest(band, c) for b, c in zip(before, band.choices, strict=True)):
        return None
    best = min(before)
    aim = f"{band.name} to stage {band.aim_stage:g}"
    if math.isinf(best):
        top = max(float(np.interp(longest(band, c), c.minutes, c.middle)) for c in band.choices)
        return Bond(
            "strength",
            f"No strength that may be used brings {aim}; {top:.1f} is as far as it comes.",
        )
    if best <= band.label_min:
        return Bond("harm", f"Her limit of harm, {band.harm_max:g} min at 6 %, ends before {aim}.")
    return Bond(
        "label",
        f"The label's {band.label_min:g} min end before {aim}; that takes {best:.0f} min or more.",
    )


def _relaxed(problem: Problem) -> list[tuple[str, Problem]]:
    """Give the problem with one bond away, those it has."""
    bands = [s for block in problem.blocks for band in block.bands for s in band.stretches]
    out = [("minutes", _at_once(problem)), ("label", _changed(problem, _label_off))]
    if any(math.isfinite(band.harm_max) for band in bands):
        out.append(("harm", _changed(problem, _harm_off)))
    if problem.most_strengths < len(problem.vols):
        out.append(("strength", replace(problem, most_strengths=problem.most_strengths + 1)))
    return out


def _at_once(problem: Problem) -> Problem:
    """Give the head placed and wiped in no time."""
    hands = replace(problem.hands, bowl=0, section=0, wipe=0, second=0)
    blocks = tuple(
        replace(block, foils=tuple(replace(foil, seconds=0.0) for foil in block.foils))
        for block in problem.blocks
    )
    return replace(problem, hands=hands, blocks=blocks)


def _changed(problem: Problem, change: Callable[[Band], Band]) -> Problem:
    known: dict[int, Band] = {}
    for block in problem.blocks:
        for band in block.bands:
            if id(band) not in known:
                also = tuple(change(other) for other in band.together)
                known[id(band)] = replace(change(band), together=also)
    blocks = tuple(
        replace(block, bands=tuple(known[id(band)] for band in block.bands))
        for block in problem.blocks
    )
    return replace(problem, blocks=blocks)


def _label_off(band: Band) -> Band:
    return replace(band, label_min=float(min(c.minutes[-1] for c in band.choices)))


def _harm_off(band: Band) -> Band:
    return replace(band, harm_max=math.inf)
