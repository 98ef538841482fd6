"""A head's choices under its limits, as one problem that the search can be given."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from itertools import combinations, pairwise
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from strandline.service.choose.problem import Bound, Problem
from strandline.service.choose.tables import Weighed

Floats = NDArray[np.float64]
Table = Mapping[str, tuple[Weighed, ...]]
"""The choices of each zone by its name, in the order of work."""
CLOSER = " no closer than "
"""In the name of a bound that says so of two zones."""
HAIRLINES = ("nape_hairline", "side_hairlines")
RISING = ("nape", "back_lower", "back_upper", "crown")
"""Up the back partings close up to the crown, never open again; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a visit may take; infinite where nothing limits it.

    Parameters
    ----------
    minutes : of the placing, with bowls and wipes: the rest of the visit is taken off before
    foils : as many at most
    money : of the placing and what is mixed for it: the rest is taken off before
    powder, developer : grams on the shelf
    oxidised : cystine of the hair in a foil, %
    """

    minutes: float = math.inf
    foils: float = math.inf
    money: float = math.inf
    powder: float = math.inf
    developer: float = math.inf
    oxidised: float = math.inf

    def given(self) -> list[str]:
        """Name the limits that there are."""
        return [f.name for f in fields(self) if math.isfinite(getattr(self, f.name))]

    def without(self, name: str) -> Limits:
        """Take one limit away."""
        return replace(self, **{name: math.inf})


@dataclass(frozen=True)
class Sums:
    """What choices come to, over all zones; as `Weighed` says of one."""

    foils: int
    minutes: float
    light: float
    dark: float
    met: float
    seen: float
    line: float
    powder: float
    developer: float
    money: float
    oxidised: float


def sums(chosen: Mapping[str, Weighed]) -> Sums:
    """Add up what the choices of all zones come to."""
    return Sums(
        **{
            field.name: sum(getattr(one, field.name) for one in chosen.values())
            for field in fields(Sums)
        }
    )


def column(table: Table, value: Callable[[Weighed], float]) -> tuple[Floats, ...]:
    """Give a figure of every choice, by zone."""
    return tuple(np.array([float(value(one)) for one in choices]) for choices in table.values())


def problem_of(
    table: Table,
    limits: Limits,
    worth: Callable[[Weighed], float],
    *more: Bound,
) -> Problem:
    """State a choice for every zone.

    Parameters
    ----------
    table : of this head
    limits : of this visit
    worth : what a choice adds to what is wanted
    more : bounds beside the limits

    Notes
    -----
    The limit of harm belongs to a foil, so it takes choices out: see `within`. Up the back foils
    close up, never open again. The weak bowl comes first in the order of work, for a bowl that was
    left dries; the hairlines, few foils, may have it at their turn.
    """
    bounds = [
        Bound(name, column(table, attrgetter(name)), most=most)
        for name in ("minutes", "foils", "money", "powder", "developer")
        if math.isfinite(most := getattr(limits, name))
    ]
    bounds = [bound for bound in bounds if could_bind(bound)]
    return Problem(column(table, worth), (*bounds, *more, *_closing_up(table), *_weak_first(table)))


def could_bind(bound: Bound) -> bool:
    """Say whether any choice could pass a bound's most."""
    return sum(float(a.max()) for a in bound.adds) > bound.most


def within(table: Table, most_oxidised: float, oxidised: Mapping[str, float]) -> Table:
    """Leave out what harms the hair in a foil more than a limit.

    Parameters
    ----------
    oxidised : cystine, % of the hair that a bowl lies on, by its name
    """
    return {
        zone: tuple(one for one in choices if oxidised.get(one.bowl, 0.0) <= most_oxidised)
        for zone, choices in table.items()
    }


def _closing_up(table: Table) -> Iterator[Bound]:
    there = [zone for zone in RISING if zone in table]
    for lower, upper in pairwise(there):

        def adds(zone: str, lower: str = lower, upper: str = upper) -> Floats:
            close = np.array([float(one.option.close) for one in table[zone]])
            return close * (float(zone == lower) - float(zone == upper))

        yield Bound(f"{lower}{CLOSER}{upper}", tuple(map(adds, table)), most=0.0)


def _weak_first(table: Table) -> Iterator[Bound]:
    if not any(one.bowl == "weak" for choices in table.values() for one in choices):
        return
    for first, later in combinations([zone for zone in table if zone not in HAIRLINES], 2):

        def adds(zone: str, first: str = first, later: str = later) -> Floats:
            wanted = {first: "main", later: "weak"}.get(zone)
            return np.array([float(one.bowl == wanted) for one in table[zone]])

        rows = tuple(map(adds, table))
        if all(rows[list(table).index(zone)].any() for zone in (first, later)):
            yield Bound(f"weak in {later} before main in {first}", rows, most=1.0)
