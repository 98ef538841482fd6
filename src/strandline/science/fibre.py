"""The state of stretches of hair, as arrays: what is in them and what was done to them.

A palette of N states is one `Fibre` whose fields have shape (N,); dyes have shape (N, D) over
`DYES`. Amounts are effective K/S at 550 nm, not chemistry. Old permanent colour is kept apart
from natural pigment, for the two lighten on clocks of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError

Floats = NDArray[np.float64]

NATURAL_SLOPE = 0.00647
"""Spectral slope g of natural pigment, 1/nm; of the two-pigment level table (strandline_fit)."""
LIGHTENED_SLOPE = 0.013
"""Slope towards which lightening leads, 1/nm; from memory."""
SLOPE_PROGRESS = 1.0
"""Progress at which 63 % of that way is gone; from memory."""
OLD_COLOUR_RESIDUE = 0.07
"""Share of permanent colour built up over years that lightener does not pass; from memory."""

DYES = ("depth", "violet", "blue", "green", "gold", "copper", "red")
"""Columns of `Fibre.dyes`: a shade's depth (with the slope of natural hair) and its bands."""


@dataclass(frozen=True, slots=True)
class Fibre:
    """N states of hair.

    Parameters
    ----------
    amount : shape (N,)         natural pigment before any lightening, K/S at 550 nm, >= 0
    slope : shape (N,)          its spectral slope before any lightening, 1/nm
    progress : shape (N,)       lightening of the natural pigment, >= 0 [1]
    white_base : shape (N,)     1 where the fibre never had pigment, 0 where it had [1], 0-1
    old_amount : shape (N,)     old permanent colour, K/S at 550 nm, >= 0
    old_progress : shape (N,)   lightening of the old colour, >= 0 [1]
    residue : shape (N,)        share of the old colour that lightener does not pass [1], 0-1
    dyes : shape (N, D)         dyes of glosses, K/S at the band's peak, >= 0
    porosity : shape (N,)       uptake against mids of sound hair [1], 0.2-2
    dose : shape (N,)           peroxide seen so far, minutes at 6 %, >= 0
    """

    amount: Floats
    slope: Floats
    progress: Floats
    white_base: Floats
    old_amount: Floats
    old_progress: Floats
    residue: Floats
    dyes: Floats
    porosity: Floats
    dose: Floats

    def __post_init__(self) -> None:
        """Refuse fields of unlike length and values below zero."""
        n = self.amount.shape
        for field in fields(self):
            array = getattr(self, field.name)
            wanted = (*n, len(DYES)) if field.name == "dyes" else n
            if array.shape != wanted:
                raise OutOfRangeError(
                    f"'{field.name}' has shape {array.shape}; it must have {wanted}.",
                    "Give every field one value for each state.",
                )
            if not np.all(np.isfinite(array)) or np.any(array < 0):
                raise OutOfRangeError(
                    f"'{field.name}' holds a value below 0 or not finite.",
                    "Give amounts, progress and dose as numbers of 0 or more.",
                )

    def __len__(self) -> int:
        """Give the number of states."""
        return int(self.amount.shape[0])

    def with_(self, **changes: Floats) -> Self:
        """Give the same states with some fields replaced."""
        return replace(self, **changes)

    def take(self, index: NDArray[np.intp]) -> Self:
        """Give the states at the indices, in their order."""
        return type(self)(*(getattr(self, field.name)[index] for field in fields(self)))


def natural_left(fibre: Fibre) -> tuple[Floats, Floats]:
    """Give what lightening has left of the natural pigment.

    Returns
    -------
    amount : shape (N,)   K/S at 550 nm: c(x) = c0 exp(-x)
    slope : shape (N,)    1/nm: g(x) = g0 + (g1 - g0)(1 - exp(-x/xg)), warmth growing on the way

    Notes
    -----
    Valid for oxidative lightening of sound hair. The path is a prior (from memory) whose two
    moves, depth and warmth, are each seen at a check.
    """
    return fibre.amount * np.exp(-fibre.progress), _warmed(fibre.slope, fibre.progress)


def old_colour_left(fibre: Fibre) -> tuple[Floats, Floats]:
    """Give what lightening has left of old permanent colour: amount and slope, as above.

    c(x) = c0 ((1 - rho) exp(-x) + rho): a residue rho stays, so colour built up over years stalls.
    """
    rho = fibre.residue
    amount = fibre.old_amount * ((1 - rho) * np.exp(-fibre.old_progress) + rho)
    slope = _warmed(np.full_like(amount, NATURAL_SLOPE), fibre.old_progress)
    return amount, slope


def _warmed(slope: Floats, progress: Floats) -> Floats:
    gone = 1 - np.exp(-progress / SLOPE_PROGRESS)
    return np.asarray(slope + (LIGHTENED_SLOPE - slope) * gone)


def natural(amount: Floats, slope: Floats | float, *, white: Floats | float = 0.0) -> Fibre:
    """Give hair as it grew: pigment, no lightening, no colour, mids' porosity.

    Parameters
    ----------
    amount : shape (N,)   K/S at 550 nm, >= 0
    slope : shape (N,) or scalar, 1/nm
    white : shape (N,) or scalar   1 where the fibre has no pigment [1], 0-1

    Raises
    ------
    OutOfRangeError   a negative amount
    """
    amount = np.atleast_1d(np.asarray(amount, dtype=float))
    zeros = np.zeros_like(amount)
    return Fibre(
        amount=amount,
        slope=zeros + slope,
        progress=zeros,
        white_base=zeros + white,
        old_amount=zeros,
        old_progress=zeros,
        residue=zeros + OLD_COLOUR_RESIDUE,
        dyes=np.zeros((*amount.shape, len(DYES))),
        porosity=zeros + 1.0,
        dose=zeros,
    )


def stack(states: list[Fibre]) -> Fibre:
    """Join palettes end to end."""
    return Fibre(
        *(np.concatenate([getattr(s, field.name) for s in states]) for field in fields(Fibre))
    )
