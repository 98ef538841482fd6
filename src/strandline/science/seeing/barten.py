"""Contrast sensitivity of the eye, a second opinion on what the filter passes."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.seeing.constants import constants

Floats = NDArray[np.float64]


def contrast_sensitivity(frequency_cpd: ArrayLike) -> Floats:
    """Contrast sensitivity of the standard observer.

    Parameters
    ----------
    frequency_cpd : shape (...)   spatial frequency of a grating, cycles per degree, > 0

    Returns
    -------
    shape (...)   1 over the least modulation that is seen [1]

    Raises
    ------
    OutOfRangeError   a frequency not above 0

    Notes
    -----
    S(u) = M(u)/k / sqrt(2/T (1/X0^2 + 1/Xm^2 + u^2/N^2) (1/(n p E) + phi/(1 - exp(-(u/u0)^2)))),
    M = exp(-2 pi^2 s^2 u^2), s^2 = s0^2 + (c d)^2, and retinal illuminance
    E = pi d^2/4 L (1 - (d/9.7)^2 + (d/12.4)^4) in troland. Valid for luminance gratings seen with
    both eyes at 20-30 years and 20 cd/m2; not valid for colour.

    References
    ----------
    barten1999
    """
    u = np.asarray(frequency_cpd, dtype=float)
    if not np.all(u > 0):
        raise OutOfRangeError(
            f"A spatial frequency is {np.min(u):g} cycles per degree; it must be above 0.",
            "Give the frequency of the grating; an even field has no contrast.",
        )
    at = {name: number.value for name, number in constants("barten").items()}
    pupil = at["pupil_mm"]
    spread = at["optics_deg"] ** 2 + (at["pupil_blur_deg"] * pupil) ** 2
    optics = np.exp(-2.0 * math.pi**2 * spread * u**2)
    troland = math.pi * pupil**2 / 4.0 * at["luminance"]
    troland *= 1.0 - (pupil / 9.7) ** 2 + (pupil / 12.4) ** 4
    area = 1 / at["object_deg"] ** 2 + 1 / at["longest_deg"] ** 2 + u**2 / at["most_cycles"] ** 2
    photons = 1.0 / (at["quantum_efficiency"] * at["photons"] * troland)
    neural = at["neural_noise"] / (1.0 - np.exp(-((u / at["inhibition_cpd"]) ** 2)))
    noise = np.sqrt(2.0 / at["integration_s"] * area * (photons + neural))
    return np.asarray(optics / at["signal_to_noise"] / noise)
