"""A colour read off hair, taken back to amount and slope of its pigment.

Her own reading of a head overrides the level: depth gives the amount, warmth the slope.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.fibre import natural
from strandline.science.hair.pigment import SPECULAR, lab

Floats = NDArray[np.float64]

LEAST_AMOUNT, MOST_AMOUNT = 0.01, 1000.0
LEAST_SLOPE, MOST_SLOPE = 0.0, 0.02
"""Slopes outside this were fitted to no natural hair but one black head known to be odd, 1/nm."""
_AMOUNTS, _SLOPES = 61, 21
_ZOOMS, _ZOOMED = 6, 7


@dataclass(frozen=True, slots=True)
class Reading:
    """What n colours say of their pigment.

    Parameters
    ----------
    amount : shape (n,)       K/S at 550 nm
    slope : shape (n,)        1/nm
    difference : shape (n,)   dE00 that no amount and slope take away
    """

    amount: Floats
    slope: Floats
    difference: Floats


def read_pigment(
    lab_read: Floats, specular: float = SPECULAR, slope: float | None = None
) -> Reading:
    """Find amount and slope of virgin, pigmented hair that come nearest to colours read off it.

    Parameters
    ----------
    lab_read : shape (n, 3)    CIELAB under D65, L* above 0
    specular : float           part the surface reflected in the reading's geometry [1]
    slope : float | None       a slope that is given, 1/nm; None finds it too

    Returns
    -------
    Reading of n colours

    Raises
    ------
    OutOfRangeError   L* not above 0

    Notes
    -----
    Least dE00 on a grid of ln amount and slope, narrowed six times by three. Amounts .01-1000,
    slopes 0-.02. Valid for hair as it grew; lightened or dyed hair has more than two numbers.

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
    logs = np.linspace(np.log(LEAST_AMOUNT), np.log(MOST_AMOUNT), _AMOUNTS)
    slopes = np.linspace(LEAST_SLOPE, MOST_SLOPE, _SLOPES) if slope is None else np.array([slope])
    log, g = (grid.ravel() for grid in np.meshgrid(logs, slopes, indexing="ij"))
    first = delta_e00(lab_read[:, None], _colour(log, g, specular)[None])
    best = np.argmin(first, axis=1)
    log, g, difference = log[best], g[best], first[np.arange(best.size), best]

    reach_log = logs[1] - logs[0]
    reach_g = 0.0 if slope is not None else slopes[1] - slopes[0]
    offsets = np.linspace(-1.0, 1.0, _ZOOMED)
    for _ in range(_ZOOMS):
        aside = offsets[:, None] * reach_log
        along = offsets[None, :] * reach_g if slope is None else np.zeros((1, 1))
        around_log = np.clip(log[:, None, None] + aside + 0.0 * along, logs[0], logs[-1])
        around_g = g[:, None, None] + along + 0.0 * aside
        if slope is None:
            around_g = np.clip(around_g, LEAST_SLOPE, MOST_SLOPE)
        shape = (log.size, -1)
        around_log, around_g = around_log.reshape(shape), around_g.reshape(shape)
        colours = _colour(around_log.ravel(), around_g.ravel(), specular)
        near = delta_e00(lab_read[:, None], colours.reshape(*around_log.shape, 3))
        rows, best = np.arange(log.size), np.argmin(near, axis=1)
        log, g, difference = around_log[rows, best], around_g[rows, best], near[rows, best]
        reach_log, reach_g = reach_log / 3.0, reach_g / 3.0
    return Reading(np.exp(log), g, difference)


def _colour(log: Floats, slope: Floats, specular: float) -> Floats:
    return lab(natural(np.exp(log), slope), specular)
