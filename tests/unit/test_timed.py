"""The invented heads handed to the search of their timing; common practice, no source."""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

import pytest

from strandline.base.errors import UnreachableError
from strandline.science.chemistry.developer import poured_strengths
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.timed import WEAKEST_VOL, problem_of_plan, strengths_tried
from strandline.service.schedule.result import timing_of
from strandline.service.schedule.search import search

EXAMPLES = Path(__file__).parents[2] / "examples"


def planned(name):
    path = EXAMPLES / f"{name}.toml"
    read = read_consultation(
        path.read_bytes(),
        path.name,
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=None,
        today=dt.date(2026, 11, 25),
    )
    return make_plan(read, read.visit.date)


def timed(name, *, helper=False):
    return timing_of(search(problem_of_plan(planned(name), helper=helper)))


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


def test_every_foil_of_lightener_is_timed_once():
    made = planned("junia")
    numbers = [
        f.number for block in problem_of_plan(made, helper=False).blocks for f in block.foils
    ]
    assert numbers == [f.number for f in made.foils if f.kind != "lowlight weave"]


def test_strengths_tried_can_be_poured_and_told_apart():
    tried = strengths_tried((5, 10, 20, 30))
    assert set(tried) <= set(poured_strengths((5, 10, 20, 30)))
    assert {10, 20, 30} <= set(tried)
    assert min(tried) >= WEAKEST_VOL
    assert all(b - a >= 1 for a, b in itertools.pairwise(tried))


def test_a_plan_without_lightener_is_told():
    with pytest.raises(UnreachableError, match="No lightener is planned"):
        problem_of_plan(planned("tamsin"), helper=False)
