"""What the strands of a head cost: to derive, and to know the past of each stretch on a date.

Run it alone or by `./dev bench`. Medians of runs in one process; the plain twin walks strand by
strand over the head's history, on fewer strands, and is scaled.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np
from _clock import median_ms

from strandline.science.head.history import Treatment, segments
from strandline.science.head.on_date import Done, pasts_on
from strandline.science.head.strands import Grown, Strands, derive, key_of
from strandline.science.head.zones import cut_zones

STRANDS, STRETCHES, DAY, LENGTH_CM = 100_000, 40, 252.0, 30.0
PLAIN = 2_000
AIM_MS, AIM_MB = 80.0, 300.0


def rounds(strands: Strands) -> list[Done]:
    """Make nine treatments: old colour, and three visits of foils, shadow and gloss."""
    rng, every = np.random.default_rng(1), np.ones(len(strands), dtype=bool)
    done = [Done(-400.0, 2.0, np.inf, every, "old colour")]
    for day in (0.0, 84.0, 168.0):
        done += [
            Done(day, 0.0, np.inf, rng.random(len(strands)) < 0.25, "foils"),
            Done(day, 0.0, 3.0, every, "shadow"),
            Done(day, 3.0, np.inf, every, "gloss"),
        ]
    return done[:9]


def plainly(strands: Strands, done: list[Done]) -> None:
    """Walk the first strands one by one."""
    middles = (np.arange(STRETCHES) + 0.5) * LENGTH_CM / STRETCHES
    for i in range(PLAIN):
        past = [
            Treatment(one.day, one.from_cm, one.to_cm, k)
            for k, one in enumerate(done)
            if one.taken[i]
        ]
        cut = segments(past, DAY, float(strands.growth_um_per_day[i]), LENGTH_CM)
        [next(s for s in cut if s.from_cm <= m < s.to_cm).treatments for m in middles]


def main() -> int:
    """Measure and give the exit code: 1 where memory is over its aim, never for a time."""
    zones = cut_zones()
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    strands = derive(zones, grown, key_of("a head"), STRANDS)
    made = median_ms(lambda: derive(zones, grown, key_of("a head"), STRANDS))
    done = rounds(strands)
    whole = median_ms(lambda: pasts_on(strands, done, DAY, LENGTH_CM, STRETCHES))
    alone = median_ms(
        lambda: pasts_on(strands, done, DAY, LENGTH_CM, STRETCHES), clock=time.process_time
    )
    plain = median_ms(lambda: plainly(strands, done), 3) * STRANDS / PLAIN
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    states = len(pasts_on(strands, done, DAY, LENGTH_CM, STRETCHES).white)
    print(f"{STRANDS:,} strands derived: {made:.0f} ms")
    print(
        f"{STRANDS:,} x {STRETCHES} stretches, {len(done)} treatments, {states} states: "
        f"{whole:.0f} ms, of the processor {alone:.0f} ms (aim under {AIM_MS:g})"
    )
    print(f"strand by strand, from {PLAIN:,}: {plain:.0f} ms, {plain / whole:.0f} x")
    print(f"memory at most {memory:.0f} MB (aim under {AIM_MB:g})")
    return 0 if memory < AIM_MB else 1


if __name__ == "__main__":
    sys.exit(main())
