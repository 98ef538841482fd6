"""Melanin as measured: extinction of eumelanin and pheomelanin, and the form with two pigments.

The model in use describes natural pigment by amount and slope (`pigment`); this form with two
pigments is kept beside it, so that the two can be compared on the same heads.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import table
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.pigment import base

Floats = NDArray[np.float64]
Pigment = Literal["eumelanin", "pheomelanin"]

REFERENCE_NM = 550.0
PHEOMELANIN_SHARE = 0.084
"""Pheomelanin against eumelanin of hair that is not red, K/S over K/S at 550 nm; from 11-17 % of
the mass in black and brown hair (second-hand), from memory."""


def extinction(pigment: Pigment, wavelength_nm: ArrayLike) -> Floats:
    """Extinction of a melanin by mass.

    Parameters
    ----------
    pigment : 'eumelanin' or 'pheomelanin'
    wavelength_nm : shape (...)   nm, 300-900

    Returns
    -------
    shape (...)   base-10 extinction, mL/(mg cm)

    Raises
    ------
    OutOfRangeError   a wavelength outside 300-900 nm

    Notes
    -----
    The logarithm is linear between the measured wavelengths (382-735 nm for eumelanin, 387-721 nm
    for pheomelanin) and goes on with its end slopes outside them.

    References
    ----------
    sarna1988: T. Sarna, H. M. Swartz (1988), as digitised by S. L. Jacques.
    """
    at = np.asarray(wavelength_nm, dtype=float)
    if not np.all((at >= 300.0) & (at <= 900.0)):
        raise OutOfRangeError(
            f"Wavelengths run {np.min(at):g} to {np.max(at):g} nm; the melanin table serves "
            "300-900 nm.",
            "Give wavelengths in nm within that range.",
        )
    nm, logs = _logs(pigment)
    piece = np.clip(np.searchsorted(nm, at, side="right") - 1, 0, nm.size - 2)
    rise = (logs[piece + 1] - logs[piece]) / (nm[piece + 1] - nm[piece])
    return np.asarray(np.exp(logs[piece] + rise * (at - nm[piece])))


def relative_extinction(pigment: Pigment, wavelength_nm: ArrayLike = WAVELENGTHS_NM) -> Floats:
    """Extinction over its value at 550 nm, E(l) or P(l): shape of the argument [1]."""
    return np.asarray(
        extinction(pigment, wavelength_nm) / extinction(pigment, np.array(REFERENCE_NM))
    )


def absorption_of_melanins(eumelanin: ArrayLike, pheomelanin: ArrayLike) -> Floats:
    """K/S of virgin hair from amounts of its two pigments, on the white base.

    Parameters
    ----------
    eumelanin, pheomelanin : shape (N,)   K/S at 550 nm, >= 0

    Returns
    -------
    shape (N, 81)   K/S = b_white + ke E(l) + kp P(l)

    Notes
    -----
    Most fits of this form to the measured heads lie on a bound (one pigment 0): a colour alone
    does not tell the two apart. It is a comparison, not the model in use.

    References
    ----------
    sarna1988: T. Sarna, H. M. Swartz (1988).
    """
    ke = np.atleast_1d(np.asarray(eumelanin, dtype=float))[:, None]
    kp = np.atleast_1d(np.asarray(pheomelanin, dtype=float))[:, None]
    white = base(np.zeros(ke.shape[0]), np.ones(ke.shape[0]))
    return np.asarray(
        white + ke * relative_extinction("eumelanin") + kp * relative_extinction("pheomelanin")
    )


@cache
def _logs(pigment: Pigment) -> tuple[Floats, Floats]:
    rows = [
        row for row in table("sarna_swartz_melanin_extinction").rows if row["pigment"] == pigment
    ]
    nm = np.array([float(row["wavelength_nm"]) for row in rows])
    return nm, np.log([float(row["extinction_ml_per_mg_cm"]) for row in rows])
