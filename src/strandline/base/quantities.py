"""A figure with its range, and the conversions that are arithmetic.

Units live in names; a `Range` carries its unit as text for whoever shows it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError

GRAMS_PER_OUNCE = 28.349523125
"""Avoirdupois ounce, exact by definition (international yard and pound agreement, 1959)."""
DAYS_PER_MONTH = 30.4375
"""Mean Gregorian month to the fourth decimal, as Loussouarn's figures are read."""
MICROMETRES_PER_CM = 10_000.0


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with what it may also be.

    Parameters
    ----------
    low, middle, high : float   10th, 50th and 90th percentile unless `law` says otherwise
    unit : str                  '1' for a pure number
    law : str                   the law or source it comes from, in a few words
    """

    low: float
    middle: float
    high: float
    unit: str = "1"
    law: str = ""

    def __post_init__(self) -> None:
        """Refuse a range that is not in order."""
        if not self.low <= self.middle <= self.high:
            raise OutOfRangeError(
                f"A range runs {self.low}, {self.middle}, {self.high} {self.unit}; "
                "it must not fall.",
                "Give low, middle and high in rising order.",
            )

    def as_json(self, digits: int = 2) -> dict[str, float | str]:
        """Give low, middle, high and unit, rounded for a reader."""
        return {
            "low": round(self.low, digits),
            "middle": round(self.middle, digits),
            "high": round(self.high, digits),
            "unit": self.unit,
        }


def range_of(draws: Sequence[float], unit: str = "1", law: str = "") -> Range:
    """Give the 10th, 50th and 90th percentile of draws, linearly interpolated.

    Parameters
    ----------
    draws : shape (n,), n >= 1   values of one figure, infinities allowed

    Raises
    ------
    OutOfRangeError   no draws
    """
    ordered = sorted(float(value) for value in draws)
    if not ordered:
        raise OutOfRangeError("A range was asked of no draws.", "Hand in at least one draw.")

    def at(share: float) -> float:
        place = share * (len(ordered) - 1)
        below = int(place)
        above = min(below + 1, len(ordered) - 1)
        left, right = ordered[below], ordered[above]
        return left if left == right else left + (place - below) * (right - left)

    return Range(at(0.1), at(0.5), at(0.9), unit, law)


def grams_from_ounces(ounces: float) -> float:
    """Convert a weight in avoirdupois ounces; fluid ounces need a density and are not weights."""
    return ounces * GRAMS_PER_OUNCE


def growth_cm(rate_um_per_day: float, days: float) -> float:
    """Give the length grown in a number of days at a rate in micrometres per day."""
    return rate_um_per_day * days / MICROMETRES_PER_CM
