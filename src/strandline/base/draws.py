"""Fixed quasi-random normals, shared by all alternatives so that comparisons are paired."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError

Floats = NDArray[np.float64]

DRAWS = 64
"""Points of the fixed set."""


def draws(names: Sequence[str], count: int = DRAWS) -> dict[str, Floats]:
    """Give standard normals by name.

    Parameters
    ----------
    names : what is drawn, each once; the order decides the coordinates
    count : points, more than the names and at least 8

    Returns
    -------
    dict of name to shape (count,)   the same for ever: mean 0, spread 1, no correlation between
    two names, each to rounding

    Raises
    ------
    OutOfRangeError   a name given twice, or too few points

    Notes
    -----
    Additive recurrence with the generalised golden ratio, half a step in: point i, coordinate j
    is (1/2 + i / g^(j+1)) mod 1. Each coordinate is replaced by its ranks and goes through the
    normal's inverse distribution; what 64 points leave of correlation is then taken out in the
    order of the names, so that spreads add up as the law says. Not valid for tails beyond
    about 2.4 sd.

    References
    ----------
    roberts2018
    """
    _check(names, count)
    ratio = _golden(len(names))
    steps = np.arange(1, count + 1)
    inverse = NormalDist().inv_cdf
    known: list[Floats] = []
    for j in range(1, len(names) + 1):
        uniform = (0.5 + steps / ratio**j) % 1.0
        ranked = (np.argsort(np.argsort(uniform)) + 0.5) / count
        column = np.array([inverse(float(u)) for u in ranked])
        for earlier in known:
            column = column - earlier * np.mean(column * earlier)
        column = column - np.mean(column)
        known.append(column / np.sqrt(np.mean(column**2)))
    return dict(zip(names, known, strict=True))


def _check(names: Sequence[str], count: int) -> None:
    if len(set(names)) != len(names):
        raise OutOfRangeError(
            f"A name is drawn twice among {', '.join(names)}.", "Name each draw once."
        )
    if count < max(8, len(names) + 1):
        raise OutOfRangeError(
            f"{count} points are asked for {len(names)} draws; it must be at least "
            f"{max(8, len(names) + 1)}.",
            f"Ask for {DRAWS} points.",
        )


def _golden(dimensions: int) -> float:
    """Root of g^(d+1) = g + 1, by fixed point."""
    value = 2.0
    for _ in range(60):
        value = (1 + value) ** (1 / (dimensions + 1))
    return value
