"""The natural level of hair, read from its lightness; with it the stages of `stages`.

Two scales, never one: a function says in its name which of the two it means.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.fibre import NATURAL_SLOPE, Fibre, natural
from strandline.science.hair.scale import columns, regression, within
from strandline.science.hair.stages import (
    lightened,
    lightness_of_stage,
    progress_of_stage,
    stage_of,
    stage_of_lightness,
    underlying,
)

__all__ = [
    "amount_of_level",
    "level_of_lab",
    "level_of_lightness",
    "level_spread",
    "lightened",
    "lightness_of_level",
    "lightness_of_stage",
    "natural_palette",
    "progress_of_stage",
    "stage_of",
    "stage_of_lightness",
    "underlying",
]

Floats = NDArray[np.float64]


def lightness_of_level(level: ArrayLike) -> Floats:
    """Lightness of natural hair of a level.

    Parameters
    ----------
    level : shape (...)   natural level, 1-10, parts allowed

    Returns
    -------
    shape (...)   L*

    Raises
    ------
    OutOfRangeError   a level outside 1-10

    Notes
    -----
    ln L* = 2.3029 + .1893 level, fitted on eleven heads of levels 1-7; 8-10 are extrapolated,
    draw them as doubtful. Not valid for lightened hair.

    References
    ----------
    strandline_fit, on vrhel1994 and bohnert1998.
    """
    level = within(level, 1.0, 10.0, "A natural level")
    fit = regression()
    return np.asarray(np.exp(fit["intercept"] + fit["slope"] * level))


def level_of_lightness(lightness: ArrayLike) -> Floats:
    """Natural level of a lightness L* > 0, the inverse of `lightness_of_level`.

    Goes on past 1 and 10 along the same line, so that a reading outside the scale shows as one.

    Raises
    ------
    OutOfRangeError   L* of 0 or less
    """
    lightness = np.asarray(lightness, dtype=float)
    if not np.all(lightness > 0):
        raise OutOfRangeError(
            f"A lightness L* is {np.min(lightness):g}; it must be above 0.",
            "Read the hair again; black hair reads about 10 or more.",
        )
    fit = regression()
    return np.asarray((np.log(lightness) - fit["intercept"]) / fit["slope"])


def level_of_lab(lab: ArrayLike) -> Floats:
    """Natural level of colours of shape (..., 3), from their lightness alone: shape (...)."""
    return level_of_lightness(np.asarray(lab, dtype=float)[..., 0])


def level_spread(level: ArrayLike) -> Floats:
    """How far a head may lie from the level its lightness says: one sd, in levels.

    Parameters
    ----------
    level : shape (...)   natural level

    Returns
    -------
    shape (...)   .82 at 5, .99 at 9, 1.05 at 10

    Notes
    -----
    Predictive sd of the regression, s sqrt(1 + 1/n + (level - mean)^2/S) over its slope.

    References
    ----------
    strandline_fit.
    """
    fit = regression()
    away = (np.asarray(level, dtype=float) - fit["mean_level"]) ** 2 / fit["squares"]
    return np.asarray(fit["residual"] / fit["slope"] * np.sqrt(1.0 + 1.0 / fit["heads"] + away))


def amount_of_level(level: ArrayLike) -> Floats:
    """Amount of natural pigment of a level, on the white base with the natural slope.

    Parameters
    ----------
    level : shape (...)   natural level, 1-10

    Returns
    -------
    shape (...)   K/S at 550 nm; 0 at level 10

    Raises
    ------
    OutOfRangeError   a level outside 1-10

    Notes
    -----
    Read off a table by whole levels: its logarithm is linear between them up to 9, from 9 to 10
    the amount itself is. This is where a palette starts before anyone has read the hair.

    References
    ----------
    strandline_fit.
    """
    level = within(level, 1.0, 10.0, "A natural level")
    levels, amounts = columns("natural", "level", "amount")
    below = np.exp(np.interp(level, levels[:-1], np.log(amounts[:-1])))
    return np.asarray(np.where(level <= levels[-2], below, amounts[-2] * (levels[-1] - level)))


def natural_palette(levels: ArrayLike, *, with_white: bool = True) -> Fibre:
    """Start of a palette: virgin hair of each level, then white hair if asked.

    Parameters
    ----------
    levels : shape (n,)   natural levels, 1-10
    with_white : add one state that never had pigment, last

    Returns
    -------
    Fibre of n or n + 1 states

    Raises
    ------
    OutOfRangeError   a level outside 1-10
    """
    amounts = np.atleast_1d(amount_of_level(levels))
    white = np.zeros_like(amounts)
    if with_white:
        amounts, white = np.append(amounts, 0.0), np.append(white, 1.0)
    return natural(amounts, NATURAL_SLOPE, white=white)
