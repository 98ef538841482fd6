"""Wet hair reads darker: by how much, and how a reading made wet is taken back to dry.

Wetness is counted in levels of pigment: one is the factor in absorption between two natural
levels. Between levels 3 and 9 that reads about a level darker, less on black and on white hair.
"""

from __future__ import annotations

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers
from strandline.science.hair.scale import columns, document

MOST_LEVELS = 4.0
"""More than this is no longer water; from memory."""


def wet_levels() -> Number:
    """Load how many levels of pigment water is worth, with its spread: a prior, hers to replace."""
    return numbers(document()["wet"], "levels.toml [wet]")["levels"]


def level_factor() -> float:
    """Factor in the amount of pigment that one natural level stands for, over levels 2-8."""
    levels, amounts = columns("natural", "level", "amount")
    inside = (levels >= 2) & (levels <= 8)
    slope = np.polyfit(levels[inside], np.log(amounts[inside]), 1)[0]
    return float(np.exp(-slope))


def wet_factor(levels: float) -> float:
    """Factor on K/S of hair for being wet.

    Parameters
    ----------
    levels : of pigment that water is worth, 0-4; 0 for dry hair

    Returns
    -------
    1 for dry hair, about 1.8 for a level

    Raises
    ------
    OutOfRangeError   levels outside 0-4

    Notes
    -----
    Water between the fibres brings the index around them nearer to their own: light is scattered
    forward, passes more hair before it comes back, and every absorber counts for more. In
    similarity that multiplies the absorption over scattering by one factor at all wavelengths
    (twomey1986); how large it is for hair, towelled or under a lightener, was not found measured.
    The size is one level, spread one half: from memory.

    References
    ----------
    twomey1986: S. A. Twomey, C. F. Bohren, J. L. Mergenthaler (1986).
    """
    if not 0.0 <= levels <= MOST_LEVELS:
        raise OutOfRangeError(
            f"Water is said to be worth {levels:g} levels of pigment, not 0-{MOST_LEVELS:g}.",
            "Compare the same strand wet and dry; between levels 3 and 9 it reads as much darker.",
        )
    return float(level_factor() ** levels)
