"""The part line from the strands themselves: against a plain loop, the law, and practice."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.seeing import RATE_CM_PER_WEEK, covered_pair, natural_pair
from strandline.science.fibre import Fibre
from strandline.science.head.growth import STRAND_SPREAD
from strandline.science.seeing.line import START_BLUR_CM
from strandline.service.growout.grow import grow_out
from strandline.service.growout.look import HairClass, Layer
from strandline.service.growout.spread import ByLaw, OfStrands

Y = np.round(np.arange(61) * 0.1, 9)
STARTS = np.array([0.0, 1.2, 4.0])
WEEKS = tuple(float(week) for week in range(17))


def strands(count: int, classes: int = 3, seed: int = 1, **given) -> OfStrands:
    rng = np.random.default_rng(seed)
    parts = {
        "kind": rng.integers(0, classes, count),
        "area": rng.uniform(0.5, 2.0, count),
        "pace": 1 + STRAND_SPREAD * rng.standard_normal(count),
        "start_cm": START_BLUR_CM * rng.standard_normal(count),
        "shed_week": np.full(count, np.inf),
        "tip_cm": np.full(count, np.inf),
    }
    return OfStrands(**(parts | given))


def plainly(hair: OfStrands, classes: int, age: float, rate: float, own=()) -> np.ndarray:
    """Count strand by strand and place by place."""
    out = np.zeros((len(Y), classes, len(STARTS) + 1))
    for i in range(len(hair)):
        shed = hair.shed_week[i] <= age
        grown = rate * age * hair.pace[i]
        tip = rate * hair.pace[i] * (age - hair.shed_week[i]) if shed else hair.tip_cm[i] + grown
        for j, y in enumerate(Y):
            if y >= tip:
                continue
            along = -1.0 if shed else y - grown - hair.start_cm[i]
            begins, farthest = [], -np.inf
            for k, start in enumerate(STARTS):
                farthest = max(farthest, start * (hair.pace[i] if k in own else 1.0))
                begins.append(farthest)
            out[j, hair.kind[i], sum(along >= start for start in begins)] += hair.area[i]
    whole = out.sum(axis=(1, 2), keepdims=True)
    return out / whole


def same(states: Fibre, _weeks: float) -> Fibre:
    return states


def cover(gray: float, count: int = 4000, seed: int = 3, **given):
    """Give the classes of solid cover on level 5, and strands of them."""
    classes = [
        HairClass(name, 1.0, (Layer(0.0, np.inf, covered),), root, strand="as it grows")
        for name, covered, root in zip(
            ("white", "pigmented"), covered_pair(), natural_pair(), strict=True
        )
    ]
    rng = np.random.default_rng(seed)
    kind = (rng.random(count) >= gray).astype(np.int64)
    return classes, strands(count, 2, seed, kind=kind, **given)


def grown(classes, hair, weeks=WEEKS, **more):
    return grow_out(
        classes, weeks, rate_cm_per_week=RATE_CM_PER_WEEK, fade=same, strands=hair, **more
    )


@pytest.mark.parametrize(("age", "own"), [(0.0, ()), (3.0, (1,)), (11.5, (1, 2))])
def test_counting_equals_a_plain_loop_with_shed_and_short_hair(age, own):
    rng = np.random.default_rng(7)
    hair = strands(
        300,
        shed_week=np.where(rng.random(300) < 0.3, rng.uniform(0, 14, 300), np.inf),
        tip_cm=np.where(rng.random(300) < 0.4, rng.uniform(0.4, 7, 300), np.inf),
    )
    flags = np.isin(np.arange(len(STARTS)), own)
    found = hair.at(3, STARTS, Y, np.array([age]), RATE_CM_PER_WEEK, flags)[0]
    assert found == pytest.approx(plainly(hair, 3, age, RATE_CM_PER_WEEK, own), abs=1e-12)


def test_what_had_grown_lies_on_each_strand_by_its_own_rate():
    """An old edge spreads by the rates of the strands, a tenth; what is laid by hand does not."""
    hair = strands(20_000, 1, start_cm=np.zeros(20_000), area=np.ones(20_000))
    starts, y = np.array([0.0, 20.0]), np.linspace(0.0, 40.0, 401)
    for flag, wide in ((True, 20 * STRAND_SPREAD), (False, 0.0)):
        own = hair.starts(starts, np.array([False, flag]))
        assert own[1].mean() == pytest.approx(20.0, abs=0.1)
        assert own[1].std() == pytest.approx(wide, rel=0.03, abs=1e-12)
        share = hair.at(1, starts, y, np.zeros(1), 0.25, np.array([False, flag]))[0, :, 0, 1]
        between = y[(share > 0.16) & (share < 0.84)]
        found = (between[-1] - between[0]) / 2 if between.size else 0.0
        assert found == pytest.approx(wide, abs=0.15)


def test_starts_never_cross():
    own = strands(500).starts(np.array([0.0, 9.0, 9.2]), np.array([False, True, False]))
    assert np.all(np.diff(own, axis=0) >= 0)


def test_many_strands_are_spread_as_the_law_says():
    hair = strands(60_000)
    law = ByLaw(hair.shares(3))
    age = np.array([0.0, 4.0, 16.0])
    found, said = (one.at(3, STARTS, Y, age, RATE_CM_PER_WEEK) for one in (hair, law))
    assert found == pytest.approx(said, abs=0.012)


def test_shares_are_by_area_and_classes_without_strands_are_left_out():
    hair = strands(2, kind=np.array([0, 2]), area=np.array([3.0, 1.0]))
    assert hair.shares(3) == pytest.approx([0.75, 0.0, 0.25])
    classes, _ = cover(0.5)
    seen = grown([*classes, classes[0]], hair).weeks[0]
    assert np.all(np.isfinite(seen.lab))


def test_solid_cover_is_seen_in_two_to_seven_weeks_the_whiter_the_sooner():
    """Solid cover shows in 2 to 6 weeks: common practice, no source; 30 % white a little later."""
    passes = [grown(*cover(gray)).week_line_passes().middle for gray in (0.8, 0.5, 0.3)]
    assert passes == sorted(passes)
    assert 2 <= passes[0] < passes[2] <= 7


def test_without_a_difference_there_is_no_line_however_much_is_shed():
    white, _ = natural_pair()
    classes = [HairClass("white", 1.0, (Layer(0.0, np.inf, white),), white)]
    shed = np.random.default_rng(2).uniform(0, 16, 500)
    hair = strands(500, 1, shed_week=shed)
    assert [seen.line for seen in grown(classes, hair).weeks] == pytest.approx([0.0] * 17, abs=1e-9)


def test_a_line_never_falls_without_fade():
    lines = [seen.line for seen in grown(*cover(0.6)).weeks]
    assert np.all(np.diff(lines) >= -1e-9)


def test_what_is_shed_comes_again_uncovered():
    shed = np.where(np.random.default_rng(5).random(4000) < 0.2, 1.0, np.inf)
    kept, lost = grown(*cover(0.8)), grown(*cover(0.8, shed_week=shed))
    assert lost.weeks[8].line > kept.weeks[8].line
    assert lost.weeks[8].lab[10, 0] > kept.weeks[8].lab[10, 0]


def test_curl_shows_less_of_the_same_growth():
    classes, hair = cover(0.8)
    curled = dataclasses.replace(hair, curl_factor=1.8)
    straight, tight = grown(classes, hair), grown(classes, curled)
    assert tight.weeks[8].line < straight.weeks[8].line
    assert tight.weeks[8].edge_cm == pytest.approx(straight.weeks[8].edge_cm / 1.8, abs=0.25)


def test_a_strand_shed_today_still_counts_at_the_scalp():
    hair = strands(10, 1, shed_week=np.full(10, 4.0))
    found = hair.at(1, STARTS, Y, np.array([4.0]), RATE_CM_PER_WEEK)
    assert found.sum(axis=(2, 3)) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"pace": np.ones(3)}, "described by"),
        ({"area": np.zeros(4)}, "covers no area"),
    ],
)
def test_strands_that_do_not_fit_together_are_refused(change, said):
    with pytest.raises(OutOfRangeError, match=said):
        dataclasses.replace(strands(4), **change)


def test_no_hair_to_look_at_and_a_class_that_is_none_are_refused():
    with pytest.raises(OutOfRangeError, match="look where hair grows"):
        strands(4).some(np.zeros(4, dtype=bool))
    classes, _ = cover(0.5)
    with pytest.raises(OutOfRangeError, match="A strand is of class 7"):
        grown(classes, strands(4, kind=np.array([0, 1, 7, 0])))
    with pytest.raises(OutOfRangeError, match="3 shares for 2 classes"):
        ByLaw(np.ones(3) / 3).at(2, STARTS, Y, np.zeros(1), 0.25)


def test_growth_faster_than_usual_is_within_the_range():
    classes, hair = cover(0.8)
    draws = np.array([0.2, 0.257, 0.31])
    found = grown(classes, hair, rate_draws=draws).week_line_passes()
    assert found.low < found.middle < found.high
    assert math.isfinite(found.high)
