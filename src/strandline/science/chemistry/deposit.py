"""Dye going on: how much of a gloss a stretch has taken after some minutes.

Dyes only add: a gloss never lightens. Which dyes a shade holds is `hair.shades`.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.fibre import DYES, Fibre

Floats = NDArray[np.float64]


@cache
def constants() -> dict[str, dict[str, Number]]:
    """Load the numbers of `deposit.toml`, by table and name."""
    return {
        table: numbers(entries, f"deposit.toml [{table}]")
        for table, entries in toml_beside(__package__, "deposit.toml").items()
    }


def half_time_min(kind: str) -> float:
    """Give the minutes in which a kind of gloss goes half of the way that is left.

    Raises
    ------
    OutOfRangeError   a kind not known
    """
    known = constants()["half_time"]
    if kind not in known:
        raise OutOfRangeError(
            f"The kind of colour is '{kind}'; it must be one of {', '.join(known)}.",
            "Choose the kind that its label says.",
        )
    return known[kind].value


def uptake(minutes: ArrayLike, label_minutes: float, kind: str, factor: ArrayLike = 1.0) -> Floats:
    """Share of a shade's full deposit that is taken after some minutes.

    Parameters
    ----------
    minutes : shape (...)   since it was applied, >= 0
    label_minutes : T, the label's time, for which a shade's depth is stated, min, > 0
    kind : fast toner, acid demi, alkaline demi, direct or permanent
    factor : shape (...)   phi, of the hair against sound mids [1], >= 0: the porosity of the
        state, and .6 to start with where white hair resists

    Returns
    -------
    shape (...)   [1]; above 1 on porous hair, or a little past the label's time

    Raises
    ------
    OutOfRangeError   minutes or factor below 0, a label of 0, a kind not known

    Notes
    -----
    phi (1 - exp(-k t))/(1 - exp(-k T)), k = ln 2 / half-time. The label's longest time governs
    the chair; this only says what an overrun would do. Half-times and phi are priors.
    """
    t, phi = np.asarray(minutes, dtype=float), np.asarray(factor, dtype=float)
    if not (np.all(t >= 0) and label_minutes > 0 and np.all(phi >= 0)):
        raise OutOfRangeError(
            f"A gloss is said to be on for {np.min(t):g} of {label_minutes:g} min with an uptake "
            f"of {np.min(phi):g}; minutes and uptake must be 0 or more, the label above 0.",
            "Give the minutes since it was applied and the time on its label.",
        )
    rate = np.log(2.0) / half_time_min(kind)
    return np.asarray(phi * np.expm1(-rate * t) / np.expm1(-rate * label_minutes))


def factor(porosity: ArrayLike, *, damp: bool = False, resistance: ArrayLike = 1.0) -> Floats:
    """Uptake of hair against sound, dry mids: phi of `uptake`.

    Parameters
    ----------
    porosity : shape (...)     of the stretch: 1 mids, 1.3 porous ends [1], >= 0
    damp : it is damp when the gloss goes on
    resistance : shape (...)   share that resistant white takes [1], 0-1; 1 where it does not resist

    Returns
    -------
    shape (...)   [1]

    Raises
    ------
    OutOfRangeError   porosity below 0, a resistance outside 0-1

    Notes
    -----
    The three multiply (from memory): water thins what goes on, porous hair takes more of it.
    """
    p, r = np.asarray(porosity, dtype=float), np.asarray(resistance, dtype=float)
    if not (np.all(p >= 0) and np.all((r >= 0) & (r <= 1))):
        raise OutOfRangeError(
            f"Uptake is asked for a porosity of {np.min(p):g} and a resistance of {np.min(r):g}; "
            "porosity must be 0 or more, resistance 0-1.",
            "Sound mids are 1, porous ends about 1.3; resistant white takes about 0.6.",
        )
    wet = constants()["on_hair"]["damp"].value if damp else 1.0
    return np.asarray(p * r * wet)


def moves(kind: str) -> bool:
    """Say whether a kind of gloss moves natural pigment."""
    return kind in constants()["alkaline_lift"]


def warmed_root(fibre: Fibre, kind: str, minutes: ArrayLike, label_minutes: float) -> Fibre:
    """Give states whose natural pigment an alkaline gloss has moved a little: a root turns warm.

    Parameters
    ----------
    fibre : N states
    kind : of the gloss; only the alkaline kinds of deposit.toml move anything
    minutes : shape () or (N,)   it is on, >= 0
    label_minutes : the label's time, min, > 0

    Notes
    -----
    Progress rises with the share of the label's time that is gone, up to a prior (from memory).
    White hair has nothing to move.
    """
    known = constants()["alkaline_lift"]
    if kind not in known:
        return fibre
    share = uptake(minutes, label_minutes, kind)
    moved = known[kind].value * np.minimum(share, 1.0) * np.ones(len(fibre))
    return fibre.with_(progress=fibre.progress + moved * (fibre.amount > 0))


def deposit(fibre: Fibre, dye_amounts: ArrayLike, taken: ArrayLike) -> Fibre:
    """Put dye on states.

    Parameters
    ----------
    fibre : N states
    dye_amounts : shape (D,)   of a shade at full uptake, K/S at each band's peak, >= 0
    taken : shape () or (N,)   uptake [1], >= 0; the porosity of the states is already in it

    Returns
    -------
    Fibre   with the dyes added, nothing else changed

    Raises
    ------
    OutOfRangeError   another number of dyes, or a value below 0
    """
    amounts, share = np.asarray(dye_amounts, dtype=float), np.asarray(taken, dtype=float)
    if amounts.shape != (len(DYES),) or not (np.all(amounts >= 0) and np.all(share >= 0)):
        raise OutOfRangeError(
            f"A shade gives dyes of shape {amounts.shape}, the least {np.min(amounts):g}, at an "
            f"uptake of {np.min(share):g}; it must be {len(DYES)} dyes, all 0 or more.",
            f"Give one amount for each of {', '.join(DYES)}.",
        )
    more = np.broadcast_to(share, (len(fibre),))[:, None] * amounts
    return fibre.with_(dyes=fibre.dyes + more)
