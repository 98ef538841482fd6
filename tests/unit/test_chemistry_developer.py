from __future__ import annotations

import math

import pytest

from strandline.base.errors import LegalLimitError, OutOfRangeError, UnreachableError
from strandline.science.chemistry.developer import (
    alligation,
    bowl_percent,
    check_ready_mix,
    mix,
    percent_exact,
    percent_nominal,
    poured_strengths,
    volume_exact,
)


def test_exact_parts_weigh_out_to_the_target():
    made = mix(12, [20, 5], 60)
    assert [(share.vol, share.grams) for share in made.parts] == [
        (20, pytest.approx(28)),
        (5, pytest.approx(32)),
    ]
    assert (made.powder_grams, made.bowl_percent) == (None, None)


def test_poured_parts_are_the_nearest_that_can_be_poured():
    made = mix(12, [20, 5], 60, 2)
    assert [(s.vol, s.parts, s.grams) for s in made.poured] == [(20, 1, 30), (5, 1, 30)]
    assert made.poured_vol == 12.5
    assert made.powder_grams == 30
    assert made.bowl_percent == pytest.approx(3.75 * 2 / 3)


@pytest.mark.parametrize(
    ("target", "parts"),
    [
        (5, [(5, 1)]),
        (20, [(20, 1)]),
        (12.5, [(20, 1), (5, 1)]),
        (15, [(20, 2), (5, 1)]),
        (10, [(20, 1), (5, 2)]),
        (16.25, [(20, 3), (5, 1)]),
        (8.75, [(20, 1), (5, 3)]),
        (19, [(20, 1)]),
    ],
)
def test_every_poured_part_is_found(target, parts):
    assert [(s.vol, s.parts) for s in mix(target, [20, 5], 60).poured] == parts


def test_a_tie_goes_to_the_weaker():
    assert mix(13.75, [20, 5], 60).poured_vol == 12.5


def test_of_three_bottles_the_nearest_pair_is_poured():
    made = mix(24, [40, 20, 5], 90)
    assert made.poured_vol == 25
    assert {s.vol for s in made.poured} == {40, 20}
    assert {s.vol for s in made.parts} == {40, 20}
    assert mix(11, [40, 20, 5], 60).poured_vol == 10


def test_a_bottle_of_the_strength_itself_is_taken_alone():
    made = mix(20, [30, 20, 10], 50)
    assert [(s.vol, s.grams) for s in made.parts] == [(20, 50)]
    assert [(s.vol, s.grams) for s in made.poured] == [(20, 50)]


def test_order_and_doubles_of_bottles_do_not_matter():
    assert mix(12, [5, 20, 20, 5], 60) == mix(12, [20, 5], 60)


def test_percents_are_of_the_target():
    made = mix(12, [20, 5], 60)
    assert made.percent_nominal == percent_nominal(12) == pytest.approx(3.6)
    assert made.percent_exact == percent_exact(12)
    assert volume_exact(percent_exact(12)) == pytest.approx(12)


@pytest.mark.parametrize(("target", "stocks"), [(4, [20, 5]), (21, [20, 5]), (12, [20])])
def test_a_target_outside_the_bottles_says_their_range_and_what_to_buy(target, stocks):
    with pytest.raises(UnreachableError) as told:
        mix(target, stocks, 60)
    assert f"{max(stocks)} volume" in told.value.what
    assert f"buy a bottle of {target} volume or" in told.value.do


def test_no_bottle_is_told():
    with pytest.raises(UnreachableError):
        mix(12, [], 60)


@pytest.mark.parametrize("wrong", [0, -1, math.nan, math.inf])
def test_what_is_not_above_zero_is_refused(wrong):
    for words in ((wrong, [20, 5], 60), (12, [20, wrong], 60), (12, [20, 5], wrong)):
        with pytest.raises(OutOfRangeError):
            mix(*words)
    with pytest.raises(OutOfRangeError):
        mix(12, [20, 5], 60, wrong)
    with pytest.raises(OutOfRangeError):
        bowl_percent(6, wrong)


def test_law_is_judged_on_the_nominal_percent():
    assert mix(40, [40, 20], 60).poured_vol == 40
    check_ready_mix(percent_nominal(40))
    with pytest.raises(LegalLimitError, match="Annex III entry 12"):
        mix(12.1 / 0.3, [50, 20], 60)
    with pytest.raises(OutOfRangeError):
        check_ready_mix(math.nan)


def test_powder_does_not_make_a_mix_lawful():
    with pytest.raises(LegalLimitError):
        mix(50, [50], 60, 1)


def test_parts_over_the_law_are_never_poured():
    made = mix(40, [50, 25], 60)
    assert made.poured_vol == 37.5
    assert sum(s.vol * s.grams for s in made.parts) == pytest.approx(40 * 60)


def test_alligation_refuses_what_lies_outside_and_what_is_no_strength():
    assert alligation(20, 20, 20) == (1, 0)
    with pytest.raises(UnreachableError):
        alligation(20, 5, 4)
    for words in ((5, 20, 12), (20, -1, 5), (20, 5, math.nan)):
        with pytest.raises(OutOfRangeError):
            alligation(*words)


def test_poured_strengths_are_all_and_rising():
    assert poured_strengths([20, 5]) == [5, 8.75, 10, 12.5, 15, 16.25, 20]
    with pytest.raises(OutOfRangeError):
        poured_strengths([0])
