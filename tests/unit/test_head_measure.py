"""Ovals and hair mass: ranges."""

from __future__ import annotations

import math

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.head.mass import hair_grams, hairs, linear_mass_mg_per_cm
from strandline.science.head.measure import (
    ellipse_circumference,
    superellipse_circumference,
    superellipse_exponent,
)


def test_circle_is_a_circle() -> None:
    assert ellipse_circumference(2, 2) == pytest.approx(2 * math.pi)
    assert superellipse_circumference(1, 1, 1.0) == pytest.approx(4 * math.sqrt(2))


def test_exponent_returns_the_circumference() -> None:
    for round_head in (540.0, 560.0, 590.0):
        n = superellipse_exponent(97.5, 77.5, round_head)
        assert superellipse_circumference(97.5, 77.5, n) == pytest.approx(round_head, abs=1e-6)


def test_ovals_that_cannot_be_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        superellipse_exponent(97.5, 77.5, 900)
    with pytest.raises(OutOfRangeError):
        ellipse_circumference(10, 0)


@pytest.mark.parametrize("diameter", [0.07, 19.0, 201.0, math.nan])
def test_diameter_out_of_range_is_refused(diameter: float) -> None:
    with pytest.raises(OutOfRangeError, match="um"):
        linear_mass_mg_per_cm(diameter)


def test_hair_mass_is_proportional() -> None:
    assert hair_grams(200, 30, 70) == pytest.approx(2 * hair_grams(100, 30, 70))
    assert hair_grams(100, 30, 70) == pytest.approx(hair_grams(100, 15, 70) * 2)
    assert linear_mass_mg_per_cm(140) == pytest.approx(4 * linear_mass_mg_per_cm(70))
    assert hairs(223, 0) == 0
