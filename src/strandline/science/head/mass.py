"""How many hairs, and what they weigh."""

from __future__ import annotations

import math

from strandline.base.errors import OutOfRangeError

SPECIFIC_GRAVITY = 1.32
"""Of dry hair against water, g/cm3; from memory."""


def linear_mass_mg_per_cm(diameter_um: float) -> float:
    """Give the mass of a centimetre of one hair.

    Parameters
    ----------
    diameter_um : float   of a round fibre, um, 20-200

    Returns
    -------
    float   mg/cm

    Raises
    ------
    OutOfRangeError   a diameter outside the range

    Notes
    -----
    pi d^2 / 4 x 1.32 g/cm3. Valid for a round fibre of one thickness; oval hair of the same
    mean diameter weighs a little less.

    References
    ----------
    geometry; specific gravity from memory
    """
    if not 20 <= diameter_um <= 200:
        raise OutOfRangeError(
            f"Strand diameter is {diameter_um:g} um; it must be 20-200 um.",
            "If you measured in millimetres, multiply by 1000.",
        )
    diameter_cm = diameter_um * 1e-4
    return math.pi / 4 * diameter_cm**2 * SPECIFIC_GRAVITY * 1000


def hairs(density_per_cm2: float, area_cm2: float) -> int:
    """Give the number of hairs on an area, to the nearest.

    Parameters
    ----------
    density_per_cm2 : float   hairs/cm2, >= 0
    area_cm2 : float          cm2, >= 0
    """
    return math.floor(density_per_cm2 * area_cm2 + 0.5)


def hair_grams(count: float, length_cm: float, diameter_um: float) -> float:
    """Give the mass of hairs of one length and thickness, g."""
    return count * length_cm * linear_mass_mg_per_cm(diameter_um) / 1000
