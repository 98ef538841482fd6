"""From the state of hair to its reflectance and its colour.

Kubelka-Munk with a single constant: absorbers add in K/S, the surface adds a constant part.
Amounts are effective K/S at 550 nm, wavelengths in nm, reflectance a factor of the white.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.fibre import (
    DYES,
    NATURAL_SLOPE,
    Fibre,
    natural_left,
    old_colour_left,
)

Floats = NDArray[np.float64]

_FROM_550 = WAVELENGTHS_NM - 550.0


@cache
def constants() -> dict[str, dict[str, Number]]:
    """Load `pigment.toml`: section to name to number with unit, source and spread."""
    return {
        section: numbers(entries, f"pigment.toml [{section}]")
        for section, entries in toml_beside(__package__, "pigment.toml").items()
    }


SPECULAR = constants()["optics"]["specular"].value
"""Part of the light that the surface reflects, glare excluded [1]."""


@cache
def dye_bands() -> Floats:
    """Shapes of the dyes of `DYES`, shape (D, 81), 1 at the peak of each band.

    Notes
    -----
    exp(-4 ln2 ((l - l_i)/w_i)^2); 'depth' has the slope of natural hair, 'green' two bands.
    Peaks and widths are priors; a reading of a swatch replaces them.
    """
    peak, width = constants()["peak"], constants()["width"]

    def band(name: str) -> Floats:
        away = (WAVELENGTHS_NM - peak[name].value) / width[name].value
        return np.asarray(np.exp(-4.0 * np.log(2.0) * away**2))

    shapes = {name: band(name) for name in peak}
    shapes["green"] = shapes["green"] + shapes["green_second"]
    shapes["depth"] = np.exp(-NATURAL_SLOPE * _FROM_550)
    bands = np.stack([shapes[name] for name in DYES])
    bands.setflags(write=False)
    return bands


def base(progress: Floats, white_base: Floats) -> Floats:
    """K/S of keratin without pigment, as lightening goes on.

    Parameters
    ----------
    progress : shape (N,)     lightening seen by the fibre, >= 0 [1]
    white_base : shape (N,)   1 where it never had pigment, 0 where it had [1], 0-1

    Returns
    -------
    shape (N, 81)

    Notes
    -----
    b(x) = b_white + (b_end - b_white)(1 - exp(-x/xb)); each b is flat + yellow Y(l),
    Y = exp(-(l - 550)/60). The ends are priors: no spectrum of white or bleached hair was found.
    """
    optics, ends = constants()["optics"], constants()["base"]
    gone = 1.0 - np.exp(-np.asarray(progress) / optics["base_progress"].value)

    def part(kind: str) -> Floats:
        start = ends[f"white_{kind}"].value
        end = (
            white_base * ends[f"white_end_{kind}"].value
            + (1.0 - white_base) * ends[f"pigmented_end_{kind}"].value
        )
        return np.asarray(start + (end - start) * gone)

    yellow = np.exp(-_FROM_550 / optics["base_width"].value)
    return part("flat")[:, None] + part("yellow")[:, None] * yellow


def absorption(fibre: Fibre) -> Floats:
    """K/S of states of hair.

    Parameters
    ----------
    fibre : N states

    Returns
    -------
    shape (N, 81)   K/S on `WAVELENGTHS_NM`, > 0

    Notes
    -----
    K/S = b(x) + c exp(-g (l - 550)) + the same of old colour + dyes. Where there is old colour
    the base follows the greater of the two progresses. Valid for dry hair without glare; not
    for fluorescence, medulla or wet hair. Amounts are effective, not chemical.

    References
    ----------
    kubelka1931: P. Kubelka, F. Munk (1931); strandline_fit.
    """
    amount, slope = natural_left(fibre)
    old_amount, old_slope = old_colour_left(fibre)
    seen = np.where(
        fibre.old_amount > 0, np.maximum(fibre.progress, fibre.old_progress), fibre.progress
    )
    return np.asarray(
        base(seen, fibre.white_base)
        + amount[:, None] * np.exp(-slope[:, None] * _FROM_550)
        + old_amount[:, None] * np.exp(-old_slope[:, None] * _FROM_550)
        + fibre.dyes @ dye_bands()
    )


def reflectance_from_ks(ks: Floats, specular: float = SPECULAR) -> Floats:
    """Reflectance factor of a thick tress from K/S.

    Parameters
    ----------
    ks : shape (...)    K/S, >= 0, infinity allowed [1]
    specular : float    part F that the surface reflects [1], 0-1

    Returns
    -------
    shape (...)   [1], F to 1

    Raises
    ------
    OutOfRangeError   a K/S below 0 or not a number

    Notes
    -----
    R = F + (1 - F)(1 + K/S - sqrt((K/S)^2 + 2 K/S)), written as 1/(1 + K/S + sqrt(...)) so that
    large K/S loses no digits.

    References
    ----------
    kubelka1931: P. Kubelka, F. Munk (1931).
    """
    ks = np.asarray(ks, dtype=float)
    if not np.all(ks >= 0):
        raise OutOfRangeError(
            f"An absorption K/S is {np.min(ks):g}; it must be 0 or more.",
            "Check the amounts of pigment and dye.",
        )
    body = 1.0 / (1.0 + ks + np.sqrt(ks) * np.sqrt(ks + 2.0))
    return np.asarray(specular + (1.0 - specular) * body)


def ks_from_reflectance(reflectance: Floats, specular: float = SPECULAR) -> Floats:
    """K/S of a thick tress from its reflectance factor, the inverse of the above.

    Parameters
    ----------
    reflectance : shape (...)   [1], above F, at most 1
    specular : float            part F that the surface reflects [1]

    Raises
    ------
    OutOfRangeError   a reflectance at or below F, or above 1

    Notes
    -----
    r = (R - F)/(1 - F), K/S = (1 - r)^2/(2 r).
    """
    reflectance = np.asarray(reflectance, dtype=float)
    if not np.all((reflectance > specular) & (reflectance <= 1.0)):
        raise OutOfRangeError(
            f"A reflectance runs {np.min(reflectance):.4g} to {np.max(reflectance):.4g}; it must "
            f"lie above the surface's {specular:g} and not above 1.",
            "Choose the geometry the reading was taken in, or read again.",
        )
    r = (reflectance - specular) / (1.0 - specular)
    return np.asarray((1.0 - r) ** 2 / (2.0 * r))


def reflectance(fibre: Fibre, specular: float = SPECULAR) -> Floats:
    """Reflectance factor of N states, shape (N, 81) [1]; see `absorption`."""
    return reflectance_from_ks(absorption(fibre), specular)


def lab(fibre: Fibre, specular: float = SPECULAR) -> Floats:
    """CIELAB of N states under D65 for the 10 degree observer, shape (N, 3)."""
    return lab_from_reflectance(reflectance(fibre, specular))
