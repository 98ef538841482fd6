"""A plan's own timing beside the best that a search finds, and what either takes in money."""

from __future__ import annotations

from dataclasses import dataclass, replace

from strandline.base.errors import UnreachableError
from strandline.service.plan.assemble import Made
from strandline.service.plan.foil_work import is_as_good, problem_for, worth_of
from strandline.service.plan.money import floor_of_hour, product_of_foils
from strandline.service.plan.timed import COLOUR_VOL, is_colour
from strandline.service.schedule.clock import Clock, Placing, set_clock
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.result import Timing
from strandline.service.schedule.search import Progress, Stop, never, unheard
from strandline.service.schedule.value import Value
from strandline.service.schedule.wayout import Rates, Spent, Way
from strandline.service.schedule.ways import Timed, time_head


@dataclass(frozen=True)
class Own:
    """The timing a plan sets by her rule, weighed as the search weighs.

    Parameters
    ----------
    clock : min from the first parting
    value : what it is worth
    chair_min : until the last rinse is done
    dose : minutes at 6 %, mean by mass
    vols : strengths in the order of work, vol
    """

    clock: Clock
    value: Value
    chair_min: float
    dose: float
    vols: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class OutOfReach:
    """Hair that cannot come to the aim that was asked: what it is, how far it comes, and why not.

    `why` is 'label' where its time ends first, 'strength' where no strength that may be used, or
    the hair's own stall, lets it.
    """

    band: str
    stage: float
    why: str


@dataclass(frozen=True)
class Compared:
    """A head's timing: the problem, what the search found, and the plan's own.

    Parameters
    ----------
    out_of_reach : hair that is timed to less than was asked
    """

    problem: Problem
    timed: Timed
    own: Own
    out_of_reach: tuple[OutOfReach, ...]

    @property
    def own_is_as_good(self) -> bool:
        """Say whether the search found nothing better to her eye than the plan's own."""
        best, alike = self.timed.timing.value, self.problem.wishes.alike
        return is_as_good(self.own.value, best, alike)

    @property
    def ways(self) -> tuple[Way, ...]:
        """Give the ways out that pass a label no more than her own rule does."""
        most = min(self.own.value.past_label, self.timed.timing.value.past_label)
        return tuple(way for way in self.timed.ways if way.value.past_label <= most)


def compare(
    made: Made, *, helper: bool, stop: Stop = never, progress: Progress = unheard
) -> Compared:
    """Search the timing of a plan's foils and weigh the plan's own beside it.

    Parameters
    ----------
    made : the plan
    helper : a second pair of hands, for both
    stop, progress : as `time_head`

    Raises
    ------
    UnreachableError   no lightener is planned
    OutOfRangeError    foils that take more than a working day
    """
    if made.asked is None or made.foils is None or made.work is None:
        raise UnreachableError(
            f"No lightener is planned for {made.plan.client}.",
            "The plan itself says why; there are no foils to time.",
        )
    work = made.work
    problem = problem_for(
        made.head, made.foils, made.asked, work, made.bench, made.drawn, helper=helper
    )
    if helper != made.consultation.limits.helper:
        clock = set_clock(
            [Placing(f.number, f.kind, f.section, work.bowls[f.number]) for f in made.foils],
            work.waits,
            made.bench,
            helper=helper,
        )
        work = replace(work, clock=clock)
    timed = time_head(problem, rates_of(made), stop=stop, progress=progress)
    value = worth_of(problem, work)
    own = Own(
        work.clock,
        value,
        work.clock.rinse + problem.hands.rinse / 60,
        value.burden - problem.wishes.chair_dose * work.clock.rinse,
        tuple(vol for vol in value.vols if vol != COLOUR_VOL),
    )
    return Compared(problem, timed, own, _out_of_reach(made, problem))


def _out_of_reach(made: Made, problem: Problem) -> tuple[OutOfReach, ...]:
    """Name the hair that is timed to less than was asked, once each, the least it comes to."""
    asked = made.plan.aim_stage
    ends = {dose.band: float(dose.lift.stages[-1]) for dose in made.doses}
    found: dict[str, OutOfReach] = {}
    for block in problem.blocks:
        for band in block.bands:
            for one in band.stretches:
                if is_colour(one) or one.ahead or one.aim_stage > asked - SEEN_STAGE:
                    continue
                if one.name in found and found[one.name].stage <= one.aim_stage:
                    continue
                stalls = ends.get(one.name, asked) < asked
                why = "strength" if stalls else "label"
                found[one.name] = OutOfReach(one.name, one.aim_stage, why)
    return tuple(found.values())


SEEN_STAGE = 0.1
"""Less than this under the aim is the aim; common practice, no source."""


def rates_of(made: Made) -> Rates | None:
    """Give what her minutes, a helper's, a foil and a further visit take, in her currency.

    None where she has not said what she lives from. A further visit takes its consultation and its
    drying; what it is glossed with is not counted.
    """
    c = made.consultation
    hourly = floor_of_hour(c)
    if hourly is None or c.money is None:
        return None
    minute = hourly / 60
    product = product_of_foils(c, made.plan.bowls)
    helper = c.money.helper_per_hour or 0.0
    return Rates(
        minute,
        helper / 60,
        product / max(1, sum(row.bowl != "lowlight" for row in made.plan.foils)),
        minute * (made.bench["minutes_consult"] + made.bench["minutes_finish"]),
    )


def spent_money(made: Made, timing: Timing) -> float | None:
    """Give what a timing of one day takes, in her currency; None where she has not said."""
    rates = rates_of(made)
    if rates is None:
        return None
    helped = timing.chair_min if timing.helped else 0.0
    return rates(Spent(timing.chair_min, helped, len(timing.clock.starts), 1))
