"""Material by birthday."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.fibre import Fibre, natural
from strandline.science.head.growth import (
    measured_rate,
    mm_per_month,
    rate_um_per_day,
    renewed_share,
    weeks_cm,
)
from strandline.science.head.history import Lane, Segment, Treatment, evaluate, segments

RATE = 367.0


def spans(parts: list[Segment]) -> list[tuple[float, float, tuple[object, ...]]]:
    return [
        (round(part.from_cm, 9), round(part.to_cm, 9), tuple(one.what for one in part.treatments))
        for part in parts
    ]


def test_segments_meet_from_scalp_to_tip() -> None:
    old = Treatment(0, 0.0, math.inf, "cover")
    foil = Treatment(84, 0.5, 20.0, "foil")
    parts = segments([foil, old], 84 + 42, RATE, 30.0)
    assert parts[0].from_cm == 0.0
    assert parts[-1].to_cm == 30.0
    assert all(a.to_cm == b.from_cm for a, b in itertools.pairwise(parts))
    assert spans(parts) == [
        (0.0, round(0.5 + 42 * RATE / 1e4, 9), ()),
        (round(0.5 + 42 * RATE / 1e4, 9), round(126 * RATE / 1e4, 9), ("foil",)),
        (round(126 * RATE / 1e4, 9), round(20 + 42 * RATE / 1e4, 9), ("cover", "foil")),
        (round(20 + 42 * RATE / 1e4, 9), 30.0, ("cover",)),
    ]


def test_treated_stretch_moves_out_and_keeps_its_length() -> None:
    one = Treatment(10, 1.0, 3.0, "foil")
    low, high = one.reach_cm(110, RATE)
    assert high - low == pytest.approx(2.0)
    assert low - 1.0 == pytest.approx(100 * RATE / 1e4)


def test_treatment_after_the_day_does_not_count() -> None:
    assert spans(segments([Treatment(9, 0, 5, "late")], 8, RATE, 20.0)) == [(0.0, 20.0, ())]


def test_segments_grown_off_the_tip_are_gone() -> None:
    old = Treatment(0, 18.0, 20.0, "ends")
    assert spans(segments([old], 365, RATE, 20.0)) == [(0.0, 20.0, ())]


def test_segments_of_one_past_are_one() -> None:
    twice = [Treatment(0, 0.0, 5.0, "a"), Treatment(0, 5.0, 9.0, "a")]
    assert len(segments(twice, 0, RATE, 9.0)) == 2
    assert len(segments([], 0, RATE, 9.0)) == 1


def test_lane_lengths_with_a_trim() -> None:
    lane = Lane().trimmed(100, 25.0)
    assert lane.length_cm(30.0, 0, 100, RATE) == 25.0
    assert lane.length_cm(30.0, 0, 99, RATE) == pytest.approx(30 + 99 * RATE / 1e4)
    assert lane.length_cm(30.0, 0, 200, RATE) == pytest.approx(25 + 100 * RATE / 1e4)
    with pytest.raises(OutOfRangeError):
        lane.length_cm(30.0, 50, 10, RATE)
    assert len(lane.treated(Treatment(0, 0, 1, "x")).treatments) == 1


def lighten(fibre: Fibre, treatment: Treatment) -> Fibre:
    amount = float(str(treatment.what))
    return fibre.with_(progress=fibre.progress + amount, dose=fibre.dose * 2 + amount)


def test_evaluate_does_the_treatments_in_their_order() -> None:
    parts = segments([Treatment(20, 0, 4, "2"), Treatment(10, 0, 9, "1")], 20, RATE, 12.0)
    out = evaluate(natural(np.array([1.0]), 0.0065), parts, lighten)
    assert out.progress == pytest.approx([2.0, 3.0, 1.0, 0.0])
    assert out.dose == pytest.approx([2.0, 4.0, 1.0, 0.0])


def test_evaluate_wears_between_treatments_and_to_the_day() -> None:
    parts = segments([Treatment(0, 0, 99, "0"), Treatment(30, 0, 99, "0")], 50, 0.0, 10.0)

    def wear(fibre: Fibre, treatment: Treatment, days: float) -> Fibre:
        return fibre.with_(porosity=fibre.porosity + days * (1 if treatment.day else 100))

    out = evaluate(natural(np.array([1.0]), 0.0065), parts, lighten, day=50, wear=wear)
    assert out.porosity == pytest.approx([1 + 30 * 100 + 20])
    with pytest.raises(OutOfRangeError, match="day"):
        evaluate(natural(np.array([1.0]), 0.0065), parts, lighten, wear=wear)


def test_evaluate_takes_one_start_or_one_for_each() -> None:
    parts = segments([Treatment(0, 0, 2, "1")], 0, RATE, 5.0)
    out = evaluate(natural(np.array([1.0, 2.0]), 0.0065), parts, lighten)
    assert out.amount == pytest.approx([1.0, 2.0])
    with pytest.raises(OutOfRangeError):
        evaluate(natural(np.array([1.0, 2.0, 3.0]), 0.0065), parts, lighten)


@pytest.mark.parametrize("stretch", [(-1.0, 2.0), (3.0, 3.0), (5.0, 2.0), (math.nan, 2.0)])
def test_treatment_of_no_stretch_is_refused(stretch: tuple[float, float]) -> None:
    with pytest.raises(OutOfRangeError, match="cm"):
        Treatment(0, *stretch, "foil")


def test_segments_of_no_hair_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        segments([], 0, RATE, 0.0)
    with pytest.raises(OutOfRangeError):
        segments([], 0, -1.0, 5.0)


def test_growth_rates_there_and_back() -> None:
    assert rate_um_per_day(mm_per_month(RATE)) == pytest.approx(RATE)
    assert measured_rate(weeks_cm(RATE, 12), 84) == pytest.approx(RATE)
    with pytest.raises(OutOfRangeError, match="um/day"):
        measured_rate(30.0, 60)
    with pytest.raises(OutOfRangeError):
        measured_rate(3.0, 0)


def test_renewed_share_starts_at_nothing_and_never_passes_all() -> None:
    assert renewed_share(0) == 0.0
    assert 0.08 < renewed_share(84) < 0.12
    assert 0.22 < renewed_share(3 * 84) < 0.28
    assert renewed_share(1e6) <= 1.0
    with pytest.raises(OutOfRangeError):
        renewed_share(-1)
