"""Where a head cannot be timed: what binds, and the ways out, each solved as a problem of its own.

What binds is found by taking one bond away at a time and searching again. Nothing is guessed: a
way out carries the timing that was found for it.
"""

from __future__ import annotations

from dataclasses import dataclass

from strandline.base.errors import UnreachableError
from strandline.service.schedule.bonds import Bond, bonds
from strandline.service.schedule.offers import OFFERS
from strandline.service.schedule.problem import Problem, constants
from strandline.service.schedule.result import Timing, timing_of
from strandline.service.schedule.search import Progress, Stop, never, search, unheard
from strandline.service.schedule.wayout import Money, Solver, Way


@dataclass(frozen=True)
class Timed:
    """The best timing of a head; what binds it and the ways out, where it does not meet its aims.

    What is missed by less than an eye sees is not bound, but its ways out are still told.

    `complete` is false where it was stopped before everything was looked at.
    """

    timing: Timing
    binding: tuple[Bond, ...] = ()
    ways: tuple[Way, ...] = ()
    complete: bool = True


def time_head(
    problem: Problem,
    money: Money | None = None,
    *,
    stop: Stop = never,
    progress: Progress = unheard,
) -> Timed:
    """Time a head; where no way meets label, aim and window, say what binds and the ways out.

    Parameters
    ----------
    problem : what may be chosen
    money : what a way takes, for the ways out
    stop : asked often; once true the best found until then is given
    progress : told the share that is done [0-1]

    Returns
    -------
    Timed   ways sorted by value, those alone that are better than the timing by so much that it
    is worth telling

    Raises
    ------
    OutOfRangeError    foils that take more than a working day
    UnreachableError   no so many strengths serve all blocks, or stopped before any way was found
    """
    timing = timing_of(search(problem, stop, lambda share: progress(share / 2)))
    if timing.value.meets:
        progress(1.0)
        return Timed(timing, complete=timing.proven)
    solver = Solver(money, stop)
    binding: tuple[Bond, ...] = ()
    ways: list[Way] = []
    try:
        if not timing.value.looks_met:
            binding = bonds(problem, timing, solver)
        progress(0.6)
        for index, offer in enumerate(OFFERS):
            if stop():
                break
            ways += [way for way in offer(problem, solver) if _worth(way, timing)]
            progress(0.6 + 0.4 * (index + 1) / len(OFFERS))
    except UnreachableError:  # stopped within a way before it had found anything
        if not stop():
            raise
    ways.sort(key=lambda way: way.value)
    return Timed(timing, binding, tuple(ways), complete=timing.proven and not stop())


def _worth(way: Way, timing: Timing) -> bool:
    """Say whether a way is better, and meets the aims, or the label by a minute, or by a stage."""
    new, old = way.value, timing.value
    gain = old.past_aim + old.short - new.past_aim - new.short
    enough = gain >= constants()["way_worth_stage"].value
    return new < old and (new.meets or enough or new.past_label <= old.past_label - 1)
