"""Contrast: how much of the hair is light, how much dark, and at which levels.

The same figures can be read from a photograph, whose pixels are colours of equal share.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_xyz, xyz_from_lab
from strandline.science.seeing.constants import constants

Floats = NDArray[np.float64]

NOTICED = constants("contrast")["noticed"].value
"""Just noticeable difference, dE*ab."""
FEWEST = constants("contrast")["fewest"].value
"""Share of the hair below which a few strands are no side of a contrast [1]."""


@dataclass(frozen=True, slots=True)
class Contrast:
    """Light against dark.

    Parameters
    ----------
    light_share, dark_share : float   of the hair [1], summing to 1
    light_level, dark_level : float   of their mean colours, on the scale handed in
    even : bool                       no contrast is seen: both levels are that of the whole, and
                                      no share is called light
    """

    light_share: float
    light_level: float
    dark_share: float
    dark_level: float
    even: bool


def contrast(lab: Floats, shares: Floats, level_of: Callable[[Floats], Floats]) -> Contrast:
    """Part colours into light and dark.

    Parameters
    ----------
    lab : shape (n, 3)    CIELAB of what can be told apart: strands, stretches or pixels
    shares : shape (n,)   share of each of the area, >= 0, with a sum above 0
    level_of : callable   CIELAB of shape (m, 3) to levels of shape (m,)

    Raises
    ------
    OutOfRangeError   shares below 0, or all of them 0, or not one for each colour

    Notes
    -----
    The parting lies where it separates lightness best: greatest w1 w2 (L1 - L2)^2 over all
    partings by L* (Otsu's criterion). Levels are those of the area mix of each side. The hair is
    even where sqrt(w1 w2) times their difference is below that of equal halves 2.3 dE*ab apart:
    a few strands must differ by more than half the head to be called contrast. It is also even
    where one side is under 2 % of it.

    References
    ----------
    mahy1994
    """
    lab = np.asarray(lab, dtype=float).reshape(-1, 3)
    shares = np.asarray(shares, dtype=float)
    if shares.shape != lab.shape[:1] or not (np.all(shares >= 0) and shares.sum() > 0):
        raise OutOfRangeError(
            f"There are {lab.shape[0]} colours with shares {shares.shape} of least "
            f"{np.min(shares, initial=np.inf):g}; each must have one of 0 or more, not all 0.",
            "Give the share of the area that each colour covers.",
        )
    order = np.argsort(lab[:, 0], kind="stable")
    lab, shares = lab[order], shares[order] / shares.sum()
    xyz = xyz_from_lab(lab)
    light = _parted(lab[:, 0], shares)
    if light == 0:
        return _even(xyz, shares, level_of)
    sides = [_mean(xyz[side], shares[side]) for side in (slice(light, None), slice(light))]
    means = lab_from_xyz(np.stack(sides))
    share = float(shares[light:].sum())
    spread = math.sqrt(share * (1.0 - share)) * float(np.linalg.norm(means[0] - means[1]))
    if spread < NOTICED / 2.0 or min(share, 1.0 - share) < FEWEST:
        return _even(xyz, shares, level_of)
    bright, dark = (float(level) for level in level_of(means))
    return Contrast(share, bright, 1.0 - share, dark, even=False)


def _parted(lightness: Floats, shares: Floats) -> int:
    """Give the index from which colours are light, 0 where none differ."""
    below = np.cumsum(shares)[:-1]
    summed = np.cumsum(shares * lightness)
    whole = summed[-1]
    apart = below * (1.0 - below) > 0
    if not np.any(apart):
        return 0
    between = np.zeros_like(below)
    b, s = below[apart], summed[:-1][apart]
    between[apart] = (whole * b - s) ** 2 / (b * (1.0 - b))
    return int(np.argmax(between)) + 1


def _mean(xyz: Floats, shares: Floats) -> Floats:
    return np.asarray(shares @ xyz / shares.sum())


def _even(xyz: Floats, shares: Floats, level_of: Callable[[Floats], Floats]) -> Contrast:
    level = float(level_of(lab_from_xyz(_mean(xyz, shares))[None, :])[0])
    return Contrast(0.0, level, 1.0, level, even=True)
