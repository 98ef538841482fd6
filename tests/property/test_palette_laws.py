"""Laws of the palette: no colour lies farther from its entry than was allowed."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.science.colour.difference import delta_e00
from strandline.science.fibre import DYES, OLD_COLOUR_RESIDUE, Fibre, natural, stack
from strandline.science.hair import palette as module
from strandline.science.hair.palette import TOLERANCE, lab_chunked, merged
from strandline.science.hair.pigment import lab

STATES = 300
MOST = np.array([300.0, 0.0135, 8.0, 1.0, 300.0, 8.0, *[3.0] * len(DYES)])
PLACES = st.lists(st.floats(0.0, 1.0), min_size=MOST.size, max_size=MOST.size)
WAYS = st.lists(
    st.sampled_from(["none", "one", "few", "narrow", "wide"]),
    min_size=MOST.size,
    max_size=MOST.size,
)


def fibre(table: np.ndarray) -> Fibre:
    """Hair from columns: amount, slope, progress, white, old amount and progress, dyes."""
    return natural(table[:, 0], table[:, 1], white=table[:, 3]).with_(
        progress=table[:, 2], old_amount=table[:, 4], old_progress=table[:, 5], dyes=table[:, 6:]
    )


@st.composite
def heads(draw: st.DrawFn) -> Fibre:
    """Make some hundred states: each field absent, alike, of few values, narrow or wide."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    width = 10.0 ** draw(st.floats(-4.0, -0.5))
    columns = []
    for place, way, most in zip(draw(PLACES), draw(WAYS), MOST, strict=True):
        near = place**3 * np.exp(width * rng.standard_normal(STATES))
        values = {
            "none": np.zeros(STATES),
            "one": np.full(STATES, place),
            "few": rng.random(4)[rng.integers(0, 4, STATES)] ** 3,
            "narrow": np.minimum(near, 1.0),
            "wide": rng.random(STATES) ** 3 * (rng.random(STATES) < 0.7),
        }
        columns.append(most * values[way])
    return fibre(np.stack(columns, axis=1))


@st.composite
def hair(draw: st.DrawFn) -> Fibre:
    """Give one state with numbers of any size in their range, down to the least there is."""
    return fibre(np.array([[draw(st.floats(0.0, most)) for most in MOST]]))


def farthest(states: Fibre, tolerance: float = TOLERANCE, specular: float | None = None) -> float:
    found = merged(states, tolerance)
    of = {} if specular is None else {"specular": specular}
    return float(np.max(delta_e00(lab(states, **of), lab(found.states, **of)[found.index])))


@settings(max_examples=150)
@given(heads())
def test_every_state_lies_within_the_tolerance_of_its_entry(states: Fibre) -> None:
    assert farthest(states) <= TOLERANCE


@settings(max_examples=40)
@given(heads(), st.sampled_from([1e-3, 0.02, 0.2, 0.5]))
def test_any_tolerance_is_kept(states: Fibre, tolerance: float) -> None:
    assert farthest(states, tolerance) <= tolerance


@settings(max_examples=25)
@given(heads())
def test_the_tolerance_holds_with_the_specular_part_included(states: Fibre) -> None:
    assert farthest(states, specular=0.025) <= TOLERANCE


@given(st.lists(hair(), min_size=1, max_size=5), st.data())
def test_identical_states_are_one(some: list[Fibre], data: st.DataObject) -> None:
    few = stack(some)
    picks = st.lists(st.integers(0, len(some) - 1), min_size=1, max_size=30)
    drawn = np.array(data.draw(picks))
    found = merged(few.take(drawn))
    assert len(found.states) <= np.unique(drawn).size
    assert all(np.unique(found.index[drawn == one]).size == 1 for one in np.unique(drawn))
    assert np.max(delta_e00(lab(few)[drawn], lab(found.states)[found.index])) <= TOLERANCE


@settings(max_examples=30)
@given(heads(), st.integers(0, 2**32 - 1))
def test_the_order_of_states_does_not_matter(states: Fibre, seed: int) -> None:
    turn = np.random.default_rng(seed).permutation(len(states))
    one, two = merged(states), merged(states.take(turn))
    assert len(one.states) == len(two.states)
    np.testing.assert_array_equal(one.index[turn], two.index)


@settings(max_examples=20)
@given(heads(), st.integers(1, 400))
def test_chunks_colour_as_a_whole(states: Fibre, rows: int) -> None:
    np.testing.assert_allclose(lab_chunked(states, rows=rows), lab(states), rtol=0, atol=1e-9)


# What the bound stands on: no coordinate moves a colour faster than its scale says. A search
# climbs from random hair towards the steepest; the scales were drawn over a longer one.

CLIMBS, KEPT, TRIED = 30, 100, 700
STEP = np.array([1.0, 0.002, 0.5, 0.3, 1.0, 0.5, *[1.0] * len(DYES)])
LOGS = np.array([0, 4, *range(6, 6 + len(DYES))])
NONE = np.log(1e-3)


def _natural_units(v: np.ndarray) -> np.ndarray:
    """Coordinates from the search's own: logs of amounts, none below a thousandth; e of x."""
    z = v.copy()
    z[:, LOGS] = np.where(v[:, LOGS] < NONE, 0.0, np.exp(np.minimum(v[:, LOGS], 7.0)))
    z[:, 1], z[:, 3] = np.clip(v[:, 1], 0.0, module.MOST_SLOPE), np.clip(v[:, 3], 0.0, 1.0)
    z[:, [2, 5]] = np.exp(-np.clip(v[:, [2, 5]], 0.0, 30.0) / 2.0)
    return z


def _colour(z: np.ndarray) -> np.ndarray:
    table = z.copy()
    table[:, [2, 5]] = -2.0 * np.log(z[:, [2, 5]])
    table[:, 0] = z[:, 0] / z[:, 2] ** 2
    table[:, 4] = z[:, 4] / ((1 - OLD_COLOUR_RESIDUE) * z[:, 5] ** 2 + OLD_COLOUR_RESIDUE)
    return lab(fibre(table))


def _steepness(i: int) -> Callable[[np.ndarray], np.ndarray]:
    """dE00 along coordinate i over what its scale allows, 1 at most."""
    downwards = {1: 0.01, 2: 0.5, 3: 0.5, 5: 0.5}  # above this, step down to stay in the range

    def of(v: np.ndarray) -> np.ndarray:
        z = _natural_units(v)
        if i == 4:  # where it is none the base takes a step, which is why none is kept apart
            z[:, 4] = np.maximum(z[:, 4], 1e-3)
        step = 1e-5 * (1.0 + z[:, i]) * (0.1 if i == 1 else 1.0)
        step = np.where(z[:, i] > downwards.get(i, np.inf), -step, step)
        moved = z.copy()
        moved[:, i] += step
        allowed = np.abs(module._scaled(i, moved[:, i]) - module._scaled(i, z[:, i]))
        return np.asarray(delta_e00(_colour(z), _colour(moved)) / allowed)

    return of


@pytest.mark.parametrize("i", range(6 + len(DYES)))
def test_no_coordinate_is_steeper_than_its_scale(i: int) -> None:
    rng, steepness = np.random.default_rng(i), _steepness(i)
    v = rng.uniform(-10.0, 6.0, (4 * TRIED, MOST.size))
    v[:, 1], v[:, 3] = rng.uniform(0, 0.02, len(v)), rng.choice([0.0, 0.5, 1.0], len(v))
    v[:, [2, 5]] = rng.uniform(-6.0, 12.0, (len(v), 2))
    found = steepness(v)
    for _ in range(CLIMBS):
        best = np.argsort(-found)[:KEPT]
        v, found = v[best], found[best]
        parents, others = v[rng.integers(0, KEPT, TRIED)], v[rng.integers(0, KEPT, TRIED)]
        far = STEP * rng.standard_normal(parents.shape) * rng.choice([1, 0.3, 0.05], (TRIED, 1))
        young = np.where(rng.random(parents.shape) < 0.1, others, parents)
        young = young + far * (rng.random(parents.shape) < 0.3)
        v, found = np.concatenate([v, young]), np.concatenate([found, steepness(young)])
    assert 0.6 < np.max(found) <= 1.0
