"""Seeing against published constants, a reference library, and what practice says of weeks."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.seeing import reference_blend, reference_cover
from strandline.science.seeing.barten import contrast_sensitivity


def test_contrast_sensitivity_barten1999(colour) -> None:
    cpd = np.geomspace(0.05, 60.0, 200)
    expected = colour.contrast.contrast_sensitivity_function_Barten1999(cpd)
    assert contrast_sensitivity(cpd) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("cpd", "sensitivity"),
    [(0.5, 325.02), (1, 500.39), (2, 525.92), (4, 360.87), (8, 186.16), (16, 70.97), (32, 11.02)],
)
def test_contrast_sensitivity_barten1999_defaults(cpd: float, sensitivity: float) -> None:
    assert float(contrast_sensitivity(cpd)) == pytest.approx(sensitivity, abs=0.005)


def test_contrast_sensitivity_refuses_an_even_field() -> None:
    with pytest.raises(OutOfRangeError, match="cycles per degree"):
        contrast_sensitivity([4.0, 0.0])


@pytest.mark.parametrize(("gray", "low", "high"), [(0.8, 2, 6), (0.5, 2, 6), (0.3, 2, 6)])
def test_solid_cover_shows_in_two_to_six_weeks_practice(
    gray: float, low: float, high: float
) -> None:
    """Common practice, no source."""
    assert low <= reference_cover(gray).week_line_passes().middle <= high


def test_threshold_from_15_to_30_moves_the_week_not_the_order() -> None:
    for threshold in (15.0, 20.0, 30.0):
        cover = reference_cover(0.8).week_line_passes(threshold).middle
        old = reference_blend(0.8, "covered", 1.2).week_line_passes(threshold).middle
        blend = reference_blend(0.8, "natural").week_line_passes(threshold).middle
        assert cover < old < blend
