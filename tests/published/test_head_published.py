"""Head, growth and hair mass against measured values and geometry."""

from __future__ import annotations

import pytest

from strandline.base.sources import table
from strandline.science.head.growth import TELOGEN_SHARE, mm_per_month, rate_um_per_day, weeks_cm
from strandline.science.head.mass import hairs, linear_mass_mg_per_cm
from strandline.science.head.measure import (
    ellipse_circumference,
    hemisphere_area,
    superellipse_circumference,
    superellipse_exponent,
)
from strandline.science.head.scalp import Scalp


@pytest.mark.parametrize(
    ("group", "mm"), [("African", 8.52), ("Caucasian", 11.17), ("Asian", 12.51)]
)
def test_growth_a_month_loussouarn2005(group: str, mm: float) -> None:
    """G. Loussouarn and others 2005: 280, 367, 411 um/day over 30.4375 days."""
    row = next(r for r in table("growth_and_density").rows if r["group"] == group)
    assert mm_per_month(float(row["growth_um_per_day"])) == pytest.approx(mm, abs=0.01)


def test_telogen_share_loussouarn2005() -> None:
    row = next(r for r in table("growth_and_density").rows if r["group"] == "Caucasian")
    assert pytest.approx(float(row["telogen_percent"]) / 100) == TELOGEN_SHARE


def test_growth_half_an_inch_a_month_arithmetic() -> None:
    assert rate_um_per_day(12.7) == pytest.approx(417.2, abs=0.1)


@pytest.mark.parametrize(("weeks", "mm"), [(8, 20.6), (12, 30.8), (16, 41.1)])
def test_growth_in_weeks_arithmetic(weeks: float, mm: float) -> None:
    assert weeks_cm(367, weeks) * 10 == pytest.approx(mm, abs=0.1)


def test_scalp_area_pmc13019652() -> None:
    """492.36 +- 30.97 cm2, n = 25: the default head lies within two deviations."""
    assert 430 <= Scalp().area_cm2 <= 555


@pytest.mark.parametrize(("circumference", "area"), [(57.2, 520.7), (55.2, 485.0)])
def test_hemisphere_area_geometry(circumference: float, area: float) -> None:
    assert hemisphere_area(circumference) == pytest.approx(area, abs=0.05)


def test_hairs_on_a_head_barman1965() -> None:
    """223 hairs/cm2 (BioNumbers 116431) on 492 cm2."""
    assert hairs(223, 492) == 109_716


def test_ellipse_195_by_155_geometry() -> None:
    assert ellipse_circumference(195, 155) == pytest.approx(551.6, abs=0.2)
    assert ellipse_circumference(180, 145) == pytest.approx(512, abs=0.5)


def test_ellipse_agrees_with_a_walk_round_it() -> None:
    for length, breadth in ((195.0, 155.0), (10.0, 1.0), (7.0, 7.0)):
        walked = superellipse_circumference(length / 2, breadth / 2, 2.0)
        assert ellipse_circumference(length, breadth) == pytest.approx(walked, rel=1e-6)


def test_superellipse_exponent_of_a_572_mm_head() -> None:
    assert superellipse_exponent(97.5, 77.5, 572) == pytest.approx(2.443, abs=0.005)


def test_linear_mass_of_70_um_geometry() -> None:
    assert linear_mass_mg_per_cm(70) == pytest.approx(0.0508, abs=0.0001)
    assert linear_mass_mg_per_cm(70) * 100_000 * 30 / 1000 == pytest.approx(152, abs=0.5)
