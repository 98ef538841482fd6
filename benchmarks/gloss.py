"""The search for a bowl against looking at every recipe, and what finer steps would gain.

Run it alone or by `./dev bench`. Shelves are drawn by chance from one kind, so that every three of
their shades may meet. The exit code is 1 where the search misses what the walk finds, never for
a time.

What is walked: one to three shades in the whole parts of `gloss_rules.toml`, eight steps of clear,
half a part the finest, eight minutes. Every composition in quarters of a bowl is among them but
those past 4:1; in all whole parts to four there are three times as many triples. The last table
says what those would gain.
"""

from __future__ import annotations

import itertools
import math
import sys
import time
from collections.abc import Sequence

import numpy as np

from strandline.science.hair.absorbers import ground_of
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.mixtures import Colour, mixtures, strengths
from strandline.service.formulate.rules import Steps, clocks, steps
from strandline.service.formulate.search import Blocks, look_at_all, search
from strandline.service.formulate.solver import shade_dyes

KIND, LABEL_MIN = "acid demi", 20.0
REFLECTS = ("neutral", "ash", "violet", "gold", "copper", "mahogany")
GROUNDS = {
    "pale yellow": ((71.2, 1.9, 18.0), (64.0, 0.0, 5.0)),
    "yellow-orange": ((60.0, 8.0, 28.0), (54.0, 3.0, 12.0)),
}
MOST_PART = 4


def shelf(count: int, seed: int) -> list[Colour]:
    """Draw shades of one kind by chance."""
    rng = np.random.default_rng(seed)
    shades = [
        GlossShade(
            name=f"shade {number}",
            depth=float(rng.choice([6, 7, 8, 8.5, 9, 9.5, 10])),
            reflect=str(rng.choice(REFLECTS)),
            second=rng.choice([None, *REFLECTS]),
            strength=float(rng.uniform(0.7, 1.4)),
        )
        for number in range(count)
    ]
    return [Colour(np.array(shade_dyes(one, "stage")), KIND, LABEL_MIN) for one in shades]


def finer() -> Steps:
    """Give every composition in whole parts up to `MOST_PART`, and the same clears."""
    every = [
        [
            tuple(float(x) for x in parts)
            for parts in itertools.product(range(1, MOST_PART + 1), repeat=count)
            if math.gcd(*parts) == 1
        ]
        for count in (2, 3)
    ]
    pairs, triples = (
        (*listed, *every_one) for listed, every_one in zip(_listed(), every, strict=True)
    )
    return Steps(tuple(dict.fromkeys(pairs)), tuple(dict.fromkeys(triples)), steps().clears)


def _listed() -> tuple[tuple[tuple[float, ...], ...], tuple[tuple[float, ...], ...]]:
    return steps().pairs, steps().triples


def blocks(colours: Sequence[Colour], ground: Ground, weighed: Steps) -> Blocks:
    """Give the mixtures of a shelf with their strengths, on one ground."""
    minutes = [one for one in clocks()[KIND].steps if one <= LABEL_MIN]
    by = strengths(KIND, LABEL_MIN, minutes, weighed.clears)
    return (((ground,), block, by) for block in mixtures(colours, weighed, violet_first=False))


def main() -> int:
    """Measure both, and say where they differ."""
    missed = 0
    print("shades  ground         recipes     looked at  search, s  walk, s  dE00")
    for count, seed in ((12, 1), (20, 2), (30, 3)):
        for name, (hair, aim) in GROUNDS.items():
            ground = Ground(ground_of(hair).ks[None], np.ones(1), np.ones(1), np.array(aim))
            colours = shelf(count, seed)
            start = time.perf_counter()
            found, looked = search(blocks(colours, ground, steps()))
            between = time.perf_counter()
            walked, every = look_at_all(blocks(colours, ground, steps()))
            end = time.perf_counter()
            missed += found != walked
            away = min(one.away for one in found.values())
            print(
                f"{count:6d}  {name:13s}{every:9d}  {looked:9d} ({looked / every:4.0%})"
                f"  {between - start:8.2f}  {end - between:7.1f}  {away:.3f}"
            )
    print("finer parts: triples, dE00 as listed and finer")
    for seed in range(4):
        for name, (hair, aim) in GROUNDS.items():
            ground = Ground(ground_of(hair).ks[None], np.ones(1), np.ones(1), np.array(aim))
            both = [
                min(one.away for one in search(blocks(shelf(12, seed), ground, way))[0].values())
                for way in (steps(), finer())
            ]
            print(f"  {name:13s} shelf {seed}: {both[0]:.3f} {both[1]:.3f}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
