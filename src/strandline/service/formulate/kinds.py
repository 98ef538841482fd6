"""The kinds of strands on a place: what a toner meets there, and how much of the hair each is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.fibre import Fibre

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Kinds:
    """N kinds of strands on one place.

    Parameters
    ----------
    states : N states
    shares : shape (N,)   of the place [1], summing to 1
    whose : N names       which hair each is of, such as 'the foils of today'
    """

    states: Fibre
    shares: Floats
    whose: tuple[str, ...]

    def parts(self) -> list[tuple[str, float]]:
        """Give each hair with its share of the place [1], in the order of the kinds."""
        names = np.array(self.whose)
        return [
            (name, float(self.shares[names == name].sum())) for name in dict.fromkeys(self.whose)
        ]

    def of(self, name: str) -> Kinds:
        """Give the kinds of one hair alone, their shares made whole."""
        at = np.flatnonzero(np.array(self.whose) == name)
        shares = self.shares[at]
        return Kinds(self.states.take(at), shares / shares.sum(), (name,) * len(at))
