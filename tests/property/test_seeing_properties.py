"""Laws of seeing that hold for any hair."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.salon.evidence.seeing import RATE_CM_PER_WEEK, covered_pair, natural_pair
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.colour.spectra import WHITE_XYZ
from strandline.science.fibre import Fibre
from strandline.science.seeing.line import covered_share
from strandline.science.seeing.scielab import filter_profile, transfer
from strandline.science.seeing.stripes import Lie, isolated_peak, seen_variance
from strandline.service.growout.cover import kept_as_today, solid_cover

shares = st.floats(0.0, 1.0)
levels = st.floats(1.0, 9.5)
colours = st.tuples(*[st.floats(0.5, 90.0)] * 3).map(np.array)
WEEKS = tuple(float(week) for week in range(0, 27, 2))


def _without_fade(states: Fibre, _weeks: float) -> Fibre:
    return states


@given(colours, st.floats(0.001, 2.0), st.integers(1, 40))
def test_even_field_passes_unchanged(xyz: np.ndarray, step: float, samples: int) -> None:
    seen = lab_from_xyz(filter_profile(np.tile(xyz, (samples, 1)), step))
    assert delta_e00(seen, lab_from_xyz(xyz)).max() < 1e-6


@given(st.floats(0.05, 0.9), st.floats(0.05, 0.9), st.integers(1, 30))
@settings(max_examples=30)
def test_neutral_stripes_stay_neutral(one: float, two: float, width: int) -> None:
    row = np.where(np.arange(240) // width % 2 == 0, one, two)
    seen = lab_from_xyz(filter_profile(row[:, None] * WHITE_XYZ, 0.02))
    assert np.abs(seen[:, 1:]).max() < 0.05


@given(st.floats(0.0, 100.0))
def test_colour_is_blurred_more_than_luminance(cpd: float) -> None:
    luminance, red_green, blue_yellow = transfer(cpd)
    assert luminance >= red_green - 1e-12 or cpd < 1.0
    assert red_green >= blue_yellow - 1e-12 or cpd < 2.0
    assert -1e-9 <= blue_yellow <= 1.0 + 1e-9


@given(st.floats(0.0, 6.0), st.floats(0.0, 30.0), st.floats(0.0, 10.0), st.floats(0.0, 0.6))
def test_covered_share_never_falls_with_time(
    y: float, weeks: float, more: float, rate: float
) -> None:
    one, two = covered_share(y, np.array([weeks, weeks + more]), rate_cm_per_week=rate)
    assert 0.0 <= one <= two + 1e-15 <= 1.0 + 1e-12


@given(st.floats(0.0, 6.0), st.floats(0.0, 6.0), st.floats(0.0, 30.0))
def test_covered_share_never_rises_outwards(y: float, out: float, weeks: float) -> None:
    near, far = covered_share(np.array([y, y + out]), weeks, rate_cm_per_week=RATE_CM_PER_WEEK)
    assert far <= near


@given(colours, colours, st.floats(0.02, 3.0), st.floats(0.2, 3.0))
def test_isolated_strand_of_the_ground_is_not_seen(
    ground: np.ndarray, strand: np.ndarray, width: float, distance: float
) -> None:
    assert isolated_peak(ground, ground, width, distance) < 1e-6
    assert isolated_peak(strand, ground, width, distance) >= 0


@given(st.lists(st.floats(0.05, 1.0), min_size=2, max_size=5), st.floats(0.05, 5.0))
def test_variance_of_one_colour_is_none(weights: list[float], run: float) -> None:
    total = sum(weights)
    lie = Lie(
        tuple(w / total for w in weights),
        tuple(range(len(weights))),
        tuple(run for _ in weights),
    )
    assert seen_variance(np.tile([30.0, 31.0, 25.0], (len(weights), 1)), lie, 0.6) < 1e-12


@given(shares, levels)
@settings(max_examples=40, deadline=None)
def test_line_of_solid_cover_never_falls_without_fade(gray: float, level: float) -> None:
    cover = solid_cover(gray, natural_pair(level), covered_pair(level))
    look = kept_as_today(cover, WEEKS, rate_cm_per_week=RATE_CM_PER_WEEK, fade=_without_fade)
    line = np.array([seen.line for seen in look.weeks])
    assert np.all(np.diff(line) >= 0)


@given(shares, levels, st.floats(0.0, 0.5))
@settings(max_examples=30, deadline=None)
def test_no_gray_difference_no_line(gray: float, level: float, rate: float) -> None:
    natural = natural_pair(level)
    cover = solid_cover(gray, natural, natural)
    look = kept_as_today(cover, WEEKS, rate_cm_per_week=rate, fade=_without_fade)
    assert all(seen.line == 0.0 for seen in look.weeks)
    assert all(seen.stripes_mirror == 0.0 for seen in look.weeks)
    assert look.week_line_passes().low == np.inf


@given(shares, shares, levels)
@settings(max_examples=30, deadline=None)
def test_more_gray_shows_sooner(gray: float, more: float, level: float) -> None:
    """Cover of its own level: the whiter the regrowth, the greater the line."""
    few, many = sorted((gray, more))

    def line(white: float) -> np.ndarray:
        cover = solid_cover(white, natural_pair(level), covered_pair(level))
        look = kept_as_today(cover, WEEKS, rate_cm_per_week=RATE_CM_PER_WEEK, fade=_without_fade)
        return np.array([seen.line for seen in look.weeks])

    assert np.all(line(few) <= line(many) + 1e-9)
