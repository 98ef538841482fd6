"""Growth: rates, months and weeks, and how much of a head is new hair."""

from __future__ import annotations

import math

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import DAYS_PER_MONTH, growth_cm

TELOGEN_SHARE = 0.12
"""Share of hair at rest (loussouarn2005, Caucasian group)."""
TELOGEN_DAYS = 100.0
"""How long a hair rests before it is shed, days; from memory."""
STRAND_SPREAD = 0.1
"""Spread of the rate between the strands of one head, share of the rate; from memory."""


def mm_per_month(rate_um_per_day: float) -> float:
    """Give growth in millimetres a mean month (30.4375 days).

    References
    ----------
    loussouarn2005; arithmetic
    """
    return rate_um_per_day * DAYS_PER_MONTH / 1000


def rate_um_per_day(mm_a_month: float) -> float:
    """Give the rate in micrometres a day of growth in millimetres a mean month."""
    return mm_a_month * 1000 / DAYS_PER_MONTH


def measured_rate(cm: float, days: float) -> float:
    """Give the rate of growth measured between two visits, um/day.

    Raises
    ------
    OutOfRangeError   days of 0 or fewer, or a rate outside 100-900 um/day
    """
    if days <= 0:
        raise OutOfRangeError(
            f"The visits lie {days:g} days apart; it must be more than 0.",
            "Give the earlier date first.",
        )
    rate = cm * 10_000 / days
    if not 100 <= rate <= 900:
        raise OutOfRangeError(
            f"{cm:g} cm in {days:g} days is {rate:.0f} um/day; hair grows 100-900 um/day.",
            "Measure the regrowth again in cm, or check the two dates.",
        )
    return rate


def weeks_cm(rate: float, weeks: float) -> float:
    """Give the length grown in weeks at a rate in um/day, cm."""
    return growth_cm(rate, weeks * 7)


def renewed_share(
    days: float, telogen_share: float = TELOGEN_SHARE, telogen_days: float = TELOGEN_DAYS
) -> float:
    """Give the share of strands shed and grown anew since a day [1], 0-1.

    Parameters
    ----------
    days : float            since then, >= 0
    telogen_share : float   share at rest [1], 0-1
    telogen_days : float    length of the rest, > 0

    Raises
    ------
    OutOfRangeError   a negative number of days

    Notes
    -----
    In balance telogen_share / telogen_days of the strands is shed a day, whichever they are:
    1 - exp(-share x days / rest). Valid for a head in balance; not valid after childbirth,
    illness or a drug that sheds hair.

    References
    ----------
    loussouarn2005 for the share; the length of the rest is from memory
    """
    if days < 0:
        raise OutOfRangeError(
            f"The time since is {days:g} days; it must be 0 or more.",
            "Give the later date second.",
        )
    return 1 - math.exp(-telogen_share * days / telogen_days)
