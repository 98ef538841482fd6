from __future__ import annotations

import numpy as np
import pytest

from strandline.base.draws import DRAWS, draws
from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import LIFT_DRAWS


@pytest.mark.parametrize("names", [("a",), ("a", "b", "c"), LIFT_DRAWS, tuple("abcdefghijkl")])
def test_draws_have_mean_zero_spread_one_and_no_correlation(names):
    drawn = np.stack(list(draws(names).values()))
    assert drawn.shape == (len(names), DRAWS)
    assert drawn.mean(axis=1) == pytest.approx(0, abs=1e-12)
    assert drawn @ drawn.T / DRAWS == pytest.approx(np.eye(len(names)), abs=1e-12)


def test_draws_look_normal():
    for column in draws(LIFT_DRAWS).values():
        assert np.abs(column).max() < 3.5
        assert np.mean(np.abs(column) < 0.6745) == pytest.approx(0.5, abs=0.08)
        assert np.quantile(column, [0.1, 0.9]) == pytest.approx([-1.28, 1.28], abs=0.2)


def test_draws_are_the_same_for_ever():
    once, again = draws(("product", "client")), draws(("product", "client"))
    assert all(np.array_equal(once[name], again[name]) for name in once)
    assert once["product"][:3] == pytest.approx(draws(("product", "client"))["product"][:3])


def test_draws_of_two_names_differ():
    one, two = draws(("product", "client")).values()
    assert np.abs(one - two).max() > 1


def test_no_names_give_no_draws():
    assert draws(()) == {}


@pytest.mark.parametrize(
    ("names", "count"), [(("a", "a"), 64), (("a",), 0), (("a",), 7), (tuple("abcdefghij"), 10)]
)
def test_draws_refuse_a_name_twice_and_too_few_points(names, count):
    with pytest.raises(OutOfRangeError):
        draws(names, count)
