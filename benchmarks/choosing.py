"""How long a choice of plans takes to find and to prove, on heads that grow, and on the examples.

Run it alone or by `./dev bench`. Times are medians of runs in one process; they say nothing about
another machine. The exit code is 1 where a search is not proven, where it differs from a walk of
every way, or where the cost of the table grows faster than its foils; never for a time.
"""

from __future__ import annotations

import itertools
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

from strandline.service.choose.kinds import lesser, thorough
from strandline.service.choose.options import options_for
from strandline.service.choose.problem import Bound, Problem
from strandline.service.choose.solve import best
from strandline.service.choose.weights import Limits
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import Made, make_plan
from strandline.service.plan.choices import choices_of, lay_all
from strandline.service.plan.placing import layer_of
from strandline.service.plan.ways import make_ways

RUNS = 5
EXAMPLES = Path(__file__).parent.parent / "examples"
HEADS = ("noor", "brona", "ilse", "junia", "lorna", "mirela")
MOST_GROWTH = 1.5
"""Of the work for a foil, from the fewest to the most foils: above it the cost is not linear."""


def medians(run: Callable[[], object]) -> float:
    """Give the median time of some runs after one that warms, ms."""
    run()
    took = []
    for _ in range(RUNS):
        start = time.perf_counter()
        run()
        took.append(1e3 * (time.perf_counter() - start))
    return statistics.median(took)


def work_of(run: Callable[[], object]) -> float:
    """Give the least work of some runs, ms of the processor: other programs hardly count in it."""
    took = []
    for _ in range(RUNS):
        start = time.process_time()
        run()
        took.append(1e3 * (time.process_time() - start))
    return min(took)


def invented(places: int, choices: int) -> Problem:
    """Make a head of places whose worth falls off and whose costs are near each other."""
    draw = np.random.default_rng(places * 100 + choices)
    foils = [np.sort(draw.integers(0, 20, choices)).astype(float) for _ in range(places)]
    worth = tuple(np.sqrt(f) * draw.uniform(0.5, 2.0) for f in foils)
    minutes = tuple(f * draw.uniform(1.0, 1.6) for f in foils)
    money = tuple(f * draw.uniform(0.6, 1.4) for f in foils)
    whole = sum(float(f.max()) for f in foils)
    limits = (Bound("minutes", minutes, most=0.6 * whole), Bound("money", money, most=0.5 * whole))
    return Problem(worth, limits)


def walked(problem: Problem) -> float:
    """Give the most worth within all bounds by looking at every way."""
    ways = itertools.product(*(range(size) for size in problem.sizes))
    return max(problem.worth_of(picks) for picks in ways if problem.keeps(picks))


def made(name: str) -> Made:
    """Plan an example by her rules."""
    path = EXAMPLES / f"{name}.toml"
    c = read_consultation(
        path.read_bytes(), path.name, beside=lambda other: (EXAMPLES / other).read_bytes()
    )
    if c.visit.date is None:
        raise SystemExit(f"{name} has no date.")
    return make_plan(c, c.visit.date)


def growing() -> bool:
    """Time invented heads as they grow, the small ones against every way."""
    well = True
    print(f"{'places x choices':<20}{'ways':>24}{'median':>10}{'gap':>12}{'against every way':>20}")
    for places, choices in ((3, 8), (4, 12), (5, 10), (8, 16), (10, 25), (14, 30), (20, 30)):
        problem = invented(places, choices)
        found = best(problem)
        if found is None:
            return False
        took = medians(partial(best, problem))
        said = ""
        if problem.ways <= 100_000:
            off = abs(found.worth - walked(problem))
            said = f"{off:.1e} off"
            well = well and off < 1e-6
        well = well and found.gap < 1e-6
        size = f"{places} x {choices}"
        print(f"{size:<20}{problem.ways:>24,}{took:>7.0f} ms{found.gap:>12.1e}{said:>20}")
    return well


def foils_cost() -> bool:
    """Time the table of a head against the number of foils that it lays."""
    one = made("noor")
    layer = layer_of(one.consultation, one.head, one.technique, one.bench, None)
    options = options_for("light", {}, tips=False, company=False)
    rates = []
    print(f"{'foils laid for the table':<30}{'work':>10}{'a foil':>12}")
    for share in (0.25, 0.5, 0.75, 1.0):
        some = {zone: of[: 1 + round(share * (len(of) - 1))] for zone, of in options.items()}
        laid = lay_all(layer, some)
        count = sum(len(foils) for of in laid.values() for foils in of.values())
        took = work_of(partial(lay_all, layer, some))
        rates.append(took / count)
        print(f"{count:<30}{took:>7.0f} ms{1e3 * took / count:>9.0f} us")
    return rates[-1] <= MOST_GROWTH * rates[0]


def examples() -> bool:
    """Time the examples: table, kinds, and all plans assembled."""
    well = True
    print(
        f"{'head':<10}{'choices':>8}{'ways':>12}{'table':>10}{'thorough':>10}{'all plans':>12}"
        f"{'gap':>26}"
    )
    for name in HEADS:
        one = made(name)
        c, choices = one.consultation, choices_of(one)
        table = medians(partial(choices_of, one))
        limits = replace(Limits(), minutes=choices.limits.minutes - 130)
        weighs = choices.wished.soft_weighs
        most = thorough(choices.table, limits, weighs)
        if most is None:
            return False
        found = [most, lesser("balanced", choices.table, limits, most, weighs)]
        gap = max(pick.gap for pick in found if pick is not None)
        well = well and gap < 1e-6
        kinds = medians(partial(thorough, choices.table, limits, weighs))
        start, cpu = time.perf_counter(), time.process_time()
        make_ways(c, one.plan.date)
        whole, cpu = time.perf_counter() - start, time.process_time() - cpu
        count = sum(len(of) for of in choices.table.values())
        ways = float(np.prod([float(len(of)) for of in choices.table.values()]))
        print(
            f"{name:<10}{count:>8}{ways:>12.1e}{table:>7.0f} ms{kinds:>7.0f} ms"
            f"{whole:>9.1f} s ({cpu:.1f} s of work){gap:>10.1e}"
        )
    return well


def main() -> int:
    """Measure all and give the exit code."""
    proven = growing()
    print()
    linear = foils_cost()
    print()
    return 0 if examples() and proven and linear else 1


if __name__ == "__main__":
    sys.exit(main())
