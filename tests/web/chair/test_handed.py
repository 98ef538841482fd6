"""What the chair is handed of every kind of plan."""

from __future__ import annotations

import json

import pytest

from strandline.salon.report.colours import stage_series
from strandline.salon.web.chair.made import chair_json
from strandline.service.formulate.misses import misses


@pytest.mark.parametrize("head", ["brona", "mirela", "perpetua", "tamsin"])
def test_each_kind_of_plan_is_handed_whole(made, head):
    plan, own = json.loads(chair_json(made(head))), made(head).plan
    foils = [n for s in plan["sections"] for n in range(s["first"], s["last"] + 1)]
    stopped = own.verdict == "stop"
    assert foils == ([] if stopped else [row.number for row in own.foils])
    assert len(plan["gloss"]) == len([g for g in own.gloss if g.place != "lowlights"])
    assert len(plan["cautions"]) == len(own.cautions)
    for section in plan["sections"]:
        assert section["bowl"] in plan["waits"]


def test_hair_painted_later_is_said_with_its_minutes(made):
    plan = json.loads(chair_json(made("brona")))
    later = plan["sections"][0]["later"]
    assert later
    assert all(one["after_min"] > 0 and one["bowl"] == "main" for one in later)


def test_the_stages_of_a_check_are_the_series_of_the_worksheet(made):
    handed = {s["stage"]: s for s in json.loads(chair_json(made("tamsin")))["stages"]}
    for stage, name, colour in stage_series():
        assert (handed[stage]["name"], handed[stage]["colour"]) == (name, colour)


@pytest.mark.parametrize("head", ["noor", "mirela"])
def test_the_words_for_a_miss_and_their_steps_are_the_ladders(made, head):
    plan, own = json.loads(chair_json(made(head))), made(head).plan
    if own.verdict == "stop":
        assert plan["misses"] == []
        return
    assert [one["said"] for one in plan["misses"]] == [one.said for one in misses().values()]
    handed = {
        (one["said"], place): [step["what"] for step in steps]
        for one in plan["misses"]
        for place, steps in one["back"].items()
    }
    assert handed == {
        (one.seen, one.place): [
            s.what for s in one.steps[1:] if s.name != "lighten again" or own.verdict == "go"
        ]
        for one in own.gloss_misses
    }
    turned = {one["said"]: one["turned"] for one in plan["misses"]}
    assert turned["too warm"] == "there"
    assert turned["too deep"] == "past"
