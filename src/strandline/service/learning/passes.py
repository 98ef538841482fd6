"""One pass over the observations of a visit: a normal law moved by one reading after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from strandline.service.learning.observation import Observation

Floats = NDArray[np.float64]
Weighed = tuple[Observation, float]


@dataclass
class State:
    """A normal law under way.

    Parameters
    ----------
    mean : shape (K,)
    cov : shape (K, K)
    distance : sum of squared steps, each over its predicted variance [1]
    count : readings that moved it
    """

    mean: Floats
    cov: Floats
    distance: float = 0.0
    count: int = 0

    def move(self, row: Floats, reading: float, noise: float) -> None:
        """Condition on reading = row . unknowns + error of variance `noise`, above 0."""
        p = self.cov @ row
        predicted = float(row @ p) + noise
        step = reading - float(row @ self.mean)
        self.mean = self.mean + p * (step / predicted)
        self.cov = self.cov - np.outer(p, p) / predicted
        self.distance += step * step / predicted
        self.count += 1

    def violation(self, one: Observation) -> float:
        """By how many of its sd the mean violates a one-sided observation; below 0 not at all."""
        return one.bound * (one.reading - float(one.full_row @ self.mean)) / one.sd


def by_foil(told: Sequence[Observation]) -> list[Observation]:
    """Put ordinary observations by foil, foils as they first come, then one-sided ones."""
    ordinary = [one for one in told if not one.bound]
    first: dict[int, int] = {}
    for one in ordinary:
        first.setdefault(one.foil, len(first))
    by_first = sorted(ordinary, key=lambda one: first[one.foil])
    return by_first + [one for one in told if one.bound]


def one_pass(mean: Floats, cov: Floats, weighed: Sequence[Weighed], s2: float) -> State:
    """Move a normal law by weighed observations.

    Parameters
    ----------
    mean, cov : shapes (K,), (K, K), before
    weighed : observations in the order of `by_foil`, each with its weight, above 0
    s2 : variance of a foil's own rate

    Returns
    -------
    State   after; one-sided observations moved it only where its mean violates them

    Notes
    -----
    The mean is the least of a convex sum of squares, one-sided for one-sided observations; the
    set that binds is found by taking the most violated first and leaving out what no longer binds.
    """
    ordinary = [pair for pair in weighed if not pair[0].bound]
    sided = [pair for pair in weighed if pair[0].bound]
    after = State(mean, cov)
    for _, group in groupby(ordinary, key=lambda pair: pair[0].foil):
        _take_foil(after, list(group), s2)
    while True:
        state = State(after.mean, after.cov, after.distance, after.count)
        taken = _take_sided(state, sided, s2)
        loose = [pair for pair in taken if state.violation(pair[0]) <= 0]
        if not loose:
            return state
        sided = [pair for pair in sided if not any(pair is one for one in loose)]


def _take_foil(state: State, group: list[Weighed], s2: float) -> None:
    """Take the ordinary observations of one foil, its own rate a further unknown meanwhile."""
    k = state.mean.size
    wider = np.zeros((k + 1, k + 1))
    wider[:k, :k], wider[k, k] = state.cov, s2
    state.mean, state.cov = np.append(state.mean, 0.0), wider
    for one, weight in group:
        state.move(np.append(one.full_row, 1.0), one.reading, one.sd * one.sd / weight)
    state.mean, state.cov = state.mean[:k].copy(), state.cov[:k, :k].copy()


def _take_sided(state: State, sided: list[Weighed], s2: float) -> list[Weighed]:
    """Take one-sided observations while one is violated, the most violated first."""
    left, taken = list(sided), []
    while left:
        most = max(left, key=lambda pair: state.violation(pair[0]))
        if state.violation(most[0]) <= 0:
            break
        one, weight = most
        state.move(one.full_row, one.reading, one.sd * one.sd / weight + s2)
        taken.append(most)
        left = [pair for pair in left if pair is not most]
    return taken
