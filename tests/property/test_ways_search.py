"""The choice on tables of real heads against a walk of every way."""

from __future__ import annotations

import pytest
from tests.conftest import _made
from tests.plain_choice import best_by_walk

from strandline.service.choose.solve import best
from strandline.service.choose.weights import Limits, problem_of
from strandline.service.plan.choices import choices_of

ZONES = ("back_upper", "crown", "top", "fringe")


@pytest.mark.parametrize("name", ["noor", "junia", "mirela"])
@pytest.mark.parametrize("minutes", [20.0, 45.0])
def test_choice_of_a_real_head_equals_a_walk(name, minutes):
    table = {z: of for z, of in choices_of(_made(name)).table.items() if z in ZONES}
    table = {zone: of[::2] for zone, of in table.items()}
    problem = problem_of(
        table,
        Limits(minutes=minutes, money=minutes, foils=25),
        lambda one: one.seen - 0.2 * one.line - 0.001 * one.minutes,
    )
    assert 10 < problem.ways <= 100_000
    found = best(problem)
    assert found is not None
    assert found.worth == pytest.approx(best_by_walk(problem), abs=1e-6)
