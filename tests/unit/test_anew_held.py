"""What stands above a clock while a visit runs: a stop, a burn, a bowl too strong, the label."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.conftest import EXAMPLES, HEADS

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.jsonl import read_lines
from strandline.service.anew.assemble import plan_anew

PLACED = "10:25"
RINSED = "12:15"


@pytest.fixture(scope="module")
def facts():
    return list(read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8")).facts)


def of(facts, client):
    """Give the facts of a visit as if they were another client's."""
    return [
        replace(one, payload={**one.payload, "client": client})
        if one.kind == "visit.started"
        else one
        for one in facts
    ]


def fact(facts, kind, time, **payload):
    return replace(
        facts[0],
        id=f"more-{kind}-{time}",
        kind=kind,
        payload=payload,
        device_seq=900,
        device_time=f"2026-12-09T{time}Z",
    )


def told(rest):
    return " ".join(f"{step.what} {step.why} {step.caution}" for step in rest.steps)


def minutes(clock):
    hours, rest = clock.split(":")
    return int(hours) * 60 + int(rest)


@pytest.mark.parametrize("clock", ["09:40", PLACED, RINSED])
def test_a_plan_that_stops_stops_a_visit_too(made, facts, clock):
    plan = made("perpetua").plan
    rest = plan_anew(made("perpetua"), of(facts, plan.client), clock)
    assert rest.rinse_now
    assert "unknown or herbal colour" in rest.rinse_now
    assert [step.what for step in rest.steps] == [rest.rinse_now]
    assert rest.groups == []
    assert rest.gloss == []
    assert "ighten" not in told(rest).replace("lightener", "")


def test_hair_that_is_held_from_lightener_is_not_lightened_again(made, facts):
    plan = made("tamsin").plan
    rinsed = [one for one in of(facts, plan.client) if not one.kind.startswith("section.")]
    rest = plan_anew(made("tamsin"), rinsed, RINSED)
    assert "10 volume" not in told(rest)
    assert "do not lighten it again today" in told(rest)


@pytest.mark.parametrize("felt", ["burning", "pain", "heat"])
def test_what_hurts_is_all_that_is_told(made, facts, felt):
    rest = plan_anew(made("lorna"), [*facts, fact(facts, "felt", "09:24:58", what=felt)], PLACED)
    assert [step.what for step in rest.steps] == [rest.rinse_now]
    assert (rest.groups, rest.to_come, rest.added, rest.gloss) == ([], [], 0, [])
    assert "10 volume" not in " ".join(rest.cautions)


def test_hair_that_burned_is_not_lightened_again_the_same_day(made, facts):
    rest = plan_anew(made("lorna"), [*facts, fact(facts, "felt", "09:24:58", what="pain")], RINSED)
    assert "10 volume" not in told(rest)
    assert "do not lighten it again today" in told(rest)


@pytest.mark.parametrize("name", HEADS)
def test_every_head_has_a_rest_of_its_visit_or_words_why_not(made, facts, name):
    """Placed from its own map, foil by foil, in the bowls of the plan."""
    plan = made(name).plan
    begun = [one for one in of(facts, plan.client) if one.kind == "visit.started"]
    sections = dict.fromkeys(row.section for row in plan.foils[:20])
    placed = []
    for n, section in enumerate(sections):
        numbers = [row.number for row in plan.foils[:20] if row.section == section]
        begin = {"section": section, "first_foil": numbers[0]}
        placed += [
            fact(facts, "section.begun", f"08:{30 + 4 * n}:00", **begin),
            fact(facts, "section.placed", f"08:{33 + 4 * n}:00", last_foil=numbers[-1], **begin),
        ]
    known = [*begun, *placed]
    rest = plan_anew(made(name), known, "09:45")
    assert len(rest.placed) == len(plan.foils[:20])
    assert bool(rest.groups) == bool(plan.foils)
    assert bool(rest.rinse_now) == (plan.verdict == "stop")


def test_foils_of_a_plan_without_any_are_told(made, facts):
    plan = made("tamsin").plan
    with pytest.raises(OutOfRangeError, match="no foils"):
        plan_anew(made("tamsin"), of(facts, plan.client), PLACED)


def test_what_comes_out_at_once_takes_its_time(made, facts):
    """Forty foils and more take no less than a rinse; nothing is placed before it is done."""
    unwiped = [one for one in facts if one.kind != "wiped"]
    rest = plan_anew(made("lorna"), unwiped, "11:10")
    rinse = made("lorna").bench["minutes_rinse"]
    assert "at once" in rest.steps[0].what
    starts = [minutes(group.start) for group in rest.groups if group.state != "in"]
    assert all(start >= minutes("11:10") + rinse - 1 for start in starts)


def test_a_bowl_mixed_stronger_than_planned_is_told_and_runs_faster(made, facts):
    def poured(vol):
        return [
            replace(one, payload={**one.payload, "developer_vol": vol})
            if one.kind == "bowl.mixed" and one.payload["bowl"] == "main"
            else one
            for one in facts
        ]

    def due(known):
        groups = plan_anew(made("lorna"), known, "10:16").groups
        return next(g for g in groups if g.bowl == "main").due_low

    assert minutes(due(poured(40))) < minutes(due(facts)) < minutes(due(poured(10)))
    rest = plan_anew(made("lorna"), poured(40), "10:16")
    assert "40 volume" in told(rest)
    assert "40 volume" not in told(plan_anew(made("lorna"), facts, "10:16"))


def test_a_toner_that_is_on_is_not_told_again(made, facts):
    before = plan_anew(made("lorna"), facts, RINSED).gloss
    place = next(step.place for step in before if step.place.startswith("mids,"))
    on = fact(facts, "gloss.applied", "11:13:00", place=place, recipe="as planned")
    after = plan_anew(made("lorna"), [*facts, on], RINSED).gloss
    assert place not in [step.place for step in after]
    assert len(after) == len(before) - 1


def test_a_start_that_was_taken_back_does_not_count(made, facts):
    wrong = replace(facts[0], id="wrong", device_seq=0, device_time="2026-12-09T12:25:00Z")
    back = fact(facts, "taken.back", "08:26:00", fact="wrong")
    rest = plan_anew(made("lorna"), [wrong, back, *facts], PLACED)
    assert rest.now == plan_anew(made("lorna"), facts, PLACED).now
    assert rest.groups == plan_anew(made("lorna"), facts, PLACED).groups


def test_cautions_stand_at_the_foils_and_go_with_them(made, facts):
    placing = plan_anew(made("lorna"), facts, PLACED)
    burning = [step for step in placing.steps if "Burning" in step.caution]
    assert len(burning) == 1
    assert burning[0].what.startswith(("Wipe", "Rinse", "Check"))
    after = plan_anew(made("lorna"), facts, RINSED)
    assert "Burning" not in told(after)
    assert after.cautions == []
    assert "two rinses" not in told(after)


def test_an_ended_visit_is_not_planned(made, facts):
    ended = fact(facts, "visit.ended", "11:14:00", outcome="finished")
    with pytest.raises(OutOfRangeError, match="ended at 12:14"):
        plan_anew(made("lorna"), [*facts, ended], RINSED)


@pytest.mark.parametrize("clock", ["10", "10:25+05:00", "10:25:10", "T10:25"])
def test_a_time_is_hours_and_minutes(made, facts, clock):
    with pytest.raises(OutOfRangeError, match="no time of day"):
        plan_anew(made("lorna"), facts, clock)


def test_a_single_figure_of_the_hour_is_understood(made, facts):
    assert plan_anew(made("lorna"), facts, "9:30") == plan_anew(made("lorna"), facts, "09:30")


def test_the_command_looks_at_the_facts_before_it_plans(capsys, monkeypatch, tmp_path):
    from strandline.salon.cli.main import main
    from strandline.service.plan import assemble

    def never(*_, **__):
        raise AssertionError

    monkeypatch.setattr(assemble, "make_plan", never)
    lorna = str(EXAMPLES / "lorna.toml")
    assert main(["plan", lorna, "--facts", str(tmp_path / "none"), "--now", PLACED])
    assert "cannot be read" in capsys.readouterr().err
    facts = str(EXAMPLES / "lorna.visit.jsonl")
    assert main(["plan", lorna, "--facts", facts, "--now", "soon"])
    assert "no time of day" in capsys.readouterr().err
