"""What was read off hair, taken back to amount and slope of its pigment.

Her own reading of a head overrides the level: depth gives the amount, warmth the slope. A
reading is a colour, or a whole spectrum.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.lights import lab_under, light
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import NATURAL_SLOPE, Fibre, natural, natural_left
from strandline.science.hair.pigment import SPECULAR, absorption, reflectance_from_ks
from strandline.science.hair.search import Axis, nearest
from strandline.science.hair.wet import wet_factor

Floats = NDArray[np.float64]

LEAST_AMOUNT, MOST_AMOUNT = 0.01, 1000.0
LEAST_SLOPE, MOST_SLOPE = 0.0, 0.02
"""Slopes outside this were fitted to no natural hair but one black head known to be odd, 1/nm."""
FITTED_UNDER = ("D65", "A", "LED-B3")
"""Lights under which a spectrum is fitted: day, filament, salon."""
_AMOUNTS = Axis(float(np.log(LEAST_AMOUNT)), float(np.log(MOST_AMOUNT)), 61)
_SLOPES = Axis(LEAST_SLOPE, MOST_SLOPE, 21)
_GREW_WITH = Axis(float(np.log(0.5)), float(np.log(300.0)), 41)
_ALONG = Axis(0.0, 10.0, 41)


@dataclass(frozen=True, slots=True)
class Reading:
    """What n readings say of their pigment.

    Parameters
    ----------
    amount : shape (n,)       K/S at 550 nm
    slope : shape (n,)        1/nm
    difference : shape (n,)   dE00 that no amount and slope take away
    states : Fibre            n states of hair with them, dry
    """

    amount: Floats
    slope: Floats
    difference: Floats
    states: Fibre


def read_pigment(
    lab_read: Floats,
    specular: float = SPECULAR,
    slope: float | None = None,
    wet_levels: float = 0.0,
) -> Reading:
    """Find amount and slope of virgin, pigmented hair that come nearest to colours read off it.

    Parameters
    ----------
    lab_read : shape (n, 3)    CIELAB under D65, L* above 0
    specular : float           part the surface reflected in the reading's geometry [1]
    slope : float | None       a slope that is given, 1/nm; None finds it too
    wet_levels : float         levels of pigment that water is worth; 0 for dry hair

    Returns
    -------
    Reading of n colours

    Raises
    ------
    OutOfRangeError   L* not above 0

    Notes
    -----
    Least dE00 over ln amount and slope; amounts .01-1000, slopes 0-.02. Valid for hair as it
    grew; lightened or dyed hair has more than two numbers.

    References
    ----------
    strandline_fit.
    """
    lab_read = np.asarray(lab_read, dtype=float).reshape(-1, 3)
    if not np.all(lab_read[:, 0] > 0):
        raise OutOfRangeError(
            f"A lightness L* is {np.min(lab_read[:, 0]):g}; it must be above 0.",
            "Read the hair again; black hair reads about 10 or more.",
        )

    def colour(log: Floats, slopes: Floats) -> Floats:
        spectrum = natural_reflectance(np.exp(log), slopes, specular, wet_levels)
        return lab_from_reflectance(spectrum)[:, None]

    given = _SLOPES if slope is None else Axis(slope, slope, 1)
    log, slopes, difference = nearest(lab_read[:, None], colour, _AMOUNTS, given)
    return Reading(np.exp(log), slopes, difference, natural(np.exp(log), slopes))


def read_reflectance(
    reflectance: Floats, specular: float = SPECULAR, wet_levels: float = 0.0
) -> Reading:
    """Find amount and slope of virgin, pigmented hair that come nearest to spectra read off it.

    Parameters
    ----------
    reflectance : shape (n, 81)   reflectance factor on the grid [1], 0-1
    specular, wet_levels : as in `read_pigment`

    Returns
    -------
    Reading of n spectra; the difference is the root mean square over `FITTED_UNDER`

    Notes
    -----
    Least root mean square of dE00 under three lights, so that what a spectrum knows beyond its
    daylight colour counts in the measure an eye has of it.

    References
    ----------
    strandline_fit.
    """
    under = [light(name) for name in FITTED_UNDER]

    def colours(spectra: Floats) -> Floats:
        return np.stack([lab_under(spectra, one) for one in under], axis=1)

    def colour(log: Floats, slopes: Floats) -> Floats:
        return colours(natural_reflectance(np.exp(log), slopes, specular, wet_levels))

    wanted = colours(np.atleast_2d(np.asarray(reflectance, dtype=float)))
    log, slopes, difference = nearest(wanted, colour, _AMOUNTS, _SLOPES)
    return Reading(np.exp(log), slopes, difference, natural(np.exp(log), slopes))


def read_lightened(
    lab_read: Floats, specular: float = SPECULAR, wet_levels: float = 0.0
) -> Reading:
    """Find what lightening has left, where a colour was read off hair that is lightened.

    Parameters
    ----------
    lab_read : shape (n, 3)   CIELAB under D65, L* above 0
    specular, wet_levels : as in `read_pigment`

    Returns
    -------
    Reading of n colours: amount and slope of what is left

    Notes
    -----
    Two numbers again: the pigment it grew with, .5-300, and how far along the path it is, 0-10;
    base and slope follow the path of `fibre.natural_left`. Valid for lightened hair without
    toner; a toned colour leaves a difference.

    References
    ----------
    strandline_fit; the path is from memory.
    """
    lab_read = np.asarray(lab_read, dtype=float).reshape(-1, 3)

    def states(log: Floats, progress: Floats) -> Fibre:
        return natural(np.exp(log), NATURAL_SLOPE).with_(progress=progress)

    def colour(log: Floats, progress: Floats) -> Floats:
        ks = absorption(states(log, progress)) * wet_factor(wet_levels)
        return lab_from_reflectance(reflectance_from_ks(ks, specular))[:, None]

    log, progress, difference = nearest(lab_read[:, None], colour, _GREW_WITH, _ALONG)
    left = states(log, progress)
    amount, slope = natural_left(left)
    return Reading(amount, slope, difference, left)


def natural_reflectance(
    amount: Floats, slope: Floats, specular: float = SPECULAR, wet_levels: float = 0.0
) -> Floats:
    """Reflectance factor of virgin, pigmented hair, dry or wet: shapes (n,) to (n, 81)."""
    ks = absorption(natural(amount, slope))
    return reflectance_from_ks(ks * wet_factor(wet_levels), specular)
