"""A picture blurred, at the coarseness that its blur allows."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Singles = NDArray[np.float32]

_FINEST = 4.0
"""Standard deviation, in places of the coarse picture, that a blur keeps at least."""


def softened(values: Singles, places: float) -> Singles:
    """Blur by a Gaussian.

    Parameters
    ----------
    values : shape (H, W) or (H, W, C)
    places : standard deviation, above 0

    Returns
    -------
    the same shape; a wide blur is taken on a smaller picture and brought back to size
    """
    import cv2  # noqa: PLC0415 - slow, used here alone

    height, width = values.shape[:2]
    by = max(int(places / _FINEST), 1)
    if by == 1:
        return np.asarray(cv2.GaussianBlur(values, (0, 0), places), dtype=np.float32)
    small = (max(width // by, 1), max(height // by, 1))
    coarse = cv2.resize(values, small, interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(coarse, (0, 0), places / by)
    back = cv2.resize(soft, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(back, dtype=np.float32)
