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
class Top:
    """A sum that counts no further than its top: the least of the two.

    Parameters
    ----------
    adds : by place, shape (choices,)   what each choice adds, >= 0
    most : the top
    """

    adds: tuple[Floats, ...]
    most: float

    def of(self, picks: tuple[int, ...]) -> float:
        """Add up what some picks come to, to the top."""
        whole = sum(a[k] for a, k in zip(self.adds, picks, strict=True))
        return float(min(self.most, whole))


@dataclass(frozen=True, eq=False)
class Bound:
    """What the chosen may add up to.

    Parameters
    ----------
    name : how it is called where it binds
    adds : by place, shape (choices,)   what each choice adds
    least, most : of the sum; infinite where it has no end
    tops : weight, >= 0, and sum to a top that adds to it too; only where it has a least and no most
    """

    name: str
    adds: tuple[Floats, ...]
    least: float = -math.inf
    most: float = math.inf
    tops: tuple[tuple[float, Top], ...] = ()

    def of(self, picks: tuple[int, ...]) -> float:
        """Add up what some picks come to."""
        plain = sum(a[k] for a, k in zip(self.adds, picks, strict=True))
        return float(plain + sum(weight * top.of(picks) for weight, top in self.tops))


@dataclass(frozen=True, eq=False)
class Problem:
    """One choice for each place, so that the worth is the most within the bounds.

    Parameters
    ----------
    worth : by place, shape (choices,)   what each choice adds to what is wanted
    bounds : all kept
    tops : weight, >= 0, and sum to a top that adds to what is wanted

    Raises
    ------
    OutOfRangeError   no place, a place without a choice, a figure that is none
    """

    worth: tuple[Floats, ...]
    bounds: tuple[Bound, ...]
    tops: tuple[tuple[float, Top], ...] = ()

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
            if bound.tops and math.isfinite(bound.most):
                raise OutOfRangeError(
                    f"The bound '{bound.name}' counts to a top and has a most.",
                    "State it without the most.",
                )
        weights = [weight for weight, _ in self.every_top]
        every = [*self.worth, *(a for bound in self.bounds for a in bound.adds)]
        every += [a for _, top in self.every_top for a in top.adds]
        if any(weight < 0 for weight in weights):
            raise OutOfRangeError("A sum to a top weighs below 0.", "Give it 0 or more.")
        if not all(np.all(np.isfinite(a)) for a in every):
            raise OutOfRangeError(
                "A choice has a figure that is no number.", "Leave such a choice out."
            )

    @property
    def every_top(self) -> tuple[tuple[float, Top], ...]:
        """Give every sum to a top, of the worth and of the bounds."""
        return (*self.tops, *(one for bound in self.bounds for one in bound.tops))

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
        plain = sum(a[k] for a, k in zip(self.worth, picks, strict=True))
        return float(plain + sum(weight * top.of(picks) for weight, top in self.tops))

    def keeps(self, picks: tuple[int, ...]) -> bool:
        """Say whether picks keep every bound, to within what the solver tells apart."""
        return all(
            bound.least - NEAR <= bound.of(picks) <= bound.most + NEAR for bound in self.bounds
        )


NEAR = 1e-6
"""A bound passed by less counts as kept: the solver's own tolerance for feasible."""
