"""The visits to an aim, foretold on a table, against visits planned one after another."""

from __future__ import annotations

import pytest
from tests.conftest import _consultation

from strandline.service.plan.earlier import Earlier
from strandline.service.plan.ways import make_ways


@pytest.mark.parametrize("name", ["noor", "ilse"])
def test_old_colour_after_two_visits_is_near_what_two_plans_leave(name):
    c = _consultation(name)
    many = make_ways(c, c.visit.date)
    first, second = many.ways.course.visits[:2]
    nearest = min(
        (way for way in many.ways.ways if way.foils), key=lambda w: abs(w.foils - first.foils)
    )
    own = nearest.plan.next_visit.old_share_after.middle * 100
    assert first.old_percent == pytest.approx(own, abs=3)
    later = c.model_copy(
        update={"visit": c.visit.model_copy(update={"date": second.date, "number": 2})}
    )
    then = make_ways(later, second.date, earlier=Earlier(nearest.plan, None)).ways
    done = min((way for way in then.ways if way.foils), key=lambda w: abs(w.foils - second.foils))
    scale = second.foils / done.foils
    left = done.plan.next_visit.old_share_after.middle * 100
    gone = (own - left) * scale
    assert first.old_percent - second.old_percent == pytest.approx(gone, abs=10)
