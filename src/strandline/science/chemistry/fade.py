"""Dye going off: washes and light."""

from __future__ import annotations

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.deposit import of_kind
from strandline.science.fibre import Fibre

WASHES_PER_WEEK = 2.5
"""Common practice, no source; hers by client."""
LIGHT_HOURS_PER_DAY = 0.5
"""Half an hour of daylight on the hair a day; from memory."""


def kept(
    kind: str,
    washes: float,
    light_hours: float = 0.0,
) -> float:
    """Share of a dye that is left.

    Parameters
    ----------
    kind : fast toner, acid demi, alkaline demi, direct, permanent
    washes, light_hours : since it was put on, >= 0

    Returns
    -------
    [1]   exp(-kw washes - kuv hours)

    Raises
    ------
    OutOfRangeError   washes or hours below 0, a kind not known

    References
    ----------
    modern_hair_science, ifscc2008, jcs56
    """
    if not (washes >= 0 and light_hours >= 0):
        raise OutOfRangeError(
            f"{washes:g} washes and {light_hours:g} h of light are said; both must be 0 or more.",
            "Count from the day of the gloss.",
        )
    return float(
        np.exp(-of_kind("per_wash", kind) * washes - of_kind("per_hour", kind) * light_hours)
    )


def fade(
    fibre: Fibre,
    kind: str,
    weeks: float,
    *,
    washes_per_week: float = WASHES_PER_WEEK,
    light_hours_per_day: float = LIGHT_HOURS_PER_DAY,
) -> Fibre:
    """Give states some weeks on: the dyes of glosses faded, all else as it was."""
    left = kept(kind, weeks * washes_per_week, weeks * 7 * light_hours_per_day)
    return fibre.with_(dyes=fibre.dyes * left)
