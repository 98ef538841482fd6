"""The running list of a visit: every group placed, looked at and out, in its minutes."""

from __future__ import annotations

import pytest

from strandline.salon.report.worksheet_run import running_list

HEADS = ("noor", "lorna", "junia", "ilse", "brona", "mirela")


@pytest.mark.parametrize("name", HEADS)
def test_every_group_is_placed_looked_at_and_comes_out(made, name):
    plan = made(name).plan
    run = running_list(plan)
    minutes = [float(one["at"]) for one in run]
    assert minutes == sorted(minutes)
    said = [one["what"] for one in run]
    for group in plan.clock.groups:
        foils = group.foils.replace("-", "–")
        assert sum(what.startswith(f"place {foils},") for what in said) == 1
        assert said.count(f"look at {foils}") == 1
        assert said.count(f"wipe {foils}") == (group.how == "wipe")
    assert sum(what.startswith("rinse") and "gloss" not in what for what in said) == 1
    assert said[-1] == "done"
    assert run[-1]["at"] == f"{plan.clock.end_min:g}"


def test_what_takes_hair_out_is_marked(made):
    for one in running_list(made("lorna").plan):
        assert one["out"] == (
            one["what"].startswith(("wipe", "rinse ")) and "gloss" not in one["what"]
        )


def test_a_section_is_told_in_her_words_the_first_time(made):
    said = [one["what"] for one in running_list(made("noor").plan)]
    assert sum("client turned: fringe" in what for what in said) == 1
    assert sum("from nape to fringe in one go" in what for what in said) == 1
    assert any("weak bowl" in what for what in said)


@pytest.mark.parametrize("name", ["tamsin", "perpetua"])
def test_a_visit_without_foils_has_no_such_list(made, name):
    assert running_list(made(name).plan) == []
