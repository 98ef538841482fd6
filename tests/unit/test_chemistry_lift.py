from __future__ import annotations

import numpy as np
import pytest

from strandline.base.draws import draws
from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import range_of
from strandline.science.chemistry.harm import dose
from strandline.science.chemistry.lift import (
    LIFT_DRAWS,
    advance,
    apply,
    constants,
    eta,
    make_rate,
    tau,
)
from strandline.science.chemistry.peroxide import bath_left, perhydroxyl_share
from strandline.science.fibre import DYES, natural
from strandline.science.hair.levels import natural_palette, progress_of_stage

DRAWN = draws(LIFT_DRAWS)


def two_hairs():
    fibre = natural(np.array([13.0, 0.0]), 0.00647, white=np.array([0.0, 1.0]))
    return fibre.with_(old_amount=np.array([0.0, 7.0]), dyes=np.full((2, len(DYES)), 0.5))


def test_tau_is_its_integral():
    """Against the trapezium rule on 200,000 steps."""
    u = np.linspace(0.0, 45.0, 200_001)
    rate = np.exp(-0.9 * 0.02 * u) * (1 - np.exp(-u / 4.0))
    assert tau(45.0, 4.0, 0.02, 0.9) == pytest.approx(float(np.trapezoid(rate, u)), rel=1e-9)


def test_tau_without_loss_is_time_less_its_lag():
    t = np.array([0.0, 1.0, 400.0])
    assert tau(t, 4.0, 0.0, 0.9) == pytest.approx(t - 4 * (1 - np.exp(-t / 4)), abs=1e-9)


def test_tau_of_endless_time_is_finite():
    assert tau(np.inf, 4.0, 0.02, 0.9) == pytest.approx(1 / 0.018 - 1 / 0.268)


def test_a_fresh_bowl_lifts_further_than_the_old_one_left_on():
    rate = make_rate(20.0, draws={})
    assert 2 * rate.progress(30.0)[0] > rate.progress(60.0)[0]


@pytest.mark.parametrize(
    ("minutes", "lag", "kd", "n"),
    [(-1, 4, 0.02, 0.9), (np.nan, 4, 0.02, 0.9), (1, 0, 0.02, 0.9), (1, 4, -1, 0.9)],
)
def test_tau_refuses_what_is_below_its_range(minutes, lag, kd, n):
    with pytest.raises(OutOfRangeError):
        tau(minutes, lag, kd, n)


def test_parts_of_eta_add_to_the_rate():
    words = {"old_colour": True, "gray_under": 1.0, "first_cm": True, "stacked": True}
    parts = eta(30.0, draws=DRAWN, product=0.2, client=-0.1, **words)
    rate = make_rate(30.0, draws=DRAWN, product=0.2, client=-0.1, **words)
    assert rate.eta == pytest.approx(sum(parts.values()))
    assert rate.eta.shape == (64,)
    means = {name: float(part.mean()) for name, part in parts.items()}
    assert means == pytest.approx(
        {
            "mu": -1.83,
            "product": 0.2,
            "client": -0.1,
            "day": 0,
            "foil": 0,
            "old_colour": 0.15 + 0.3 * 0.5,
            "strength": 0.9 * np.log(1.5),
            "zone": 0.4,
        },
        abs=1e-9,
    )


def test_spread_of_the_rate_is_what_the_sources_add_to():
    known = constants()
    names = ("product", "client", "day", "foil")
    wanted = np.sqrt(sum(known[name].spread ** 2 for name in names))
    assert make_rate(20.0, draws=DRAWN).eta.std() == pytest.approx(wanted, rel=1e-9)


def test_spread_of_minutes_on_priors_alone_is_wide():
    """6 to 9 at 20 volume: 80 % from about 15 min to over the label (common practice)."""
    x = progress_of_stage(9.0, natural_palette([6.0], with_white=False))[0]
    minutes = range_of(list(make_rate(20.0, draws=DRAWN).minutes_to(x)))
    assert minutes.low == pytest.approx(15, abs=3)
    assert minutes.middle == pytest.approx(29, abs=2)
    assert minutes.high > 60


def test_without_draws_a_rate_is_one_mean():
    rate = make_rate(20.0, draws={})
    assert rate.eta == pytest.approx([-1.83])
    assert rate.exponent == pytest.approx([0.9])


def test_each_thing_that_quickens_lift_does():
    plain = make_rate(20.0, draws=DRAWN)
    for quicker in (
        make_rate(30.0, draws=DRAWN),
        make_rate(20.0, draws=DRAWN, first_cm=True),
        make_rate(20.0, draws=DRAWN, product=0.1),
        plain.warmer(5.0),
    ):
        assert np.all(quicker.progress(30.0) > plain.progress(30.0) - 1e-12)
        assert quicker.progress(30.0).mean() > plain.progress(30.0).mean()


def test_old_colour_lifts_easier_on_white():
    half, full = (
        make_rate(20.0, draws=DRAWN, old_colour=True, gray_under=gray).progress(30.0)
        for gray in (0.5, 1.0)
    )
    assert np.all(full > half)


def test_ten_degrees_are_one_q10():
    rate = make_rate(20.0, draws={})
    ratio = rate.warmer(10.0).progress(20.0) / rate.progress(20.0)
    assert ratio == pytest.approx(constants()["q10"].value)


def test_minutes_to_are_those_of_the_progress():
    rate = make_rate(20.0, draws=DRAWN)
    minutes = rate.minutes_to(2.0)
    reached = np.isfinite(minutes)
    assert reached.any()
    assert rate.progress(np.where(reached, minutes, 0.0))[reached] == pytest.approx(2.0)


def test_minutes_to_nothing_are_none_and_past_the_dry_bowl_never():
    rate = make_rate(20.0, draws={})
    assert rate.minutes_to(0.0) == pytest.approx([0.0])
    assert np.all(np.isinf(rate.minutes_to(8.4)))
    assert np.all(np.isinf(rate.minutes_to(np.inf)))
    with pytest.raises(OutOfRangeError):
        rate.minutes_to(np.nan)


@pytest.mark.parametrize("vol", [0, -20, 41, np.nan, np.inf])
def test_a_strength_the_law_is_not_for_is_refused(vol):
    with pytest.raises(OutOfRangeError):
        make_rate(vol, draws={})


@pytest.mark.parametrize("gray", [-0.1, 1.1, np.nan])
def test_gray_that_is_no_share_is_refused(gray):
    with pytest.raises(OutOfRangeError):
        make_rate(20.0, draws={}, gray_under=gray)


def test_apply_moves_progress_old_colour_gloss_and_dose():
    before = two_hairs()
    after = apply(before, 30.0, -1.83, old_eta=-1.5, developer_vol=20.0)
    natural_x = np.exp(-1.83) * tau(30.0)
    assert after.progress == pytest.approx(natural_x)
    assert after.old_progress == pytest.approx([0.0, np.exp(-1.5) * tau(30.0)])
    assert after.dyes == pytest.approx(before.dyes * np.exp(-natural_x))
    assert after.dose == pytest.approx(30.0)
    assert np.array_equal(after.amount, before.amount)
    assert np.array_equal(after.porosity, before.porosity)


def test_apply_twice_adds_as_two_bowls():
    twice = apply(apply(two_hairs(), 15.0, -1.83), 15.0, -1.83)
    assert twice.progress == pytest.approx(2 * np.exp(-1.83) * tau(15.0))
    assert twice.dose == pytest.approx(30.0)


def test_dose_of_a_stronger_bowl_is_that_of_harm():
    after = apply(two_hairs(), 20.0, -1.83, developer_vol=30.0)
    assert after.dose == pytest.approx(np.full(2, dose(20.0, 9.0, 0.9)))


def test_no_minutes_change_nothing():
    before = two_hairs()
    after = apply(before, 0.0, -1.83)
    assert after.progress == pytest.approx(before.progress)
    assert after.dyes == pytest.approx(before.dyes)


def test_lightening_is_never_taken_back():
    with pytest.raises(OutOfRangeError):
        advance(two_hairs(), -0.1, 10.0, 6.0)
    with pytest.raises(OutOfRangeError):
        apply(two_hairs(), -1.0, -1.83)


def test_perhydroxyl_is_half_at_the_pka():
    assert perhydroxyl_share(11.6) == pytest.approx(0.5)
    for wrong in (-1, 15, np.nan):
        with pytest.raises(OutOfRangeError):
            perhydroxyl_share(wrong)


def test_a_chelated_bath_keeps_more():
    assert bath_left(120.0, 6.0, chelated=True) > bath_left(120.0, 6.0, chelated=False)
    for wrong in ((-1.0, 6.0), (10.0, 0.0), (np.nan, 6.0)):
        with pytest.raises(OutOfRangeError):
            bath_left(*wrong, chelated=True)
