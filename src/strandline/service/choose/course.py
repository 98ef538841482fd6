"""Several visits to the aim: which hair at which, for the least time or money and harm.

The same choice as for one visit, with each zone chosen once a visit, the limits kept at each, and
what is taken of a zone adding up over them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from strandline.service.choose.kinds import effort_of
from strandline.service.choose.problem import Bound, Problem, Top
from strandline.service.choose.solve import Found, best
from strandline.service.choose.tables import Weighed
from strandline.service.choose.weights import CLOSER, Limits, Table, problem_of
from strandline.service.choose.wish import Wished, constants
from strandline.service.schedule.search import Stop, never

Floats = NDArray[np.float64]
EARLY = 0.02
"""Of the effort of a whole visit, what it is worth to have the wish a visit sooner: a tie is broken
so that hair is taken early."""
NEAR_GAP = 0.01
"""Share of its effort that a better way over visits could still spare: the search ends there."""


@dataclass(frozen=True)
class Visits:
    """A way to the aim.

    Parameters
    ----------
    chosen : by visit, by zone name
    met : of the wish after each visit, lift not counted [1]
    reached : the wish is met, and little old colour left
    gap : what a better way could still spare, as a share of the effort [1]
    """

    chosen: tuple[Mapping[str, Weighed], ...]
    met: tuple[float, ...]
    reached: bool
    gap: float


@dataclass(frozen=True)
class Hair:
    """What the visits work on.

    Parameters
    ----------
    table : the choices of one visit
    limits : of each visit
    wished : of each zone
    sizes : share of the head's hair by zone name
    hits : of the hair in foils, the share that is taken for the first time, by visit [0-1]
    dark : share of the hair that is not light before the first [1]
    old : share of the hair that carries old colour before the first [1]
    keeps_old : of that, what is still there at the next visit, for what sheds grows anew [1]
    """

    table: Table
    limits: Limits
    wished: Wished
    sizes: Mapping[str, float]
    hits: Sequence[float]
    dark: float
    old: float
    keeps_old: float


def old_after(hair: Hair, light: float, visits: int) -> float:
    """Give the share of the hair that carries old colour after some visits [1].

    Parameters
    ----------
    light : share of the hair made light by then [1]
    visits : 1 or more
    """
    if hair.old <= 0 or hair.dark <= 0:
        return 0.0
    return hair.old * max(0.0, hair.dark - light) / hair.dark * hair.keeps_old ** (visits - 1)


def light_for_little_old(hair: Hair, visits: int) -> float:
    """Give the share of the hair to make light, so that little old colour is left [1]."""
    whole = hair.old * hair.keeps_old ** (visits - 1)
    if whole <= 0:
        return 0.0
    return max(0.0, hair.dark * (1 - constants()["old_left_ok"].value / whole))


def gain(one: Weighed, size: float) -> float:
    """Give the share of its zone's hair that a choice makes light, or dark [1]."""
    return (one.light or one.dark) / size


def met_after(hair: Hair, chosen: Sequence[Mapping[str, Weighed]]) -> tuple[float, ...]:
    """Give the part of the wish that is met after each visit, lift not counted [1]."""
    have = dict.fromkeys(hair.table, 0.0)
    out = []
    for hit, visit in zip(hair.hits, chosen, strict=False):
        for zone, one in visit.items():
            have[zone] += hit * gain(one, hair.sizes[zone])
        out.append(
            sum(
                hair.wished.shows.get(zone, 0.0) * min(1.0, have[zone] / missing)
                for zone in have
                if (missing := hair.wished.missing.get(zone, 0.0)) > 0
            )
        )
    return tuple(out)


def find_course(hair: Hair, least_visits: int, most_visits: int, stop: Stop = never) -> Visits:
    """Find the fewest visits that reach the aim, and of these the least effort.

    Parameters
    ----------
    hair : what the visits work on, with a hit for each visit there may be
    least_visits, most_visits : 1 or more, rising

    Returns
    -------
    Visits   that reach the aim; else the most that `most_visits` reach
    """
    hair = replace(hair, table=_plain(hair.table))
    aim = constants()["reached_at"].value
    for count in range(least_visits, most_visits + 1):
        found = best(_problem(hair, count, aim), stop, gap=NEAR_GAP)
        if found is not None:
            return _visits(hair, count, found, reached=True)
    found = best(_problem(hair, most_visits, None), stop, gap=NEAR_GAP)
    if found is None:
        return Visits((), (), reached=False, gap=0.0)
    return _visits(hair, most_visits, found, reached=False)


def _plain(table: Table) -> Table:
    """Leave one bowl for each zone, and of its takes those that take as much for no more effort.

    Over visits it is asked which hair is taken, not from which strength.
    """
    effort = effort_of(table)
    out = {}
    for zone, choices in table.items():
        strong = any(one.bowl == "main" for one in choices)
        kept = [one for one in choices if not (strong and one.bowl == "weak")]
        out[zone] = tuple(
            one
            for one in kept
            if not any(
                _taken(other) >= _taken(one)
                and effort(other) >= effort(one)
                and (_taken(other), effort(other)) != (_taken(one), effort(one))
                for other in kept
            )
        )
    return out


def _taken(one: Weighed) -> float:
    return one.light or one.dark


def _problem(hair: Hair, count: int, least: float | None) -> Problem:
    """State some visits as one choice: zone by zone, visit after visit.

    Parameters
    ----------
    least : part of the wish to meet; None for as much as can be met
    """
    effort = effort_of(hair.table)
    whole = sum(max(-effort(one) for one in choices) for choices in hair.table.values()) or 1.0
    each = partial(_each, hair, count)
    tops = _tops(hair, count)
    bounds = [*_limits(hair, count), *_hair(hair, count)]
    if least is None:
        light = 1.0 if hair.old > 0 else 0.0
        spared = each(
            lambda v, _, one: 0.01 * effort(one) / whole + light * hair.hits[v] * one.light
        )
        return Problem(spared, tuple(bounds), tops)
    nothing = each(lambda _v, _zone, _one: 0.0)
    bounds.append(Bound("the wish", nothing, least=least, tops=tops))
    if (needed := light_for_little_old(hair, count)) > 0:
        every = each(lambda v, _, one: hair.hits[v] * one.light)
        bounds.append(Bound("old colour", every, least=needed))

    def worth(v: int, zone: str, one: Weighed) -> float:
        sooner = EARLY * whole * (count - v - 1)
        return effort(one) + sooner * _part(hair, v, zone, one)

    return Problem(each(worth), tuple(bounds))


def _each(
    hair: Hair, count: int, value: Callable[[int, str, Weighed], float]
) -> tuple[Floats, ...]:
    """Give a figure of every choice, visit by visit and zone by zone."""
    return tuple(
        np.array([float(value(v, zone, one)) for one in hair.table[zone]])
        for v in range(count)
        for zone in hair.table
    )


def _part(hair: Hair, v: int, zone: str, one: Weighed) -> float:
    missing = hair.wished.missing.get(zone, 0.0)
    if missing <= 0:
        return 0.0
    share = hair.hits[v] * gain(one, hair.sizes[zone]) / missing
    return hair.wished.shows.get(zone, 0.0) * min(1.0, share)


def _limits(hair: Hair, count: int) -> Iterator[Bound]:
    """Give the limits of each visit."""
    of_visit = problem_of(hair.table, hair.limits, effort_of(hair.table))
    for v in range(count):
        for bound in of_visit.bounds:
            if v and CLOSER in bound.name:  # later visits go by sight
                continue
            none = [np.zeros(a.size) for a in bound.adds]
            adds = [*none * v, *bound.adds, *none * (count - v - 1)]
            yield Bound(f"{bound.name} {v + 1}", tuple(adds), bound.least, bound.most)


def _hair(hair: Hair, count: int) -> Iterator[Bound]:
    """Say that no more of a zone's hair is made light than is dark."""
    for zone in hair.table:
        own = _each(hair, count, partial(_light_of, hair, zone))
        if any(a.any() for a in own):
            yield Bound(f"hair of {zone}", own, most=hair.dark * hair.sizes[zone])


def _tops(hair: Hair, count: int) -> tuple[tuple[float, Top], ...]:
    """Count what of the wish is met: of each zone no more than what is missing."""
    out = []
    for zone in hair.table:
        missing = hair.wished.missing.get(zone, 0.0)
        if missing > 0:
            taken = _each(hair, count, partial(_gain_of, hair, zone))
            out.append((hair.wished.shows.get(zone, 0.0) / missing, Top(taken, missing)))
    return tuple(out)


def _gain_of(hair: Hair, zone: str, v: int, other: str, one: Weighed) -> float:
    return hair.hits[v] * gain(one, hair.sizes[zone]) if other == zone else 0.0


def _light_of(hair: Hair, zone: str, v: int, other: str, one: Weighed) -> float:
    return hair.hits[v] * one.light if other == zone else 0.0


def _visits(hair: Hair, count: int, found: Found, *, reached: bool) -> Visits:
    zones = list(hair.table)
    chosen = tuple(
        {zone: hair.table[zone][found.picks[v * len(zones) + z]] for z, zone in enumerate(zones)}
        for v in range(count)
    )
    scale = abs(found.worth)
    return Visits(
        chosen,
        met_after(hair, chosen),
        reached,
        found.gap / scale if scale > 0 and math.isfinite(found.gap) else 0.0,
    )
