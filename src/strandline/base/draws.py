"""Fixed quasi-random normals, shared by all alternatives so that comparisons are paired."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

DRAWS = 64
"""Points of the fixed set."""


def draws(names: Sequence[str], count: int = DRAWS) -> dict[str, NDArray[np.float64]]:
    """Give standard normals by name.

    Parameters
    ----------
    names : what is drawn; the order decides the coordinates
    count : points, > 0

    Returns
    -------
    dict of name to shape (count,)   the same for ever, mean and spread near 0 and 1

    Notes
    -----
    Additive recurrence with the generalised golden ratio, half a step in: point i, coordinate j
    is (1/2 + i / g^(j+1)) mod 1, through the normal's inverse distribution.

    References
    ----------
    roberts2018
    """
    ratio = _golden(len(names))
    steps = np.arange(1, count + 1)
    inverse = NormalDist().inv_cdf
    out = {}
    for j, name in enumerate(names, 1):
        uniform = (0.5 + steps * (1 / ratio**j)) % 1.0
        uniform = (np.argsort(np.argsort(uniform)) + 0.5) / count
        out[name] = np.array([inverse(float(u)) for u in uniform])
    return out


def _golden(dimensions: int) -> float:
    """Root of g^(d+1) = g + 1."""
    value = 2.0
    for _ in range(60):
        value = (1 + value) ** (1 / (dimensions + 1))
    return value
