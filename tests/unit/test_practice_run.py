"""The simulated practice: the same by seed, its clocks those of a plan, its coverage not absurd."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.practice_run import (
    LABEL_MIN,
    Run,
    log_rates,
    over,
    practices,
    run_practice,
)
from strandline.salon.evidence.practice_truth import (
    FOILS,
    LIGHTEST_AIM,
    MODEL,
    OUTSIDE,
    PRODUCTS,
    TURNING,
    draw_practice,
    draw_visit,
)
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.belief import prior
from strandline.service.learning.due import due_times, minutes_to
from strandline.service.learning.observation import LOWEST_SEEN, observed
from strandline.service.learning.starting import middle_of

SHORT = 40


@cache
def ran(world=MODEL, seed=1):
    return run_practice(np.random.default_rng(seed), world, SHORT)


@cache
def visits(world=MODEL, count=30):
    rng = np.random.default_rng(7)
    practice = draw_practice(rng, world)
    return practice, [draw_visit(rng, practice) for _ in range(count)]


@pytest.mark.parametrize(
    ("world", "capped"),
    [
        (MODEL, True),
        (MODEL, False),
        (OUTSIDE, True),
        (OUTSIDE, False),
        (TURNING, True),
        (TURNING, False),
    ],
)
def test_coverage_of_short_practices_is_not_absurd(world, capped):
    runs = tuple(ran(world, seed) for seed in (1, 2))
    share = over(runs, lambda run: run.coverage(capped=capped))[0]
    assert np.all((share[1:] > 0.6) & (share[1:] < 0.95))


@pytest.mark.parametrize(
    ("world", "low", "high"), [(MODEL, 0.75, 0.85), (OUTSIDE, 0.65, 1.0)], ids=["model", "outside"]
)
def test_intervals_of_whole_practices_hold_what_they_claim(world, low, high):
    """80 % intervals before and after checks, label set aside, in the mean of 12 practices."""
    runs = practices(world, 12)
    share = over(runs, lambda run: run.coverage(capped=False))[0]
    known_to = 0.02  # of a mean of 12 practices
    assert np.all((share[1:] > low - known_to) & (share[1:] < high + known_to))
    error = over(runs, Run.error)[0]
    assert error[3] < 0.5 * error[0]


def test_practice_is_the_same_by_seed_and_another_by_another():
    once = ran()
    again = run_practice(np.random.default_rng(1), MODEL, SHORT)
    assert np.array_equal(once.true, again.true)
    assert np.array_equal(once.due, again.due)
    assert once.taught == again.taught
    assert not np.array_equal(once.true, ran(seed=2).true)


def test_shapes_of_a_run_are_visits_then_knowledge_then_foils():
    run = ran()
    assert run.true.shape == (SHORT, FOILS)
    assert run.due.shape == (SHORT, 4, 3, FOILS)
    assert run.off.shape == run.sd.shape == (SHORT, 4, FOILS)
    assert np.all(run.due[:, :, 0] <= run.due[:, :, 1])
    assert np.all(run.due[:, :, 1] <= run.due[:, :, 2])


def test_checks_narrow_the_clock_and_lessen_its_error():
    run = ran()
    assert np.all(np.diff(run.width()) < 0)
    assert np.all(np.diff(run.error()) < 0)


def test_capped_clock_is_the_one_of_the_plan():
    """Cut at the label, the minutes of a run are those of `due_times`, bounds and middle."""
    for visit in visits()[1][:5]:
        mean, sd = log_rates(visit, prior())
        due = due_times(prior(), visit.rows, visit.wanted, LABEL_MIN, known=visit.known)
        for bound, z in ((due.low, 1.2815515655), (due.middle, 0.0), (due.high, -1.2815515655)):
            minutes = minutes_to(mean + z * sd, np.full(FOILS, visit.wanted))
            assert np.minimum(minutes, LABEL_MIN) == pytest.approx(bound, abs=1e-6)


def test_true_rate_with_no_deviation_is_the_mean_that_is_believed():
    practice, drawn = visits()
    for visit in drawn[:10]:
        known, z = of_lift(), practice.z
        rows = visit.rows
        shared = sum(
            known[name].spread * z[name] * rows[:, at]
            for name, at in (("old_colour", 3), ("warmth", 4), ("strength_exponent", 6))
        )
        product = known["product"].spread * practice.products[PRODUCTS.index(visit.product)]
        own = product + known["client"].spread * visit.head.z
        rest = visit.rate.eta - middle_of(rows) - visit.known - shared - own
        assert np.std(rest) == pytest.approx(known["foil"].spread, rel=0.5)  # foils of one day
        assert abs(np.mean(rest)) < 4 * known["day"].spread


def test_aims_lie_on_the_path_between_start_and_stall():
    for visit in visits()[1]:
        stages = visit.head.path[1]
        assert stages[0] + 1.0 <= visit.aim <= min(LIGHTEST_AIM, stages[-1])
        assert visit.aim * 2 == round(visit.aim * 2)
        assert 0 < visit.wanted < np.inf


def test_what_is_seen_is_called_in_halves_darker_when_wet():
    rng = np.random.default_rng(3)
    visit = next(one for one in visits()[1] if not one.head.ground.old_colour)
    wet = [visit.seen(rng, 5, 20.0).stage for _ in range(200)]
    dry = [visit.seen(rng, 5, 20.0, rinsed=True).stage for _ in range(200)]
    assert all(stage * 2 == round(stage * 2) for stage in (*wet, *dry))
    assert np.median(dry) > np.median(wet)


def test_darkest_call_says_no_more_than_at_most():
    rng = np.random.default_rng(3)
    visit = visits()[1][0]
    check = replace(visit.seen(rng, 5, 15.0), stage=LOWEST_SEEN)
    told = observed(check, 1.0)
    assert told.bound == -1
    assert told.slope == 0.0
    above = observed(replace(check, stage=LOWEST_SEEN + 0.5), 1.0)
    assert told.y < above.y


def test_worlds_outside_break_what_they_say_they_break():
    for world in (OUTSIDE, TURNING):
        practice, drawn = visits(world)
        assert all(np.allclose(one.rate.exponent, 1.2) for one in drawn)
        off = {round(one.bias - practice.bias, 6) for one in drawn}
        assert off == ({0.5} if world is OUTSIDE else {-0.5, 0.5})


def test_share_of_rates_inside_rises_with_what_is_claimed():
    share = ran().share_within(np.array([0.2, 0.5, 0.8, 0.95]))
    assert np.all(np.diff(share, axis=1) > 0)
    assert share.shape == (4, 4)


def test_product_leans_on_its_visits():
    run = ran()
    name, one = run.product_after(1)
    assert name in PRODUCTS
    assert one.sentence.startswith("One visit:")
    last = run.pooled.product(name)
    assert last.visits >= 1
    assert last.sd <= one.sd < one.prior_sd


def test_too_few_or_too_many_visits_are_refused():
    with pytest.raises(OutOfRangeError, match="at least 1"):
        run_practice(np.random.default_rng(1), MODEL, 0)
    with pytest.raises(OutOfRangeError, match="500 visits"):
        ran().product_after(500)


def test_figure_over_practices_has_mean_and_ends():
    figures = over((ran(seed=1), ran(seed=2)), Run.error)
    assert figures.shape == (3, 4)
    assert np.all(figures[1] <= figures[0])
    assert np.all(figures[0] <= figures[2])
