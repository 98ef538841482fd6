from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.deposit import constants, deposit, half_time_min, uptake
from strandline.science.chemistry.fade import fade, kept, kept_after, with_violet_shampoo
from strandline.science.fibre import DYES, natural

KINDS = tuple(constants()["half_time"])
VIOLET = DYES.index("violet")


def hairs():
    fibre = natural(np.array([13.0, 0.0]), 0.00647, white=np.array([0.0, 1.0]))
    return fibre.with_(porosity=np.array([1.0, 1.3]), dyes=np.full((2, len(DYES)), 0.1))


@pytest.mark.parametrize("kind", KINDS)
def test_uptake_is_full_at_the_label_and_nothing_at_the_start(kind):
    assert uptake(0.0, 20.0, kind) == 0
    assert uptake(20.0, 20.0, kind) == pytest.approx(1)
    assert uptake(20.0, 20.0, kind, 0.6) == pytest.approx(0.6)


@pytest.mark.parametrize("kind", KINDS)
def test_half_of_what_is_left_goes_on_in_each_half_time(kind):
    half = half_time_min(kind)
    first, second = uptake(half, 30.0, kind), uptake(2 * half, 30.0, kind)
    assert (second - first) / first == pytest.approx(0.5)


def test_a_fast_toner_is_nearly_there_when_an_alkaline_demi_is_not():
    assert uptake(4.0, 20.0, "fast toner") > 0.74
    assert uptake(4.0, 20.0, "alkaline demi") < 0.4


def test_past_the_label_uptake_ends_at_its_saturation():
    assert uptake(1e6, 20.0, "acid demi") == pytest.approx(1 / (1 - 2**-4))


@pytest.mark.parametrize(
    "wrong",
    [(-1, 20, "direct", 1), (1, 0, "direct", 1), (1, 20, "direct", -1), (np.nan, 20, "direct", 1)],
)
def test_uptake_refuses_what_is_below_its_range(wrong):
    with pytest.raises(OutOfRangeError):
        uptake(*wrong)


@pytest.mark.parametrize("law", [lambda k: uptake(1, 20, k), lambda k: kept_after(k, 1)])
def test_an_unknown_kind_is_told_with_those_that_are(law):
    with pytest.raises(OutOfRangeError, match="acid demi"):
        law("wax")


def test_deposit_adds_by_state_and_leaves_the_rest():
    amounts = np.arange(len(DYES), dtype=float)
    after = deposit(hairs(), amounts, np.array([0.5, 1.0]))
    assert after.dyes[0] == pytest.approx(0.1 + 0.5 * amounts)
    assert after.dyes[1] == pytest.approx(0.1 + amounts)
    assert np.array_equal(after.progress, hairs().progress)
    assert np.array_equal(after.dose, hairs().dose)


@pytest.mark.parametrize(
    ("amounts", "taken"),
    [(np.ones(3), 1.0), (-np.ones(len(DYES)), 1.0), (np.ones(len(DYES)), -0.1)],
)
def test_deposit_refuses_other_dyes_and_less_than_none(amounts, taken):
    with pytest.raises(OutOfRangeError):
        deposit(hairs(), amounts, taken)


def test_kept_over_weeks_is_kept_after_their_washes_and_light():
    assert kept("acid demi", 4, 3, 0.25) == pytest.approx(kept_after("acid demi", 12, 7.0))
    assert kept("permanent", 0) == 1


def test_kinds_last_in_the_order_of_the_trade():
    left = [float(kept(kind, 2)) for kind in ("temporary", "direct", "acid demi", "permanent")]
    assert left == sorted(left)
    assert left[0] < 0.001
    assert left[-1] > 0.9


def test_fade_now_and_later_is_fade_at_once():
    after = fade(fade(hairs(), "acid demi", 3), "acid demi", 5)
    assert after.dyes == pytest.approx(fade(hairs(), "acid demi", 8).dyes)
    assert np.array_equal(after.amount, hairs().amount)


@pytest.mark.parametrize("wrong", [(-1, 0), (1, -1), (np.nan, 0)])
def test_fade_refuses_what_is_below_zero(wrong):
    with pytest.raises(OutOfRangeError):
        kept_after("direct", *wrong)


def test_violet_shampoo_adds_a_little_violet_alone():
    after = with_violet_shampoo(hairs(), 3)
    gained = after.dyes - hairs().dyes
    assert gained[:, VIOLET] == pytest.approx([0.06, 0.078])
    assert np.delete(gained, VIOLET, axis=1) == pytest.approx(0)
    with pytest.raises(OutOfRangeError):
        with_violet_shampoo(hairs(), -1)
