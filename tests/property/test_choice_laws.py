"""The search for a choice against a plain walk of every way, on invented problems."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plain_choice import best_by_walk

from strandline.base.errors import OutOfRangeError, StoppedError
from strandline.service.choose.problem import Bound, Problem, Top
from strandline.service.choose.solve import best

quarters = st.integers(-8, 24).map(lambda n: n / 4)
"""Sums of these are exact, so that a bound is met or passed, never nearly."""


@st.composite
def problems(draw):
    sizes = draw(st.lists(st.integers(1, 5), min_size=1, max_size=6))

    def figures():
        return tuple(
            np.array(draw(st.lists(quarters, min_size=n, max_size=n))) for n in sizes
        )  # fmt: skip

    def to_tops():
        weights = draw(st.lists(st.sampled_from([0.0, 0.5, 2.0]), max_size=2))
        return tuple(
            (weight, Top(tuple(abs(a) for a in figures()), draw(st.sampled_from([1.0, 5.0]))))
            for weight in weights
        )

    bounds = []
    for number in range(draw(st.integers(0, 3))):
        most = draw(st.sampled_from([math.inf, -1.0, 3.0, 8.0, 15.0]))
        least = draw(st.sampled_from([-math.inf, 0.0, 4.0]))
        bounds.append(Bound(f"bound {number}", figures(), least, most))
    if draw(st.booleans()):
        bounds.append(
            Bound("to a top", figures(), draw(st.sampled_from([0.0, 4.0])), tops=to_tops())
        )
    return Problem(figures(), tuple(bounds), to_tops())


@given(problems())
@settings(max_examples=150)
def test_search_equals_a_walk_of_every_way(problem):
    found, walked = best(problem), best_by_walk(problem)
    if walked is None:
        assert found is None
    else:
        assert found is not None
        assert problem.keeps(found.picks)
        assert found.worth == pytest.approx(walked, abs=1e-6)
        assert found.gap < 1e-6


@given(problems(), st.floats(0, 5))
@settings(max_examples=60)
def test_a_wider_bound_is_never_worth_less(problem, more):
    found = best(problem)
    wider = tuple(replace(bound, most=bound.most + more) for bound in problem.bounds)
    freer = best(replace(problem, bounds=wider))
    if found is not None:
        assert freer is not None
        assert freer.worth >= found.worth - 1e-6


def test_equals_a_walk_of_a_hundred_thousand_ways():
    draw = np.random.default_rng(7)
    places = [np.round(draw.random(10) * 4, 2) for _ in range(5)]
    limits = tuple(
        Bound(
            name, tuple(np.round(one * draw.uniform(0.5, 1.5, 10), 2) for one in places), most=6.0
        )
        for name in ("minutes", "money")
    )
    problem = Problem(tuple(places), limits)
    assert problem.ways == 100_000
    found = best(problem)
    assert found is not None
    assert found.worth == pytest.approx(best_by_walk(problem), abs=1e-6)


def test_a_search_that_is_told_to_stop_says_so():
    problem = Problem((np.array([1.0, 2.0]),), ())
    with pytest.raises(StoppedError, match="stopped"):
        best(problem, stop=lambda: True)


def test_a_search_under_way_stops_when_told():
    draw = np.random.default_rng(1)
    many = [draw.random(20) for _ in range(12)]
    limits = tuple(Bound(f"{n}", tuple(draw.random(20) for _ in many), most=5.0) for n in range(6))
    asked = []

    def soon():
        asked.append(True)
        return len(asked) > 3

    with pytest.raises(StoppedError):
        best(Problem(tuple(many), limits), stop=soon)


def test_a_place_without_a_choice_is_refused():
    with pytest.raises(OutOfRangeError, match="without a choice"):
        Problem((np.array([]),), ())
    with pytest.raises(OutOfRangeError, match="no number"):
        Problem((np.array([np.nan]),), ())
    with pytest.raises(OutOfRangeError, match="every choice once"):
        Problem((np.array([1.0]),), (Bound("minutes", ()),))


def test_the_search_writes_nothing_where_json_goes(capfd):
    best(Problem((np.array([1.0, 2.0]),), ()))
    assert capfd.readouterr().out == ""
