"""Forms that the absorption of natural pigment could have, each with two numbers a head.

The form in use and those it was chosen against, fitted alike on the same heads.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.melanin import absorption_of_melanins, relative_extinction
from strandline.science.hair.pigment import base, reflectance_from_ks
from strandline.science.hair.reading import MOST_SLOPE
from strandline.science.hair.search import Axis, nearest

Floats = NDArray[np.float64]

IN_USE = "amount and slope"
_AMOUNTS = Axis(float(np.log(0.01)), float(np.log(1000.0)), 61)


@dataclass(frozen=True, slots=True)
class Form:
    """A form of the absorption of virgin hair.

    Parameters
    ----------
    words : str        its equation
    source : str       a key of sources.toml, or 'from memory'
    second : Axis      where its second number is looked for
    absorption : of amount and second number, shapes (m,), to K/S, shape (m, 81)
    """

    words: str
    source: str
    second: Axis
    absorption: Callable[[Floats, Floats], Floats]


def _white() -> Floats:
    return base(np.zeros(1), np.ones(1))


def _sloped(amount: Floats, slope: Floats) -> Floats:
    return np.asarray(amount[:, None] * np.exp(-slope[:, None] * (WAVELENGTHS_NM - 550.0)))


def _power(amount: Floats, power: Floats) -> Floats:
    return np.asarray(_white() + amount[:, None] * (WAVELENGTHS_NM / 550.0) ** -power[:, None])


def _eumelanin_power(amount: Floats, power: Floats) -> Floats:
    shape = relative_extinction("eumelanin")[None]
    return np.asarray(_white() + amount[:, None] * shape ** power[:, None])


_SLOPES = Axis(0.0, MOST_SLOPE, 21)

FORMS: dict[str, Form] = {
    IN_USE: Form(
        "b + c exp(-g (l - 550))", "strandline_fit", _SLOPES,
        lambda c, g: _white() + _sloped(c, g),
    ),
    "the same without a base": Form(
        "c exp(-g (l - 550))", "strandline_fit", _SLOPES, _sloped
    ),
    "two pigments": Form(
        "b + ke E(l) + kp P(l)", "sarna1988", Axis(0.0, 1.0, 21),
        lambda c, share: absorption_of_melanins(c * (1.0 - share), c * share),
    ),
    "eumelanin to a power": Form(
        "b + c E(l)^p", "sarna1988", Axis(0.0, 4.0, 21), _eumelanin_power
    ),
    "power of the wavelength": Form(
        "b + c (l/550)^-p", "jacques1991", Axis(0.0, 12.0, 25), _power
    ),
}  # fmt: skip
"""Each form by its name, the one in use first."""


def fitted(
    form: Form, lab: Floats, specular: float, second: float | None = None
) -> tuple[Floats, Floats]:
    """Fit a form to colours of heads.

    Parameters
    ----------
    form : of `FORMS`
    lab : shape (n, 3)   CIELAB under D65
    specular : float     part the surface reflected [1]
    second : its second number where it is given; None finds it too

    Returns
    -------
    second : shape (n,)
    difference : shape (n,)   dE00 left
    """

    def colour(log: Floats, other: Floats) -> Floats:
        ks = form.absorption(np.exp(log), other)
        return lab_from_reflectance(reflectance_from_ks(ks, specular))[:, None]

    axis = form.second if second is None else Axis(second, second, 1)
    _, found, difference = nearest(lab[:, None], colour, _AMOUNTS, axis)
    return found, difference
