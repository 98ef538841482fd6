"""How long the best timing of a head takes to find and to prove, on invented heads.

Run it alone or by `./dev bench`. Times are medians of runs in one process; they say nothing about
another machine. The exit code is 1 where a search did not come to its end, never for a time.
"""

from __future__ import annotations

import itertools
import math
import statistics
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from strandline.base.draws import draws
from strandline.science.chemistry.developer import poured_strengths
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.service.consultation.model import Band as Worn
from strandline.service.formulate.curves import ground_of
from strandline.service.formulate.lightening import lift_ground
from strandline.service.plan.timed import choice_of
from strandline.service.practice.bench import default_bench
from strandline.service.schedule.blocks import Band, Block, Spot
from strandline.service.schedule.problem import Problem, hands_of
from strandline.service.schedule.search import search
from strandline.service.schedule.ways import time_head

RUNS = 5
LABEL_MIN = 50.0
VOLS = tuple(poured_strengths([20, 5]))


@cache
def band(name: str, level: float, aim: float, cover: float | None = None) -> Band:
    """Make hair of a natural level or under old colour; it may get any strength of two bottles."""
    worn = None
    if cover is not None:
        worn = Worn(past="permanent", depth=cover, from_cm=2, to_cm=20)
    ground = ground_of(worn, level, 0.4)
    choices = tuple(
        choice_of(vol, lift_ground(ground, vol, draws(LIFT_DRAWS), longest_min=LABEL_MIN), aim)
        for vol in VOLS
    )
    return Band(name, aim, choices, LABEL_MIN)


def head(
    foils: int, bands: Sequence[tuple[Band, ...]], *, helper: bool = False, strengths: int = 2
) -> Problem:
    """Make a head of foils shared out over blocks."""
    ends = [round(foils * b / len(bands)) for b in range(len(bands) + 1)]
    blocks = tuple(
        Block(
            f"block {b + 1}",
            f"section {b + 1}",
            tuple(Spot(n + 1, 75.0, 0.6) for n in range(a, z)),
            bands[b],
        )
        for b, (a, z) in enumerate(itertools.pairwise(ends))
    )
    return Problem(blocks, hands_of(default_bench(), helper=helper), most_strengths=strengths)


def heads() -> dict[str, Problem]:
    """Make the heads that are measured."""
    dark, white = (band("dark", 6, 9.0),), (band("white", 7, 9.5),)
    old = replace(band("old colour", 8, 9.0, 4), share=0.6)
    regrowth = replace(band("regrowth", 8, 9.0), share=0.4, after_min=(0.0, 12.0))
    mixed = [white, *[dark] * 6, white]
    turned = head(90, mixed)
    two = (tuple(range(8)), (0, 4, 5, 6, 1, 2, 3, 7))
    return {
        "30 foils, 4 blocks": head(30, [dark] * 4),
        "60 foils, 6 blocks": head(60, [white, *[dark] * 4, white]),
        "90 foils, 8 blocks": head(90, mixed),
        "90 foils, 8 blocks, one rinse, no wipes": replace(turned, most_wipes=0),
        "90 foils, 8 blocks, two rinses": replace(turned, rinses=2),
        "90 foils, 8 blocks, two orders": replace(turned, orders=two),
        "90 foils, 8 blocks, a helper": head(90, mixed, helper=True),
        "90 foils, 10 blocks, a helper": head(90, [white, *[dark] * 8, white], helper=True),
        "90 foils, 8 blocks, three strengths": head(90, mixed, strengths=3),
        "72 foils, old colour under 27, three": head(
            72, [white, *[(old, regrowth)] * 3, *[dark] * 3, white], strengths=3
        ),
    }


def ways(problem: Problem) -> int:
    """Count the ways there are: strengths and delays, how each block comes out, orders."""

    def within(vols: tuple[float, ...]) -> int:
        count = 1
        for block in problem.blocks:
            for each in block.bands:
                count *= len(each.after_min) * sum(c.vol in vols for c in each.choices)
        return count

    def exactly(vols: tuple[float, ...]) -> int:
        return sum(
            (1 if (len(vols) - size) % 2 == 0 else -1) * within(some)
            for size in range(1, len(vols) + 1)
            for some in itertools.combinations(vols, size)
        )

    poured = sum(
        exactly(vols)
        for size in range(1, problem.most_strengths + 1)
        for vols in itertools.combinations(problem.vols, size)
    )
    blocks = len(problem.blocks)
    most = blocks if problem.most_wipes is None else problem.most_wipes
    outs = sum(math.comb(blocks, n) * int(problem.rinses ** (blocks - n)) for n in range(most + 1))
    return poured * outs * len(problem.run)


def main() -> int:
    """Measure all and give the exit code."""
    proven = True
    print(f"{'head':<42}{'ways':>17}{'walked':>10}{'median':>10}{'longest':>10}")
    for name, problem in heads().items():
        took = []
        for _ in range(RUNS):
            start = time.perf_counter()
            found = search(problem)
            took.append(1e3 * (time.perf_counter() - start))
        proven = proven and found.proven
        print(
            f"{name:<42}{ways(problem):>17,}{found.walked:>10,}"
            f"{statistics.median(took):>7.0f} ms{max(took):>7.0f} ms"
        )
    start = time.perf_counter()
    timed = time_head(heads()["90 foils, 8 blocks, one rinse, no wipes"])
    print(
        f"90 foils that cannot be timed: {len(timed.binding)} bonds and {len(timed.ways)} ways out "
        f"in {1e3 * (time.perf_counter() - start):.0f} ms"
    )
    return 0 if proven and timed.complete else 1


if __name__ == "__main__":
    sys.exit(main())
