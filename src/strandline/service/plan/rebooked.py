"""The days a client came back, and the line she had then by the plan she left with."""

from __future__ import annotations

import datetime as dt

import numpy as np

from strandline.base.quantities import Range
from strandline.service.learning.line_seen import line_seen
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.model import GrowOutPart, Returned
from strandline.service.practice.bench import Bench


def returned(earlier: Earlier | None, day: dt.date) -> list[Returned]:
    """Give every return that is known, this visit's the last.

    The line between two weeks of the plan is taken to grow evenly; past its last week it is that of
    the last.
    """
    if earlier is None:
        return []
    grown: GrowOutPart = earlier.plan.growout
    weeks = (day - earlier.plan.date).days / 7
    at = [week.week for week in grown.weeks]
    line = float(np.interp(weeks, at, [week.planned.line for week in grown.weeks])) if at else 0.0
    return [*grown.returns, Returned(date=day, weeks=round(weeks, 1), line=round(line, 1))]


def line_she_sees(returns: list[Returned], bench: Bench) -> Range:
    """Give the shown growth at which this client sees her line, dE00 cm."""
    return line_seen(bench["line_threshold"], [one.line for one in returns])
