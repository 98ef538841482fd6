"""What a check teaches, against numpy's conditioning of a normal law; and what is refused."""

from __future__ import annotations

import itertools
import time
from dataclasses import replace

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import LIFT_DRAWS, eta, tau
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning import starting
from strandline.service.learning.belief import Belief, eta_of, prior
from strandline.service.learning.check import Override, override_of, student_weight, updated
from strandline.service.learning.due import due_times
from strandline.service.learning.observation import Check, Observation, observed, wanted_progress
from strandline.service.learning.starting import NAMES, WET, known_of, row_of, spreads

GAINED = np.linspace(0.0, 9.0, 91)
STAGES = 4.2 + 6.4 * (1 - np.exp(-GAINED / 2.2))
PLAIN = row_of(old_colour=False, first_cm=False, stacked=False, developer_vol=20.0)
WARM = row_of(old_colour=False, first_cm=True, stacked=True, developer_vol=12.5)
OLD = row_of(old_colour=True, first_cm=False, stacked=False, developer_vol=30.0)


def check(foil=1, minutes=15.0, stage=6.5, sureness="fair", row=PLAIN, **more):
    return Check(foil, minutes, stage, sureness, row, GAINED, STAGES, **{"dried": True, **more})


SEVERAL = [
    check(1, 15.0, 6.0),
    check(2, 16.0, 7.0, "sure", WARM),
    check(1, 21.0, 7.5, "guess", dried=False),
    check(3, 20.0, 6.5, "fair", OLD, known=0.1),
    check(2, 22.0, 8.0, "sure", WARM, dried=None),
]


@pytest.fixture
def gaussian(monkeypatch):
    """Let nu run to infinity: every weight 1, no widening."""
    known = starting.constants()
    monkeypatch.setitem(known, "student_nu", replace(known["student_nu"], value=1e15))


def conditioned(belief, told, s2):
    """Numpy's generic conditioning of unknowns and foils' own rates together on all readings."""
    foils = sorted({one.foil for one in told})
    k = len(NAMES)
    h = np.zeros((len(told), k + len(foils)))
    for index, one in enumerate(told):
        h[index, :k] = one.full_row
        h[index, k + foils.index(one.foil)] = 1.0
    before = np.zeros((h.shape[1], h.shape[1]))
    before[:k, :k] = belief.cov
    before[k:, k:] = s2 * np.eye(len(foils))
    mean = np.append(belief.mean, np.zeros(len(foils)))
    noise = np.diag([one.sd**2 for one in told])
    gain = before @ h.T @ np.linalg.inv(h @ before @ h.T + noise)
    step = np.array([one.reading for one in told]) - h @ mean
    return mean + gain @ step, before - gain @ h @ before, foils


def test_posterior_is_the_conditioning_of_a_normal_law_for_nu_to_infinity(gaussian):
    belief, k = prior(), len(NAMES)
    told = [observed(one, 1.0) for one in SEVERAL]
    mean, cov, _ = conditioned(belief, told, of_lift()["foil"].spread ** 2)
    learnt = updated(belief, SEVERAL)
    assert learnt.mean == pytest.approx(mean[:k], abs=1e-9)
    assert learnt.cov == pytest.approx(cov[:k, :k], abs=1e-9)


def test_checked_foil_keeps_its_share_as_the_joint_conditioning_says(gaussian):
    belief = prior()
    told = [observed(one, 1.0) for one in SEVERAL]
    mean, cov, foils = conditioned(belief, told, of_lift()["foil"].spread ** 2)
    learnt = updated(belief, SEVERAL)
    rows = np.array([PLAIN, WARM, OLD])
    found, sd = eta_of(learnt, rows, known=[0.0, 0.0, 0.1], foils=[1, 2, 3])
    for index, row in enumerate(rows):
        whole = np.append(row, np.eye(len(foils))[index])
        middle = starting.middle_of(row[None, :])[0] + (0.1 if index == 2 else 0.0)
        assert found[index] == pytest.approx(middle + whole @ mean, abs=1e-9)
        assert sd[index] == pytest.approx(np.sqrt(whole @ cov @ whole), abs=1e-9)


def test_checked_foil_is_surer_than_its_neighbour():
    learnt = updated(prior(), [check(1), check(1, 21.0, 7.5)])
    _, sd = eta_of(learnt, np.array([PLAIN, PLAIN]), foils=[1, 2])
    assert sd[0] < sd[1]


def test_prior_of_the_rate_is_that_of_the_law_of_lift():
    draws = {name: np.array([1.0, -1.0]) for name in LIFT_DRAWS}
    for row, words in (
        (WARM, {"first_cm": True, "stacked": True, "developer_vol": 12.5}),
        (OLD, {"old_colour": True, "gray_under": 0.9, "developer_vol": 30.0}),
    ):
        parts = eta(draws=draws, **words)
        known = known_of(old_colour=row is OLD, gray_under=words.get("gray_under", 0.5))
        mean, sd = eta_of(prior(), row[None, :], known=known)
        assert mean[0] == pytest.approx(sum(part.mean() for part in parts.values()))
        squares = [part.std() ** 2 for name, part in parts.items() if name != "zone"]
        zone = 2 * of_lift()["warmth"].spread ** 2 if row is WARM else 0.0
        assert sd[0] ** 2 == pytest.approx(sum(squares) + zone)


def test_reading_is_the_log_of_progress_less_that_of_time():
    seen = check(stage=6.5)
    one = observed(seen, 1.0)
    x = np.interp(7.0, STAGES, GAINED)
    assert one.y == pytest.approx(np.log(x) - np.log(tau(15.0)))
    more = observed(seen, 1.02)
    assert (more.y - one.y) / 0.02 == pytest.approx(one.slope, rel=0.02)
    assert one.bound == 0


@pytest.mark.parametrize(("dried", "rinsed", "share"), [(True, False, 0.5), (False, True, 0.0)])
def test_pinch_halves_the_wet_bias_and_a_dry_result_has_none(dried, rinsed, share):
    wiped = observed(check(stage=7.5 - 1.0, dried=False), 1.0)
    other = observed(check(stage=7.5 - share, dried=dried, rinsed=rinsed), 1.0)
    assert other.y == pytest.approx(wiped.y)
    assert other.slope == pytest.approx(share * wiped.slope)


def test_dry_result_against_wet_checks_teaches_the_wet_bias():
    wet = [check(1, 15.0 + 3 * i, 5.5 + 0.4 * i, "sure", dried=False) for i in range(4)]
    dry = [check(1, 30.0, 9.2, "sure", rinsed=True)]
    mean, sd = updated(prior(), wet + dry).of("wet_bias")
    assert mean > 1.0
    assert sd < spreads()[WET]


@pytest.mark.parametrize(
    ("stage", "bound"), [(10.0, 1), (9.5, 0), (3.5, -1), (10.5, 1), (3.0, -1), (4.1, 0)]
)
def test_stall_and_start_are_one_sided(stage, bound):
    one = observed(check(stage=stage), 1.0)
    assert one.bound == bound
    assert (one.slope == 0.0) == (bound != 0)


def test_ground_without_room_teaches_nothing():
    white = replace(check(), gained=np.array([0.0, 9.0]), stages=np.array([9.6, 10.0]))
    assert observed(white, 1.0) is None
    learnt = updated(prior(), [white])
    assert learnt.mean == pytest.approx(prior().mean)
    assert learnt.cov == pytest.approx(prior().cov)


def test_surer_check_is_worth_more():
    sds = [
        eta_of(updated(prior(), [check(sureness=how)]), PLAIN[None, :])[1][0]
        for how in ("sure", "fair", "guess")
    ]
    assert sds == sorted(sds)


def test_weight_is_students():
    """(nu + 1)/(nu + r^2): at nu 4, 5/4 at the middle, 1 at r 1, 1/4 at r 4."""
    assert [student_weight(r, 4.0) for r in (0.0, 1.0, 4.0)] == pytest.approx([1.25, 1.0, 0.25])


def test_every_order_gives_the_same_to_the_last_bit():
    first = updated(prior(), SEVERAL)
    for order in itertools.permutations(SEVERAL):
        again = updated(prior(), list(order))
        assert np.array_equal(first.mean, again.mean)
        assert np.array_equal(first.cov, again.cov)
        assert [own.reading for own in first.own] == [own.reading for own in again.own]


@pytest.mark.parametrize("felt", ["burning", "pain", "heat", "harm", "swelling", ""])
def test_what_hurts_overrides_even_a_check_that_is_none(felt):
    answer = updated(prior(), [check(minutes=-5.0)], ("itch", felt))
    assert isinstance(answer, Override)
    assert answer.felt == (felt,)
    assert answer.says.startswith("Rinse now, whatever any clock says")


def test_an_itch_alone_overrides_nothing():
    assert override_of(("itch",)) is None
    assert isinstance(updated(prior(), [check()], ("itch",)), Belief)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"minutes": -4.0}, "checked -4 min after its own start"),
        ({"minutes": 0.0}, "must be above 0"),
        ({"minutes": np.nan}, "must be above 0"),
        ({"minutes": np.inf}, "must be above 0"),
        ({"stage": 2.5}, "it must be 3-10.5"),
        ({"stage": 11.0}, "it must be 3-10.5"),
        ({"stage": np.nan}, "it must be 3-10.5"),
        ({"sureness": "certain"}, "'certain'"),
        ({"stages": STAGES[::-1]}, "rise"),
        ({"stages": STAGES[1:]}, "of one length"),
        ({"gained": GAINED + 1.0}, "begin at no progress"),
        ({"stages": np.full(91, np.nan)}, "rise"),
        ({"row": PLAIN[1:]}, "must be 8 numbers"),
        ({"known": np.nan}, "no number"),
    ],
)
def test_check_that_cannot_be_is_told(change, words):
    with pytest.raises(OutOfRangeError, match=words) as told:
        updated(prior(), [replace(check(), **change)])
    assert told.value.do


def test_check_before_the_foils_start_says_what_to_do():
    with pytest.raises(OutOfRangeError) as told:
        updated(prior(), [check(minutes=-4.0)])
    assert "before a foil's start" in told.value.do


def test_belief_that_has_learned_does_not_learn_again():
    once = updated(prior(), [check()])
    with pytest.raises(OutOfRangeError, match="already"):
        updated(once, [check()])


def test_no_belief_is_told():
    good = prior()
    for change in (
        {"names": NAMES[::-1]},
        {"mean": good.mean[1:]},
        {"cov": -good.cov},
        {"mean": good.mean * np.nan},
    ):
        with pytest.raises(OutOfRangeError, match="belief"):
            replace(good, **change)
    with pytest.raises(OutOfRangeError, match="no unknown"):
        good.of("weather")


def test_rows_that_do_not_fit_are_told():
    with pytest.raises(OutOfRangeError, match="rows"):
        eta_of(prior(), PLAIN)
    with pytest.raises(OutOfRangeError, match="one a row"):
        eta_of(prior(), PLAIN[None, :], foils=[1, 2])
    with pytest.raises(OutOfRangeError, match="volume"):
        row_of(old_colour=False, first_cm=False, stacked=False, developer_vol=41.0)
    with pytest.raises(OutOfRangeError, match="gray"):
        known_of(old_colour=True, gray_under=1.1)
    with pytest.raises(OutOfRangeError, match="sd of 0"):
        Observation(1, 15.0, -1.8, 0.0, 0.0, PLAIN, 1.0)


def test_ninety_foils_and_twelve_checks_are_quick():
    checks = [check(i % 9, 12.0 + i, 6.0 + 0.2 * i) for i in range(12)]
    rows = np.tile(PLAIN, (90, 1))
    wanted = wanted_progress(9.0, GAINED, STAGES)

    def once():
        began = time.perf_counter()
        due_times(updated(prior(), checks), rows, wanted, 50.0, foils=range(90))
        return time.perf_counter() - began

    assert min(once() for _ in range(5)) < 0.05
