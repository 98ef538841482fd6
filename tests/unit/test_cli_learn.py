"""`strandline learn` and what a plan makes of it, on the invented practice."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from strandline.base.facts.jsonl import read_lines
from strandline.salon.cli import main as command_line
from strandline.salon.cli.learn import read_kept
from strandline.service.anew.taught import taught_of
from strandline.service.plan.learned import with_pace
from strandline.service.practice.bench import default_bench

EXAMPLES = Path(__file__).parents[2] / "examples"
LORNA = str(EXAMPLES / "lorna.toml")
FACTS = str(EXAMPLES / "lorna.visit.jsonl")


def run(capsys, *words):
    code = command_line.main(list(words))
    out, err = capsys.readouterr()
    return code, out, err


def given(capsys, *words):
    code, out, err = run(capsys, *words, "--json")
    assert code == 0, err
    return json.loads(out)


def visit(tmp_path, number, *, sooner=0):
    """Write Lorna's visit under another name, its checks a stage higher or lower."""
    lines = []
    for line in Path(FACTS).read_text().splitlines():
        fact = json.loads(line)
        fact["stream"] = f"v-{number}"
        fact["id"] = f"{number}-{fact['id']}"
        if fact["kind"] == "check.seen":
            fact["payload"]["stage"] += sooner
        lines.append(json.dumps(fact))
    path = tmp_path / f"visit-{number}.jsonl"
    path.write_text("\n".join(lines) + "\n")
    return str(path)


def test_a_plan_says_when_its_lightener_has_no_visit(capsys):
    plan = given(capsys, "plan", LORNA)
    product = plan["leans_on"][0]
    assert product["visits"] == 0
    assert product["own_percent"] == 0
    assert "what is usual" in product["words"]
    _, out, _ = run(capsys, "plan", LORNA)
    assert "what is usual" in out


def test_a_plan_without_lightener_leans_on_none(capsys):
    assert given(capsys, "plan", str(EXAMPLES / "tamsin.toml"))["leans_on"] == []


def test_visits_are_kept_once_each_and_narrow_the_plan(capsys, tmp_path):
    kept = str(tmp_path / "kept.json")
    before = given(capsys, "plan", LORNA)
    for number in (1, 2, 3, 3):
        learned = given(capsys, "learn", LORNA, "--facts", visit(tmp_path, number), "--kept", kept)
    assert learned["visits"] == 3
    assert learned["products"][0]["visits"] == 3
    plan = given(capsys, "plan", LORNA, "--learned", kept)
    product = plan["leans_on"][0]
    assert product["visits"] == 3
    assert 40 <= product["own_percent"] < 95
    for old, new in zip(before["strengths"], plan["strengths"], strict=True):
        wide, narrow = (
            s["stage_when_due"]["high"] - s["stage_when_due"]["low"] for s in (old, new)
        )
        assert narrow < wide


def test_three_visits_lean_on_what_they_began_with_and_sixty_stand_alone(capsys, tmp_path):
    kept = tmp_path / "kept.json"
    for number in range(3):
        given(capsys, "learn", LORNA, "--facts", visit(tmp_path, number), "--kept", str(kept))
    three = given(capsys, "learn", "--kept", str(kept))["products"][0]
    data = json.loads(kept.read_text())
    many = [
        {**one, "name": f"{one['name']}-{i}", "client": f"client {i}-{k}"}
        for i in range(20)
        for k, one in enumerate(data["visits"])
    ]
    kept.write_text(json.dumps({**data, "visits": many}))
    sixty = given(capsys, "learn", "--kept", str(kept))["products"][0]
    assert (three["visits"], sixty["visits"]) == (3, 60)
    assert three["own_percent"] + 10 < sixty["own_percent"]
    assert sixty["sd"] < three["sd"]


@pytest.mark.parametrize("sooner", [-1, 1])
def test_hair_seen_lighter_at_its_checks_is_planned_shorter(capsys, tmp_path, sooner):
    kept = str(tmp_path / "kept.json")
    given(capsys, "learn", LORNA, "--facts", visit(tmp_path, 1), "--kept", kept)
    usual = given(capsys, "plan", LORNA, "--learned", kept)["strengths"][-1]["due_min"]
    given(capsys, "learn", LORNA, "--facts", visit(tmp_path, 1, sooner=sooner), "--kept", kept)
    changed = given(capsys, "plan", LORNA, "--learned", kept)["strengths"][-1]["due_min"]
    assert (changed - usual) * sooner < 0


def test_her_pace_is_learned_but_her_own_value_stands(capsys, tmp_path):
    kept = str(tmp_path / "kept.json")
    learned = given(capsys, "learn", LORNA, "--facts", FACTS, "--kept", kept)
    pace = {one["name"]: one for one in learned["pace"]}
    assert pace["slice"]["visits"] == 1
    assert pace["tip-out"]["visits"] == 0
    usual = given(capsys, "plan", LORNA)["clock"]["placed_min"]
    hers = given(capsys, "plan", LORNA, "--learned", kept)["clock"]["placed_min"]
    assert hers != usual
    pooled = read_kept(Path(kept)).pooled()
    bench = with_pace(default_bench(), pooled)
    assert bench["seconds_slice"] == round(pooled.seconds("slice"), 1) < 60
    assert bench["seconds_tip_out"] == default_bench()["seconds_tip_out"]
    own = with_pace(default_bench().with_own({"seconds_slice": 62.0}), pooled)
    assert own["seconds_slice"] == 62.0
    assert with_pace(default_bench(), None) == default_bench()


def test_the_timing_and_the_rest_of_a_visit_read_it_too(capsys, tmp_path):
    kept = str(tmp_path / "kept.json")
    given(capsys, "learn", LORNA, "--facts", visit(tmp_path, 1, sooner=1), "--kept", kept)
    minutes = [
        given(capsys, "timing", LORNA, *more)["best"]["poured"][-1]["minutes_to_aim"]
        for more in ((), ("--learned", kept))
    ]
    assert minutes[1] < minutes[0]
    dues = [
        given(capsys, "plan", LORNA, "--facts", FACTS, "--now", "10:05", *more)["groups"][0]
        for more in ((), ("--learned", kept))
    ]
    assert dues[0] != dues[1]


def test_dry_results_teach_unless_a_foil_was_in_past_its_label(made):
    facts = list(read_lines(Path(FACTS).read_text()).facts)
    taught = taught_of(made("lorna"), facts)[1]
    dry = [one for one in taught.observations if one.slope == 0 and one.bound == 0]
    assert len(taught.observations) == 6
    assert len(dry) >= 2
    untapped = [fact for fact in facts if fact.kind != "wiped"]  # and so in for hours, it seems
    assert len(taught_of(made("lorna"), untapped)[1].observations) == 3


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("learn", LORNA, "--kept", "{kept}"), "consultation and its facts"),
        (("learn", "--kept", "{kept}"), "cannot be read"),
        (("learn", str(EXAMPLES / "noor.toml"), "--facts", FACTS, "--kept", "{kept}"), "are of"),
        (("plan", LORNA, "--learned", FACTS), "no JSON"),
        (("plan", LORNA, "--learned", "{kept}"), "cannot be read"),
    ],
)
def test_bad_input_is_two_sentences_and_keeps_nothing(capsys, tmp_path, words, said):
    kept = tmp_path / "kept.json"
    code, out, err = run(capsys, *(word.format(kept=kept) for word in words))
    assert code == 2
    assert out == ""
    assert said in err
    assert not kept.exists()


def broken(tmp_path):
    """Write Lorna's visit with its checks cut short."""
    lines = [
        line[:-40] if "check.seen" in line else line
        for line in Path(FACTS).read_text().splitlines()
    ]
    path = tmp_path / "broken.jsonl"
    path.write_text("\n".join(lines) + "\n")
    return str(path)


def test_a_file_that_tells_less_does_not_take_the_place_of_more(capsys, tmp_path):
    kept = tmp_path / "kept.json"
    words = ("learn", LORNA, "--kept", str(kept), "--facts")
    given(capsys, *words, FACTS)
    before = kept.read_text()
    code, _, err = run(capsys, *words, broken(tmp_path))
    assert code == 2
    assert "3 of its lines could not be read" in err
    assert kept.read_text() == before
    replaced = given(capsys, *words, broken(tmp_path), "--replace")
    assert replaced["lines_not_read"] == 3


def test_a_visit_that_teaches_nothing_is_told(capsys, tmp_path):
    alone = tmp_path / "alone.jsonl"
    alone.write_text(Path(FACTS).read_text().splitlines()[0] + "\n")
    kept = tmp_path / "kept.json"
    code, _, err = run(capsys, "learn", LORNA, "--facts", str(alone), "--kept", str(kept))
    assert code == 2
    assert "teaches nothing" in err
    assert not kept.exists()


def test_a_visit_under_way_does_not_count_twice(capsys, tmp_path):
    kept = str(tmp_path / "kept.json")
    given(capsys, "learn", LORNA, "--facts", FACTS, "--kept", kept)
    words = ("plan", LORNA, "--facts", FACTS, "--now", "10:25")
    assert given(capsys, *words) == given(capsys, *words, "--learned", kept)


def test_a_bowl_recorded_by_another_name_tells_its_strength(made):
    facts = list(read_lines(Path(FACTS).read_text()).facts)

    def named(fact):
        if fact.payload.get("bowl") != "weak":
            return fact
        return replace(fact, payload={**fact.payload, "bowl": "the first"})

    plain, renamed = (
        taught_of(made("lorna"), some)[1] for some in (facts, list(map(named, facts)))
    )
    rows = [[one.row.tolist() for one in taught.observations] for taught in (plain, renamed)]
    assert rows[0] == rows[1]


@pytest.mark.parametrize(
    "edit",
    [
        lambda text: text.replace('"sd": 0', '"sd": 9e299', 1),
        lambda text: text.replace('"foil": 5', '"foil": Infinity', 1),
        lambda text: text.replace('"product": "white powder"', '"product": ["a"]'),
        lambda text: "[" * 100_000,
        lambda text: text.replace('"foil": 5', '"foil": ' + "9" * 5000, 1),
    ],
)
def test_a_damaged_record_is_two_sentences(capsys, tmp_path, edit):
    kept = tmp_path / "kept.json"
    given(capsys, "learn", LORNA, "--facts", FACTS, "--kept", str(kept))
    kept.write_text(edit(kept.read_text()))
    code, out, err = run(capsys, "plan", LORNA, "--learned", str(kept))
    assert code == 2
    assert out == ""
    assert "kept.json" in err


def test_learned_pace_is_told_where_there_is_no_lightener(capsys, tmp_path):
    kept = str(tmp_path / "kept.json")
    given(capsys, "learn", LORNA, "--facts", FACTS, "--kept", kept)
    plan = given(capsys, "plan", str(EXAMPLES / "mirela.toml"), "--learned", kept)
    assert {one["what"] for one in plan["leans_on"]} == {"pace of a slice", "pace of a weave"}
    assert any("pace your visits told" in one["taken"] for one in plan["defaults"])


def test_what_is_kept_is_whole_or_as_it_was(capsys, tmp_path):
    kept = tmp_path / "kept.json"
    kept.write_text("{}")
    code, _, err = run(capsys, "learn", LORNA, "--facts", FACTS, "--kept", str(kept))
    assert code == 2
    assert "schema None" in err
    assert kept.read_text() == "{}"
    assert [path.name for path in tmp_path.iterdir()] == ["kept.json"]


def test_the_page_fits(capsys, tmp_path):
    kept = str(tmp_path / "kept.json")
    code, out, _ = run(capsys, "learn", LORNA, "--facts", FACTS, "--kept", kept)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 96
    for said in ("KEPT", "LIGHTENER", "HAIR", "EYE", "PACE", "label come"):
        assert said in out.replace("\n           ", " ")
