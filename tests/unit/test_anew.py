"""The rest of a visit planned anew: late, brighter, stop, a bleed, a test that fails, burning."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact
from strandline.base.facts.jsonl import read_lines
from strandline.service.anew.assemble import plan_anew

PLACED = "10:25"
RINSED = "12:15"


@pytest.fixture(scope="module")
def facts():
    return list(read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8")).facts)


def fact(facts, kind, time, **payload):
    one = facts[0]
    return replace(
        one,
        id=f"more-{kind}-{time}",
        kind=kind,
        payload=payload,
        device_seq=900,
        device_time=f"2026-12-09T{time}Z",
    )


def unwiped(facts):
    """Give the facts as if she had not come to wipe."""
    return [one for one in facts if one.kind != "wiped"]


def said(rest):
    return " ".join(step.what for step in rest.steps)


def changed(facts, kind, **payload):
    """Give the facts with the payload of a kind changed."""
    return [
        replace(one, payload={**one.payload, **payload}) if one.kind == kind else one
        for one in facts
    ]


@pytest.mark.practice
def test_lorna_replayed_while_foils_are_in(made, facts):
    """8 to 10 side foils go, 2 to 4 front weaves come, the back is wiped, the bleed too."""
    rest = plan_anew(made("lorna"), facts, PLACED)
    assert len(rest.placed) == 52
    assert "Wipe foil 31 now" in said(rest)
    back = next(group for group in rest.groups if group.foils == "3-24")
    assert "Wipe foils 3-24 (centre strip) now" in said(rest)
    assert minutes(back.out) - minutes(PLACED) <= 1  # foil 31 is wiped before, half a minute
    assert 8 <= len(rest.dropped) <= 10
    sides = {row.number for row in made("lorna").plan.foils if row.section == "sides"}
    assert set(rest.dropped) <= sides
    assert 2 <= rest.added <= 4
    assert "floor" in said(rest)
    assert rest.finish <= rest.booked_until


@pytest.mark.practice
def test_lorna_replayed_after_the_rinse(made, facts):
    """The band only, 10 volume, 15 min; the spot dabbed; two toners."""
    rest = plan_anew(made("lorna"), facts, RINSED)
    assert "the band only: 10 volume, 15 min at most" in said(rest)
    assert "shadow shade, 3 to 5 min" in said(rest)
    assert len([step for step in rest.gloss if step.place.startswith("mids")]) == 2
    assert rest.groups == []
    assert rest.to_come == []


@pytest.mark.parametrize(
    "outcome, wanted, refused",
    [
        ("failed", "Tone the band of the crown deeper", "10 volume"),
        (None, "Stretch test first", ""),
    ],
)
def test_a_band_is_never_lightened_again_without_a_test_that_holds(
    made, facts, outcome, wanted, refused
):
    known = [one for one in facts if one.kind != "test.done"]
    if outcome:
        known = changed(facts, "test.done", outcome=outcome)
    rest = plan_anew(made("lorna"), known, RINSED)
    assert wanted in said(rest)
    assert not refused or refused not in said(rest)


def test_nothing_is_in_past_the_label(made, facts):
    label = made("lorna").consultation.shelf.lightener.label_max_min
    for clock in ("10:00", "10:15", PLACED, "10:27", "10:40", "11:00"):
        rest = plan_anew(made("lorna"), facts, clock)
        for group in rest.groups:
            assert minutes(group.out) <= minutes(group.latest) + 1
            assert minutes(group.latest) - minutes(group.start) <= label + 1


def test_what_is_past_its_label_comes_out_at_once(made, facts):
    rest = plan_anew(made("lorna"), unwiped(facts), "10:40")
    assert "at once" in rest.steps[0].what
    assert "label" in rest.steps[0].why


def test_burning_stands_above_every_clock(made, facts):
    rest = plan_anew(
        made("lorna"), [*facts, fact(facts, "felt", "09:24:58", what="burning")], PLACED
    )
    assert rest.rinse_now
    assert rest.steps[0].what == rest.rinse_now
    assert rest.learned == []


def test_stop_leaves_out_all_that_is_to_come(made, facts):
    stop = fact(facts, "changed", "09:24:55", what="stop")
    rest = plan_anew(made("lorna"), [*facts, stop], PLACED)
    assert rest.to_come == []
    assert rest.added == 0
    assert rest.groups


def test_darker_leaves_foils_out_and_adds_none(made, facts):
    darker = fact(facts, "changed", "09:24:55", what="darker")
    rest = plan_anew(made("lorna"), [*facts, darker], PLACED)
    assert rest.added == 0
    assert len(rest.dropped) >= 8


def test_a_helper_is_never_later(made, facts):
    helper = fact(facts, "changed", "09:24:55", what="helper")
    alone = plan_anew(made("lorna"), facts, PLACED)
    helped = plan_anew(made("lorna"), [*facts, helper], PLACED)
    assert len(helped.dropped) <= len(alone.dropped)
    assert helped.finish <= alone.booked_until


def test_dropped_foils_stay_dropped_and_are_kept(made, facts):
    dropped = fact(facts, "foil.dropped", "09:24:55", foils=[71, 72])
    rest = plan_anew(made("lorna"), [*facts, dropped], PLACED)
    assert not {71, 72} & {*rest.to_come, *rest.dropped}


def test_a_check_that_reads_slow_makes_the_clocks_later(made, facts):
    without = [one for one in facts if one.kind != "check.seen"]
    slow = fact(
        facts, "check.seen", "09:22:10", foil=30, stage=4, sureness="sure", band="old colour"
    )

    def due(known):
        groups = plan_anew(made("lorna"), known, PLACED).groups
        return next(g for g in groups if g.section == "fringe").due_low

    assert due([*without, slow]) > due(without)


def test_a_contradictory_check_widens(made, facts):
    without = [one for one in facts if one.kind != "check.seen"]

    def width(*stages):
        seen = [
            fact(facts, "check.seen", f"09:22:{10 + i}", foil=26 + i, stage=stage,
                 sureness="sure", band="old colour", dried=True)
            for i, stage in enumerate(stages)
        ]  # fmt: skip
        rest = plan_anew(made("lorna"), [*without, *seen], PLACED)
        factor = rest.learned[0].factor
        return factor.high / factor.low

    assert width(7, 3) > width(7, 7)


def test_a_fact_that_is_not_understood_is_kept_and_shown(made, facts):
    odd = fact(facts, "check.seen", "09:20:00", foil=3, stage=40, sureness="sure")
    rest = plan_anew(made("lorna"), [*facts, odd], PLACED)
    assert any("check.seen" in one for one in rest.kept)


def test_a_check_of_a_foil_not_placed_is_not_lost_and_teaches_nothing(made, facts):
    early = fact(facts, "check.seen", "09:20:00", foil=70, stage=8, sureness="sure")
    rest = plan_anew(made("lorna"), [*facts, early], PLACED)
    assert rest.checks == plan_anew(made("lorna"), facts, PLACED).checks


@pytest.mark.parametrize(
    "clock, message",
    [
        ("25:00", "no time of day"),
        ("soon", "no time of day"),
        ("08:00", "the visit began at 09:25"),
    ],
)
def test_a_time_that_cannot_be_is_told(made, facts, clock, message):
    with pytest.raises(OutOfRangeError, match=message):
        plan_anew(made("lorna"), facts, clock)


def test_facts_of_another_client_are_refused(made, facts):
    with pytest.raises(OutOfRangeError, match="the plan is for Noor"):
        plan_anew(made("noor"), facts, PLACED)


def test_no_facts_are_told(made):
    with pytest.raises(OutOfRangeError, match="no visit that has begun"):
        plan_anew(made("lorna"), [], PLACED)


def test_every_order_of_the_facts_gives_the_same(made, facts):
    there = plan_anew(made("lorna"), facts, PLACED)
    back = plan_anew(made("lorna"), list(reversed(facts)), PLACED)
    assert there == back


def test_the_command_prints_what_is_left(capsys):
    from strandline.salon.cli.main import main

    words = ["plan", str(EXAMPLES / "lorna.toml"), "--on", "2026-12-09",
             "--facts", str(EXAMPLES / "lorna.visit.jsonl"), "--now", PLACED]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "CLOCKS" in out
    assert "FINISH" in out
    assert max(map(len, out.splitlines())) <= 100
    assert main([*words, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["groups"]


@pytest.mark.parametrize("words", [("--now", "10:25"), ("--facts", "x.jsonl")])
def test_facts_and_time_go_together(capsys, words):
    from strandline.salon.cli.main import main

    assert main(["plan", str(EXAMPLES / "lorna.toml"), *words]) == 2
    assert "go together" in capsys.readouterr().err


def minutes(clock: str) -> int:
    hours, rest = clock.split(":")
    return int(hours) * 60 + int(rest)


def test_the_facts_file_is_read_whole():
    reading = read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8"))
    assert reading.unread == ()
    assert all(isinstance(one, Fact) for one in reading.facts)


def test_front_weaves_that_are_in_are_not_added_again(made, facts):
    rest = plan_anew(made("lorna"), facts, PLACED)
    assert rest.added > 0
    front = next(group for group in rest.groups if "front" in group.section)
    first, last = (int(number) for number in front.foils.split("-"))
    name = {"section": front.section, "first_foil": first}
    taps = [
        fact(facts, "section.begun", "09:20:00", **name),
        fact(facts, "section.placed", "09:24:00", **name, last_foil=last, bowl=front.bowl),
    ]
    after = plan_anew(made("lorna"), [*facts, *taps], PLACED)
    assert {first, last} <= set(after.placed)
    assert after.added == 0
    assert "Add " not in said(after)
