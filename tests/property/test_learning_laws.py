"""Laws of learning from checks, and how often its ranges hold on heads drawn from the prior."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from strandline.science.chemistry.lift import Rate, tau
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.belief import eta_of, prior
from strandline.service.learning.check import updated
from strandline.service.learning.due import Z90, due_times, minutes_to
from strandline.service.learning.observation import (
    Check,
    Observation,
    observed,
    wanted_progress,
)
from strandline.service.learning.starting import NAMES, WET, middle_of, row_of, spreads

GAINED = np.linspace(0.0, 9.0, 91)
STAGES = 4.2 + 6.4 * (1 - np.exp(-GAINED / 2.2))
PLAIN = row_of(old_colour=False, first_cm=False, stacked=False, developer_vol=20.0)
FOIL_SD = of_lift()["foil"].spread

rows = st.builds(
    row_of,
    old_colour=st.booleans(),
    first_cm=st.booleans(),
    stacked=st.booleans(),
    developer_vol=st.sampled_from([12.5, 20.0, 30.0]),
)
checks = st.builds(
    Check,
    foil=st.integers(1, 6),
    minutes=st.floats(8.0, 60.0),
    stage=st.floats(3.0, 10.5),
    sureness=st.sampled_from(["sure", "fair", "guess"]),
    row=rows,
    gained=st.just(GAINED),
    stages=st.just(STAGES),
    dried=st.sampled_from([True, False, None]),
    rinsed=st.booleans(),
)


def sd_of(belief, row=PLAIN):
    return float(eta_of(belief, row[None, :])[1][0])


def mean_of(belief, row=PLAIN):
    return float(eta_of(belief, row[None, :])[0][0])


def said(y, row=PLAIN, foil=1, slope=0.2, bound=0):
    return Observation(foil, 15.0, y, slope, 0.33, row, 1.0, bound)


@given(rows, rows, st.floats(0.0, 0.5))
def test_check_that_agrees_narrows(row, other, slope):
    before = prior()
    after = updated(before, [said(mean_of(before, row), row, slope=slope)])
    assert sd_of(after, row) < sd_of(before, row)
    assert sd_of(after, other) < sd_of(before, other)
    assert after.mean == pytest.approx(before.mean, abs=1e-12)


@given(rows, st.floats(3.0, 8.0), st.sampled_from([-1, 1]))
def test_check_that_contradicts_another_widens(row, far, way):
    first = said(mean_of(prior(), row), row)
    once = updated(prior(), [first])
    predicted = np.hypot(sd_of(once, row), first.sd)
    second = said(mean_of(once, row) + way * far * predicted, row, foil=2)
    agreed = said(mean_of(once, row), row, foil=2)
    both = updated(prior(), [first, second])
    assert sd_of(both, row) > sd_of(once, row)
    assert sd_of(both, row) > sd_of(updated(prior(), [first, agreed]), row)


@given(st.lists(checks, max_size=8), st.randoms(use_true_random=False))
def test_order_does_not_matter(told, shuffler):
    shuffled = list(told)
    shuffler.shuffle(shuffled)
    one, other = updated(prior(), told), updated(prior(), shuffled)
    assert np.array_equal(one.mean, other.mean)
    assert np.array_equal(one.cov, other.cov)


@given(st.lists(checks, max_size=4), st.floats(-5.0, 1.0), rows, st.sampled_from([-1, 1]))
def test_one_sided_check_never_pulls_the_wrong_way(told, y, row, bound):
    without = updated(prior(), told)
    after = updated(prior(), [*told, said(y, row, foil=99, slope=0.0, bound=bound)])
    moved = mean_of(after, row) - mean_of(without, row)
    assert bound * moved >= -1e-9


@given(rows, st.floats(-5.0, 1.0), st.sampled_from([-1, 1]))
def test_one_sided_check_that_is_kept_to_teaches_nothing(row, y, bound):
    before = prior()
    after = updated(before, [said(y, row, slope=0.0, bound=bound)])
    kept = bound * (y - mean_of(before, row)) <= 0
    assert np.array_equal(after.mean, before.mean) == kept
    assert np.array_equal(after.cov, before.cov) == kept


@given(
    st.lists(checks, max_size=6),
    st.lists(rows, min_size=1, max_size=5),
    st.floats(0.0, 9.0),
    st.floats(5.0, 90.0),
)
def test_never_past_the_label(told, some, wanted, label):
    due = due_times(updated(prior(), told), np.array(some), wanted, label)
    assert np.all(due.high <= label)
    assert np.all(due.out <= label)
    assert np.all((due.low <= due.middle) & (due.middle <= due.high))
    assert np.array_equal(due.label_first, due.middle >= label)


one_check = {
    "minutes": st.floats(8.0, 60.0),
    "sureness": st.sampled_from(["sure", "fair", "guess"]),
    "dried": st.booleans(),
    "row": rows,
}


def due_after(told, row):
    """Minutes to stage 9 of another plain foil, and of the checked one."""
    wanted, both = wanted_progress(9.0, GAINED, STAGES), np.array([PLAIN, row])
    return due_times(updated(prior(), told), both, wanted, 500.0, foils=[2, 1]).middle


def standing(seen):
    """How many predicted sd a check reads above what was believed."""
    one, before = observed(seen, prior().mean[WET]), prior()
    variance = one.full_row @ before.cov @ one.full_row + one.sd**2 + FOIL_SD**2
    return (one.reading - one.full_row @ before.mean) / np.sqrt(variance)


@given(st.floats(3.0, 10.5), st.fixed_dictionaries(one_check))
def test_reading_slower_than_believed_gives_later_due_times_and_a_quicker_one_earlier(stage, how):
    seen = Check(1, stage=stage, gained=GAINED, stages=STAGES, **how)
    later = due_after([seen], how["row"]) - due_after([], how["row"])
    assert np.all(later * np.sign(standing(seen)) <= 1e-9)


@given(st.floats(5.2, 10.5), st.floats(5.2, 10.5), st.fixed_dictionaries(one_check))
def test_slower_reading_gives_later_due_times(stage, other, how):
    """Of two that both lie within 2 sd of what was believed and a stage from the start.

    Farther off a reading counts in part as a slip; nearer to the start it leans on the wet bias.
    """
    pair = [Check(1, stage=s, gained=GAINED, stages=STAGES, **how) for s in sorted((stage, other))]
    assume(all(abs(standing(one)) <= 2.0 for one in pair))
    slow, quick = (due_after([one], how["row"]) for one in pair)
    assert np.all(slow >= quick - 1e-9)


@given(st.lists(checks, max_size=12))
def test_posterior_stays_a_covariance(told):
    belief = updated(prior(), told)
    assert np.all(np.diag(belief.cov) > 0)
    assert np.linalg.eigvalsh(belief.cov).min() > 0
    assert np.array_equal(belief.cov, belief.cov.T)
    foils = sorted({one.foil for one in told}) or [1]
    sd = eta_of(belief, np.tile(PLAIN, (len(foils), 1)), foils=foils)[1]
    assert np.all(sd > 0)


@given(st.floats(-0.8, 0.8), st.floats(0.2, 1.8))
def test_many_consistent_checks_find_the_truth(off, bias):
    """Readings without error at many minutes; stages between the edges alone."""
    eta = middle_of(PLAIN[None, :])[0] + off
    told = []
    for index, minutes in enumerate(np.linspace(10.0, 40.0, 60)):
        true = float(np.interp(np.exp(eta) * tau(minutes), GAINED, STAGES))
        for rinsed, stage in ((False, true - bias), (True, true)):
            if 4.6 < stage < 10.2 and true < 10.2:
                made = (100 * rinsed + index, minutes, stage, "sure", PLAIN, GAINED, STAGES)
                told.append(Check(*made, rinsed=rinsed))
    belief = updated(prior(), told)
    assert mean_of(belief) == pytest.approx(eta, abs=0.1)
    assert sd_of(belief) < 0.15
    assert belief.of("wet_bias")[0] == pytest.approx(bias, abs=0.35)


HEADS, AIM, LABEL = 2000, 9.0, 60.0


@cache
def drawn(*, dried, own, slips=False):
    """Heads from the prior with 0, 1, 2 checks at 15 and 21 min: true minutes, clocks (3, 3).

    The truth keeps its own exponent inside tau, which the belief does not; what is seen is called
    on the scale, to its ends. With slips an eye errs as the belief has it, by a Student law of 4
    degrees; without, by a normal one of the same scale.
    """
    rng = np.random.default_rng(20270225)
    wanted = wanted_progress(AIM, GAINED, STAGES)
    middle, n = middle_of(PLAIN[None, :])[0], of_lift()["strength_exponent"].value
    share = 0.5 if dried else 1.0
    etas, exponents, believed = [], [], []
    for _ in range(HEADS):
        exponent = -1.0
        while exponent < 0:  # the law of lift is for an exponent of 0 or more; below is 3.6 sd off
            theta = prior().mean + np.asarray(spreads()) * rng.standard_normal(len(NAMES))
            exponent = n + theta[NAMES.index("strength_exponent")]
        head, foils = middle + PLAIN @ theta, FOIL_SD * rng.standard_normal(3)
        told = []
        for index, minutes in enumerate((15.0, 21.0)):
            of = 0 if own else index + 1
            error = 0.33 * (rng.standard_t(4) if slips else rng.standard_normal())
            x = np.exp(head + foils[of] + error) * tau(minutes, n=exponent)
            seen = np.interp(x, GAINED, STAGES) - share * theta[WET]
            made = (of, minutes, float(np.clip(seen, 3.0, 10.5)), "fair", PLAIN, GAINED, STAGES)
            told.append(Check(*made, dried=dried))
        etas.append(head + foils[0])
        exponents.append(exponent)
        for count in range(3):
            mean, sd = eta_of(updated(prior(), told[:count]), PLAIN[None, :], foils=[0])
            believed.append(mean[0] + np.array([Z90, 0.0, -Z90]) * sd[0])
    true = Rate(np.array(etas), np.array(exponents)).minutes_to(wanted)
    flat = np.ravel(believed)
    return true, minutes_to(flat, np.full(flat.size, wanted)).reshape(HEADS, 3, 3)


def miss(true, clocks, most):
    """Mean absolute error of the log of minutes, both held at `most`."""
    both = np.minimum(clocks, most), np.minimum(true, most)
    return float(np.mean(np.abs(np.log(both[0] / both[1]))))


KINDS = [{"dried": d, "own": o} for d in (True, False) for o in (True, False)]
NAMED = ["pinched, own foil", "pinched, another", "wiped, own foil", "wiped, another"]


@pytest.mark.parametrize("count", [0, 1, 2])
@pytest.mark.parametrize("kind", KINDS, ids=NAMED)
def test_eighty_per_cent_range_holds_in_eighty_per_cent(kind, count):
    true, clocks = drawn(**kind, slips=True)
    held = (clocks[:, count, 0] <= true) & (true <= clocks[:, count, 2])
    assert 0.75 < held.mean() < 0.85


@pytest.mark.parametrize("kind", KINDS, ids=NAMED)
def test_two_checks_more_than_halve_the_error_of_the_due_time(kind):
    """Of the due time as it is set: never past the label's 60 min."""
    true, clocks = drawn(**kind)
    before, one, two = (miss(true, clocks[:, count, 1], LABEL) for count in range(3))
    assert two < one < before
    assert two < before / 2


@pytest.mark.xfail(
    strict=True,
    raises=AssertionError,
    reason="Whatever the label says, slow heads count in full: where the bowl dries a small error "
    "of the rate is a large one of the minutes, and two checks of other foils come to about .51.",
)
def test_two_checks_more_than_halve_the_error_of_minutes_that_no_label_ends():
    true, clocks = drawn(dried=True, own=False)
    ends = np.isfinite(true) & np.all(np.isfinite(clocks[:, :, 1]), axis=1)
    before, _, two = (miss(true[ends], clocks[ends, count, 1], np.inf) for count in range(3))
    assert two < before / 2
