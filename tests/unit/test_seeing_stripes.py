"""Stripes: gratings, single strands, random rows of hair."""

from __future__ import annotations

import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.seeing import colour_of_level
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.seeing.scielab import filter_profile, visual_degrees
from strandline.science.seeing.stripes import (
    Lie,
    _scaled_erfc,
    isolated_peak,
    peak_to_trough,
    seen_variance,
    stripes,
)

SEVEN, EIGHT = colour_of_level(7.0), colour_of_level(8.0)
PAIR = np.stack([SEVEN, EIGHT])


def test_grating_is_its_filtered_profile() -> None:
    """Closed form against the filter run over a drawn grating of 1 mm stripes at .6 m."""
    samples = 40
    row = np.where((np.arange(200 * samples) // samples % 2 == 0)[:, None], SEVEN, EIGHT)
    step = float(visual_degrees(2.0, 0.6)) / (2 * samples)
    seen = lab_from_xyz(filter_profile(row, step))
    one = 100 * samples + samples // 2
    flat = delta_e00(
        seen[one - 1 : one + 1].mean(axis=0),
        seen[one + samples - 1 : one + samples + 1].mean(axis=0),
    )
    assert peak_to_trough(SEVEN, EIGHT, 1.0, 0.6) == pytest.approx(float(flat), rel=2e-3)


def test_broad_stripes_are_seen_flat() -> None:
    flat = float(delta_e00(lab_from_xyz(SEVEN), lab_from_xyz(EIGHT)))
    assert peak_to_trough(SEVEN, EIGHT, 3000.0, 0.3) == pytest.approx(flat, rel=1e-3)


def test_middling_stripes_are_sharpened() -> None:
    flat = float(delta_e00(lab_from_xyz(SEVEN), lab_from_xyz(EIGHT)))
    assert peak_to_trough(SEVEN, EIGHT, 2.0, 0.3) > 1.05 * flat


def test_stripes_of_one_colour_are_none() -> None:
    assert peak_to_trough(SEVEN, SEVEN, 1.0, 0.6) == pytest.approx(0.0, abs=1e-9)


def test_isolated_strand_fades_with_distance_and_narrowness() -> None:
    at = [isolated_peak(EIGHT, SEVEN, 1.0, distance) for distance in (0.3, 0.6, 1.0, 2.0)]
    assert at == sorted(at, reverse=True)
    assert isolated_peak(EIGHT, SEVEN, 0.5, 0.6) < isolated_peak(EIGHT, SEVEN, 1.0, 0.6)


def test_scaled_erfc_meets_its_series() -> None:
    assert _scaled_erfc(0.0) == 1.0
    assert _scaled_erfc(19.999999) == pytest.approx(_scaled_erfc(20.000001), rel=1e-6)


def _row(
    rng: np.random.Generator, colours: np.ndarray, shares: list[float], keep_mm: float, step: float
) -> np.ndarray:
    """Lay colours at random, each kept over lengths of exponential mean `keep_mm`."""
    count = 60_000
    kinds = rng.choice(len(shares), size=count, p=shares)
    ends = np.cumsum(rng.exponential(keep_mm, size=count))
    place = np.arange(40_000) * step
    return np.asarray(colours[kinds[np.searchsorted(ends, place)]])


@pytest.mark.parametrize(("share", "run"), [(0.35, 2.0), (0.5, 0.5), (0.7, 1.0)])
def test_variance_is_that_of_a_drawn_row(share: float, run: float) -> None:
    """A row drawn at random and run through the filter, .6 m; two groups keep alike."""
    keep, step = run * (1 - share), 0.02
    other = keep / share
    lie = Lie((share, 1 - share), (0, 1), (run, other))
    drawn = []
    for seed in range(4):
        row = _row(np.random.default_rng(seed), PAIR, [share, 1 - share], keep, step)
        seen = lab_from_xyz(filter_profile(row, float(visual_degrees(step, 0.6))))[2000:-2000]
        mean = lab_from_xyz(share * SEVEN + (1 - share) * EIGHT)
        drawn.append(float(np.mean(delta_e00(seen, mean) ** 2)))
    assert seen_variance(PAIR, lie, 0.6) == pytest.approx(np.mean(drawn), rel=0.12)


def test_very_long_runs_are_seen_whole() -> None:
    lie = Lie((0.5, 0.5), (0, 1), (1e7, 1e7))
    mean = lab_from_xyz(PAIR.mean(axis=0))
    flat = np.mean([delta_e00(lab_from_xyz(one), mean) ** 2 for one in PAIR])
    assert seen_variance(PAIR, lie, 0.6) == pytest.approx(float(flat), rel=0.1)


def test_untreated_hair_has_no_stripes_exactly() -> None:
    lie = Lie((0.3, 0.1, 0.4, 0.2), (0, 0, 1, 1), (2.0, 4.0))
    hair = np.stack([EIGHT, SEVEN, EIGHT, SEVEN])
    assert stripes(hair, hair, lie, 0.6) == 0.0


def test_evening_the_hair_makes_no_stripes() -> None:
    lie = Lie((0.5, 0.5), (0, 1), (1.0, 1.0))
    assert stripes(np.stack([SEVEN, SEVEN]), PAIR, lie, 0.6) == 0.0


def test_coarser_weaves_stripe_more_and_distance_softens_them() -> None:
    untreated = np.stack([SEVEN, SEVEN])
    fine, coarse = (Lie((0.35, 0.65), (0, 1), (r, 1.86 * r)) for r in (0.5, 3.0))
    assert stripes(PAIR, untreated, fine, 0.6) < stripes(PAIR, untreated, coarse, 0.6)
    assert stripes(PAIR, untreated, fine, 1.0) < stripes(PAIR, untreated, fine, 0.6)


def test_one_group_alone_has_only_its_grain() -> None:
    together = Lie((0.5, 0.5), (0, 0), (5.0,))
    apart = Lie((0.5, 0.5), (0, 1), (5.0, 5.0))
    assert 0 < seen_variance(PAIR, together, 0.6) < 0.2 * seen_variance(PAIR, apart, 0.6)


@pytest.mark.parametrize(
    ("shares", "strand_of", "run"),
    [
        ((0.5, 0.4), (0, 1), (1.0, 1.0)),
        ((1.5, -0.5), (0, 1), (1.0, 1.0)),
        ((0.5, 0.5), (0, 2), (1.0, 1.0)),
        ((0.5, 0.5), (0,), (1.0,)),
        ((0.5, 0.5), (0, 1), (1.0, 0.0)),
        ((0.5, 0.5), (0, 1), (1.0, math.inf)),
    ],
)
def test_rows_that_cannot_be_are_refused(
    shares: tuple[float, ...], strand_of: tuple[int, ...], run: tuple[float, ...]
) -> None:
    with pytest.raises(OutOfRangeError):
        Lie(shares, strand_of, run)


def test_stripes_of_no_width_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="0 mm"):
        peak_to_trough(SEVEN, EIGHT, 0.0, 0.6)
    with pytest.raises(OutOfRangeError, match="-1 mm"):
        isolated_peak(SEVEN, EIGHT, -1.0, 0.6)
