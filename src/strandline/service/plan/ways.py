"""A few plans of one visit that differ in kind, each assembled whole. Assembly only.

The choice is made on a table; every figure that is told comes from the whole plan.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import partial

from strandline.service.choose.kinds import Pick
from strandline.service.consultation.model import Consultation
from strandline.service.learning.pooled import Pooled
from strandline.service.plan.assemble import Made, make_plan
from strandline.service.plan.choices import choices_of
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.ways_model import Ways
from strandline.service.plan.weighing_up import Measured, Rest
from strandline.service.schedule.search import Progress, Stop, never, unheard

LAW = "the best choice of each zone by a table whose figures add up, proven; then the whole plan"
ALIKE = ("minutes", "foils", "met")


@dataclass(frozen=True)
class ManyMade:
    """The ways, and the whole plan behind each by its name; first the one by her rules."""

    ways: Ways
    stands: Made
    made: dict[str, Made]


@dataclass(frozen=True)
class Whole:
    """A choice with what the clock says of it."""

    pick: Pick
    taken: Measured
    rest: Rest


def make_ways(
    c: Consultation,
    day: dt.date,
    *,
    earlier: Earlier | None = None,
    pooled: Pooled | None = None,
    stop: Stop = never,
    progress: Progress = unheard,
) -> ManyMade:
    """Plan one visit in a few ways that differ in kind.

    Parameters
    ----------
    c, day, earlier, pooled : as `make_plan`
    stop : asked as the work goes; True ends it
    progress : told the share that is done [0-1]

    Returns
    -------
    ManyMade   at most four ways, from the one that spares most to the one that meets most

    Raises
    ------
    StoppedError     it was told to stop
    StrandlineError  as `make_plan`
    """
    again = partial(make_plan, c, day, earlier=earlier, pooled=pooled)
    stands = again()
    progress(0.2)
    if stands.technique.kind == "none":
        return ManyMade(_none(stands), stands, {})
    choices = choices_of(stands) if stands.technique.kind in ("foils", "lowlights") else None
    progress(0.3)
    wholes = _kinds(stands, choices, stop) if choices is not None else []
    progress(0.5)
    made: dict[str, Made] = {"gloss alone": again(chosen=_gloss(stands))}
    for number, whole in enumerate(wholes, 1):
        if stop():
            thorough_first = whole.pick
            raise _stopped(thorough_first)
        made[whole.pick.name] = again(chosen=_chosen(stands, whole.pick))
        progress(0.5 + 0.3 * number / len(wholes))
    ways = _told(stands, choices, wholes, made, stop)
    progress(1.0)
    return ManyMade(ways, stands, {way.name: made[way.name] for way in ways.ways})
