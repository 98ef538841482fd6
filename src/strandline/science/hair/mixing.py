"""Hair of several kinds in one place: what an eye sees of white and pigmented together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.hair.pigment import (
    SPECULAR,
    constants,
    ks_from_reflectance,
    reflectance_from_ks,
)

Floats = NDArray[np.float64]

BLEND_RUN_MM = constants()["mixing"]["run_mm"].value
"""Run m0 of like hair at which area and intimate mixing weigh the same, mm."""
BLEND_RUN_SPREAD = constants()["mixing"]["run_spread"].value
"""Spread of its logarithm, one sd."""
_CLOSED = 1e-6


def area_mix(reflectance: Floats, shares: Floats) -> Floats:
    """Mix of parts that lie beside each other and can be told apart.

    Parameters
    ----------
    reflectance : shape (..., N, W)   of N parts [1]
    shares : shape (..., N)           share of the area of each [1], 0-1, summing to 1

    Returns
    -------
    shape (..., W)   R = sum f_j R_j

    Raises
    ------
    OutOfRangeError   shares below 0 or not summing to 1
    """
    shares = _closed(shares)
    return np.asarray(np.einsum("...nw,...n->...w", np.asarray(reflectance, dtype=float), shares))


def intimate_mix(reflectance: Floats, shares: Floats, specular: float = SPECULAR) -> Floats:
    """Mix of fibres buried in one tress: absorption adds.

    Parameters
    ----------
    reflectance : shape (..., N, W)   of N parts [1], above `specular`
    shares : shape (..., N)           share of the fibre of each [1], 0-1, summing to 1
    specular : float                  part the surface reflects [1]

    Returns
    -------
    shape (..., W)   R of K/S = sum f_j (K/S)_j; darker than the area mix

    Raises
    ------
    OutOfRangeError   shares below 0 or not summing to 1; a reflectance not above `specular`

    References
    ----------
    kubelka1931: P. Kubelka, F. Munk (1931).
    """
    shares = _closed(shares)
    ks = ks_from_reflectance(reflectance, specular)
    return reflectance_from_ks(np.einsum("...nw,...n->...w", ks, shares), specular)


def blend(
    reflectance: Floats,
    shares: Floats,
    run_mm: Floats | float,
    m0_mm: float = BLEND_RUN_MM,
    specular: float = SPECULAR,
) -> Floats:
    """Mix between the two above, by how long the runs of like hair are.

    Parameters
    ----------
    reflectance : shape (..., N, W)   of N parts [1]
    shares : shape (..., N)           share of each [1], summing to 1
    run_mm : shape (...) or scalar    mean run of like hair, mm, >= 0; infinity is the area mix
    m0_mm : float                     run at which both weigh the same, mm, > 0
    specular : float                  part the surface reflects [1]

    Returns
    -------
    shape (..., W)   R = w R_area + (1 - w) R_intimate, w = m/(m + m0)

    Raises
    ------
    OutOfRangeError   a run below 0, m0 not above 0, shares not summing to 1

    Notes
    -----
    Of three parts or more, the run is that of the commonest light part. Salt and pepper (a run of
    about a fibre) and a 2 mm weave do not blend alike. m0 was fitted on a path-traced curtain of
    level 4 and white at five shares; the law then misses the weight by .02-.04 there and on
    clumps of .3 and 2 mm. A real head, its waves and its layers, was not measured.

    References
    ----------
    traced_curtain.
    """
    run = np.asarray(run_mm, dtype=float)
    if not (np.all(run >= 0) and m0_mm > 0):
        raise OutOfRangeError(
            f"A run of like hair is {np.min(run):g} mm against {m0_mm:g} mm; the first must be 0 "
            "or more, the second above 0.",
            "Give the pick width of a weave, or the run of natural white, in mm.",
        )
    near = np.where(np.isfinite(run), run, 0.0)
    weight = np.where(np.isfinite(run), near / (near + m0_mm), 1.0)
    weight = weight[..., None]
    side_by_side = area_mix(reflectance, shares)
    return np.asarray(
        weight * side_by_side + (1.0 - weight) * intimate_mix(reflectance, shares, specular)
    )


def natural_run_mm(diameter_mm: float, share: Floats | float) -> Floats:
    """Mean run of white fibres among pigmented ones that lie at random.

    Parameters
    ----------
    diameter_mm : float             diameter of a fibre, mm, > 0
    share : shape (...) or scalar   share of white [1], 0 to below 1

    Returns
    -------
    shape (...)   mm

    Raises
    ------
    OutOfRangeError   a diameter not above 0, a share below 0 or of 1 and more

    Notes
    -----
    Runs of like fibres in a random row are geometric: mean diameter/(1 - share).
    """
    share = np.asarray(share, dtype=float)
    if not (diameter_mm > 0 and np.all((share >= 0) & (share < 1))):
        raise OutOfRangeError(
            f"Fibres of {diameter_mm:g} mm with a white share of {np.max(share):g} have no run; "
            "the diameter must be above 0, the share 0 to below 1.",
            "Where all hair is white there is nothing to blend.",
        )
    return np.asarray(diameter_mm / (1.0 - share))


def _closed(shares: Floats) -> Floats:
    shares = np.asarray(shares, dtype=float)
    total = shares.sum(axis=-1)
    if not (np.all(shares >= 0) and np.all(np.abs(total - 1.0) <= _CLOSED)):
        raise OutOfRangeError(
            f"The shares of a mix sum to {np.max(total):g}, the least is {np.min(shares):g}; "
            "they must be 0 or more and sum to 1.",
            "Divide each by their sum.",
        )
    return shares
