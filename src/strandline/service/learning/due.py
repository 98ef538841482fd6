"""New clocks: minutes to its aim of every foil under what is believed.

Steps for a device, as in `check`: eta low, middle, high = mean + (z, 0, -z) sd, z the 90 % point
of the normal law (a quick foil is due early); t by sixty halvings of 0 to 1000 min where
exp(eta) tau(t) = X, n at its mean inside tau = E(n kd) - E(n kd + 1/lag), E(k) = (1 - exp(-k t))/k.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import LONGEST_MIN, tau
from strandline.service.learning.belief import Belief, eta_of

Floats = NDArray[np.float64]

HALVINGS = 60
Z90 = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True, eq=False)
class Due:
    """Minutes from each foil's own start to its aim.

    Parameters
    ----------
    low, middle, high : shape (F,)   min; 10, 50 and 90 %; the label's longest time where that
        comes first, infinite where the ground stalls below its aim
    label_first : shape (F,)   the middle comes at the label's longest time or would come later
    label_min : shape (F,)   the label's longest time, min
    """

    low: Floats
    middle: Floats
    high: Floats
    label_first: NDArray[np.bool_]
    label_min: Floats

    @property
    def out(self) -> Floats:
        """Minutes at which each foil comes out at the latest, shape (F,): never past the label."""
        return np.minimum(self.middle, self.label_min)


def due_times(
    belief: Belief,
    rows: Floats,
    wanted: ArrayLike,
    label_min: ArrayLike,
    *,
    known: ArrayLike = 0.0,
    foils: Sequence[int] | None = None,
) -> Due:
    """Set the clocks of foils anew.

    Parameters
    ----------
    belief : of their head
    rows : shape (F, K)   of `row_of`
    wanted : shape () or (F,)   progress to the aim [1], >= 0; infinite at a stall
    label_min : shape () or (F,)   longest time the label allows, min, above 0
    known, foils : as in `eta_of`

    Returns
    -------
    Due   with no finite time past the label

    Raises
    ------
    OutOfRangeError   a wanted progress below 0, a label's time not above 0, rows that do not fit

    Notes
    -----
    One bowl in each foil, n at its mean inside tau. The label's time and what the client feels
    stand above every figure here.
    """
    mean, sd = eta_of(belief, rows, known=known, foils=foils)
    aim = np.broadcast_to(np.asarray(wanted, dtype=float), mean.shape)
    label = np.broadcast_to(np.asarray(label_min, dtype=float), mean.shape)
    if not np.all(aim >= 0):
        raise OutOfRangeError(
            f"A foil is to gain a progress of {np.min(aim):g}; it must be 0 or more.",
            "Ask for the progress of a stage that is on the ground's path.",
        )
    if not (np.all(label > 0) and np.all(np.isfinite(label))):
        raise OutOfRangeError(
            f"The label's longest time is {np.min(label):g} min; it must be more than 0.",
            "Enter the longest time on the label of the lightener.",
        )
    low, middle, high = (minutes_to(mean + z * sd, aim) for z in (Z90, 0.0, -Z90))
    stall = np.isinf(aim)

    def capped(minutes: Floats) -> Floats:
        return np.where(stall, np.inf, np.minimum(minutes, label))

    return Due(capped(low), capped(middle), capped(high), middle >= label, label.copy())


def minutes_to(eta: Floats, wanted: Floats) -> Floats:
    """Give the minutes one bowl needs for a progress, whatever a label says.

    Parameters
    ----------
    eta : shape (F,)   log rate
    wanted : shape (F,)   progress [1], >= 0

    Returns
    -------
    shape (F,)   min; 0 for no progress, infinite where the bowl dries before it
    """
    needed = wanted * np.exp(-eta)
    low, high = np.zeros_like(eta), np.full_like(eta, LONGEST_MIN)
    never = tau(high) < needed
    for _ in range(HALVINGS):
        half = (low + high) / 2.0
        there = tau(half) >= needed
        low, high = np.where(there, low, half), np.where(there, half, high)
    return np.where(never, np.inf, np.where(wanted <= 0, 0.0, high))
