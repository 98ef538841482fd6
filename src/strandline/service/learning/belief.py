"""What is believed of a head: product, client, day, and what every head of hers shares.

A normal law over K = 8 unknowns, `starting.NAMES`: deviations from the means of `lift.toml`, and
the levels by which wet hair reads darker (true = seen + bias). A foil that was checked keeps its
own share beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.pooled import Pooled
from strandline.service.learning.starting import (
    NAMES,
    middle_of,
    prior_mean,
    spreads,
)

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Own:
    """What a checked foil keeps of its own checks.

    Parameters
    ----------
    foil : its number
    share : of the mean residual of its checks that is the foil's own [0-1]
    row : shape (K,)   weighted mean of its checks' rows
    reading : weighted mean of what its checks say of row . unknowns
    sd : of the foil's own log rate once the unknowns are known [1]

    Notes
    -----
    Given the unknowns theta, the foil's own part is normal about share (reading - row . theta):
    share = W/(W + 1/s^2), sd^2 = 1/(W + 1/s^2), W the summed precision of its checks, s the sd
    of a foil in `lift.toml`. Exact while the weights stand.
    """

    foil: int
    share: float
    row: Floats
    reading: float
    sd: float


@dataclass(frozen=True, eq=False)
class Belief:
    """A normal law over the unknowns of a head.

    Parameters
    ----------
    names : K names, those of `NAMES` in their order
    mean : shape (K,)
    cov : shape (K, K)   symmetric, its diagonal 0 or more
    own : of foils that were checked, by number
    """

    names: tuple[str, ...]
    mean: Floats
    cov: Floats
    own: tuple[Own, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what is no belief.

        Raises
        ------
        OutOfRangeError   other names, shapes that do not fit, a variance below 0, no number
        """
        k = len(NAMES)
        if self.names != NAMES or self.mean.shape != (k,) or self.cov.shape != (k, k):
            raise OutOfRangeError(
                f"A belief has {len(self.names)} names, a mean of shape {self.mean.shape} and a "
                f"covariance of shape {self.cov.shape}; it must have {k} of each, in their order.",
                "Begin from `prior`, or read one that was kept.",
            )
        finite = np.all(np.isfinite(self.mean)) and np.all(np.isfinite(self.cov))
        if not finite or np.any(np.diag(self.cov) < 0) or not np.allclose(self.cov, self.cov.T):
            raise OutOfRangeError(
                "The covariance of a belief is not symmetric, has a variance below 0 or holds "
                "what is no number; it must be a covariance.",
                "Begin from `prior`, or read one that was kept.",
            )

    def of(self, name: str) -> tuple[float, float]:
        """Give mean and sd of one unknown by its name.

        Raises
        ------
        OutOfRangeError   a name that is none of `NAMES`
        """
        if name not in self.names:
            raise OutOfRangeError(
                f"There is no unknown called '{name}'.", f"Choose one of: {', '.join(self.names)}."
            )
        at = self.names.index(name)
        return float(self.mean[at]), float(np.sqrt(self.cov[at, at]))


def prior(pooled: Pooled | None = None, *, product: str = "", client: str = "") -> Belief:
    """Belief before the first foil of a visit.

    Parameters
    ----------
    pooled : what earlier visits taught; None for the data files alone
    product, client : by the names they were pooled under; one without a visit stands on its
        prior

    Returns
    -------
    Belief   with a day of its own

    Notes
    -----
    From the data files: independent, sd as in `lift.toml` and `levels.toml` [wet]. From pooled
    visits: with the covariance that is left between product, client and what is shared, for a
    visit tells their sum better than either.
    """
    if pooled is None:
        return Belief(NAMES, prior_mean(), np.diag(np.asarray(spreads()) ** 2))
    mean, cov = pooled.joint(product, client)
    return Belief(NAMES, mean, cov)


def eta_of(
    belief: Belief,
    rows: Floats,
    *,
    known: ArrayLike = 0.0,
    foils: Sequence[int] | None = None,
) -> tuple[Floats, Floats]:
    """Log rate of foils.

    Parameters
    ----------
    belief : of their head
    rows : shape (F, K)   of `row_of`
    known : shape () or (F,)   of `known_of`
    foils : F numbers, so that checked foils have their own share; None for foils unchecked

    Returns
    -------
    (mean, sd)   shape (F,) each, the sd with that of a foil

    Raises
    ------
    OutOfRangeError   rows or numbers that do not fit

    Notes
    -----
    mean = mu + row . (means + m), sd^2 = row C row + s^2, s the sd of a foil in `lift.toml`. Of a
    checked foil with share g, own row h and reading z: the row is row - g h, the mean gains g z,
    and s is the foil's own sd.
    """
    rows = np.asarray(rows, dtype=float)
    if rows.ndim != 2 or rows.shape[1] != len(NAMES):
        raise OutOfRangeError(
            f"The rows of foils have shape {rows.shape}; it must be (foils, {len(NAMES)}).",
            "Make one row a foil by `row_of` and stack them.",
        )
    numbers = [None] * len(rows) if foils is None else list(foils)
    if len(numbers) != len(rows):
        raise OutOfRangeError(
            f"There are {len(numbers)} foil numbers for {len(rows)} rows; it must be one a row.",
            "Give a number for each row, or none at all.",
        )
    middle = middle_of(rows) + np.asarray(known, dtype=float)
    own_sd = np.full(len(rows), of_lift()["foil"].spread)
    rows, more = rows.copy(), np.zeros(len(rows))
    by_foil = {own.foil: own for own in belief.own}
    for index, number in enumerate(numbers):
        own = by_foil.get(number) if number is not None else None
        if own is not None:
            rows[index] -= own.share * own.row
            more[index] = own.share * own.reading
            own_sd[index] = own.sd
    variance = np.einsum("fk,kj,fj->f", rows, belief.cov, rows) + own_sd**2
    return middle + more + rows @ belief.mean, np.sqrt(variance)
