"""Draws moved to a belief: from the prior nothing moves; from visits they have its mean and sd."""

from __future__ import annotations

import numpy as np
import pytest
from tests.unit.test_learning_pool import invented

from strandline.base.draws import draws
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.service.learning.belief import prior
from strandline.service.learning.drawn import draws_of
from strandline.service.learning.pool import pool
from strandline.service.learning.starting import NAMES, spreads


def test_from_the_prior_the_shared_draws_stay_as_they_are():
    shared = draws(LIFT_DRAWS)
    moved = draws_of(prior(), shared)
    assert set(moved) == set(shared)
    for name in LIFT_DRAWS:
        assert moved[name] == pytest.approx(shared[name], abs=1e-12)


def test_drawn_values_have_the_mean_and_the_covariance_of_the_belief():
    belief = prior(
        pool(invented(np.random.default_rng(3))[0]), product="powder 1", client="client 03"
    )
    moved = draws_of(belief, draws(LIFT_DRAWS))
    names = [name for name in NAMES if name in LIFT_DRAWS]
    at = [NAMES.index(name) for name in names]
    sd = np.asarray(spreads())[at]
    values = np.stack([moved[name] for name in names]) * sd[:, None]
    assert values.mean(axis=1) == pytest.approx(belief.mean[at], abs=1e-9)
    assert np.cov(values, bias=True) == pytest.approx(belief.cov[np.ix_(at, at)], abs=1e-9)


def test_a_foil_keeps_its_own_draw():
    shared = draws(LIFT_DRAWS)
    pooled = pool(invented(np.random.default_rng(3))[0])
    assert np.array_equal(draws_of(prior(pooled), shared)["foil"], shared["foil"])
