"""A plan's own timing beside the best that a search finds, and what either takes in money."""

from __future__ import annotations

from dataclasses import dataclass

from strandline.service.plan.assemble import Made
from strandline.service.plan.money import floor_of_hour
from strandline.service.plan.timed import SAME, foils_of_lightener, problem_of_plan
from strandline.service.schedule.blocks import Band, Block
from strandline.service.schedule.clock import Clock, Placing, set_clock
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.result import Timing
from strandline.service.schedule.search import Progress, Stop, never, unheard
from strandline.service.schedule.value import Value
from strandline.service.schedule.wayout import Rates, Spent
from strandline.service.schedule.ways import Timed, time_head
from strandline.service.schedule.weigh import Done, weigh


@dataclass(frozen=True)
class Own:
    """The timing a plan sets by her rule, weighed as the search weighs.

    Parameters
    ----------
    clock : of the foils of lightener alone, min from the first parting
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


@dataclass(frozen=True)
class Compared:
    """A head's timing: the problem, what the search found, and the plan's own."""

    problem: Problem
    timed: Timed
    own: Own

    @property
    def own_is_as_good(self) -> bool:
        """Say whether the search found nothing better to her eye than the plan's own."""
        best = self.timed.timing.value
        step = self.problem.wishes.alike
        return self.own.value[:3] <= best[:3] and self.own.value.burden < best.burden + step


def compare(
    made: Made, *, helper: bool, stop: Stop = never, progress: Progress = unheard
) -> Compared:
    """Search the timing of a plan's foils of lightener and weigh the plan's own beside it.

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
    problem = problem_of_plan(made, helper=helper)
    own = own_timing(made, problem, helper=helper)
    return Compared(problem, time_head(problem, rates_of(made), stop=stop, progress=progress), own)


def own_timing(made: Made, problem: Problem, *, helper: bool) -> Own:
    """Set the plan's own clock for its foils of lightener, and weigh it."""
    bowls = {row.number: row.bowl for row in made.plan.foils}
    placings = [
        Placing(foil.number, foil.kind, foil.section, bowls[foil.number])
        for foil in foils_of_lightener(made)
    ]
    clock = set_clock(placings, made.waits, made.bench, helper=helper)
    outs = {
        foil.number: group.out + (problem.hands.wipe / 60 * place if group.how == "wipe" else 0.0)
        for group in clock.groups
        for place, foil in enumerate(
            one for one in placings if group.first <= one.number <= group.last
        )
    }
    done = []
    for block in problem.blocks:
        for spot in block.foils:
            for band in block.bands:
                vol, after = _poured(made, block, band, bowls[spot.number])
                inside = outs[spot.number] - clock.starts[spot.number] - after
                done.append(Done(spot, band, vol, max(0.0, inside)))
    value = weigh(problem, done, clock.rinse)
    return Own(
        clock,
        value,
        clock.rinse + problem.hands.rinse / 60,
        value.burden - problem.wishes.chair_dose * clock.rinse,
        value.vols,
    )


def _poured(made: Made, block: Block, band: Band, bowl: str) -> tuple[float, float]:
    """Give the strength and the delay that the plan has for a band, vol as the band knows it."""
    apart = len(block.bands) > 1
    dose = next(
        dose
        for dose in made.doses
        if (
            dose.band == band.name and dose.bowl in ("strong", "main")
            if apart
            else dose.bowl == bowl
        )
    )
    vol = next(c.vol for c in band.choices if abs(c.vol - dose.mix.poured_vol) <= SAME)
    return vol, dose.after_min


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
    names = {c.shelf.lightener.name} if c.shelf.lightener else set()
    product = sum(
        line.amount or 0.0
        for line in made.plan.quote.lines
        if line.what in names or line.what.startswith("developer ")
    )
    helper = c.money.helper_per_hour or 0.0
    return Rates(
        minute,
        helper / 60,
        product / max(1, len(foils_of_lightener(made))),
        minute * (made.bench["minutes_consult"] + made.bench["minutes_finish"]),
    )


def spent_money(made: Made, timing: Timing) -> float | None:
    """Give what a timing of one day takes, in her currency; None where she has not said."""
    rates = rates_of(made)
    if rates is None:
        return None
    helped = timing.chair_min if timing.helped else 0.0
    return rates(Spent(timing.chair_min, helped, len(timing.clock.starts), 1))
