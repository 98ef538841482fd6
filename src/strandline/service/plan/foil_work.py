"""How today's foils are worked: by her rule, or by the search of timings where that is better."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.strengths import Asked, Dose, set_strengths, taken_out
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.timed import (
    COLOUR_VOL,
    SAME,
    foiled_of,
    hair_by_zone,
    problem_of,
)
from strandline.service.plan.timing import waits_of
from strandline.service.practice.bench import Bench
from strandline.service.schedule.blocks import Band, Block
from strandline.service.schedule.chair import Wait
from strandline.service.schedule.clock import Clock
from strandline.service.schedule.problem import Problem, constants
from strandline.service.schedule.result import Timing, timing_of
from strandline.service.schedule.search import search
from strandline.service.schedule.value import Value
from strandline.service.schedule.weigh import Done, weigh

Floats = NDArray[np.float64]

WHY = "Found by the search of timings for the whole head; the minutes are the mean of these foils."


@dataclass(frozen=True)
class FoilWork:
    """How today's foils are worked.

    Parameters
    ----------
    doses : lightener by stretch and bowl
    bowls : of each foil by number
    waits : by bowl
    clock : of the head
    """

    doses: tuple[Dose, ...]
    bowls: Mapping[int, str]
    waits: Mapping[str, Wait]
    clock: Clock


def problem_for(
    head: HeadReading,
    foils: FoilMap,
    asked: Asked,
    work: FoilWork,
    bench: Bench,
    drawn: Mapping[str, Floats],
    *,
    helper: bool,
) -> Problem:
    """State the timing of a plan's foils, its own strengths among those that are tried."""
    return problem_of(
        list(foils),
        hair_by_zone(head, foils),
        asked,
        work.waits,
        bench,
        drawn,
        helper=helper,
        also_vols=tuple(dict.fromkeys(dose.mix.poured_vol for dose in work.doses)),
    )


def worth_of(problem: Problem, work: FoilWork) -> Value:
    """Say what a way to work the foils is worth, as the search weighs."""
    outs = {}
    for group in work.clock.groups:
        inside = [n for n in work.clock.starts if group.first <= n <= group.last]
        step = problem.hands.wipe / 60 if group.how == "wipe" else 0.0
        outs.update({n: group.out + step * place for place, n in enumerate(sorted(inside))})
    done = []
    for block in problem.blocks:
        for spot in block.foils:
            for band in block.bands:
                vol, after = _poured(work, block, band, work.bowls[spot.number])
                inside_min = outs[spot.number] - work.clock.starts[spot.number] - after
                done.append(Done(spot, band, vol, max(0.0, inside_min)))
    return weigh(problem, done, work.clock.rinse)


def is_as_good(own: Value, found: Value, alike: float) -> bool:
    """Say whether a way is as good as another to an eye and a hand at the chair.

    Parameters
    ----------
    alike : burdens nearer than this are alike, minutes at 6 %
    """
    seen = constants()["way_worth_stage"].value
    if own.past_label != found.past_label:
        return own.past_label < found.past_label
    return (
        own.past_aim + own.short < found.past_aim + found.short + seen
        and own.burden < found.burden + alike
    )


def by_search(
    c: Consultation,
    head: HeadReading,
    foils: FoilMap,
    asked: Asked,
    ruled: FoilWork,
    bench: Bench,
    drawn: Mapping[str, Floats],
) -> FoilWork | None:
    """Work the foils as the search finds best.

    Parameters
    ----------
    ruled : by her rule; its strengths are tried too

    Returns
    -------
    FoilWork, or None where her rule is as good, or where dark old colour takes a bowl of its own:
    its foils are of two bowls each, and stay with the rule
    """
    if asked.dark:
        return None
    problem = problem_for(head, foils, asked, ruled, bench, drawn, helper=c.limits.helper)
    timing = timing_of(search(problem))
    own = worth_of(problem, ruled)
    if timing.value.past_label > 0 or is_as_good(own, timing.value, problem.wishes.alike):
        return None
    return _work_of(timing, problem, head, asked, ruled, bench, drawn)


def _work_of(
    timing: Timing,
    problem: Problem,
    head: HeadReading,
    asked: Asked,
    ruled: FoilWork,
    bench: Bench,
    drawn: Mapping[str, Floats],
) -> FoilWork:
    vols = sorted({one.vol for one in timing.poured if one.vol != COLOUR_VOL})
    name_of = _names(timing)
    of_block = {one.block: name_of[one.vol] for one in timing.poured}
    bowls = {spot.number: of_block[b.name] for b in problem.blocks for spot in b.foils}
    chosen = bench.with_own({"weak_vol": vols[0], "main_vol": vols[-1]})
    weak_on = "first" if len(vols) > 1 else "none"
    inside = _mean_minutes(timing, problem)
    doses = tuple(
        taken_out(replace(dose, why=WHY), inside[dose.bowl], drawn)
        for dose in set_strengths(foiled_of(head), replace(asked, weak_on=weak_on), chosen, drawn)
    )
    first_check = min(wait.first_check_min for n, wait in ruled.waits.items() if n != "lowlight")
    waits = waits_of(doses, first_check, asked.label_max_min)
    if "lowlight" in ruled.waits:
        waits["lowlight"] = ruled.waits["lowlight"]
    called = {f"{vol:g} vol": name for vol, name in name_of.items()}
    clock = replace(
        timing.clock,
        groups=tuple(replace(g, bowl=called[g.bowl]) for g in timing.clock.groups),
        bowls={called[name]: count for name, count in timing.clock.bowls.items()},
    )
    return FoilWork(doses, bowls, waits, clock)


def _names(timing: Timing) -> dict[float, str]:
    """Give the name of the bowl of each strength."""
    vols = sorted({one.vol for one in timing.poured if one.vol != COLOUR_VOL})
    return {COLOUR_VOL: "lowlight", vols[0]: "weak", vols[-1]: "main"}


def _mean_minutes(timing: Timing, problem: Problem) -> dict[str, float]:
    """Give the mean minutes that the foils of each bowl are in."""
    count = {block.name: len(block.foils) for block in problem.blocks}
    sums: dict[str, tuple[float, int]] = {}
    for one in timing.poured:
        name, n = _names(timing)[one.vol], count[one.block]
        total, foils = sums.get(name, (0.0, 0))
        sums[name] = (total + n * sum(one.in_min) / 2, foils + n)
    return {name: total / foils for name, (total, foils) in sums.items()}


def _poured(work: FoilWork, block: Block, band: Band, bowl: str) -> tuple[float, float]:
    """Give the strength and the delay that the work has for a band, vol as the band knows it."""
    if bowl == "lowlight":
        return COLOUR_VOL, 0.0
    apart = len(block.bands) > 1
    of_band = ("strong", "main") if apart else (bowl,)
    dose = next(
        dose
        for dose in work.doses
        if dose.bowl in of_band and (dose.band == band.name or not apart)
    )
    vol = next(c.vol for c in band.choices if abs(c.vol - dose.mix.poured_vol) <= SAME)
    return vol, dose.after_min
