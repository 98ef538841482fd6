"""A habit of trims: how long hair is kept as it grows, and what is cut off by when.

Lengths along a stretched strand, cm; weeks since the visit; the outline is the cut as a whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.service.growout.spread import Cut

LEAST_CM = 2.0
"""No cut of a habit leaves less."""
_WHOLE = 1e-9


@dataclass(frozen=True, slots=True)
class Trims:
    """Hair cut again and again.

    Parameters
    ----------
    every_weeks : between two cuts, the first so long after the visit, > 0
    cut_cm : taken off each time, >= 0; None for as much as grew
    """

    every_weeks: float
    cut_cm: float | None = None

    def __post_init__(self) -> None:
        """Refuse a habit that is none.

        Raises
        ------
        OutOfRangeError   no time between cuts, or a cut below 0
        """
        if not (0 < self.every_weeks < math.inf and (self.cut_cm is None or self.cut_cm >= 0)):
            raise OutOfRangeError(
                f"Hair is trimmed by {self.cut_cm or 0:g} cm every {self.every_weeks:g} weeks; the "
                "weeks must be above 0, the cm 0 or more.",
                "Give the weeks between two trims, and what each takes off.",
                "hair.trim_every_weeks",
            )

    def times(self, week: float) -> int:
        """Give how many cuts there were by a week, one in that week among them."""
        return math.floor(week / self.every_weeks + _WHOLE)

    def length_cm(self, length_cm: float, week: float, rate: float) -> float:
        """Give the mean length in a week of hair that has a length on the day, cm.

        A cut that would leave less than 2 cm, or than there was on the day, leaves that.
        """
        times = self.times(week)
        grown = rate * self.every_weeks
        cut = grown if self.cut_cm is None else self.cut_cm
        after_cut = max(length_cm + times * (grown - cut), min(LEAST_CM, length_cm))
        return after_cut + rate * week - times * grown

    def cuts(self, length_cm: float, until_week: float, rate: float) -> tuple[Cut, ...]:
        """Give each cut until a week, and how long the outline is then against the day's."""
        weeks = [k * self.every_weeks for k in range(1, self.times(until_week) + 1)]
        return tuple((week, self.length_cm(length_cm, week, rate) / length_cm) for week in weeks)
