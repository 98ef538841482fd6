"""When she sees her line: where learning begins, what returns move, and what they do not."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.service.learning.line_seen import constants, line_seen
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import Earlier


def test_without_returns_it_is_that_of_practice_with_its_range():
    """15 to 30 about 20: start values of practice."""
    found = line_seen(20.0, [])
    assert (found.low, found.middle, found.high) == pytest.approx((14.2, 20.0, 28.3), abs=0.3)


def test_returns_on_the_same_line_leave_the_middle_and_narrow_the_range():
    none, many = line_seen(20.0, []), line_seen(20.0, [20.0] * 6)
    assert many.middle == pytest.approx(20.0)
    assert many.high - many.low < 0.65 * (none.high - none.low)


def test_the_posterior_is_that_of_a_grid():
    """Closed form against Bayes' rule on a grid."""
    lines = [34.0, 28.0, 45.0]
    sd, prior = (constants()[name].value for name in ("return_sd", "line_spread"))
    grid = np.linspace(math.log(2), math.log(200), 40_001)
    log_weight = -((grid - math.log(20)) ** 2) / (2 * prior**2)
    for line in lines:
        log_weight = log_weight - (math.log(line) - grid) ** 2 / (2 * sd**2)
    cumulative = np.cumsum(np.exp(log_weight - log_weight.max()))
    at = np.exp(np.interp([0.1, 0.5, 0.9], cumulative / cumulative[-1], grid))
    found = line_seen(20.0, lines)
    assert (found.low, found.middle, found.high) == pytest.approx(tuple(at), rel=2e-3)


def test_who_waits_longer_sees_later_and_one_missed_half_year_moves_little():
    assert line_seen(20.0, [40.0, 40.0]).middle > line_seen(20.0, [25.0, 25.0]).middle > 20.0
    assert line_seen(20.0, [1e6]).middle == pytest.approx(line_seen(20.0, [200.0]).middle)


def test_who_came_before_any_line_says_nothing_of_it():
    assert line_seen(20.0, [0.0, 0.4]) == line_seen(20.0, [])


@pytest.mark.parametrize(("begins", "lines"), [(0.0, []), (20.0, [math.nan])])
def test_what_cannot_be_learned_from_is_refused(begins, lines):
    with pytest.raises(OutOfRangeError, match="Learning of a line"):
        line_seen(begins, lines)


def test_a_plan_keeps_its_returns_and_the_next_one_goes_on_from_them(made):
    first = made("noor")
    day = first.plan.date
    plans = [first.plan]
    for weeks in (14, 28):
        then = day + dt.timedelta(weeks=weeks)
        plans.append(make_plan(first.consultation, then, earlier=Earlier(plans[-1], None)).plan)
    grown = [plan.growout for plan in plans]
    assert [len(one.returns) for one in grown] == [0, 1, 2]
    assert grown[2].returns[0] == grown[1].returns[0]
    assert grown[1].returns[0].weeks == 14.0
    weeks = {week.week: week.planned.line for week in grown[0].weeks}
    assert weeks[12.0] < grown[1].returns[0].line < weeks[16.0]
    assert grown[1].threshold > grown[0].threshold, "she came back with more of a line than 20"
