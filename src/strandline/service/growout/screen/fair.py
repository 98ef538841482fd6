"""Some of many strands, so that any first few of them stand for all."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


def fair_order(keys: tuple[NDArray[np.float64] | Whole, ...]) -> Whole:
    """Order strands so that any first part of them is spread evenly over all.

    Parameters
    ----------
    keys : K arrays of shape (N,)   what is to be met in its share, the weightiest first

    Returns
    -------
    shape (N,)   places; sorted by the keys, then taken by turned-round binary digits of the rank

    Notes
    -----
    Of n taken first, a run of any m strands in the sorted row has m n / N of them, off by about the
    logarithm of n at most, where a lottery would be off by its root. A class, a zone and a place
    within it are such runs.

    References
    ----------
    vandercorput1935
    """
    row = np.lexsort(keys[::-1])
    count = len(row)
    bits = max(count - 1, 1).bit_length()
    slot = (np.arange(count) << bits) // max(count, 1)
    turned = np.zeros(count, dtype=np.int64)
    for bit in range(bits):
        turned |= (slot >> bit & 1) << (bits - 1 - bit)
    return np.asarray(row[np.argsort(turned)])
