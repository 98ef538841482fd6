"""Simulated practices of 200 visits: what intervals cover, how far a due time misses.

Run it alone or by `./dev bench`. It says whether learning is honest in its own arithmetic, in a
world of the model and in two that break it; it says nothing of real hair. The last rows change
one number of belief, or of the truth, at a time.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from strandline.salon.evidence.practice_run import SEEN_FROM, Run, over, practices
from strandline.salon.evidence.practice_truth import MODEL, OUTSIDE, TURNING, World
from strandline.service.learning.starting import constants

PRACTICES = 20
FEWER = 5
AIM_INSIDE, AIM_OUTSIDE, AIM_ERROR = (0.75, 0.85), 0.65, 0.5
EYE = constants()["reading_sd"].value
FIRST = slice(0, 20)
LEANS = (3, 60)


def main() -> int:
    """Print the tables."""
    start = time.perf_counter()
    print(f"{PRACTICES} practices a world; in brackets the least and most of a practice")
    for world in (MODEL, OUTSIDE, TURNING):
        report(world)
    print(f"\none number changed, {FEWER} practices each, after one and two checks, uncapped")
    for world in (MODEL, OUTSIDE, TURNING):
        row("as it is", practices(world, FEWER))
    row("an eye without slips", practices(replace(MODEL, slips=False), FEWER))
    with believing(EYE / 2):
        row("an eye twice as fine, known", practices(replace(MODEL, reading_sd=EYE / 2), FEWER))
    leaning(practices(MODEL, PRACTICES)[0])
    print(f"\n{time.perf_counter() - start:.0f} s")
    return 0


def report(world: World) -> None:
    """Print coverage and error of a world by what a clock is set on."""
    runs = practices(world, PRACTICES)
    named = {
        "80 % interval, capped": over(runs, lambda run: run.coverage(capped=True)),
        "80 % interval, uncapped": over(runs, lambda run: run.coverage(capped=False)),
        "visits, half their foils": over(runs, lambda run: run.coverage_of_visits(capped=False)),
        "mean |ln due - ln true|": over(runs, Run.error),
        "the same, first 20 visits": over(runs, lambda run: run.error(FIRST)),
        "high over low minutes": over(runs, Run.width),
    }
    print(f"\n{world.name:26s}" + "".join(f"{words:>24s}" for words in SEEN_FROM))
    for words, (middle, least, most) in named.items():
        cells = (
            f"{one:.3f} ({low:.2f}-{high:.2f})"
            for one, low, high in zip(middle, least, most, strict=True)
        )
        print(f"{words:26s}" + "".join(f"{cell:>24s}" for cell in cells))
    error = named["mean |ln due - ln true|"][0]
    low, high = AIM_INSIDE if world is MODEL else (AIM_OUTSIDE, 1.0)
    for words in ("capped", "uncapped"):
        share = named[f"80 % interval, {words}"][0][3]
        print(f"  after two checks {verdict(low <= share <= high)}: {words} {low:g}-{high:g}")
    for at in (0, 1):
        ratio = error[3] / error[at]
        print(
            f"  after two checks {verdict(ratio < AIM_ERROR)}: error {ratio:.2f} of that from "
            f"{SEEN_FROM[at]}, aim under {AIM_ERROR:g}"
        )


def verdict(held: bool) -> str:  # noqa: FBT001  # one word of one table
    """Give the word for an aim."""
    return "meets" if held else "MISSES"


def row(words: str, runs: tuple[Run, ...]) -> None:
    """Print what a change does."""
    inside, least, _ = over(runs, lambda run: run.coverage(capped=False))
    error = over(runs, Run.error)[0]
    world = runs[0].practice.world.name.removesuffix(words)
    print(
        f"{world:26s}{words:34s} inside {inside[2]:.3f} {inside[3]:.3f}, least "
        f"{least[3]:.2f}; error {error[2]:.3f} {error[3]:.3f}"
    )


@contextmanager
def believing(reading_sd: float) -> Iterator[None]:
    """Let belief stand on another error of a reading meanwhile."""
    known = constants()
    before = known["reading_sd"]
    known["reading_sd"] = replace(before, value=reading_sd)
    try:
        yield
    finally:
        known["reading_sd"] = before


def leaning(run: Run) -> None:
    """Print what products lean on."""
    print("\nwhat a product leans on, first practice of the model")
    for visits in LEANS:
        name, learnt = run.product_after(visits)
        print(
            f"{name}: {learnt.sentence} Believed {learnt.mean:+.2f} +- {learnt.sd:.2f}, "
            f"true {run.truth_of(name):+.2f}, began at {learnt.prior_sd:g}"
        )


if __name__ == "__main__":
    sys.exit(main())
