"""A head as its history: material is named by the day it grew, so growth moves nothing.

Days are counted from any one date; distances are cm from the scalp; rates um/day.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import growth_cm
from strandline.science.fibre import Fibre, stack


@dataclass(frozen=True, slots=True)
class Treatment:
    """What was done, on a day, to the hair that lay between two distances.

    Parameters
    ----------
    day : float       days from a date of one's choice
    from_cm : float   nearer end from the scalp on that day, >= 0
    to_cm : float     farther end; infinity for the ends
    what : hashable   what was done; its effect is handed in when it is asked for

    Raises
    ------
    OutOfRangeError   distances below 0 or out of order, or a day that is no number
    """

    day: float
    from_cm: float
    to_cm: float
    what: Hashable

    def __post_init__(self) -> None:
        """Refuse a stretch that is none."""
        if not math.isfinite(self.day) or not 0 <= self.from_cm < self.to_cm:
            raise OutOfRangeError(
                f"A treatment on day {self.day:g} runs from {self.from_cm:g} to "
                f"{self.to_cm:g} cm; it must begin at 0 or more and end farther out.",
                "Give the nearer distance first, both in cm from the scalp.",
            )

    def reach_cm(self, day: float, rate_um_per_day: float) -> tuple[float, float]:
        """Give where the treated stretch lies on a later day, cm from the scalp."""
        grown = growth_cm(rate_um_per_day, day - self.day)
        return (self.from_cm + grown, self.to_cm + grown)


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of length with one past.

    Parameters
    ----------
    from_cm, to_cm : float   on the day asked for
    treatments : tuple       in the order in which they were done
    """

    from_cm: float
    to_cm: float
    treatments: tuple[Treatment, ...]


@dataclass(frozen=True, slots=True)
class Lane:
    """Strands that were always treated alike.

    Parameters
    ----------
    treatments : tuple of Treatment   in any order; those of one day in the order done
    trims : tuple of (day, length_cm)  what each cut left
    """

    treatments: tuple[Treatment, ...] = ()
    trims: tuple[tuple[float, float], ...] = field(default=())

    def treated(self, *treatments: Treatment) -> Lane:
        """Add treatments."""
        return Lane(self.treatments + treatments, self.trims)

    def trimmed(self, day: float, length_cm: float) -> Lane:
        """Add a cut that leaves a length."""
        return Lane(self.treatments, (*self.trims, (day, length_cm)))

    def cut(self, day: float, off_cm: float, worn: tuple[float, float], rate: float) -> Lane:
        """Add a cut that takes so much off.

        Parameters
        ----------
        day : float      of the cut
        off_cm : float   taken off, >= 0
        worn : (length, day)   the length worn on an earlier day
        rate : float     um/day

        Raises
        ------
        OutOfRangeError   nothing would be left
        """
        there = self.length_cm(*worn, day, rate)
        if not 0 <= off_cm < there:
            raise OutOfRangeError(
                f"A cut takes {off_cm:g} cm off hair of {there:.1f} cm.",
                "Give what was taken off, less than there was.",
            )
        return self.trimmed(day, there - off_cm)

    def length_cm(self, worn_cm: float, worn_day: float, day: float, rate: float) -> float:
        """Give the length on a day, from the length worn on an earlier one and the cuts since.

        Raises
        ------
        OutOfRangeError   a day before the length was measured
        """
        if day < worn_day:
            raise OutOfRangeError(
                f"The length is asked for day {day:g} but was measured on day {worn_day:g}.",
                "Ask for that day or a later one.",
            )
        length = worn_cm + growth_cm(rate, day - worn_day)
        for trim_day, left in self.trims:
            if worn_day <= trim_day <= day:
                length = min(length, left + growth_cm(rate, day - trim_day))
        return length


def segments(
    treatments: Iterable[Treatment], day: float, rate_um_per_day: float, length_cm: float
) -> list[Segment]:
    """Cut a strand into stretches of one past, on a day.

    Parameters
    ----------
    treatments : those after `day` do not count yet
    day : float
    rate_um_per_day : float   >= 0
    length_cm : float         of the strand on that day, > 0

    Returns
    -------
    list of Segment   from the scalp to the tip, meeting end to end

    Raises
    ------
    OutOfRangeError   a length of 0 or less, or a rate below 0

    Notes
    -----
    Material at distance s on day T was born on T - s / rate and keeps that birthday, so on day
    D it lies at s + rate (D - T): a treated stretch moves out by growth and keeps its length.
    """
    if length_cm <= 0 or rate_um_per_day < 0:
        raise OutOfRangeError(
            f"A strand of {length_cm:g} cm grows {rate_um_per_day:g} um/day; the length must be "
            "more than 0 and the rate 0 or more.",
            "Give the length in cm and the rate in um/day.",
        )
    done = sorted((one for one in treatments if one.day <= day), key=lambda one: one.day)
    reaches = [(one, *one.reach_cm(day, rate_um_per_day)) for one in done]
    bounds = {0.0, length_cm}
    for _, low, high in reaches:
        bounds |= {bound for bound in (low, high) if 0 < bound < length_cm}
    ordered = sorted(bounds)
    out: list[Segment] = []
    for low, high in itertools.pairwise(ordered):
        past = tuple(one for one, start, end in reaches if start <= low and high <= end)
        if out and out[-1].treatments == past:
            out[-1] = Segment(out[-1].from_cm, high, past)
        else:
            out.append(Segment(low, high, past))
    return out


class Effect(Protocol):
    """What a treatment does to the state it meets."""

    def __call__(self, fibre: Fibre, treatment: Treatment, /) -> Fibre:
        """Give the state after it, for each state before it."""


Wear = Callable[[Fibre, Treatment, float], Fibre]
"""What days of wear do to a state since its last treatment: (fibre, treatment, days)."""


def evaluate(
    start: Fibre,
    stretches: Sequence[Segment],
    effect: Effect,
    *,
    day: float | None = None,
    wear: Wear | None = None,
) -> Fibre:
    """Give the state of each stretch by doing to it what was done, in order.

    Parameters
    ----------
    start : Fibre     one state for all stretches, or one for each
    stretches : from `segments`
    effect : Effect   handed in, for it depends on the state it meets
    day : float       the day asked for; needed where wear counts
    wear : Wear       what washing and light do between treatments; left out, nothing

    Returns
    -------
    Fibre   one state for each stretch

    Raises
    ------
    OutOfRangeError   starts that are neither one nor as many as the stretches; wear with no day
    """
    count = len(stretches)
    if len(start) not in (1, count):
        raise OutOfRangeError(
            f"There are {len(start)} states to start from and {count} stretches.",
            "Give one state for all, or one for each.",
        )
    if wear is not None and day is None:
        raise OutOfRangeError(
            "Wear is asked for without the day to which it runs.", "Give the day as well."
        )
    index = np.arange(count) if len(start) == count else np.zeros(count, dtype=int)
    states = []
    for k, stretch in enumerate(stretches):
        state = start.take(index[k : k + 1])
        ends = [one.day for one in stretch.treatments[1:]] + ([] if day is None else [day])
        for place, treatment in enumerate(stretch.treatments):
            state = effect(state, treatment)
            if wear is not None:
                state = wear(state, treatment, ends[place] - treatment.day)
        states.append(state)
    return stack(states)
