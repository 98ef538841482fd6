"""Pigment as a path tracer of single fibres wants it: absorption along the path of light.

These link the tress model to the fibre model of Chiang and others, so that a traced head of
hair and a computed tress stand on the same pigment.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError

Floats = NDArray[np.float64]

REFRACTIVE_INDEX = 1.55
"""Of hair, as fibre models use it [1]."""
TRACED_ROUGHNESS = 0.3
"""Azimuthal roughness at which hair is traced [1]."""


def roughness_factor(roughness: float) -> float:
    """Factor k between the colour of many fibres and the absorption of one.

    Parameters
    ----------
    roughness : azimuthal roughness b [1], 0-1

    Raises
    ------
    OutOfRangeError   a roughness outside 0-1

    Notes
    -----
    k = 5.969 - .215 b + 2.532 b^2 - 10.73 b^3 + 5.574 b^4 + .245 b^5.

    References
    ----------
    chiang2016: M. J.-Y. Chiang and others (2016).
    """
    if not 0.0 <= roughness <= 1.0:
        raise OutOfRangeError(
            f"An azimuthal roughness is {roughness:g}; it must be 0-1.",
            f"Hair is traced at about {TRACED_ROUGHNESS:g}.",
        )
    return float(np.polynomial.Polynomial([5.969, -0.215, 2.532, -10.73, 5.574, 0.245])(roughness))


def fibre_absorption_of_colour(colour: ArrayLike, roughness: float = TRACED_ROUGHNESS) -> Floats:
    """Absorption of one fibre from the albedo of many.

    Parameters
    ----------
    colour : shape (...)   albedo of a head of hair in one band [1], above 0, at most 1
    roughness : float      azimuthal roughness [1], 0-1

    Returns
    -------
    shape (...)   sigma, per fibre radius [1]

    Raises
    ------
    OutOfRangeError   an albedo of 0 or less, or above 1

    Notes
    -----
    sigma = (ln C / k)^2.

    References
    ----------
    chiang2016: M. J.-Y. Chiang and others (2016).
    """
    colour = np.asarray(colour, dtype=float)
    if not np.all((colour > 0) & (colour <= 1)):
        raise OutOfRangeError(
            f"An albedo runs {np.min(colour):g} to {np.max(colour):g}; it must be above 0 and at "
            "most 1.",
            "Give the reflectance of the tress without its surface part.",
        )
    return np.asarray((np.log(colour) / roughness_factor(roughness)) ** 2)


def ks_of_fibre_absorption(sigma: ArrayLike, roughness: float = TRACED_ROUGHNESS) -> Floats:
    """K/S of a tress that a fibre absorption stands for, in the weak limit.

    Parameters
    ----------
    sigma : shape (...)   absorption of one fibre, per radius [1], >= 0
    roughness : float     azimuthal roughness [1], 0-1

    Returns
    -------
    shape (...)   K/S = k^2 sigma/2; 17.34 sigma at roughness .3

    Notes
    -----
    The tress model's reflectance exp(-acosh(1 + K/S)) is about exp(-sqrt(2 K/S)) where K/S is
    small; there both say the same. Not valid for dark hair.

    References
    ----------
    chiang2016; kubelka1931.
    """
    return np.asarray(0.5 * roughness_factor(roughness) ** 2 * np.asarray(sigma, dtype=float))
