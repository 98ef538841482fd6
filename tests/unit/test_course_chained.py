"""The visits to an aim, foretold on a table, against visits planned one after another."""

from __future__ import annotations

import numpy as np
import pytest
from tests.conftest import _consultation

from strandline.service.plan.earlier import Earlier
from strandline.service.plan.ways import make_ways


@pytest.mark.parametrize("name", ["noor", "brona"])
def test_two_visits_foretold_are_near_two_plans(name):
    c = _consultation(name)
    many = make_ways(c, c.visit.date).ways
    first, second = many.course.visits[:2]
    done = min(many.ways, key=lambda way: abs(way.foils - first.foils))
    assert first.old_percent == pytest.approx(_left(done), abs=3)
    visit = c.visit.model_copy(update={"date": second.date, "number": 2})
    later = c.model_copy(update={"visit": visit})
    then = make_ways(later, second.date, earlier=Earlier(done.plan, None)).ways
    foiled = [way for way in then.ways if way.foils]
    foils = [way.foils for way in foiled]
    assert foils[0] < second.foils < foils[-1]
    left = float(np.interp(second.foils, foils, [_left(way) for way in foiled]))
    minutes = float(np.interp(second.foils, foils, [way.minutes for way in foiled]))
    assert second.old_percent == pytest.approx(left, abs=3)
    assert second.minutes == pytest.approx(minutes, rel=0.04)


def _left(way):
    return 100 * way.plan.next_visit.old_share_after.middle
