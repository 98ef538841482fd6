"""Dye going on: how much of a gloss a stretch has taken after some minutes."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers
from strandline.science.fibre import Fibre

Floats = NDArray[np.float64]


@cache
def constants() -> dict[str, dict[str, Number]]:
    """Load the numbers of `deposit.toml`, by table and kind."""
    text = files(__package__ or "").joinpath("deposit.toml").read_text("utf-8")
    document = tomllib.loads(text)
    return {name: numbers(document[name], f"deposit.toml [{name}]") for name in document}


def of_kind(table: str, kind: str) -> float:
    """Give a number of a kind of product.

    Raises
    ------
    OutOfRangeError   a kind that is not known
    """
    known = constants()[table]
    if kind not in known:
        raise OutOfRangeError(
            f"The kind of colour is '{kind}'.", f"Choose one of: {', '.join(known)}."
        )
    return known[kind].value


def uptake(minutes: float, label_minutes: float, kind: str, factor: float = 1.0) -> float:
    """Share of a shade's full deposit that is taken after some minutes.

    Parameters
    ----------
    minutes : since it was applied, >= 0
    label_minutes : T, the label's time, for which a shade's depth is stated, > 0
    kind : fast toner, acid demi, alkaline demi, direct, permanent
    factor : phi, of the hair against sound mids [1], >= 0

    Returns
    -------
    [1]   phi (1 - exp(-k t))/(1 - exp(-k T)); above 1 on porous hair or past the label

    Raises
    ------
    OutOfRangeError   minutes or factor below 0, a label of 0, a kind not known
    """
    if not (minutes >= 0 and label_minutes > 0 and factor >= 0):
        raise OutOfRangeError(
            f"A gloss is said to be on for {minutes:g} of {label_minutes:g} min with an uptake of "
            f"{factor:g}; minutes and uptake must be 0 or more, the label above 0.",
            "Give the minutes since it was applied and the time on its label.",
        )
    rate = np.log(2) / of_kind("half_time", kind)
    return float(factor * np.expm1(-rate * minutes) / np.expm1(-rate * label_minutes))


def deposit(fibre: Fibre, dye_amounts: Floats, taken: Floats | float) -> Fibre:
    """Put dye on states.

    Parameters
    ----------
    fibre : N states
    dye_amounts : shape (D,)     of a shade at full uptake, K/S at each band's peak, >= 0
    taken : shape (N,) or scalar uptake [1], >= 0

    Returns
    -------
    Fibre   with the dyes added
    """
    more = np.multiply.outer(np.broadcast_to(np.asarray(taken, float), (len(fibre),)), dye_amounts)
    return fibre.with_(dyes=fibre.dyes + more)
