"""A choice for each of several places, under bounds that add up: what the search is given.

Nothing here knows hair. A place has choices; each adds to what is wanted and to what is bounded.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Bound:
    """What the chosen may add up to.

    Parameters
    ----------
    name : how it is called where it binds
    adds : by place, shape (choices,)   what each choice adds
    least, most : of the sum; infinite where it has no end
    """

    name: str
    adds: tuple[Floats, ...]
    least: float = -math.inf
    most: float = math.inf

    def of(self, picks: tuple[int, ...]) -> float:
        """Add up what some picks come to."""
        return float(sum(a[k] for a, k in zip(self.adds, picks, strict=True)))


@dataclass(frozen=True, eq=False)
class Problem:
    """One choice for each place, so that the worth is the most within the bounds.

    Parameters
    ----------
    worth : by place, shape (choices,)   what each choice adds to what is wanted
    bounds : all kept

    Raises
    ------
    OutOfRangeError   no place, a place without a choice, a figure that is none
    """

    worth: tuple[Floats, ...]
    bounds: tuple[Bound, ...]

    def __post_init__(self) -> None:
        """Refuse what cannot be searched."""
        if not self.worth or any(one.size == 0 for one in self.worth):
            raise OutOfRangeError(
                "There is a place without a choice.", "Give each place at least 'nothing'."
            )
        sizes = self.sizes
        for bound in self.bounds:
            if tuple(a.size for a in bound.adds) != sizes:
                raise OutOfRangeError(
                    f"The bound '{bound.name}' does not count every choice once.",
                    "Give it one figure for each choice of each place.",
                )
        every = [*self.worth, *(a for bound in self.bounds for a in bound.adds)]
        if not all(np.all(np.isfinite(a)) for a in every):
            raise OutOfRangeError(
                "A choice has a figure that is no number.", "Leave such a choice out."
            )

    @property
    def sizes(self) -> tuple[int, ...]:
        """Give how many choices each place has."""
        return tuple(one.size for one in self.worth)

    @property
    def ways(self) -> int:
        """Give how many ways there are to choose."""
        return math.prod(self.sizes)

    def worth_of(self, picks: tuple[int, ...]) -> float:
        """Add up what some picks are worth."""
        return float(sum(a[k] for a, k in zip(self.worth, picks, strict=True)))

    def keeps(self, picks: tuple[int, ...]) -> bool:
        """Say whether picks keep every bound, to within what the solver tells apart."""
        return all(
            bound.least - NEAR <= bound.of(picks) <= bound.most + NEAR for bound in self.bounds
        )


NEAR = 1e-6
"""A bound passed by less counts as kept: the solver's own tolerance for feasible."""
