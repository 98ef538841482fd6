"""A choice measured as a plan would be, without assembling the whole of one."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from strandline.service.choose.kinds import Pick
from strandline.service.choose.tables import Weighed
from strandline.service.choose.weights import Limits
from strandline.service.plan.assemble import Made
from strandline.service.plan.choices import Choices, bowls_of_zones, rows_of
from strandline.service.plan.lifting import lift_today
from strandline.service.plan.money import quote
from strandline.service.plan.placing import place_foils
from strandline.service.plan.timing import head_clock

TRIES = 7
"""Times that a choice is made anew because the clock said otherwise than the table."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What a choice takes by the clock and the bowls: minutes of the whole visit, and its price."""

    minutes: float
    money: float | None


@dataclass(frozen=True, slots=True)
class Rest:
    """What a visit takes beside its foils, so that table and clock agree."""

    minutes: float
    money: float


@dataclass(frozen=True)
class Whole:
    """A choice, what it takes by the clock, and the rest by which table and clock agree on it."""

    pick: Pick
    taken: Measured
    rest: Rest


def measure(made: Made, chosen: Mapping[str, Weighed]) -> Measured:
    """Set the clock of a choice and weigh its bowls.

    Parameters
    ----------
    made : the plan by her rules, whose glosses are taken
    chosen : by zone name
    """
    c, head, bench, technique = made.consultation, made.head, made.bench, made.technique
    placed = lifted = None
    if any(one.foils for one in chosen.values()):
        placed = place_foils(c, head, technique, bench, made.under, None, rows_of(chosen))
        lifted = lift_today(
            c, head, technique, placed, bench, made.drawn, bowls=bowls_of_zones(chosen)
        )
    clock = head_clock(
        lifted.clock if lifted else None,
        made.toned.steps,
        bench,
        lowlights=technique.kind == "lowlights",
    )
    minutes = (clock.end_min if clock else 0.0) + bench["minutes_consult"]
    price = quote(c, bench, lifted.weighed if lifted else [], made.toned.steps, minutes, 0.0)
    return Measured(minutes, price.floor)


def rest_of(measured: Measured, chosen: Mapping[str, Weighed]) -> Rest:
    """Give what a visit takes beside what the table counts."""
    return Rest(
        measured.minutes - sum(one.minutes for one in chosen.values()),
        (measured.money or 0.0) - sum(one.money for one in chosen.values()),
    )


def left_for(limits: Limits, rest: Rest) -> Limits:
    """Take off the limits of a visit what it takes beside its foils."""
    return replace(limits, minutes=limits.minutes - rest.minutes, money=limits.money - rest.money)


def chosen_by_clock(
    made: Made,
    choices: Choices,
    rest: Rest,
    choose: Callable[[Limits], Pick | None],
) -> Whole | None:
    """Choose so that the clock and the price keep the limits, not the table alone.

    Parameters
    ----------
    rest : a first guess
    choose : under limits that the rest is taken off

    Returns
    -------
    Whole, or None where nothing keeps the limits
    """
    limits = choices.limits
    found: Whole | None = None
    low, high = -math.inf, math.inf  # minutes taken off: too few for the clock, and enough
    for _ in range(TRIES):
        left = left_for(limits, rest)
        pick = choose(left)
        own = None
        if pick is None:
            high = rest.minutes
        else:
            taken = measure(made, pick.chosen)
            own = rest_of(taken, pick.chosen)
            if keeps(limits, taken):
                if found is None or pick.sums.seen > found.pick.sums.seen:
                    found = Whole(pick, taken, own)
                high = rest.minutes
                if _free(left, pick):
                    break
            else:
                low = max(low, rest.minutes)
                rest = replace(rest, money=max(rest.money, own.money))
        if high - low < NEAR_MIN:
            break
        wanted = low if own is None else own.minutes
        inside = low + NEAR_MIN / 2 < wanted < high - NEAR_MIN / 2
        rest = replace(rest, minutes=wanted if inside else _between(low, high))
    return found


NEAR_MIN = 2.0
"""Minutes nearer than this are alike to a clock that counts whole ones."""
FIRST_STEP_MIN = 15.0


def _between(low: float, high: float) -> float:
    """Give a place between two, or a step from the one that is known."""
    if math.isinf(low):
        return high - FIRST_STEP_MIN
    return low + FIRST_STEP_MIN if math.isinf(high) else (low + high) / 2


def _free(left: Limits, pick: Pick) -> bool:
    """Say whether neither time nor money is what limits a choice, by far."""
    return (
        pick.sums.minutes < left.minutes - FIRST_STEP_MIN
        and pick.sums.money < left.money - FREE_SHARE * pick.sums.money
    )


FREE_SHARE = 0.1


def keeps(limits: Limits, taken: Measured) -> bool:
    """Say whether a visit keeps minutes and money."""
    return taken.minutes <= limits.minutes and not _over(limits.money, taken.money)


def _over(most: float, money: float | None) -> bool:
    return math.isfinite(most) and money is not None and money > most
