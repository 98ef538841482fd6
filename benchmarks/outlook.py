"""How soon a plan stands at the sixth answer, and how soon its ranges are whole."""

from __future__ import annotations

import datetime as dt
import statistics
import time
import tomllib
from pathlib import Path

from strandline.base.remembered import forget
from strandline.service.consultation.entry.answers import Answers
from strandline.service.plan.outcome import outcome_of
from strandline.service.plan.outlook import outlooks

DAY = dt.date(2026, 12, 3)
PRACTICE = tomllib.loads(
    (Path(__file__).parents[1] / "examples" / "practice.toml").read_text("utf-8")
)
BASE = {"client": {"name": "Wren Halloway", "age": 49}, **PRACTICE}
SIX = {
    "gray.front": 75,
    "level.front": 5,
    "regrowth.front": 2,
    "cover.kind": "salon",
    "cover.depth": 5,
    "light.where": "none",
    "strand": "medium",
}
RUNS = 3
NAMES = ("stands", "whole", "next stands", "next whole")


def main() -> None:
    """Time the sixth answer from nothing remembered, then the seventh."""
    rows = [timed() for _ in range(RUNS)]
    for name, column in zip(NAMES, zip(*rows, strict=True), strict=True):
        print(f"{name}: {1e3 * statistics.median(column):.0f} ms (median of {RUNS})")


def timed() -> tuple[float, float, float, float]:
    """Give seconds to the first and the last outlook, at six answers and at seven."""
    forget()
    six = Answers().with_(SIX)
    return (*_run(six), *_run(six.with_({"ponytail": "thick"})))


def _run(answers: Answers) -> tuple[float, float]:
    start = time.perf_counter()
    first = 0.0
    for outlook in outlooks(answers, BASE, DAY, lambda c: outcome_of(c, DAY)):
        if outlook.done == 1:
            first = time.perf_counter() - start
    return first, time.perf_counter() - start


if __name__ == "__main__":
    main()
