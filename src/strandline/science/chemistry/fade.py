"""Dye going off by washes and light, and the little that a violet shampoo puts back."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.chemistry import deposit
from strandline.science.fibre import DYES, Fibre

Floats = NDArray[np.float64]


@cache
def constants() -> dict[str, dict[str, Number]]:
    """Load the numbers of `fade.toml`, by table and kind."""
    return {
        table: numbers(entries, f"fade.toml [{table}]")
        for table, entries in toml_beside(__package__, "fade.toml").items()
    }


WASHES_PER_WEEK = constants()["habit"]["washes_per_week"].value
UV_HOURS_PER_DAY = constants()["habit"]["uv_hours_per_day"].value


def kept_after(kind: str, washes: ArrayLike, uv_hours: ArrayLike = 0.0) -> Floats:
    """Share of a dye that is left after washes and hours of daylight.

    Parameters
    ----------
    kind : fast toner, acid demi, alkaline demi, direct, temporary or permanent
    washes : shape (...)     since it was put on, >= 0
    uv_hours : shape (...)   of daylight on the hair, >= 0

    Returns
    -------
    shape (...)   [1], 0-1

    Raises
    ------
    OutOfRangeError   washes or hours below 0, a kind not known

    Notes
    -----
    exp(-kw washes - kuv hours). Valid for lasting over weeks. Not valid for the first washes of
    a fresh permanent colour, which lose more (jcs56). Her own re-visits recalibrate it.

    References
    ----------
    modern_hair_science, Table 5; ifscc2008.
    """
    w, h = np.asarray(washes, dtype=float), np.asarray(uv_hours, dtype=float)
    if not (np.all(w >= 0) and np.all(h >= 0)):
        raise OutOfRangeError(
            f"Fading counts {np.min(w):g} washes and {np.min(h):g} h of light; both must be 0 or "
            "more.",
            "Count from the day it was put on.",
        )
    return np.asarray(np.exp(-_of("per_wash", kind) * w - _of("per_hour", kind) * h))


def kept(
    kind: str,
    weeks: ArrayLike,
    washes_per_week: float = WASHES_PER_WEEK,
    uv_hours_per_day: float = UV_HOURS_PER_DAY,
) -> Floats:
    """Share of a dye that is left after weeks of a habit; see `kept_after`.

    Parameters
    ----------
    kind : as `kept_after`
    weeks : shape (...)   since it was put on, >= 0
    washes_per_week, uv_hours_per_day : her client's habit, >= 0

    Returns
    -------
    shape (...)   [1], 0-1
    """
    w = np.asarray(weeks, dtype=float)
    return kept_after(kind, w * washes_per_week, w * 7.0 * uv_hours_per_day)


def fade(
    fibre: Fibre,
    kind: str,
    weeks: float,
    *,
    washes_per_week: float = WASHES_PER_WEEK,
    uv_hours_per_day: float = UV_HOURS_PER_DAY,
) -> Fibre:
    """Give states some weeks on: the dyes of glosses faded by `kept`, all else as it was."""
    return fibre.with_(dyes=fibre.dyes * kept(kind, weeks, washes_per_week, uv_hours_per_day))


def with_violet_shampoo(fibre: Fibre, uses: float = 1.0) -> Fibre:
    """Give states after uses of a violet shampoo, its little violet added to the dyes.

    Raises
    ------
    OutOfRangeError   uses below 0

    Notes
    -----
    A small dose each use, taken by the porosity of the state (from memory). It fades as a direct
    dye; wash and use are two calls.
    """
    if not uses >= 0:
        raise OutOfRangeError(
            f"A violet shampoo is used {uses:g} times; it must be 0 or more.", "Count the uses."
        )
    amounts = np.zeros(len(DYES))
    amounts[DYES.index("violet")] = deposit.constants()["on_hair"]["violet_shampoo"].value
    return deposit.deposit(fibre, amounts, uses * fibre.porosity)


def _of(table: str, kind: str) -> float:
    known = constants()[table]
    if kind not in known:
        raise OutOfRangeError(
            f"The kind of colour is '{kind}'; it must be one of {', '.join(known)}.",
            "Choose the kind that its label says.",
        )
    return known[kind].value
