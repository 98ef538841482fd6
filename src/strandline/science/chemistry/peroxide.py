"""Hydrogen peroxide itself: how much is the active ion, how much a bath has left.

The chair does not fit these: the rate of a paste in foil is `lift`. They tie it to what was
measured in baths.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import constants

Floats = NDArray[np.float64]


def perhydroxyl_share(ph: ArrayLike, pka: float | None = None) -> Floats:
    """Share of hydrogen peroxide that is the ion HOO-, which bleaches.

    Parameters
    ----------
    ph : shape (...)   0-14
    pka : of hydrogen peroxide; None for the published 11.6

    Returns
    -------
    shape (...)   [1], 0-1

    Raises
    ------
    OutOfRangeError   a pH outside 0-14

    Notes
    -----
    1/(1 + 10^(pKa - pH)). Valid in dilute water at room warmth; not valid in a thick paste.

    References
    ----------
    marsh2009: pKa 11.6.
    """
    ph = np.asarray(ph, dtype=float)
    if not np.all((ph >= 0) & (ph <= 14)):
        raise OutOfRangeError(
            f"A pH is {np.ravel(ph)[0]:g}; it must be 0-14.", "Read the strip or the meter again."
        )
    known = constants()["pka"].value if pka is None else pka
    return np.asarray(1.0 / (1.0 + 10.0 ** (known - ph)))


def bath_left(minutes: ArrayLike, percent: float, *, chelated: bool) -> Floats:
    """Peroxide left in a bleach bath in touch with hair.

    Parameters
    ----------
    minutes : shape (...)   since the hair went in, >= 0
    percent : at the start, % H2O2, > 0
    chelated : the bath holds a chelator, which keeps metals of the hair from wasting it

    Returns
    -------
    shape (...)   % H2O2

    Raises
    ------
    OutOfRangeError   minutes below 0, or a percent not above 0

    Notes
    -----
    percent exp(-kd t). Valid for 6 % H2O2 with .5 % NH4OH at 32.2 C, to 240 min; not valid for
    powder lightener in foil.

    References
    ----------
    edman1961, Table 1 (both kd are fitted on it).
    """
    minutes = np.asarray(minutes, dtype=float)
    if not (np.all(minutes >= 0) and percent > 0):
        raise OutOfRangeError(
            f"A bath of {percent:g} % is looked at after {np.min(minutes):g} min; the strength "
            "must be above 0 and the time 0 or more.",
            "Count from when the hair went in.",
        )
    name = "bath_decay_chelated_per_min" if chelated else "bath_decay_per_min"
    return np.asarray(percent * np.exp(-constants()[name].value * minutes))
