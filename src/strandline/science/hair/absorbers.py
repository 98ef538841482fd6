"""From one colour to absorbers that give it: hair read off, a swatch of a shade read off.

One colour is three numbers; hair holds more absorbers than that. Of all amounts that give the
colour those nearest to what is expected are taken.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.fibre import NATURAL_SLOPE
from strandline.science.hair.melanin import relative_extinction
from strandline.science.hair.pigment import constants, dye_bands, reflectance_from_ks

Floats = NDArray[np.float64]

FAR = 2.0
"""dE00 beyond which absorbers do not give a reading; about a strand laid twice, from memory."""
_STEPS, _STILL, _GIVEN_UP = 200, 1e-9, 1e9
_PULL = 0.02
"""Weight of staying near what is expected, in Lab for a change of one."""


@dataclass(frozen=True)
class Absorbers:
    """Amounts that give a colour.

    Parameters
    ----------
    amounts : shape (B,)   of the bands handed in, K/S at their peak, >= 0
    ks : shape (81,)       of all of it
    difference : dE00 that no amounts take away
    """

    amounts: Floats
    ks: Floats
    difference: float


def absorbers_of(
    lab_read: ArrayLike, start: Floats, bands: Floats, expected: Floats, free: Floats
) -> Absorbers:
    """Find the amounts of some absorbers that give a colour.

    Parameters
    ----------
    lab_read : shape (3,)    CIELAB under D65, dry
    start : shape (81,)      K/S that is there already
    bands : shape (B, 81)    shapes of the absorbers
    expected : shape (B,)    amounts expected, >= 0
    free : shape (B,)        how far each may well be from it, > 0

    Raises
    ------
    OutOfRangeError   L* not above 0 or above 100

    Notes
    -----
    Least squares of Lab and, faintly, of the distance from what is expected; amounts >= 0.
    Damped steps of Gauss and Newton; an amount that would fall below 0 is held there.
    """
    wanted = np.asarray(lab_read, dtype=float)
    if wanted.shape != (3,) or not (0 < wanted[0] <= 100 and np.all(np.isfinite(wanted))):
        raise OutOfRangeError(
            f"A colour read off is {wanted.tolist()}; L* must be above 0 and at most 100.",
            "Read the hair dry, three figures: L*, a*, b*.",
        )

    def look(units: Floats) -> Floats:
        return lab_from_reflectance(reflectance_from_ks(start + (units * free) @ bands))

    units = _least(look, wanted, expected / free)
    amounts = units * free
    return Absorbers(amounts, start + amounts @ bands, float(delta_e00(look(units), wanted)))


def _least(look: Callable[[Floats], Floats], wanted: Floats, expected: Floats) -> Floats:
    """Find the amounts, in units of their freedom, whose misses have the least squares."""
    step = 1e-5 * np.eye(len(expected))

    def squares(units: Floats) -> float:
        return float(
            np.sum((look(units) - wanted) ** 2) + np.sum((_PULL * (units - expected)) ** 2)
        )

    at, damping = expected.copy(), 1e-3
    here = squares(at)
    for _ in range(_STEPS):
        miss = np.concatenate([look(at) - wanted, _PULL * (at - expected)])
        slope = np.vstack([(look(at + step) - look(at)).T / 1e-5, _PULL * np.eye(len(at))])
        down = slope.T @ miss
        open_ = (at > 0) | (down < 0)
        if not open_.any():
            break
        normal = (slope.T @ slope)[np.ix_(open_, open_)]
        move = np.zeros_like(at)
        move[open_] = -np.linalg.solve(normal + damping * np.diag(np.diag(normal)), down[open_])
        new = np.maximum(at + move, 0.0)
        there = squares(new)
        if there < here:
            moved = float(np.abs(new - at).max())
            at, here, damping = new, there, damping / 4.0
            if moved < _STILL:
                break
        else:
            damping *= 6.0
            if damping > _GIVEN_UP:
                break
    return at


def ground_of(lab_read: ArrayLike) -> Absorbers:
    """Find hair of a colour that was read off it, whatever was done to it.

    Parameters
    ----------
    lab_read : shape (3,)   CIELAB under D65, dry

    Returns
    -------
    Absorbers   keratin's flat part, its yellow, pheomelanin as it is left by lightening, natural
    pigment, then the dyes of `DYES` but 'depth' that may be on it

    Raises
    ------
    OutOfRangeError   a colour that hair does not have, within `FAR`

    Notes
    -----
    K/S = flat + yellow Y(l) + p P(l) + c exp(-g (l - 550)) + dyes. The flat and yellow parts of
    lightened hair are expected, pigment and dye are what is free. Spectra of one colour differ:
    what a toner then does differs by about what the model's priors do.
    """
    bases, away = constants()["base"], WAVELENGTHS_NM - 550.0
    bands = np.vstack(
        [
            np.ones_like(away),
            np.exp(-away / constants()["optics"]["base_width"].value),
            relative_extinction("pheomelanin"),
            np.exp(-NATURAL_SLOPE * away),
            dye_bands()[1:],
        ]
    )
    flat, yellow = bases["pigmented_end_flat"].value, bases["pigmented_end_yellow"].value
    dyes = len(bands) - 4
    expected = np.concatenate([[flat, yellow, 0.12, 0.0], np.zeros(dyes)])
    free = np.concatenate([[0.05, 0.05, 1.0, 1.0], np.full(dyes, 0.02)])
    found = absorbers_of(lab_read, np.zeros_like(away), bands, expected, free)
    if found.difference > FAR:
        said = ", ".join(f"{x:g}" for x in np.asarray(lab_read, dtype=float))
        raise OutOfRangeError(
            f"No hair reads {said}: the nearest is {found.difference:.0f} dE00 away.",
            "Read the hair again, dry and off the glare: L*, a*, b* under D65.",
        )
    return found


def dyes_of_swatch(lab_read: ArrayLike, ground_ks: Floats, expected: Floats) -> Absorbers:
    """Find the dyes of a shade from a swatch that was read.

    Parameters
    ----------
    lab_read : shape (3,)      CIELAB of the swatch at the label's time, dry
    ground_ks : shape (81,)    of the hair it was laid on
    expected : shape (D,)      the dyes its name says, over `DYES`

    Returns
    -------
    Absorbers   amounts over `DYES`; the spread of the prior is what is free
    """
    free = np.maximum(0.5 * expected, 0.1 * max(float(expected.max()), 0.05))
    return absorbers_of(lab_read, ground_ks, dye_bands(), expected, free)
