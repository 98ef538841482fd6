"""The palette: what is merged, what is kept apart, and the benchmark that runs on it."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.fibre import DYES, NATURAL_SLOPE, Fibre, natural, stack
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.palette import TOLERANCE, lab_chunked, merged
from strandline.science.hair.pigment import SPECULAR, lab

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def benchmark():
    spec = importlib.util.spec_from_file_location("optics_benchmark", ROOT / "benchmarks/optics.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    yield module
    del sys.modules[spec.name]


def same(one: Fibre, two: Fibre) -> bool:
    return all(np.array_equal(getattr(one, f), getattr(two, f)) for f in Fibre.__slots__)


def test_a_head_of_two_thousand_strands_by_palette_is_as_point_by_point(benchmark):
    head = benchmark.invented_head(2000)
    direct = lab(head.states)[head.interval]
    by_palette = benchmark.palette_route(head)
    assert by_palette.shape == (2000 * benchmark.SEGMENTS, 3)
    assert np.max(delta_e00(direct, by_palette)) <= TOLERANCE
    colours, entries = benchmark.browser_route(head)
    np.testing.assert_array_equal(colours[entries], by_palette)


def test_the_benchmark_runs_and_its_code_tells_of_colour_alone(benchmark, monkeypatch, capsys):
    monkeypatch.setattr(benchmark, "POINTS", 1000)
    monkeypatch.setattr(benchmark, "STRANDS", 100)
    assert benchmark.main() == 0
    assert "kept" in capsys.readouterr().out
    monkeypatch.setattr(benchmark, "TOLERANCE", 1e-9)
    assert not benchmark.head_by_palette()
    assert "FAILED" in capsys.readouterr().out


def test_few_distinct_states_come_back_unchanged_and_as_few():
    few = natural_palette([1, 3, 5, 7])
    draws = np.random.default_rng(1).integers(0, len(few), 1_000_000)
    palette = merged(few.take(draws))
    assert len(palette.states) == len(few)
    np.testing.assert_array_equal(lab(palette.states)[palette.index], lab(few)[draws])


def test_one_level_varying_from_strand_to_strand_is_a_few_hundred_states():
    amounts = 22.1 * np.exp(np.random.default_rng(1).normal(0.0, 0.3, 100_000))
    assert len(merged(natural(amounts, NATURAL_SLOPE)).states) < 500


def test_states_that_differ_only_in_porosity_and_dose_are_one():
    hair = natural(np.full(3, 9.0), NATURAL_SLOPE)
    hair = hair.with_(porosity=np.array([1.0, 1.4, 0.6]), dose=np.array([0.0, 90.0, 20.0]))
    palette = merged(hair)
    assert same(palette.states, hair.take(np.array([0])))
    np.testing.assert_array_equal(palette.index, [0, 0, 0])


def test_what_does_not_colour_parts_nothing():
    white = natural(np.zeros(40), np.linspace(0.004, 0.012, 40), white=1.0)
    assert len(merged(white.with_(old_progress=np.linspace(0, 3, 40))).states) == 1


@pytest.mark.parametrize("field", ["amount", "progress", "white_base", "old_amount", "dyes"])
def test_zero_is_kept_apart_from_the_smallest_amount(field):
    hair = natural(np.full(60, 3.0), NATURAL_SLOPE)
    trace = np.linspace(0.0, 1e-12, 60)
    if field == "dyes":
        trace = trace[:, None] * (np.array(DYES) == "blue")
    palette = merged(hair.with_(**{field: trace}))
    assert len(palette.states) == 2
    assert palette.index[0] not in palette.index[1:]


def test_a_trace_of_old_colour_still_hands_on_its_lightening():
    hair = natural(np.full(60, 3.0), NATURAL_SLOPE).with_(
        old_amount=np.linspace(5e-324, 1e-322, 60), old_progress=np.linspace(3.0, 3.001, 60)
    )
    palette = merged(hair)
    assert np.all(palette.states.old_amount > 0)
    assert np.max(delta_e00(lab(hair), lab(palette.states)[palette.index])) <= TOLERANCE


def test_no_hair_is_an_empty_palette():
    palette = merged(natural_palette([4]).take(np.array([], dtype=np.intp)))
    assert len(palette.states) == 0
    assert palette.index.shape == (0,)
    assert lab_chunked(palette.states).shape == (0, 3)


def test_a_wider_tolerance_never_needs_more_states():
    amounts = np.random.default_rng(3).uniform(1.0, 60.0, 5000)
    hair = natural(amounts, NATURAL_SLOPE)
    sizes = [len(merged(hair, tolerance).states) for tolerance in (0.005, 0.05, 0.5)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > sizes[-1]


@pytest.mark.parametrize("rows", [1, 7, 100, 4096])
def test_colours_in_chunks_are_those_at_once(rows):
    hair = stack([natural_palette(np.linspace(1, 9, 30)), natural(np.zeros(9), 0.005, white=0.5)])
    for specular in (SPECULAR, 0.025):
        np.testing.assert_allclose(
            lab_chunked(hair, specular, rows), lab(hair, specular), rtol=0, atol=1e-9
        )


@pytest.mark.parametrize("tolerance", [0.0, -0.1, 0.6, float("nan")])
def test_a_tolerance_out_of_range_is_refused(tolerance):
    with pytest.raises(OutOfRangeError, match="dE00"):
        merged(natural_palette([4]), tolerance)


def test_hair_beyond_the_search_is_refused():
    hair = natural(np.array([3.0]), 0.03)
    with pytest.raises(OutOfRangeError, match=r"'slope' reaches 0\.03 1/nm"):
        merged(hair)
    with pytest.raises(OutOfRangeError, match="'old_progress' reaches 101"):
        merged(natural_palette([4]).with_(old_progress=np.array([101.0, 0.0])))


def test_fewer_than_one_row_at_a_time_is_refused():
    with pytest.raises(OutOfRangeError, match="0 rows"):
        lab_chunked(natural_palette([4]), rows=0)
