"""Her pace: seconds for a slice, a weave, a tip-out, log-normal about the numbers of practice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.service.learning.pooled import Learnt
from strandline.service.learning.starting import constants
from strandline.service.practice.bench import default_bench

KINDS: Mapping[str, str] = {
    "slice": "seconds_slice",
    "weave": "seconds_weave",
    "tip-out": "seconds_tip_out",
}
"""Kind of foil to the number of practice that its pace begins at."""


@dataclass(frozen=True, slots=True)
class Placed:
    """Foils of one kind placed one after the other.

    Parameters
    ----------
    kind : 'slice', 'weave' or 'tip-out'
    foils : how many, 1 or more
    seconds : they took together, above 0
    """

    kind: str
    foils: int
    seconds: float

    def __post_init__(self) -> None:
        """Refuse what is no pace.

        Raises
        ------
        OutOfRangeError   another kind, no foil, no time
        """
        if self.kind not in KINDS:
            raise OutOfRangeError(
                f"There is no pace for a '{self.kind}'.", f"Choose one of: {', '.join(KINDS)}."
            )
        if self.foils < 1 or not 0 < self.seconds < np.inf:
            raise OutOfRangeError(
                f"{self.foils} foils are said to have taken {self.seconds:g} s; it must be one "
                "foil or more, in more than 0 s.",
                "Leave out a section whose start or end was not tapped.",
            )


def pace_of(visits: Iterable[Sequence[Placed]]) -> dict[str, Learnt]:
    """Pool her pace over visits.

    Parameters
    ----------
    visits : what was placed, by visit

    Returns
    -------
    dict of kind to Learnt   of the log of seconds a foil

    Notes
    -----
    Prior: ln of the number of practice; its range is so many sd from end to end. A visit's mean
    of m sections has variance day^2 + section^2/m; precisions add. Valid for her own two hands;
    not valid for a helper's.
    """
    known = constants()
    day2, section2 = known["pace_day_sd"].value ** 2, known["pace_section_sd"].value ** 2
    days = [list(visit) for visit in visits]
    out = {}
    for kind in KINDS:
        mean, sd = pace_prior(kind)
        precision, total, count = 1.0 / sd**2, mean / sd**2, 0
        for day in days:
            logs = [np.log(one.seconds / one.foils) for one in day if one.kind == kind]
            if logs:
                weight = 1.0 / (day2 + section2 / len(logs))
                precision += weight
                total += weight * float(np.mean(logs))
                count += 1
        out[kind] = Learnt(total / precision, float(precision**-0.5), mean, sd, count)
    return out


def pace_prior(kind: str) -> tuple[float, float]:
    """Give mean and sd of the log of seconds for a foil of a kind, before any visit.

    Raises
    ------
    SourceError   never of the project's own data: its numbers of practice have ranges
    """
    number = default_bench().numbers[KINDS[kind]]
    low, high = number.low or number.value, number.high or number.value
    spread = float(np.log(high / low)) / constants()["range_sds"].value
    return float(np.log(number.value)), spread
