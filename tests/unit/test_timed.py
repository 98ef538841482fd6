"""The invented heads handed to the search of their timing; common practice, no source."""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

import pytest

from strandline.base.errors import UnreachableError
from strandline.base.facts.jsonl import read_lines
from strandline.science.chemistry.developer import poured_strengths
from strandline.service.anew.assemble import plan_anew
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.compared import compare
from strandline.service.plan.timed import WEAKEST_VOL, strengths_tried

EXAMPLES = Path(__file__).parents[2] / "examples"


def planned(name, *, searched=False):
    path = EXAMPLES / f"{name}.toml"
    read = read_consultation(
        path.read_bytes(),
        path.name,
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=None,
        today=dt.date(2026, 11, 25),
    )
    return make_plan(read, read.visit.date, timed=searched)


def timed(name, *, helper=False):
    return compare(planned(name), helper=helper).timed.timing


@pytest.mark.parametrize("name", ["ilse", "lorna"])
def test_placing_longer_than_the_window_starts_with_a_weaker_bowl(name):
    timing = timed(name)
    vols = [one.vol for one in timing.poured]
    assert timing.proven
    assert timing.clock.placed > 60
    assert vols == sorted(vols)
    assert vols[0] < vols[-1]


def test_a_helper_brings_all_foils_of_a_heavy_head_to_their_aim():
    alone, helped = timed("lorna"), timed("lorna", helper=True)
    assert not alone.value.meets
    assert helped.value.meets
    assert helped.chair_min < alone.chair_min


def test_old_dark_colour_gets_no_less_than_its_regrowth():
    timing = timed("brona")
    olds = [one for one in timing.poured if one.band.startswith("old colour")]
    roots = [one for one in timing.poured if one.band == "regrowth"]
    assert len(olds) == len(roots) > 0
    assert all(old.vol >= root.vol for old, root in zip(olds, roots, strict=True))
    assert any(old.vol > root.vol for old, root in zip(olds, roots, strict=True))


def test_every_foil_is_timed_once():
    made = planned("junia")
    problem = compare(made, helper=False).problem
    numbers = [f.number for block in problem.blocks for f in block.foils]
    assert numbers == [f.number for f in made.foils]


def test_strengths_tried_can_be_poured_and_told_apart():
    tried = strengths_tried((5, 10, 20, 30))
    assert set(tried) <= set(poured_strengths((5, 10, 20, 30)))
    assert {10, 20, 30} <= set(tried)
    assert min(tried) >= WEAKEST_VOL
    assert all(b - a >= 2.5 for a, b in itertools.pairwise(tried))


@pytest.mark.parametrize("name", ["ilse", "lorna", "junia", "noor"])
def test_a_strength_that_was_left_is_not_taken_up_again(name):
    runs = [vol for vol, _ in itertools.groupby(one.vol for one in timed(name).poured)]
    assert len(runs) == len(set(runs)) <= 3


def test_strengths_tried_are_of_the_simplest_parts():
    assert strengths_tried((20, 5)) == [10, 12.5, 15, 20]
    assert strengths_tried((5, 10, 20, 30))[:5] == [10, 12.5, 15, 17.5, 20]


def test_a_plan_without_lightener_is_told():
    with pytest.raises(UnreachableError, match="No lightener is planned"):
        compare(planned("tamsin"), helper=False)


@pytest.mark.parametrize("name", ["ilse", "lorna", "junia", "noor"])
def test_a_plan_may_be_set_by_the_search(name):
    made = planned(name, searched=True)
    compared = compare(made, helper=False)
    best = compared.timed.timing.value
    assert "the best that the search of timings found" in made.plan.technique_reasons[-1]
    assert compared.own.value[:4] == pytest.approx(best[:4], abs=0.02)
    assert compared.own_is_as_good
    assert len(made.plan.foils) == sum(len(block.foils) for block in compared.problem.blocks)
    label = made.asked.label_max_min
    for group in made.plan.clock.groups:
        assert group.out_min - group.start_min <= label + 1
    named = {bowl.name for bowl in made.plan.bowls}
    assert {row.bowl for row in made.plan.foils} - {"lowlight"} == named


def test_lightest_hair_is_no_nearer_its_aim_by_her_rule_than_by_the_search():
    rule, found = (compare(planned("lorna", searched=one), helper=False) for one in (False, True))
    assert found.own.value.short < 0.2 * rule.own.value.short


@pytest.mark.parametrize(
    ("name", "said"), [("brona", "stays with her rule"), ("tamsin", "no foils of lightener")]
)
def test_where_nothing_is_searched_the_plan_says_so(name, said):
    usual, asked = planned(name), planned(name, searched=True)
    assert said in asked.plan.technique_reasons[-1]
    assert asked.plan.strengths == usual.plan.strengths
    assert asked.plan.clock == usual.plan.clock


def test_a_visit_of_a_searched_plan_goes_on_with_its_bowls():
    made = planned("lorna", searched=True)
    facts = read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8")).facts
    rest = plan_anew(made, list(facts), "10:25")
    assert {group.bowl for group in rest.groups} <= {"weak", "main"}
    assert any("was mixed with 12.5 volume; planned is 17.5" in step.what for step in rest.steps)
