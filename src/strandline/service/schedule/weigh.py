"""A way to do a head that was not searched, weighed as the search weighs its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from strandline.service.schedule.blocks import Band, Spot
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.value import BURDEN, COSTS, MILLIONTHS, Value, costs_of, value_from


@dataclass(frozen=True, eq=False)
class Done:
    """A foil as it was, or will be: its hair, the strength on it, how long it is in, min, >= 0."""

    foil: Spot
    band: Band
    vol: float
    in_min: float


def weigh(problem: Problem, done: Sequence[Done], rinse_min: float) -> Value:
    """Say what a way to do a head is worth.

    Parameters
    ----------
    problem : for what counts as there, and what her time weighs
    done : every foil, in the order of work; strengths that its band may get
    rinse_min : when the last rinse begins, from the first parting

    Returns
    -------
    Value   to be compared with a timing's of the same head

    Raises
    ------
    StopIteration   a strength that a band may not get
    """
    whole = np.zeros(COSTS, dtype=np.int64)
    grams = 0
    for one in done:
        seconds = np.array([max(0, round(60 * one.in_min))])
        costs = costs_of(one.band, one.vol, problem.wishes, seconds)[0]
        weight = max(1, round(1000 * one.foil.grams * one.band.share_of_all))
        whole[0] += costs[0]
        whole[1:] += weight * costs[1:]
        grams += weight
    chair = round(problem.wishes.chair_dose / 60 * MILLIONTHS * grams)
    whole[BURDEN] += chair * round(60 * rinse_min)
    vols = tuple(dict.fromkeys(one.vol for one in done))
    return value_from(whole.tolist(), grams, len(set(vols)), vols)
