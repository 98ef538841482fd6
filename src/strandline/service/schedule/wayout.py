"""A way out of a head that cannot be timed: what it is worth and what it takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from strandline.service.schedule.problem import Problem
from strandline.service.schedule.result import Timing, timing_of
from strandline.service.schedule.search import Stop, search
from strandline.service.schedule.value import Value


@dataclass(frozen=True, slots=True)
class Spent:
    """What a way takes: minutes in the chair, of a helper, foils, visits."""

    minutes: float
    helper_minutes: float
    foils: int
    visits: int


Money = Callable[[Spent], float]


@dataclass(frozen=True, slots=True)
class Rates:
    """Money by rate, in her currency: a minute of hers, of a helper's, a foil, a visit."""

    minute: float
    helper_minute: float = 0.0
    foil: float = 0.0
    visit: float = 0.0

    def __call__(self, spent: Spent) -> float:
        """Give the money that something takes."""
        return (
            self.minute * spent.minutes
            + self.helper_minute * spent.helper_minutes
            + self.foil * spent.foils
            + self.visit * spent.visits
        )


@dataclass(frozen=True)
class Way:
    """A way out.

    Parameters
    ----------
    name : 'wipe groups', 'two rinses', 'helper', 'order', 'fewer foils', 'lower aim' or
        'another day'
    what : a sentence
    value : compared with the others; of two days both together
    minutes : in the chair, both days together
    money : None where no money was handed in
    dose : minutes at 6 %, mean by mass
    timings : one for each day
    """

    name: str
    what: str
    value: Value
    minutes: float
    money: float | None
    dose: float
    timings: tuple[Timing, ...]


@dataclass(frozen=True)
class Solver:
    """Solves changed problems and says what they take; told to stop, it leaves what is left."""

    money: Money | None
    stop: Stop

    def solve(self, problem: Problem) -> Timing:
        """Search a changed problem."""
        return timing_of(search(problem, self.stop))

    def way(self, name: str, what: str, *problems: Problem) -> Way:
        """Solve a way out of one day or more."""
        timings = tuple(self.solve(problem) for problem in problems)
        days = list(zip(problems, timings, strict=True))
        minutes = sum(timing.chair_min for timing in timings)
        helped = sum(timing.chair_min for problem, timing in days if problem.hands.helper)
        foils = sum(len(block.foils) for problem in problems for block in problem.blocks)
        whole = sum(problem.grams for problem in problems)
        spent = Spent(minutes, helped, foils, len(timings))
        return Way(
            name,
            what,
            together(problems, timings),
            minutes,
            None if self.money is None else self.money(spent),
            sum(timing.dose * problem.grams for problem, timing in days) / whole,
            timings,
        )


def together(problems: Sequence[Problem], timings: Sequence[Timing]) -> Value:
    """Put the values of several days together: minutes add, the rest are means by mass."""
    values, grams = [t.value for t in timings], [problem.grams for problem in problems]
    if len(values) == 1:
        return values[0]

    def mean(each: Sequence[float]) -> float:
        return sum(v * g for v, g in zip(each, grams, strict=True)) / sum(grams)

    chair = problems[0].wishes.chair_dose * sum(timing.clock.rinse for timing in timings)
    return Value(
        sum(value.past_label for value in values),
        mean([value.past_aim for value in values]),
        mean([value.short for value in values]),
        mean([timing.dose for timing in timings]) + chair,
        max(value.strengths for value in values),
        tuple(vol for value in values for vol in value.vols),
    )
