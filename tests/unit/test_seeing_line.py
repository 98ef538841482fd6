"""The line of regrowth: covered share, shown growth, edge."""

from __future__ import annotations

import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz, xyz_from_lab
from strandline.science.seeing.line import (
    covered_share,
    edge,
    normal_share,
    shown_growth,
)

RATE = 0.2569
Y = np.round(np.arange(61) * 0.1, 9)
DARK, LIGHT = np.array([26.0, 4.5, 9.6]), np.array([61.0, 0.0, 12.0])


def _step(at_cm: float) -> np.ndarray:
    """Light to `at_cm`, dark from there."""
    return np.where((at_cm > Y)[:, None], LIGHT, DARK)


def test_covered_share_half_at_the_mean_of_growth() -> None:
    assert covered_share(4 * RATE, 4.0, rate_cm_per_week=RATE) == pytest.approx(0.5)


def test_covered_share_one_spread_in_is_84_in_100() -> None:
    spread = math.hypot(0.05, 0.1 * RATE * 6)
    share = covered_share(6 * RATE - spread, 6.0, rate_cm_per_week=RATE)
    assert share == pytest.approx(0.841345, abs=1e-6)


def test_covered_share_on_the_day_is_blurred_by_the_start_alone() -> None:
    assert covered_share(0.05, 0.0, rate_cm_per_week=RATE) == pytest.approx(0.158655, abs=1e-6)


@pytest.mark.parametrize(
    "change",
    [{"weeks": -1.0}, {"rate": -0.1}, {"start": 0.0}, {"spread": -0.1}, {"weeks": math.nan}],
)
def test_covered_share_refuses_what_cannot_be(change: dict[str, float]) -> None:
    at = {"weeks": 4.0, "rate": RATE, "start": 0.05, "spread": 0.1} | change
    with pytest.raises(OutOfRangeError, match="cannot be"):
        covered_share(
            1.0,
            at["weeks"],
            rate_cm_per_week=at["rate"],
            start_blur_cm=at["start"],
            rate_spread=at["spread"],
        )


def test_normal_share_keeps_its_tails() -> None:
    """Phi(-8) is 6.22096e-16: handbook tables of the normal tail."""
    assert float(normal_share(-8.0)) == pytest.approx(6.22096e-16, rel=1e-5)
    assert normal_share([-1.0, 1.0]).sum() == pytest.approx(1.0)


def test_shown_growth_of_a_sharp_step_is_a_rectangle() -> None:
    """Light for 2 cm, sampled by 1 mm: trapezoids end half a step after the last light sample."""
    step = float(delta_e00(LIGHT, DARK))
    shown = shown_growth(_step(2.0), np.tile(DARK, (61, 1)), Y)
    assert float(shown) == pytest.approx((step - 2.0) * 1.95, rel=1e-9)


def test_shown_growth_stops_at_60_mm() -> None:
    y = np.round(np.arange(101) * 0.1, 9)
    shown = shown_growth(np.tile(LIGHT, (101, 1)), np.tile(DARK, (101, 1)), y)
    assert float(shown) == pytest.approx(6.0 * (float(delta_e00(LIGHT, DARK)) - 2.0))


def test_shown_growth_leaves_out_what_is_not_noticed() -> None:
    near = DARK + np.array([1.0, 0.0, 0.0])
    assert float(shown_growth(np.tile(near, (61, 1)), np.tile(DARK, (61, 1)), Y)) == 0.0
    assert float(shown_growth(np.tile(near, (61, 1)), np.tile(DARK, (61, 1)), Y, seen_from=0)) > 0


def test_shown_growth_takes_many_profiles_at_once() -> None:
    many = np.stack([_step(1.0), _step(2.0)])
    both = shown_growth(many, np.tile(DARK, (61, 1)), Y)
    assert both.shape == (2,)
    assert both[1] == pytest.approx(float(shown_growth(many[1], np.tile(DARK, (61, 1)), Y)))


def test_edge_of_a_step_is_the_step_and_stands_there() -> None:
    """On samples .1 mm apart, so that the cell across the step weighs 2 % of a side."""
    fine = np.round(np.arange(601) * 0.01, 9)
    steepest, place = edge(np.where((fine < 2.0)[:, None], LIGHT, DARK), fine)
    assert float(place) == pytest.approx(2.0, abs=0.02)
    assert float(steepest) == pytest.approx(float(delta_e00(LIGHT, DARK)), rel=0.03)


def test_edge_of_short_growth_weighs_by_its_length() -> None:
    """New growth of 1.5 mm on both sides of the part fills 3 mm of a window of 5 mm."""
    steepest, place = edge(_step(0.15), Y)
    mixed = lab_from_xyz(0.6 * xyz_from_lab(LIGHT) + 0.4 * xyz_from_lab(DARK))
    assert float(place) <= 0.3
    assert float(steepest) == pytest.approx(float(delta_e00(mixed, DARK)), rel=0.05)
    assert float(steepest) < float(edge(_step(1.05), Y)[0])


def test_edge_of_an_even_profile_is_none() -> None:
    assert float(edge(np.tile(DARK, (61, 1)), Y)[0]) == pytest.approx(0.0, abs=1e-6)


def test_edge_softens_with_distance() -> None:
    ramp = np.clip((Y - 1.0) / 2.0, 0.0, 1.0)[:, None]
    soft = DARK + (LIGHT - DARK) * ramp
    near, far = edge(soft, Y, distance_m=0.3)[0], edge(soft, Y, distance_m=0.9)[0]
    assert float(near) < float(far)


@pytest.mark.parametrize(
    ("y", "match"),
    [(Y[::-1], "must rise"), (Y[:-1], "must rise"), (Y**2, "even steps"), (Y + 1, "from 0")],
)
def test_edge_refuses_uneven_distances(y: np.ndarray, match: str) -> None:
    with pytest.raises(OutOfRangeError, match=match):
        edge(np.tile(DARK, (61, 1)), y)


def test_edge_refuses_a_profile_too_short_for_the_distance() -> None:
    with pytest.raises(OutOfRangeError, match="too short"):
        edge(np.tile(DARK, (61, 1)), Y, distance_m=4.0)
