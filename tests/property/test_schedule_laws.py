"""The search for a head's timing against a slow, plain walk of every way, on invented heads."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plain_schedule import Oracle

from strandline.base.errors import UnreachableError
from strandline.service.schedule.blocks import Band, Block, Choice, Spot
from strandline.service.schedule.branch import Branches, below
from strandline.service.schedule.problem import Hands, Problem, Wishes
from strandline.service.schedule.result import timing_of
from strandline.service.schedule.rows import RINSE as RINSED
from strandline.service.schedule.rows import WIPE as WIPED
from strandline.service.schedule.rows import Head
from strandline.service.schedule.search import search
from strandline.service.schedule.walk import cost, look_up, place
from strandline.service.schedule.weigh import Done, weigh


def lift(vol, aim, rate, stall, label):
    """Give an invented curve: quick at first, then towards a stall; the law of lift has no part."""
    minutes = np.arange(0.0, 2 * label + 2)
    middle = 5.0 + (stall - 5.0) * (1 - np.exp(-rate * vol * minutes))
    reached = np.flatnonzero(middle >= aim)
    to_aim = float(minutes[reached[0]]) if reached.size else math.inf
    return Choice(vol, to_aim, minutes, middle - 0.4, middle, middle + 0.4, (vol / 20) ** 1.3)


@st.composite
def bands(draw, first):
    label = draw(st.sampled_from([6.0, 12.0, 18.5]))
    aim = draw(st.sampled_from([4.0, 6.0, 7.0, 8.0]))
    vols = draw(st.lists(st.sampled_from([5, 10, 12.5, 20]), min_size=1, max_size=3, unique=True))
    rate = draw(st.sampled_from([0.002, 0.006, 0.015]))
    stall = draw(st.sampled_from([7.5, 9.0]))
    return Band(
        "hair",
        aim,
        tuple(lift(vol, aim, rate, stall, label) for vol in vols),
        label,
        share=draw(st.sampled_from([0.3, 0.7])),
        after_min=(0.0,) if first else draw(st.sampled_from([(0.0,), (4.0,), (0.0, 3.0)])),
        harm_max=draw(st.sampled_from([math.inf, 8.0])),
    )


@st.composite
def kinds_of_hair(draw):
    """Give a stretch, now and then with another that is painted with it."""
    one = draw(bands(True))
    if draw(st.integers(0, 2)) == 0:
        aim, rate, label = draw(st.sampled_from([(6.0, 0.02, 12.0), (7.0, 0.001, 9.0)]))
        also = tuple(lift(c.vol, aim, rate, 8.0, label) for c in one.choices)
        one = replace(
            one, together=(Band("more", aim, also, label, share=0.25, ahead=draw(st.booleans())),)
        )
    return one


@st.composite
def heads(draw):
    kinds = [draw(kinds_of_hair()) for _ in range(2)]
    second = draw(bands(False))
    blocks, number = [], 1
    count = draw(st.integers(1, 3))
    for b in range(count):
        spots = []
        for _ in range(draw(st.integers(1, 5))):
            spots.append(
                Spot(number, draw(st.sampled_from([45, 60, 90])), draw(st.sampled_from([0.4, 0.9])))
            )
            number += 1
        hair = [draw(st.sampled_from(kinds))]
        if draw(st.integers(0, 3)) == 0:
            hair.append(second)
        section = draw(st.sampled_from(["back", "top"]))
        dry = draw(st.integers(0, 3)) > 0
        blocks.append(Block(f"block {b}", section, tuple(spots), tuple(hair), may_wipe=dry))
    hands = Hands(
        bowl=draw(st.sampled_from([0, 120, 180])),
        section=draw(st.sampled_from([0, 61])),
        wipe=draw(st.sampled_from([0, 27, 70])),
        rinse=draw(st.sampled_from([0, 150, 400])),
        second=20,
        bowl_foils=draw(st.sampled_from([2, 4, 27])),
        bowl_seconds=draw(st.sampled_from([120, 240, 1800])),
        helper=draw(st.booleans()),
        saving=0.22,
    )
    turned = tuple(reversed(range(count)))
    usual = tuple(range(count))
    return Problem(
        tuple(blocks),
        hands,
        orders=draw(st.sampled_from([(), (usual, turned)])),
        wishes=Wishes(
            draw(st.sampled_from([0.5, 2.0])),
            0.5,
            draw(st.sampled_from([0.4, 1.0])),
            draw(st.sampled_from([0.0, 0.3, 2.0])),
            draw(st.sampled_from([0.0, 0.5, 3.0])),
        ),
        most_strengths=draw(st.integers(1, 3)),
        most_wipes=draw(st.sampled_from([None, 0, 1])),
        rinses=draw(st.sampled_from([1, 1, 2])),
        one_run=draw(st.booleans()),
    )


@settings(deadline=None, max_examples=150)
@given(heads())
def test_the_search_finds_what_a_walk_of_every_way_finds(problem):
    wanted = Oracle(problem).best()
    if wanted is None:
        with pytest.raises(UnreachableError, match="strengths serve all blocks"):
            search(problem)
        return
    found = search(problem)
    assert found.proven
    assert tuple(found.value.tolist()) == wanted


@settings(deadline=None, max_examples=150)
@given(heads())
def test_two_rinses_are_the_best_two_minutes(problem):
    problem = replace(problem, rinses=2, most_wipes=0)
    wanted = Oracle(problem).best()
    if wanted is not None:
        assert tuple(search(problem).value.tolist()) == wanted


@settings(deadline=None, max_examples=150)
@given(heads())
def test_no_way_falls_below_a_bound_on_its_path(problem):
    """Every way is walked with nothing left out; the highest bound it met is kept with it."""
    head = Head(problem)
    branches = Branches(head, tuple(range(len(problem.blocks))))
    rows = branches.begin()
    for level, b in enumerate(branches.order):
        rows = branches.poured(level, rows, None)
        painted = place(head, rows, b, parts=branches.parts(level))
        rows = branches.parted(rows, b, painted)
        own = branches.bound(level, rows)
        rows.bound = np.where(below(rows.bound, own, head.alike)[:, None], own, rows.bound)
    if not len(rows):
        return
    look_up(head, rows, wait=True)
    first, last, values = branches.rinsed(rows)
    assert not np.any(below(values, rows.bound, head.alike))
    every = np.arange(len(rows))
    for b, span in enumerate(head.bands):
        wiped, later = rows.by[:, b] == WIPED, np.where(rows.by[:, b] == RINSED, last, first)
        outs = np.where(wiped, rows.out[:, b], later)
        done = np.where(
            wiped[:, None],
            cost(head, rows, b, every, outs, problem.hands.wipe),
            cost(head, rows, b, every, outs, 0),
        )
        for option in branches.options[b]:
            same = np.all(rows.row[:, span] == option.rows, axis=1)
            same &= np.all(rows.delay[:, span] == option.delays, axis=1)
            for each in np.unique(done[same], axis=0):
                assert tuple(each) >= tuple(option.least)


@settings(deadline=None, max_examples=60)
@given(heads())
def test_a_timing_weighed_by_its_minutes_has_the_value_of_the_search(problem):
    try:
        timing = timing_of(search(problem))
    except UnreachableError:
        return
    outs = {out.block: out for out in timing.outs}
    poured = iter(timing.poured)
    vols = {}
    for name in timing.order:
        block = next(b for b in problem.blocks if b.name == name)
        for band in block.bands:
            of_band = [next(poured) for _ in band.stretches]
            vols[name, id(band)] = of_band[0]
    done = [
        Done(
            foil,
            band,
            vols[block.name, id(band)].vol,
            outs[block.name].at_min
            + (problem.hands.wipe / 60 * i if outs[block.name].how == "wipe" else 0.0)
            - timing.clock.starts[foil.number]
            - vols[block.name, id(band)].after_min,
        )
        for name in timing.order
        for block in problem.blocks
        if block.name == name
        for i, foil in enumerate(block.foils)
        for band in block.bands
    ]
    value = weigh(problem, done, timing.clock.rinse)
    assert value.strengths == timing.value.strengths
    assert value[:4] == pytest.approx(timing.value[:4], rel=1e-9, abs=1e-9)


def test_near_a_hundred_thousand_ways_have_the_value_of_the_search():
    """Seven blocks, four strengths of which two at most, each wiped or rinsed: 97,280 ways."""
    hair = [
        Band("hair", aim, tuple(lift(v, aim, rate, 9.0, 12) for v in (5, 10, 15, 20)), 12.0)
        for aim, rate in ((7.0, 0.006), (7.5, 0.009))
    ]
    blocks = tuple(
        Block(f"block {b}", f"section {b // 3}", (Spot(b + 1, 80, 0.4 + b / 10),), (hair[b % 2],))
        for b in range(7)
    )
    hands = Hands(60, 40, 50, 300, 20, 4, 400)
    problem = Problem(blocks, hands, wishes=Wishes(1.5, 0.3, chair_dose=0.4))
    oracle = Oracle(problem)
    assert sum(1 for _ in oracle.all_ways()) == 97_280
    assert tuple(search(problem).value.tolist()) == oracle.best()


def value(problem):
    try:
        return timing_of(search(problem)).value
    except UnreachableError:
        return None


@settings(deadline=None, max_examples=40)
@given(heads())
def test_more_to_choose_from_is_never_worse(problem):
    least = value(problem)
    if least is None:
        return
    usual = tuple(range(len(problem.blocks)))
    for more in (
        replace(problem, most_strengths=problem.most_strengths + 1),
        replace(problem, most_wipes=None),
        replace(problem, rinses=2),
        replace(problem, orders=(*problem.run, usual, usual[::-1])),
    ):
        new = value(more)
        assert new[:3] <= least[:3]
        if new[:3] == least[:3]:
            assert new.burden < least.burden + problem.wishes.alike + 1e-6


@settings(deadline=None, max_examples=40)
@given(heads())
def test_what_is_written_down_is_what_its_value_says(problem):
    """Minutes past the label are counted anew from the clock that she is given."""
    try:
        timing = timing_of(search(problem))
    except UnreachableError:
        return
    late = 0.0
    outs = {out.block: out for out in timing.outs}
    for block in problem.blocks:
        out = outs[block.name]
        step = problem.hands.wipe / 60 if out.how == "wipe" else 0.0
        bands = [one for one in timing.poured if one.block == block.name]
        for i, foil in enumerate(block.foils):
            inside = out.at_min + step * i - timing.clock.starts[foil.number]
            stretches = iter(bands)
            for band in block.bands:
                past = []
                for stretch in band.stretches:
                    one = next(stretches)
                    harm = next(c.harm_per_min for c in stretch.choices if c.vol == one.vol)
                    longest = min(stretch.label_min, stretch.harm_max / harm)
                    past.append(inside - one.after_min - math.floor(60 * longest) / 60)
                late += max(0.0, *past)
    assert late == pytest.approx(timing.value.past_label, abs=1e-9)
    assert set(timing.bowls) == {one.vol for one in timing.poured}
    assert sum(timing.bowls.values()) == sum(timing.clock.bowls.values())
    numbers = [foil.number for block in problem.blocks for foil in block.foils]
    assert sorted(timing.clock.starts) == numbers
    assert sum(g.last - g.first + 1 for g in timing.clock.groups) == len(numbers)
    assert timing.clock.rinse >= max(out.at_min for out in timing.outs)
    burden = timing.dose + problem.wishes.chair_dose * timing.clock.rinse
    rounded = 0.5e-6 * (1 + 60 * timing.clock.rinse / Oracle(problem).whole)  # dose, and seconds
    assert timing.value.burden == pytest.approx(burden, rel=1e-12, abs=rounded)
    if timing.value.past_label == 0:
        assert all(group.out <= group.latest + 1e-9 for group in timing.clock.groups)
    else:
        assert "Do not work so" in timing.clock.notes[0]


@settings(deadline=None, max_examples=20)
@given(heads())
def test_twice_the_hair_is_timed_alike(problem):
    """Weights are means over the hair; her minutes are rounded to millionths a second and mg."""
    twice = replace(
        problem,
        blocks=tuple(
            replace(b, foils=tuple(replace(f, grams=2 * f.grams) for f in b.foils))
            for b in problem.blocks
        ),
    )
    least = value(problem)
    assert least is None or value(twice)[:4] == pytest.approx(least[:4], rel=1e-6)
