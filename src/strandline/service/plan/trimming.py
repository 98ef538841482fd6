"""How long the hair is today: as it was at the last visit, grown since, and cut.

Fixed units inside: cm along a stretched strand, days.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import growth_cm
from strandline.base.sources import COMMON_PRACTICE
from strandline.science.head.history import Lane
from strandline.service.care.finding import Finding
from strandline.service.consultation.model import Consultation, Trim


@dataclass(frozen=True, slots=True)
class Worn:
    """The length of hair today and how it came to be, cm.

    Parameters
    ----------
    then_cm : at the last visit
    grown_cm, cut_cm : since
    now_cm : today, before the foils
    """

    then_cm: float
    grown_cm: float
    cut_cm: float
    now_cm: float

    def told(self) -> Finding:
        """Say it, for it moves every figure that goes by length."""
        return Finding(
            "note",
            f"The hair is {self.now_cm:.1f} cm long today: {self.then_cm:.1f} cm at the last "
            f"visit, {self.grown_cm:.1f} cm grown since, {self.cut_cm:.1f} cm cut.",
            "Measure a stretched strand; where it differs give hair.length_cm and no trims.",
            COMMON_PRACTICE,
            about="trims",
        )


def worn_on(
    trims: list[Trim], then: dt.date, then_cm: float, day: dt.date, rate_um_per_day: float
) -> Worn | None:
    """Give the length on a day, where the consultation says when hair was cut.

    Parameters
    ----------
    trims : of the consultation; one without a day is of this day
    then, then_cm : the last visit and the length worn on it
    day : of this visit
    rate_um_per_day : of growth

    Returns
    -------
    Worn   grown since the last visit, less what was cut after it; None where no trim is said:
    then hair is taken as kept at its length

    Raises
    ------
    OutOfRangeError   a trim that takes off more hair than there is
    """
    if not trims:
        return None
    cuts = sorted(
        ((one.date or day, k, one) for k, one in enumerate(trims)), key=lambda cut: cut[:2]
    )
    cuts = [cut for cut in cuts if then < cut[0] <= day]
    lane = Lane()
    for on, k, one in cuts:
        at = float((on - then).days)
        try:
            if one.left_cm is not None:
                lane = lane.trimmed(at, one.left_cm)
            else:
                lane = lane.cut(at, one.cut_cm or 0.0, (then_cm, 0.0), rate_um_per_day)
        except OutOfRangeError as none:
            raise OutOfRangeError(none.what, none.do, f"trims.{k + 1}.cut_cm") from None
    days = (day - then).days
    now, grown = (
        lane.length_cm(then_cm, 0.0, days, rate_um_per_day),
        growth_cm(rate_um_per_day, days),
    )
    return Worn(then_cm, grown, then_cm + grown - now, now)


def not_counted(c: Consultation) -> list[Finding]:
    """Say of trims on a first visit that the length is taken as it is said."""
    if not c.trims:
        return []
    return [
        Finding(
            "note",
            "Hair was cut before this visit; its length is taken as the consultation says it.",
            "See that hair.length is what is worn today. Trims are reckoned from a visit before, "
            "named with --after.",
            COMMON_PRACTICE,
            about="trims",
        )
    ]
