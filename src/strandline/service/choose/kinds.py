"""Plans that differ in kind: what each is after, found one after another over the same table.

Thorough: as much of the wish as the limits hold. Balanced: most of that for the least time or
money. Gentle: half of that, from the weak bowl alone, for the least harm. So a reader can tell them
apart.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from strandline.service.choose.problem import Bound
from strandline.service.choose.solve import Found, best
from strandline.service.choose.tables import Weighed
from strandline.service.choose.weights import Limits, Sums, Table, column, problem_of, sums
from strandline.service.choose.wish import constants
from strandline.service.schedule.search import Stop, never

Name = Literal["gloss alone", "gentle", "balanced", "thorough"]
NAMES: tuple[Name, ...] = ("gloss alone", "gentle", "balanced", "thorough")


@dataclass(frozen=True)
class Pick:
    """A plan of a kind, before it is assembled.

    Parameters
    ----------
    name : of the kind
    chosen : by zone name
    sums : what it comes to
    gap : what the search left unproven; 0 for best
    """

    name: Name
    chosen: Mapping[str, Weighed]
    sums: Sums
    gap: float


def thorough(table: Table, limits: Limits, soft_weighs: float, stop: Stop = never) -> Pick | None:
    """Choose as much of the wish as the limits hold, softness counted in.

    Returns
    -------
    Pick, or None where nothing keeps the limits
    """
    found = best(problem_of(table, limits, _worth(soft_weighs)), stop)
    return None if found is None else _pick("thorough", table, found)


def lesser(
    name: Literal["gentle", "balanced"],
    table: Table,
    limits: Limits,
    most: Pick,
    soft_weighs: float,
    stop: Stop = never,
) -> Pick | None:
    """Choose a part of what a thorough plan is worth, for the least harm or the least time.

    Parameters
    ----------
    most : the thorough plan
    """
    share = constants()[f"{name}_of_most"].value
    if name == "gentle":
        table = weak_alone(table)
    worth = _worth(soft_weighs)
    idle = sum(worth(choices[0]) for choices in table.values())
    least = idle + share * (sum(map(worth, most.chosen.values())) - idle)
    enough = Bound("the wish", column(table, worth), least=least)
    cost = _harm if name == "gentle" else effort_of(table)
    found = best(problem_of(table, limits, cost, enough), stop)
    return None if found is None else _pick(name, table, found)


def weak_alone(table: Table) -> Table:
    """Leave the weak bowl alone, on a head that has one: what a gentle plan is filled from."""
    if not any(one.bowl == "weak" for choices in table.values() for one in choices):
        return table
    return {
        zone: tuple(one for one in choices if one.bowl in ("", "weak"))
        for zone, choices in table.items()
    }


def binding(
    pick: Pick, table: Table, limits: Limits, soft_weighs: float, stop: Stop = never
) -> list[str]:
    """Name the limits without which a thorough plan would be worth more, the most first.

    Notes
    -----
    Each limit is taken away alone, and the choice found anew; two limits that bind together may
    each hide the other, so where none binds alone, those that are met to within a foil are named.
    """
    worth = _worth(soft_weighs)
    kept = best(problem_of(table, limits, worth), stop)
    if kept is None:
        return []
    own, gains = kept.worth, {}
    for name in limits.given():
        freer = best(problem_of(table, limits.without(name), worth), stop)
        if freer is not None:
            gains[name] = freer.worth - own
    bars = constants()["binds_from"].value
    found = [name for name in sorted(gains, key=lambda n: -gains[n]) if gains[name] >= bars]
    if found:
        return found
    free = best(problem_of(table, Limits(), worth), stop)
    if free is None or free.worth - own < bars:
        return []
    return [n for n in limits.given() if n != "oxidised" and _tight(pick.sums, limits, n)]


def _tight(sums_of: Sums, limits: Limits, name: str) -> bool:
    most = float(getattr(limits, name))
    return float(getattr(sums_of, name)) >= most - max(1.0, most * 0.03)


def _worth(soft_weighs: float) -> Callable[[Weighed], float]:
    minute = constants()["minute_in_worth"].value

    def worth(one: Weighed) -> float:
        return one.seen - soft_weighs * one.line - minute * one.minutes

    return worth


def _harm(one: Weighed) -> float:
    """Give what a gentle plan spares: harm, then lightener, then minutes."""
    return -(one.oxidised + 0.002 * one.powder + 0.002 * one.minutes)


def effort_of(table: Table) -> Callable[[Weighed], float]:
    """Give what a balanced plan spares, below 0: money where known, else minutes; and harm."""
    harm = constants()["harm_in_minutes"].value
    whole = [one for choices in table.values() for one in choices if one.minutes]
    priced = any(one.money for one in whole)
    a_minute = sum(o.money for o in whole) / sum(o.minutes for o in whole) if priced else 1.0

    def effort(one: Weighed) -> float:
        spent = one.money if priced else one.minutes
        return -(spent + harm * a_minute * one.oxidised)

    return effort


def _pick(name: Name, table: Table, found: Found) -> Pick:
    chosen = {z: choices[k] for (z, choices), k in zip(table.items(), found.picks, strict=True)}
    return Pick(name, chosen, sums(chosen), found.gap)
