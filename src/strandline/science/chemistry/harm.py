"""What lightening costs the fibre: two clocks, one by the root of the dose, one by the dose.

The dose theta is minutes at 6 %. The tables behind these laws are baths of water, not foil,
powder and warmth on coloured hair: they set the shape and compare plans, they never reassure.
The stretch test, the limit she sets, and the label stand above them.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside

Floats = NDArray[np.float64]
REFERENCE_PERCENT = 6.0
"""Strength at which dose is counted, %: 20 volume by the label."""
MOST_BLEACHES = 10


@cache
def constants() -> dict[str, Number]:
    """Load the numbers of `harm.toml`."""
    return numbers(toml_beside(__package__, "harm.toml"), "harm.toml")


def dose(minutes: ArrayLike, percent: ArrayLike, n: ArrayLike) -> Floats:
    """Dose of a lightening.

    Parameters
    ----------
    minutes : shape (...)   that it worked, >= 0
    percent : shape (...)   nominal strength of the bottle, % H2O2, >= 0
    n : shape (...)         exponent of strength in the rate of lift [1], >= 0

    Returns
    -------
    shape (...)   minutes at 6 %; doses of several visits add

    Raises
    ------
    OutOfRangeError   a value below 0 or not a number

    Notes
    -----
    theta = t (C/6)^(n + .4): the strength counts for more in harm than in lift.

    References
    ----------
    repeat_bleach: at equal lightness 6 % harms more than 3 %.
    """
    minutes, percent, n = (np.asarray(a, dtype=float) for a in (minutes, percent, n))
    for thing, value in (("time", minutes), ("strength", percent), ("exponent", n)):
        _not_below_zero(f"The {thing} of a lightening", value)
    exponent = n + constants()["harm_over_lift"].value
    return np.asarray(minutes * (percent / REFERENCE_PERCENT) ** exponent)


def cystine_oxidised(theta: ArrayLike) -> Floats:
    """Share of the hair's cystine that a dose has oxidised.

    Parameters
    ----------
    theta : shape (...)   dose, minutes at 6 %, >= 0

    Returns
    -------
    shape (...)   [1], 0 to .45

    Raises
    ------
    OutOfRangeError   a dose below 0

    Notes
    -----
    .45 (1 - exp(-h sqrt theta)): the root of time at first, then a ceiling.

    References
    ----------
    suzuta (root of time), robbins (ceiling), tate1993 (h).
    """
    theta = np.asarray(theta, dtype=float)
    _not_below_zero("A dose", theta)
    known = constants()
    h = known["cystine_rate"].value
    return np.asarray(-known["cystine_ceiling"].value * np.expm1(-h * np.sqrt(theta)))


def helix_left(bleaches: ArrayLike) -> Floats:
    """Share of the keratin helix left after whole bleaches.

    Parameters
    ----------
    bleaches : shape (...)   number of full lightenings, 0-10

    Returns
    -------
    shape (...)   [1]

    Raises
    ------
    OutOfRangeError   a number outside 0-10

    Notes
    -----
    1 - .094 N. Fitted on 1 to 3 bleaches; beyond, the line is carried on.

    References
    ----------
    helix2002
    """
    bleaches = np.asarray(bleaches, dtype=float)
    _not_below_zero("A number of bleaches", bleaches)
    if np.any(bleaches > MOST_BLEACHES):
        raise OutOfRangeError(
            f"The hair is said to be bleached {np.max(bleaches):g} times; it must be 0-10.",
            "Count the lightenings that this stretch has seen.",
        )
    return np.asarray(1.0 - constants()["helix_per_bleach"].value * bleaches)


def denaturation_c(minutes: ArrayLike) -> Floats:
    """Temperature at which wet keratin comes apart, after a bath of bleach.

    Parameters
    ----------
    minutes : shape (...)   in the bath, 0-240

    Returns
    -------
    shape (...)   C

    Raises
    ------
    OutOfRangeError   a time outside 0-240 min

    Notes
    -----
    T_D = 141.3 - .0294 t. Misses the quick first fall: the table's 15 min lie 1.2 C below it.

    References
    ----------
    gillece2021, Table IV.
    """
    minutes = np.asarray(minutes, dtype=float)
    _not_below_zero("A time in the bath", minutes)
    if np.any(minutes > 240):
        raise OutOfRangeError(
            f"A time in the bath is {np.max(minutes):g} min; it must be 0-240 min.",
            "Ask within the table; nothing was measured beyond it.",
        )
    known = constants()
    fall = known["denaturation_per_min"].value
    return np.asarray(known["denaturation_start"].value - fall * minutes)


def permeability(theta: ArrayLike) -> Floats:
    """How much faster dye enters hair of a dose than sound hair.

    Parameters
    ----------
    theta : shape (...)   dose, minutes at 6 %, >= 0

    Returns
    -------
    shape (...)   [1], 1 on sound hair, 2.7 after an hour

    Raises
    ------
    OutOfRangeError   a dose below 0

    Notes
    -----
    1 + 1.87 (1 - exp(-theta/23.5)), through the three rows of one dye in water. Not a factor of
    how much a gloss leaves at its full time.

    References
    ----------
    tate1993
    """
    theta = np.asarray(theta, dtype=float)
    _not_below_zero("A dose", theta)
    known = constants()
    gone = -np.expm1(-theta / known["permeability_min"].value)
    return np.asarray(1.0 + known["permeability_gain"].value * gone)


def _not_below_zero(thing: str, value: Floats) -> None:
    if not np.all(np.isfinite(value) & (value >= 0)):
        wrong = value[~(np.isfinite(value) & (value >= 0))].flat[0]
        raise OutOfRangeError(
            f"{thing} is {wrong:g}; it must be a number of 0 or more.",
            "Give minutes, percent and counts as numbers of 0 or more.",
        )
