"""Laws of the chemistry that hold for any bottle, bowl, hair and gloss."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strandline.base.draws import draws
from strandline.science.chemistry.deposit import deposit, uptake
from strandline.science.chemistry.developer import alligation, mix, poured_strengths
from strandline.science.chemistry.fade import fade
from strandline.science.chemistry.lift import LIFT_DRAWS, apply, make_rate, tau
from strandline.science.fibre import DYES, Fibre, natural
from strandline.science.hair.pigment import lab

DRAWN = draws(LIFT_DRAWS)
vols = st.floats(1.0, 40.0)
stocks = st.lists(vols, min_size=1, max_size=5)
minutes = st.floats(0.0, 120.0)
kinds = st.sampled_from(["fast toner", "acid demi", "alkaline demi", "direct", "permanent"])


def _between(bottles: list[float], part: float) -> float:
    return min(bottles) + part * (max(bottles) - min(bottles))


def _hair(amount: float, white: float, old: float) -> Fibre:
    fibre = natural(np.array([amount * (1 - white)]), 0.00647, white=white)
    return fibre.with_(old_amount=np.array([old]))


hairs = st.builds(_hair, st.floats(0.1, 200.0), st.sampled_from([0.0, 1.0]), st.floats(0.0, 40.0))


@given(stocks, st.floats(0.0, 1.0), st.floats(1.0, 5000.0))
def test_exact_mix_keeps_mass_and_peroxide(bottles: list[float], part: float, grams: float) -> None:
    target = min(_between(bottles, part), 40.0)
    made = mix(target, bottles, grams)
    for shares, vol in ((made.parts, target), (made.poured, made.poured_vol)):
        assert sum(s.grams for s in shares) == pytest.approx(grams, rel=1e-9)
        assert sum(s.grams * s.vol for s in shares) == pytest.approx(grams * vol, rel=1e-7)
        assert all(s.grams >= 0 for s in shares)
        assert len(shares) <= 2


@given(stocks, st.floats(0.0, 1.0))
def test_no_other_pouring_comes_nearer(bottles: list[float], part: float) -> None:
    target = min(_between(bottles, part), 40.0)
    away = abs(mix(target, bottles, 60.0).poured_vol - target)
    assert away <= min(abs(v - target) for v in poured_strengths(bottles)) + 2e-9


@given(vols, vols, st.floats(0.0, 1.0))
def test_parts_by_alligation_meet_the_target(one: float, two: float, part: float) -> None:
    strong, weak = max(one, two), min(one, two)
    target = min(max(weak + part * (strong - weak), weak), strong)
    high, low = alligation(strong, weak, target)
    assert high >= 0
    assert low >= 0
    assert (high * strong + low * weak) == pytest.approx(target * (high + low), rel=1e-9)


@given(minutes, minutes, st.floats(0.0, 0.1), st.floats(0.1, 20.0), st.floats(0.0, 2.0))
def test_effective_time_rises_slower_than_time(
    one: float, two: float, kd: float, lag: float, n: float
) -> None:
    early, late = min(one, two), max(one, two)
    first, second = tau(early, lag, kd, n), tau(late, lag, kd, n)
    assert -1e-9 <= second - first <= late - early + 1e-9


@given(hairs, minutes, minutes, vols, vols)
def test_lift_never_falls_with_time_or_strength(
    hair: Fibre, one: float, two: float, weak: float, strong: float
) -> None:
    weak, strong = sorted((weak, strong))
    early, late = sorted((one, two))
    slow, fast = (make_rate(vol, draws={}).eta[0] for vol in (weak, strong))
    base = lab(apply(hair, early, slow, developer_vol=weak))[0, 0]
    assert lab(apply(hair, late, slow, developer_vol=weak))[0, 0] >= base - 1e-9
    assert lab(apply(hair, early, fast, developer_vol=strong))[0, 0] >= base - 1e-9


@given(vols, vols, minutes)
def test_stronger_is_quicker_in_every_draw(one: float, two: float, at: float) -> None:
    weak, strong = (make_rate(vol, draws=DRAWN).progress(at) for vol in sorted((one, two)))
    assert np.all(strong >= weak - 1e-12)


@given(st.floats(0.001, 8.0), vols)
def test_minutes_and_progress_are_inverse(x: float, vol: float) -> None:
    rate = make_rate(vol, draws=DRAWN)
    found = rate.minutes_to(x)
    reached = np.isfinite(found) & (found < 500.0)
    there = rate.progress(np.where(reached, found, 0.0))
    assert there[reached] == pytest.approx(x, rel=1e-6)
    assert np.all(rate.progress(1000.0)[np.isinf(found)] < x)


@given(hairs, minutes, minutes, kinds, st.integers(0, len(DYES) - 1), st.floats(0.0, 10.0))
def test_gloss_never_lightens_and_fade_never_darkens(
    hair: Fibre, one: float, two: float, kind: str, dye: int, amount: float
) -> None:
    amounts = np.zeros(len(DYES))
    amounts[dye] = amount
    early, late = (
        deposit(hair, amounts, uptake(m, 20.0, kind, hair.porosity)) for m in sorted((one, two))
    )
    bare, less, more = (lab(state)[0, 0] for state in (hair, early, late))
    assert bare + 1e-9 >= less >= more - 1e-9
    assert more - 1e-9 <= lab(fade(late, kind, 4.0))[0, 0] <= bare + 1e-9
