"""The same surface under the lights of a salon, a home and a street.

Two questions, two functions. `lab_under` is the colour an instrument reports under a light,
against that light's own white: two surfaces that match under D65 are compared so. `seen_under`
is what an eye used to that light would call the colour, as the daylight colour that looks the
same: one surface is followed so from the chair to the street.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import cite, toml_beside
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance, lab_from_xyz
from strandline.science.colour.spectra import POWER, WHITE_XYZ, weights_of, xyz

Floats = NDArray[np.float64]

CAT16 = np.array(
    [
        [0.401288, 0.650173, -0.051461],
        [-0.250268, 1.204414, 0.045854],
        [-0.002079, 0.048952, 0.953127],
    ]
)
"""From XYZ to the cone-like responses in which an eye adapts (li2017)."""


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """A light of the standard.

    Parameters
    ----------
    name : str                   as the standard writes it
    words : str                  where it is met
    also : tuple of str          plain words a person may say for it
    cct_k : float                correlated colour temperature, K
    shown : bool                 one of the few that a short table shows
    weights : shape (81, 3)      of the sum over wavelengths
    white_xyz : shape (3,)       of the perfect white, Y = 100
    """

    name: str
    words: str
    also: tuple[str, ...]
    cct_k: float
    shown: bool
    weights: Floats
    white_xyz: Floats


@cache
def lights() -> dict[str, Light]:
    """Load the lights of `lights.toml`, by name.

    Raises
    ------
    SourceError   a light without a known source
    """
    out = {}
    for name, entry in toml_beside(__package__, "lights.toml").items():
        cite(entry["source"])
        weights = weights_of(POWER[name])
        weights.setflags(write=False)
        white = weights.sum(axis=0)
        white.setflags(write=False)
        shown = bool(entry.get("shown", False))
        also = tuple(entry.get("also", ()))
        out[name] = Light(name, entry["words"], also, float(entry["cct_k"]), shown, weights, white)
    return out


def light(name: str) -> Light:
    """Give a light by its name in the standard or by a plain word for it.

    Small letters, spaces and hyphens are forgiven.

    Raises
    ------
    OutOfRangeError   a light that is not known
    """
    wanted = " ".join(name.lower().replace("-", " ").split())
    for one in lights().values():
        if wanted in (one.name.lower().replace("-", " "), *one.also):
            return one
    plain = [word for one in lights().values() for word in one.also]
    raise OutOfRangeError(
        f"The light '{name}' is not known.",
        f"Name one of: {', '.join(plain)}; or in the standard's own names: {', '.join(lights())}.",
    )


def lab_under(reflectance: Floats, under: Light) -> Floats:
    """CIELAB under a light, against that light's own white.

    Parameters
    ----------
    reflectance : shape (..., 81)   reflectance factor [1]
    under : Light

    Returns
    -------
    shape (..., 3)

    Notes
    -----
    What a standard asks where two surfaces are compared under a second light (the special
    metamerism index). Not the colour that an adapted eye sees: `seen_under`.

    References
    ----------
    cie15: CIE 15:2018.
    """
    return lab_from_xyz(xyz(reflectance, under.weights), under.white_xyz)


def adapted(values: Floats, white_from: Floats, white_to: Floats = WHITE_XYZ) -> Floats:
    """Tristimulus values that look the same under another white.

    Parameters
    ----------
    values : shape (..., 3)   XYZ under the first white
    white_from, white_to : shape (3,)   whites, Y = 100

    Returns
    -------
    shape (..., 3)   XYZ under the second white

    Notes
    -----
    von Kries scaling of CAT16 responses, adaptation complete (D = 1). Valid for whites near
    daylight to filament; under sodium light no eye adapts completely.

    References
    ----------
    li2017: C. Li and others (2017).
    """
    gain = (CAT16 @ white_to) / (CAT16 @ white_from)
    return np.asarray(((np.asarray(values, dtype=float) @ CAT16.T) * gain) @ np.linalg.inv(CAT16).T)


def seen_under(reflectance: Floats, under: Light) -> Floats:
    """Daylight colour that looks like a surface does under a light.

    Parameters
    ----------
    reflectance : shape (..., 81)   reflectance factor [1]
    under : Light

    Returns
    -------
    shape (..., 3)   CIELAB for D65; against the same surface's own D65 colour it says how far
    the light turns it

    References
    ----------
    li2017; cie15.
    """
    return lab_from_xyz(adapted(xyz(reflectance, under.weights), under.white_xyz))


def turned_by(reflectance: Floats, under: Light) -> Floats:
    """How far a light turns a surface from its daylight colour, for an eye used to each.

    Parameters
    ----------
    reflectance : shape (..., 81)   reflectance factor [1]
    under : Light

    Returns
    -------
    shape (...)   dE00, 0 under D65

    References
    ----------
    li2017; sharma2005.
    """
    return delta_e00(seen_under(reflectance, under), lab_from_reflectance(reflectance))
