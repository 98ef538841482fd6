"""The starting numbers of learning: what a head's unknowns are called, their means and spreads."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.chemistry.developer import percent_nominal
from strandline.science.chemistry.harm import REFERENCE_PERCENT
from strandline.science.chemistry.lift import HALF_GRAY
from strandline.science.chemistry.lift import constants as of_lift
from strandline.science.hair.wet import wet_levels

Floats = NDArray[np.float64]

SHARED = ("old_colour", "warmth", "stacked", "strength_exponent", "wet_bias")
"""Unknowns that every head of hers shares."""
NAMES = ("product", "client", "day", *SHARED)
"""Unknowns of a head, in the order of every row. All but the wet bias are deviations from the
means of `lift.toml`; the wet bias is in levels by which wet hair reads darker."""
WET = NAMES.index("wet_bias")
STRONGEST_VOL = 40.0


@cache
def constants() -> dict[str, Number]:
    """Load the numbers of `learning.toml`."""
    return numbers(toml_beside(__package__, "learning.toml"), "learning.toml")


@cache
def spreads() -> tuple[float, ...]:
    """Give the prior sd of each unknown, shape (K,): of `lift.toml`, the wet bias in levels."""
    known = of_lift()
    return tuple(wet_levels().spread if n == "wet_bias" else known[n].spread for n in NAMES)


@cache
def lift_means() -> tuple[float, ...]:
    """Give the means of `lift.toml` that the deviations are from, shape (K,); 0 for the wet bias.

    The log rate of a row is mu + row . (means + deviations).
    """
    known = of_lift()
    return tuple(0.0 if n == "wet_bias" else known[n].value for n in NAMES)


def prior_mean() -> Floats:
    """Give the prior mean of each unknown, shape (K,): 0, and the levels of the wet bias."""
    mean = np.zeros(len(NAMES))
    mean[WET] = wet_levels().value
    return mean


def wet_bias_started() -> float:
    """Give the levels by which wet hair reads darker, before any visit."""
    return float(prior_mean()[WET])


def row_of(*, old_colour: bool, first_cm: bool, stacked: bool, developer_vol: float) -> Floats:
    """Which unknowns the log rate of a foil stands on, and by how much.

    Parameters
    ----------
    old_colour : the stretch carries old permanent colour
    first_cm : it lies in the warm first 1 to 1.5 cm
    stacked : it lies among stacked top foils
    developer_vol : nominal strength of what is poured, vol, above 0 to 40

    Returns
    -------
    shape (K,)   in the order of `NAMES`; ln(C/6) for the exponent of strength, 0 for the wet bias

    Raises
    ------
    OutOfRangeError   a strength outside its range
    """
    if not 0 < developer_vol <= STRONGEST_VOL:
        raise OutOfRangeError(
            f"The developer is {developer_vol:g} volume; it must be above 0 and at most "
            f"{STRONGEST_VOL:g} volume.",
            "Give the nominal strength of what was poured.",
        )
    against = float(np.log(percent_nominal(developer_vol) / REFERENCE_PERCENT))
    return np.array(
        [1.0, 1.0, 1.0, float(old_colour), float(first_cm), float(stacked), against, 0.0]
    )


def known_of(*, old_colour: bool, gray_under: float) -> float:
    """Part of the log rate that is known of a foil beside its row: white under its old colour.

    Parameters
    ----------
    old_colour : the stretch carries old permanent colour
    gray_under : share of white under it [1], 0-1

    Returns
    -------
    log rate to add [1]; 0 without old colour

    Raises
    ------
    OutOfRangeError   a gray share outside its range
    """
    if not 0 <= gray_under <= 1:
        raise OutOfRangeError(
            f"The gray under old colour is {gray_under:g}; it must be 0-1.",
            "Give it as a share: .5 for half white.",
        )
    slope = of_lift()["old_colour_white"].value
    return slope * (gray_under - HALF_GRAY) if old_colour else 0.0


def middle_of(rows: Floats) -> Floats:
    """Log rate of rows of shape (F, K) at the means of `lift.toml`, shape (F,)."""
    return np.asarray(of_lift()["mu"].value + rows @ np.asarray(lift_means()))
