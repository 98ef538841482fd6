"""How benchmarks time: the median of several runs after one that warms."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable


def median_ms(
    run: Callable[[], object], times: int = 5, clock: Callable[[], float] = time.perf_counter
) -> float:
    """Time a run after one that warms it, ms."""
    run()
    took = []
    for _ in range(times):
        start = clock()
        run()
        took.append(1e3 * (clock() - start))
    return statistics.median(took)
