"""The wavelength grid, the observer and the light: reflectance to tristimulus values.

Grid 380-780 nm by 5 nm, CIE 1964 10 degree observer, illuminant D65 unless another is named.
"""

from __future__ import annotations

import csv
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, SourceError

Floats = NDArray[np.float64]


def cie_table(name: str) -> Floats:
    """Read a table of `base/data/cie`: shape (rows, columns), as its header names them.

    Raises
    ------
    SourceError   a table that does not begin with its citation
    """
    return _cie(name)[1]


def _cie(name: str) -> tuple[list[str], Floats]:
    text = files("strandline.base").joinpath("data", "cie", name).read_text("utf-8")
    lines = text.splitlines()
    if not lines[0].startswith("#"):
        raise SourceError(
            f"The table '{name}' does not say where it was read.",
            "Begin it with comment lines that cite its source.",
        )
    rows = list(csv.reader(line for line in lines if not line.startswith("#")))
    return rows[0], np.array(rows[1:], dtype=np.float64)


def _fixed(array: Floats) -> Floats:
    array.setflags(write=False)
    return array


_OBSERVER = cie_table("observer_10deg.csv")
_LIGHT_NAMES, _LIGHTS = _cie("illuminants.csv")

WAVELENGTHS_NM = _fixed(_OBSERVER[:, 0].copy())
"""Wavelengths of every spectrum here, shape (81,), nm."""
CMF = _fixed(_OBSERVER[:, 1:].copy())
"""Colour-matching functions of the 10 degree observer, shape (81, 3)."""
POWER = {
    name: _fixed(_LIGHTS[:, column].copy()) for column, name in enumerate(_LIGHT_NAMES) if column
}
"""Relative power of each CIE illuminant by its name, shape (81,), each on a scale of its own."""


def weights_of(power: Floats) -> Floats:
    """Weights of the sum over wavelengths under a light.

    Parameters
    ----------
    power : shape (81,)   relative spectral power on `WAVELENGTHS_NM`, on any scale

    Returns
    -------
    shape (81, 3)   k S(l) (x, y, z)(l); the Y column sums to 100

    References
    ----------
    cie15: CIE 15:2018; astm_e308: ASTM E308.
    """
    return np.asarray(100.0 * power[:, None] * CMF / float(power @ CMF[:, 1]))


D65 = POWER["D65"]
"""Relative power of illuminant D65, shape (81,), 100 at 560 nm."""
WEIGHTS = _fixed(weights_of(D65))
"""Weights of the sum over wavelengths under D65, shape (81, 3)."""
WHITE_XYZ = _fixed(WEIGHTS.sum(axis=0))
"""Tristimulus values of the perfect white under D65 on this grid, shape (3,), Y = 100."""


def xyz(reflectance: Floats, weights: Floats = WEIGHTS) -> Floats:
    """Tristimulus values of a reflecting surface.

    Parameters
    ----------
    reflectance : shape (..., 81)   reflectance factor on `WAVELENGTHS_NM` [1]
    weights : shape (81, 3)         of the light, as `weights_of` gives them; D65 if none

    Returns
    -------
    shape (..., 3)   X, Y, Z; Y = 100 for the perfect white

    Raises
    ------
    OutOfRangeError   a spectrum on another grid

    Notes
    -----
    X = k sum S(l) x(l) R(l), k = 100 / sum S(l) y(l), summed over 380-780 nm by 5 nm. Valid for
    surfaces without fluorescence. Departs from the 1 nm sum of the standard by the step alone.

    References
    ----------
    cie15: CIE 15:2018; astm_e308: ASTM E308.
    """
    reflectance = np.asarray(reflectance, dtype=float)
    if reflectance.ndim == 0 or reflectance.shape[-1] != WAVELENGTHS_NM.size:
        raise OutOfRangeError(
            f"A spectrum has shape {reflectance.shape}; its last axis must hold "
            f"{WAVELENGTHS_NM.size} values.",
            "Give it at 380-780 nm by 5 nm, or put it on that grid with `on_grid`.",
        )
    return np.asarray(reflectance @ weights)


def on_grid(wavelengths_nm: Floats, values: Floats) -> Floats:
    """Put a measured spectrum on the grid: linear between samples, the ends held.

    Parameters
    ----------
    wavelengths_nm : shape (n,)   rising, nm
    values : shape (n,)           reflectance factor or another ratio [1]

    Returns
    -------
    shape (81,)

    Raises
    ------
    OutOfRangeError   wavelengths that do not rise

    Notes
    -----
    Outside the measured wavelengths the nearest value stands, as ASTM E308 allows.

    References
    ----------
    astm_e308: ASTM E308.
    """
    if np.any(np.diff(wavelengths_nm) <= 0):
        raise OutOfRangeError(
            "The wavelengths of a spectrum do not rise.", "Sort the spectrum by wavelength in nm."
        )
    return np.interp(WAVELENGTHS_NM, wavelengths_nm, values)
