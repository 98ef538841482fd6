"""Clocks set anew: the inverse of the law of lift, the label, the stall."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import Rate, make_rate
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.belief import eta_of, prior
from strandline.service.learning.due import Z90, due_times, minutes_to
from strandline.service.learning.observation import wanted_progress
from strandline.service.learning.starting import row_of

ROW = row_of(old_colour=False, first_cm=False, stacked=False, developer_vol=20.0)[None, :]


def test_middle_is_the_minutes_of_the_law_of_lift():
    due = due_times(prior(), ROW, 2.5, 100.0)
    assert due.middle[0] == pytest.approx(make_rate(20.0, draws={}).minutes_to(2.5)[0], rel=1e-9)


def test_low_and_high_are_those_of_a_quick_and_a_slow_foil():
    mean, sd = eta_of(prior(), ROW)
    n = of_lift()["strength_exponent"].value
    due = due_times(prior(), ROW, 2.0, 500.0)
    for found, z in ((due.low, Z90), (due.high, -Z90)):
        whole = Rate(mean + z * sd, np.array([n])).minutes_to(2.0)
        assert found[0] == pytest.approx(whole[0], rel=1e-9)


def test_ninety_per_cent_point_is_that_of_any_table_of_the_normal_law():
    """1.2816, to half its last digit; from memory."""
    assert pytest.approx(1.2816, abs=5e-5) == Z90


def test_label_comes_first_and_says_so():
    due = due_times(prior(), np.tile(ROW, (2, 1)), [2.5, 2.5], [20.0, 100.0])
    assert due.label_first.tolist() == [True, False]
    assert due.middle[0] == due.high[0] == 20.0
    assert due.low[0] <= 20.0
    assert np.all(due.out <= [20.0, 100.0])


def test_stall_never_comes_and_comes_out_at_the_label():
    due = due_times(prior(), ROW, np.inf, 45.0)
    assert np.isinf([due.low[0], due.middle[0], due.high[0]]).all()
    assert due.label_first[0]
    assert due.out[0] == 45.0


def test_bowl_that_dries_first_is_held_by_the_label():
    due = due_times(prior(), ROW, 8.9, 60.0)
    assert due.middle[0] == 60.0
    assert np.isinf(minutes_to(np.array([-1.83]), np.array([8.9]))[0])


def test_foil_at_its_aim_is_due_at_once():
    due = due_times(prior(), ROW, 0.0, 45.0)
    assert (due.low[0], due.middle[0], due.high[0]) == (0.0, 0.0, 0.0)


def test_wanted_progress_of_start_path_and_stall():
    gained, stages = np.array([0.0, 1.0, 2.0, 9.0]), np.array([4.0, 6.0, 8.0, 8.0])
    found = [wanted_progress(aim, gained, stages) for aim in (3.0, 4.0, 7.0, 8.0, 8.1)]
    assert found == [0.0, 0.0, 1.5, 2.0, np.inf]


@pytest.mark.parametrize(
    ("wanted", "label", "words"),
    [(-0.1, 45.0, "progress"), (np.nan, 45.0, "progress"), (2.0, 0.0, "label"), (2.0, -5, "label")],
)
def test_what_is_no_aim_or_no_label_is_told(wanted, label, words):
    with pytest.raises(OutOfRangeError, match=words):
        due_times(prior(), ROW, wanted, label)


@pytest.mark.parametrize("label", [np.nan, np.inf])
def test_label_must_be_a_time(label):
    with pytest.raises(OutOfRangeError, match="label"):
        due_times(prior(), ROW, 2.0, label)
