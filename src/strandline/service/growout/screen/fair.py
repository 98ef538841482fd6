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
    Of n taken first, a run of any m strands in the sorted row has m n / N of them, off by at most
    log2(N) + 3, where a lottery would be off by about the root of n. A class, a zone and a place
    within it are such runs.

    References
    ----------
    vandercorput1935
    """
    row = np.lexsort(keys[::-1])
    count = len(row)
    bits = max(count - 1, 1).bit_length()
    rank = np.arange(count)
    turned = np.zeros(count, dtype=np.int64)
    for bit in range(bits):
        turned |= (rank >> bit & 1) << (bits - 1 - bit)
    return np.asarray(row[np.argsort(turned)])
