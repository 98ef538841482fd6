"""Every way to choose, looked at one by one; it shares nothing with the search but its input."""

from __future__ import annotations

import itertools


def best_by_walk(problem):
    """Give the most worth within all bounds, or None where nothing keeps them."""
    most = None
    for picks in itertools.product(*(range(one.size) for one in problem.worth)):
        kept = True
        for bound in problem.bounds:
            total = 0.0
            for place, k in enumerate(picks):
                total += float(bound.adds[place][k])
            total += to_tops(bound.tops, picks)
            kept = kept and bound.least - 1e-6 <= total <= bound.most + 1e-6
        if kept:
            worth = sum(float(problem.worth[place][k]) for place, k in enumerate(picks))
            worth += to_tops(problem.tops, picks)
            most = worth if most is None or worth > most else most
    return most


def to_tops(tops, picks):
    """Add up what counts no further than its top."""
    total = 0.0
    for weight, top in tops:
        total += weight * min(top.most, sum(float(top.adds[p][k]) for p, k in enumerate(picks)))
    return total
