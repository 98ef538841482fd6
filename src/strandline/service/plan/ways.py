"""A few plans of one visit that differ in kind, each assembled whole. Assembly only.

The choice is made on a table; every figure that is told comes from the whole plan.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

from strandline.base.errors import StoppedError
from strandline.service.choose.kinds import Pick, lesser, thorough
from strandline.service.choose.technique import Scale, Technique, technique_of
from strandline.service.choose.weights import Limits
from strandline.service.choose.wish import constants
from strandline.service.consultation.model import Consultation
from strandline.service.learning.pooled import Pooled
from strandline.service.plan.assemble import Made, make_plan
from strandline.service.plan.choices import Choices, bowls_of_zones, choices_of, rows_of
from strandline.service.plan.chosen import Chosen
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.ways_model import Ways
from strandline.service.plan.ways_told import told
from strandline.service.plan.weighing_up import Rest, Whole, chosen_by_clock, measure, rest_of
from strandline.service.schedule.search import Progress, Stop, never, unheard


@dataclass(frozen=True)
class ManyMade:
    """The ways, and the whole plan behind each by its name; first the one by her rules."""

    ways: Ways
    stands: Made
    made: dict[str, Made]


def make_ways(
    c: Consultation,
    day: dt.date,
    *,
    earlier: Earlier | None = None,
    pooled: Pooled | None = None,
    stop: Stop = never,
    progress: Progress = unheard,
) -> ManyMade:
    """Plan one visit in a few ways that differ in kind.

    Parameters
    ----------
    c, day, earlier, pooled : as `make_plan`
    stop : asked as the work goes; True ends it
    progress : told the share that is done [0-1]

    Returns
    -------
    ManyMade   at most four ways, from the one that spares most to the one that meets most

    Raises
    ------
    StoppedError     it was told to stop
    StrandlineError  as `make_plan`
    """
    again = partial(make_plan, c, day, earlier=earlier, pooled=pooled)
    stands = again()
    progress(0.2)
    if stands.technique.kind == "none":
        return ManyMade(told(stands, None, [], {}, None), stands, {})
    choices = choices_of(stands) if stands.technique.kind in ("foils", "lowlights") else None
    progress(0.3)
    most = most_of(stands, choices, stop) if choices is not None else None
    wholes = kinds(stands, choices, most, stop) if choices is not None and most else []
    progress(0.5)
    made = {"gloss alone": again(chosen=_gloss(stands))}
    for number, whole in enumerate(wholes, 1):
        _go_on(stop)
        made[whole.pick.name] = again(chosen=_chosen(stands, whole.pick))
        progress(0.5 + 0.4 * number / len(wholes))
    _go_on(stop)
    ways = told(stands, choices, wholes, made, most)
    progress(1.0)
    return ManyMade(ways, stands, {way.name: made[way.name] for way in ways.ways})


def most_of(stands: Made, choices: Choices, stop: Stop) -> Whole | None:
    """Choose as much of the wish as one visit can meet, whatever it takes."""
    pick = thorough(choices.table, Limits(), choices.wished.soft_weighs, stop)
    if pick is None:
        return None
    taken = measure(stands, pick.chosen)
    return Whole(pick, taken, rest_of(taken, pick.chosen))


def kinds(stands: Made, choices: Choices, most: Whole, stop: Stop) -> list[Whole]:
    """Choose the kinds with foils that the limits hold, the one that spares most first."""
    weighs = choices.wished.soft_weighs
    best = _by_clock(stands, choices, most.rest, partial(_thorough, choices, weighs, stop))
    if best is None or not best.pick.sums.foils:
        return []
    out = [best]
    for name in ("balanced", "gentle"):
        choose = partial(_lesser, name, choices, weighs, best.pick, stop)
        found = _by_clock(stands, choices, best.rest, choose)
        if found and found.pick.sums.foils and not any(alike(found, one) for one in out):
            out.append(found)
    return out[::-1]


def _thorough(choices: Choices, weighs: float, stop: Stop, limits: Limits) -> Pick | None:
    return thorough(choices.table, limits, weighs, stop)


def _lesser(
    name: Literal["balanced", "gentle"],
    choices: Choices,
    weighs: float,
    best: Pick,
    stop: Stop,
    limits: Limits,
) -> Pick | None:
    return lesser(name, choices.table, limits, best, weighs, stop)


def _by_clock(
    stands: Made, choices: Choices, rest: Rest, choose: Callable[[Limits], Pick | None]
) -> Whole | None:
    return chosen_by_clock(stands, choices, rest, choose)


def alike(one: Whole, other: Whole) -> bool:
    """Say whether two choices come to so much the same that they are one kind."""
    pairs = (
        (one.taken.minutes, other.taken.minutes),
        (one.pick.sums.foils, other.pick.sums.foils),
        (one.pick.sums.met, other.pick.sums.met),
    )
    off = sum(abs(a - b) / max(a, b, 1e-9) for a, b in pairs) / len(pairs)
    return off <= constants()["alike_share"].value


def _go_on(stop: Stop) -> None:
    if stop():
        raise StoppedError("The plans were stopped.", "Start them again when there is time.")


def _gloss(stands: Made) -> Chosen:
    """Give tone alone, on any head that may be coloured."""
    if stands.technique.kind == "gloss":
        return Chosen(stands.technique)
    why = "Chosen among several: tone and shine, and no hair is lightened or darkened in foils."
    return Chosen(_of("gloss", stands, why))


def _chosen(stands: Made, pick: Pick) -> Chosen:
    """Turn a choice into what a plan takes, under the trade's name for so many foils."""
    technique = stands.technique
    if technique.scale not in ("return", "lowlights"):
        technique = _of(_scale(pick.sums.foils, stands), stands, WHY[pick.name])
    else:
        technique = replace(technique, reasons=(WHY[pick.name],))
    return Chosen(technique, rows_of(pick.chosen), bowls_of_zones(pick.chosen))


WHY = {
    "gentle": "Chosen among several: the least harm for a change that is seen.",
    "balanced": "Chosen among several: most of the wish for the least time and money.",
    "thorough": "Chosen among several: as much of the wish as this visit holds.",
}


def _of(scale: Scale, stands: Made, why: str) -> Technique:
    """Give a kind of service that returns as her rules have it, so that years compare alike."""
    c, head, bench = stands.consultation, stands.head, stands.bench
    technique = technique_of(scale, c, head, bench, (why,))
    if technique.kind != "foils":
        return technique
    return replace(technique, interval_weeks=stands.technique.interval_weeks)


def _scale(foils: int, stands: Made) -> Scale:
    """Give the kind of service whose usual number of foils is nearest."""
    scales: tuple[Scale, ...] = ("partial", "soft", "heavy")

    def off(scale: Scale) -> float:
        low, high = _of(scale, stands, "").foils
        return max(low - foils, foils - high, 0)

    return min(scales, key=off)
