"""The shared draws, moved to where a head is believed to be."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from strandline.service.learning.belief import Belief
from strandline.service.learning.starting import NAMES, spreads

Floats = NDArray[np.float64]


def draws_of(belief: Belief, draws: Mapping[str, Floats]) -> dict[str, Floats]:
    """Draw a head's unknowns from a belief.

    Parameters
    ----------
    belief : before the first foil of a visit
    draws : shared standard normals by name, shape (D,) each

    Returns
    -------
    dict of name to shape (D,)   in sd of `lift.toml` from its mean, as `eta` reads them; a name
    that no belief has, a foil's own, is as it was

    Notes
    -----
    With m and C the mean and covariance of the drawn unknowns, s their prior sd and L the Cholesky
    factor of C: z' = (m + L z)/s. From the prior itself z' = z.
    """
    names = [name for name in NAMES if name in draws]
    if not names:
        return dict(draws)
    at = [NAMES.index(name) for name in names]
    sd = np.asarray(spreads())[at]
    factor = np.linalg.cholesky(belief.cov[np.ix_(at, at)])
    z = np.stack([draws[name] for name in names])
    moved = (belief.mean[at][:, None] + factor @ z) / sd[:, None]
    return {**draws, **dict(zip(names, moved, strict=True))}
