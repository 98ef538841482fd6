"""Trims in the grow-out: against a head's history strand by strand, and what a cut takes away."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from tests.conftest import EXAMPLES
from tests.unit.test_growout_strands import STARTS, Y, cover, grown, plainly, strands

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.main import main
from strandline.salon.evidence.seeing import RATE_CM_PER_WEEK
from strandline.science.head.history import Lane
from strandline.service.growout.trims import Trims

RATE = RATE_CM_PER_WEEK
UM_PER_DAY = RATE * 10_000 / 7


def cut_strands(habit, count=200, length=8.0, until=26.0, **given):
    outline = np.full(count, length)
    cuts = habit.cuts(length, until, RATE)
    return strands(count, tip_cm=outline, outline_cm=outline, cuts=cuts, **given)


@pytest.mark.parametrize("habit", [Trims(4), Trims(8, 3.0), Trims(6, 0.5), Trims(5, 0.0)])
@pytest.mark.parametrize("week", [0.0, 3.9, 4.0, 11.0, 26.0])
def test_tips_are_those_of_a_heads_history(habit, week):
    hair = cut_strands(habit)
    tips = hair.in_week(week, week, RATE).edges(week, RATE)[1]
    for k in range(len(hair)):
        lane = Lane()
        for at, share in hair.cuts:
            lane = lane.trimmed(7 * at, 8.0 * share)
        expected = lane.length_cm(8.0, 0.0, 7 * week, UM_PER_DAY * hair.pace[k])
        assert tips[k] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("week", [0.0, 4.0, 16.0])
def test_what_is_counted_is_what_a_plain_loop_counts(week):
    shed = np.where(np.arange(200) % 3 == 0, 5.0, np.inf)
    outline = np.where(np.arange(200) % 2 == 0, 5.0, 20.0)
    cuts = Trims(4, 1.3).cuts(5.0, 26.0, RATE)
    hair = strands(200, tip_cm=outline, outline_cm=outline, cuts=cuts, shed_week=shed)
    cut = hair.in_week(week, week, RATE)
    found = cut.at(3, STARTS, Y, np.array([week]), RATE)[0]
    assert found == pytest.approx(plainly(cut, 3, week, RATE), abs=1e-9)


def test_a_cut_is_not_undone_by_a_new_cover():
    hair = cut_strands(Trims(6, 3.0))
    renewed = hair.in_week(12.0, 2.0, RATE).edges(2.0, RATE)[1]
    left = hair.in_week(12.0, 12.0, RATE).edges(12.0, RATE)[1]
    assert renewed == pytest.approx(left, abs=1e-9)


def test_long_hair_shows_the_same_line_whatever_its_ends_lose():
    classes, hair = cover(0.8, 1500, outline_cm=np.full(1500, 30.0), tip_cm=np.full(1500, 30.0))
    cut = dataclasses.replace(hair, cuts=Trims(8, 2.0).cuts(30.0, 16.0, RATE))
    for one, other in zip(grown(classes, hair).weeks, grown(classes, cut).weeks, strict=True):
        assert one.line == other.line


def test_short_hair_loses_the_colour_of_the_day_with_its_ends():
    hair = cut_strands(Trims(4), length=4.0)
    old = [
        one.at(3, STARTS, Y, np.array([20.0]), RATE)[0][..., 1:].sum()
        for one in (hair, hair.in_week(20.0, 20.0, RATE))
    ]
    assert RATE * 20 > 4.0, "by then what grew is longer than the hair"
    assert old[1] < 0.1 * old[0]
    classes, covered = cover(0.8, 1500, outline_cm=np.full(1500, 4.0), tip_cm=np.full(1500, 4.0))
    cut = dataclasses.replace(covered, cuts=Trims(4).cuts(4.0, 16.0, RATE))
    left, kept = (grown(classes, one).weeks[12] for one in (covered, cut))
    assert kept.lighter_than(6.0) > left.lighter_than(6.0)


def test_drawn_rates_are_read_as_each_would_be():
    outline = np.full(1500, 5.0)
    classes, hair = cover(0.8, 1500, outline_cm=outline, tip_cm=outline)
    rates = RATE * np.linspace(0.7, 1.3, 33)
    cuts = Trims(6, 1.5).cuts(5.0, 16.0, RATE)
    hair = dataclasses.replace(hair, cuts=cuts)
    found = grown(classes, hair, rate_draws=rates)
    a_millimetre = 25.0 * 0.1  # hair ends at a whole one; white on level 5 differs by some 25 dE
    for place in (0, 3, 16, 30, 32):
        rate = float(rates[place])
        own = grown(classes, hair, rate_draws=[rate])
        assert found.line_draws[place] == pytest.approx(own.line_draws[0], abs=a_millimetre)


@pytest.mark.parametrize(
    ("habit", "week", "left"),
    [
        (Trims(8, 3.0), 7.9, 30 + 7.9 * 0.25),
        (Trims(8, 3.0), 8.0, 30 + 2.0 - 3.0),
        (Trims(8, 3.0), 16.0, 30 + 4.0 - 6.0),
        (Trims(8), 16.0, 30.0),
        (Trims(8), 12.0, 31.0),
    ],
)
def test_length_is_what_was_there_and_grew_less_what_was_cut(habit, week, left):
    assert habit.length_cm(30.0, week, 0.25) == pytest.approx(left)


@pytest.mark.parametrize(("length", "least"), [(20.0, 2.0), (1.5, 1.5)])
def test_no_cut_leaves_less_than_a_head_of_hair(length, least):
    habit = Trims(4, 12.0)
    left = [one * length for _week, one in habit.cuts(length, 26.0, RATE)]
    assert left[1:] == pytest.approx([least] * 5)
    assert habit.length_cm(length, 26.0, RATE) == pytest.approx(least + 2 * RATE)


def test_a_habit_of_no_time_between_cuts_is_refused():
    with pytest.raises(OutOfRangeError, match="weeks must be above 0"):
        Trims(0.0, 1.0)


def written(tmp_path, more, name="noor"):
    text = (EXAMPLES / f"{name}.toml").read_text().replace("[hair]", f"[hair]\n{more}", 1)
    path = tmp_path / f"{name}.toml"
    path.write_text(text)
    (tmp_path / "practice.toml").write_bytes((EXAMPLES / "practice.toml").read_bytes())
    return str(path)


def test_the_command_tells_length_and_what_is_left(capsys, tmp_path):
    path = written(tmp_path, "trim_every_weeks = 8\ntrim_cm = 3")
    assert main(["growout", path, "--weeks", "0,8,16"]) == 0
    out = capsys.readouterr().out
    assert "Every 8 weeks 3 cm are trimmed off" in out
    row = next(line for line in out.splitlines() if line.startswith("Of today's hair"))
    assert row.split()[-3:] == ["30.0", "27.0", "24.0"]


def test_how_much_and_not_how_often_is_asked_back(capsys, tmp_path):
    assert main(["growout", written(tmp_path, "trim_cm = 3")]) == 2
    assert "Give hair.trim_every_weeks" in capsys.readouterr().err
