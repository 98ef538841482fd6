"""The eye's spatial filter: S-CIELAB, on profiles, on pictures, and in closed form.

Angles in degrees, frequencies in cycles per degree, lengths in mm, distances in m; colours are
tristimulus values with Y = 100 for the perfect white. Channels are luminance, red-green,
blue-yellow, in that order.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spectra import WHITE_XYZ
from strandline.science.seeing.constants import kernels, opponent_matrix

Floats = NDArray[np.float64]

_REACH = 3.0
"""Widths at half height after which a Gaussian is cut: 1e-10 of it is left."""
_erf = np.frompyfunc(math.erf, 1, 1)


@cache
def opponent_from_xyz() -> Floats:
    """Give the matrix from XYZ to opponent colour in which the white is neutral, shape (3, 3).

    Notes
    -----
    The authors' matrix is for the 2 degree observer; ours is the 10 degree one, whose D65 leaves
    .06 of luminance in red-green and .03 in blue-yellow. (O2w/O1w) O1 and (O3w/O1w) O1 are taken
    off, or stripes of neutral colours would turn pink. What else the change of observer does is
    at most .02 and stays.

    References
    ----------
    scielab1996
    """
    matrix = opponent_matrix()
    white = matrix @ WHITE_XYZ
    balance = np.eye(3)
    balance[1:, 0] = -white[1:] / white[0]
    corrected = np.asarray(balance @ matrix)
    corrected.setflags(write=False)
    return corrected


@cache
def xyz_from_opponent() -> Floats:
    """Give the inverse of `opponent_from_xyz`, shape (3, 3)."""
    inverse = np.asarray(np.linalg.inv(opponent_from_xyz()), dtype=np.float64)
    inverse.setflags(write=False)
    return inverse


def visual_degrees(length_mm: ArrayLike, distance_m: float) -> Floats:
    """Give the angle of a length seen square on: shape (...), mm at m to degrees.

    Raises
    ------
    OutOfRangeError   a distance not above 0
    """
    if not distance_m > 0:
        raise OutOfRangeError(
            f"The eye is {distance_m:g} m from the hair; it must be more than 0 m.",
            "Give the distance in m; a mirror's is about 0.6.",
        )
    tangent = np.asarray(length_mm, dtype=np.float64) / (1000.0 * distance_m)
    return np.asarray(np.degrees(np.arctan(tangent)), dtype=np.float64)


def transfer(frequency_cpd: ArrayLike) -> Floats:
    """How much of a grating each channel passes.

    Parameters
    ----------
    frequency_cpd : shape (...)   spatial frequency, cycles per degree, >= 0

    Returns
    -------
    shape (..., 3)   [1]; 1 at frequency 0

    Notes
    -----
    sum w exp(-(pi f h)^2 / (4 ln 2)) over a channel's Gaussians of full width h.

    References
    ----------
    scielab1996
    """
    frequency = np.asarray(frequency_cpd, dtype=float)

    def passed(kernel: tuple[tuple[float, float], ...]) -> Floats:
        parts = [
            weight * np.exp(-((math.pi * frequency * width) ** 2) / (4.0 * math.log(2.0)))
            for width, weight in kernel
        ]
        return np.asarray(sum(parts))

    return np.stack([passed(kernel) for kernel in kernels()], axis=-1)


def strand_transfer(width_deg: float) -> Floats:
    """How much of one isolated strand reaches the middle of its image, shape (3,) [1].

    Notes
    -----
    sum w erf(d sqrt(ln 2) / h) for a strand of width d: its box under each Gaussian.

    References
    ----------
    scielab1996
    """
    root = math.sqrt(math.log(2.0))
    return np.array(
        [
            sum(weight * math.erf(width_deg * root / width) for width, weight in kernel)
            for kernel in kernels()
        ]
    )


def filter_profile(xyz: Floats, step_deg: float) -> Floats:
    """Filter colour along one direction; across it the field is taken as even.

    Parameters
    ----------
    xyz : shape (n, 3)   tristimulus values along the profile
    step_deg : float     angle from one sample to the next, degrees, > 0

    Returns
    -------
    shape (n, 3)   tristimulus values as the eye keeps them

    Raises
    ------
    OutOfRangeError   a step not above 0, an array of another shape

    Notes
    -----
    Beyond its ends the profile goes on as it ends. Each Gaussian is integrated over the samples'
    cells, so that one narrower than a step passes what lies in a cell unblurred.

    References
    ----------
    scielab1996
    """
    return _filtered(xyz, step_deg, axes=(0,))


def filter_picture(xyz: Floats, step_deg: float) -> Floats:
    """Filter a picture of shape (rows, columns, 3) in both directions; else as `filter_profile`.

    Each Gaussian is separable, their sum is not: each is run along both axes, then they are added.
    """
    return _filtered(xyz, step_deg, axes=(0, 1))


def _filtered(xyz: Floats, step_deg: float, axes: tuple[int, ...]) -> Floats:
    xyz = np.asarray(xyz, dtype=float)
    if not step_deg > 0:
        raise OutOfRangeError(
            f"The samples of a field are {step_deg:g} degrees apart; it must be more than 0.",
            "Give the step in degrees: `visual_degrees` turns mm at a distance into them.",
        )
    if xyz.ndim != len(axes) + 1 or xyz.shape[-1] != 3 or xyz.size == 0:
        raise OutOfRangeError(
            f"A field has shape {xyz.shape}; it must have {len(axes)} axes of samples and 3 "
            "tristimulus values.",
            "Give XYZ last.",
        )
    opponent = xyz @ opponent_from_xyz().T
    kept = np.zeros_like(opponent)
    for channel, kernel in enumerate(kernels()):
        for width, weight in kernel:
            part = opponent[..., channel]
            for axis in axes:
                part = np.apply_along_axis(_blurred, axis, part, _cells(width, step_deg))
            kept[..., channel] += weight * part
    return np.asarray(kept @ xyz_from_opponent().T)


@lru_cache(maxsize=64)
def _cells(width_deg: float, step_deg: float) -> Floats:
    """Give a Gaussian's share of each cell, summing to 1."""
    reach = max(1, math.ceil(_REACH * width_deg / step_deg))
    edges = (np.arange(-reach, reach + 2) - 0.5) * step_deg
    cumulative = np.asarray(_erf(edges * 2.0 * math.sqrt(math.log(2.0)) / width_deg), dtype=float)
    cells = np.diff(cumulative)
    return np.asarray(cells / cells.sum())


def _blurred(line: Floats, cells: Floats) -> Floats:
    reach = cells.size // 2
    return np.convolve(np.pad(line, reach, mode="edge"), cells, mode="valid")
