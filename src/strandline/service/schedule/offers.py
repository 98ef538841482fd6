"""The ways out that are tried: each a changed problem, solved."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from strandline.service.schedule.blocks import Band, Choice
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.wayout import Solver, Way

Offer = Callable[[Problem, Solver], list[Way]]


def wipe_groups(problem: Problem, solver: Solver) -> list[Way]:
    """Let every block be wiped by itself."""
    if problem.most_wipes is None or problem.most_wipes >= len(problem.blocks):
        return []
    changed = replace(problem, most_wipes=None)
    return [solver.way("wipe groups", "Wipe what is due with a damp towel.", changed)]


def two_rinses(problem: Problem, solver: Solver) -> list[Way]:
    """Rinse some blocks first while the rest works on."""
    if problem.rinses > 1:
        return []
    what = "Rinse what is due first at the basin, the rest later."
    return [solver.way("two rinses", what, replace(problem, rinses=2))]


def helper(problem: Problem, solver: Solver) -> list[Way]:
    """Take a second pair of hands, that wipes while she places."""
    if problem.hands.helper:
        return []
    hands = replace(problem.hands, helper=True)
    changed = replace(problem, hands=hands, most_wipes=None)
    return [solver.way("helper", "A helper hands foils, and wipes what is due.", changed)]


def order(problem: Problem, solver: Solver) -> list[Way]:
    """Work in an order outside her usual run."""
    if not problem.other_orders:
        return []
    changed = replace(problem, orders=(*problem.run, *problem.other_orders), other_orders=())
    way = solver.way("order", "", changed)
    what = f"Work in this order: {', '.join(way.timings[0].order)}."
    return [replace(way, what=what)]


def fewer_foils(problem: Problem, solver: Solver) -> list[Way]:
    """Leave out foils, as few as meet the aims, or all that may be left out.

    One after the other is taken from the longest block that can spare one. The number is halved
    in on: that fewer would not do is likely, not proven; that so many do is.
    """
    most = sum(block.may_drop for block in problem.blocks)
    few, many = 0, min(most, sum(len(block.foils) for block in problem.blocks) - 1)
    if many <= 0:
        return []
    way = _dropped(problem, many, solver)
    while way.value.meets and many - few > 1 and not solver.stop():
        middle = (few + many) // 2
        other = _dropped(problem, middle, solver)
        if other.value.meets:
            way, many = other, middle
        else:
            few = middle
    return [way]


def _dropped(problem: Problem, count: int, solver: Solver) -> Way:
    left = [len(block.foils) for block in problem.blocks]
    spare = [block.may_drop for block in problem.blocks]
    for _ in range(count):
        b = max((b for b, n in enumerate(spare) if n), key=lambda b: (left[b], b))
        left[b] -= 1
        spare[b] -= 1
    gone = [
        f"{len(block.foils) - n} of {block.name}"
        for block, n in zip(problem.blocks, left, strict=True)
        if n < len(block.foils)
    ]
    what = f"Leave out {count} foils: {', '.join(gone)}."
    return solver.way("fewer foils", what, part(problem, left))


def another_day(problem: Problem, solver: Solver) -> list[Way]:
    """Do some blocks today and the rest another day, cut where it is worth most.

    What shows belongs to the first day: then the first blocks of the usual run wait.
    """
    usual, ways = problem.run[0], []
    sizes = [len(block.foils) for block in problem.blocks]
    front_first = any(block.shows for block in problem.blocks)
    for cut in range(1, len(usual)):
        if solver.stop():
            break
        first = usual[cut:] if front_first else usual[:cut]
        if any(block.shows and b not in first for b, block in enumerate(problem.blocks)):
            continue
        today = [n if b in first else 0 for b, n in enumerate(sizes)]
        later = [n - t for n, t in zip(sizes, today, strict=True)]
        names = ", ".join(problem.blocks[b].name for b in usual if b not in first)
        what = f"Another day for {names}."
        days = part(problem, today), part(problem, later)
        ways.append(solver.way("another day", what, *days))
    return [min(ways, key=lambda way: way.value)] if ways else []


LOWER_STAGE = 0.5
"""What a lower aim gives up; a tone half a level deeper covers it; common practice, no source."""


def lower_aim(problem: Problem, solver: Solver) -> list[Way]:
    """Aim half a stage lower everywhere, and tone deeper."""

    def lower(band: Band) -> Band:
        aim = band.aim_stage - LOWER_STAGE
        choices = tuple(replace(c, minutes_to_aim=first_at(c, aim)) for c in band.choices)
        return replace(
            band, aim_stage=aim, choices=choices, together=tuple(map(lower, band.together))
        )

    blocks = tuple(
        replace(
            block,
            bands=tuple(lower(band) if block.may_wipe else band for band in block.bands),
        )
        for block in problem.blocks
    )
    what = f"Aim {LOWER_STAGE:g} of a stage lower, and tone that much deeper."
    return [solver.way("lower aim", what, replace(problem, blocks=blocks))]


def first_at(choice: Choice, aim: float) -> float:
    """Give the first minute at which the median is at an aim; infinite where it never is."""
    if choice.middle[-1] < aim:
        return math.inf
    at = int(np.argmax(choice.middle >= aim))
    if at == 0:
        return 0.0
    rise = choice.middle[at] - choice.middle[at - 1]
    share = (aim - choice.middle[at - 1]) / rise
    minutes = choice.minutes
    return float(minutes[at - 1] + share * (minutes[at] - minutes[at - 1]))


def part(problem: Problem, foils: Sequence[int]) -> Problem:
    """Give a head with so many foils left of each block, blocks of none left out."""
    kept = [b for b, n in enumerate(foils) if n]
    blocks = tuple(
        replace(
            problem.blocks[b],
            foils=problem.blocks[b].foils[: foils[b]],
            may_drop=max(0, problem.blocks[b].may_drop - len(problem.blocks[b].foils) + foils[b]),
        )
        for b in kept
    )
    orders = dict.fromkeys(tuple(kept.index(b) for b in one if b in kept) for one in problem.run)
    return replace(problem, blocks=blocks, orders=tuple(orders), other_orders=())


OFFERS: tuple[Offer, ...] = (
    wipe_groups,
    two_rinses,
    helper,
    order,
    fewer_foils,
    lower_aim,
    another_day,
)
