"""`strandline timing` on the invented heads: what is found, what it takes, and wrong input.

What a head should be given is common practice, no source; heads and pace are invented.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from strandline.salon.cli import main as command_line

EXAMPLES = Path(__file__).parents[2] / "examples"
HOURLY = (620 + 480 + 2400) / (1 - 0.24) / (26 * 4.33)
"""Of the invented practice: (rent + expenses + take-home) / (1 - tax) / hours a month."""


def run(capsys, *words):
    code = command_line.main(["timing", *words])
    out, err = capsys.readouterr()
    return code, out, err


def asked(capsys, path, *words):
    code, out, err = run(capsys, str(path), *words, "--json")
    assert code == 0, err
    return json.loads(out)


def named(name):
    return EXAMPLES / f"{name}.toml"


def scenario(tmp_path, name, *changes, more=""):
    """Write an example with lines changed beside its practice."""
    text = named(name).read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    shutil.copy(EXAMPLES / "practice.toml", tmp_path)
    path = tmp_path / "scenario.toml"
    path.write_text(text + more)
    return path


def practised(tmp_path, name, *shelf, changes=()):
    """Write an example whose practice has lines changed."""
    path = scenario(tmp_path, name, *changes)
    text = (EXAMPLES / "practice.toml").read_text()
    for old, new in shelf:
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "practice.toml").write_text(text)
    return path


def bottle(vol):
    grams = 1800 if vol == 20 else 900
    return f"  {{ vol = {vol}, grams = {grams}, price_per_kg = 7 }},\n", ""


def vols(day):
    return [one["vol"] for one in day["poured"] if one["vol"] is not None]


@pytest.mark.parametrize("name", ["ilse", "lorna", "junia"])
def test_placing_longer_than_the_window_starts_with_a_weaker_bowl(capsys, name):
    best = asked(capsys, named(name))["best"]
    assert best["placed_min"] > 60
    assert vols(best) == sorted(vols(best))
    assert vols(best)[0] < vols(best)[-1]


QUICK = """
[practice]
foils_partial_low = 10
foils_partial_high = 10
seconds_slice = 50
seconds_weave = 60
seconds_new_section = 30
seconds_bowl = 60
"""


def test_placing_of_about_ten_minutes_has_one_strength_first_and_last(capsys, tmp_path):
    path = scenario(tmp_path, "lorna", ("hours = 5", "hours = 2"), more=QUICK)
    best = asked(capsys, path)["best"]
    assert best["placed_min"] <= 13
    assert len(set(vols(best))) == 1
    assert len(best["bowls"]) == 1


@pytest.mark.parametrize("name", ["noor", "ilse", "lorna", "junia", "brona"])
def test_no_label_is_passed_and_the_best_is_no_worse_than_the_plan(capsys, name):
    found = asked(capsys, named(name))
    best, own = found["best"], found["own_rule"]
    worth = ("past_label_foil_min", "past_aim_stage", "short_stage")
    assert own["past_label_foil_min"] == best["past_label_foil_min"] == 0
    assert [best[key] for key in worth] <= [own[key] for key in worth]
    for one in best["poured"]:
        assert one["after_min"] + one["in_min"][1] <= found["label_max_min"] + 1e-9
        if one["stage"] is not None:
            assert one["stage"]["low"] <= one["stage"]["middle"] <= one["stage"]["high"]


def test_strengths_are_of_parts_that_are_poured(capsys):
    for one in asked(capsys, named("lorna"))["best"]["poured"]:
        parts = one["parts"]
        assert all(part["parts"] in (1, 2, 3) for part in parts)
        whole = sum(part["parts"] for part in parts)
        poured = sum(part["vol"] * part["parts"] for part in parts) / whole
        assert poured == pytest.approx(one["vol"], abs=1e-3)


def test_what_does_not_fit_is_told_with_its_ways_out_in_minutes_money_and_harm(capsys, tmp_path):
    slow = asked(capsys, scenario(tmp_path, "lorna", more="\n[practice]\nseconds_slice = 80\n"))
    assert slow["best"]["short_stage"] > 0.05
    assert "minutes" in [bond["what"] for bond in slow["binding"]]
    found = asked(capsys, named("lorna"))
    assert not found["best"]["meets_aims"]
    assert found["binding"] == []  # what is missed by less than an eye sees binds nothing
    ways = {way["name"]: way for way in found["ways_out"]}
    assert set(ways) >= {"helper", "another day"}
    assert ways["helper"]["meets_aims"]
    assert ways["helper"]["chair_min"] < found["best"]["chair_min"]
    today, later = ways["another day"]["days"]
    assert any("fringe" in one["block"] for one in today["poured"])
    assert not any("fringe" in one["block"] for one in later["poured"])
    for way in ways.values():
        assert way["dose_min_at_6"] > 0
        assert found["currency"] == "EUR"
    more = ways["another day"]["money"] - found["best"]["money"]
    minutes = ways["another day"]["chair_min"] - found["best"]["chair_min"]
    again = 15 + 40  # her consultation and drying of the second day
    assert more == pytest.approx(HOURLY * (minutes + again) / 60, abs=0.05)
    helped = ways["helper"]["money"] - found["best"]["money"]
    saved = found["best"]["chair_min"] - ways["helper"]["chair_min"]
    wage = 17 * ways["helper"]["chair_min"] / 60
    assert helped == pytest.approx(wage - HOURLY * saved / 60, abs=0.05)


def test_a_helper_may_be_asked_for(capsys):
    alone, helped = (asked(capsys, named("lorna"), *more) for more in ((), ("--helper",)))
    assert helped["helper"]
    assert helped["best"]["chair_min"] < alone["best"]["chair_min"]
    assert {out["who"] for out in helped["best"]["outs"] if out["how"] == "wipe"} == {"helper"}


def test_a_label_so_short_that_no_timing_keeps_it_is_never_worked_so(capsys, tmp_path):
    path = scenario(
        tmp_path,
        "lorna",
        ('uses = ["practice.toml"]\n', ""),
        more='\n[shelf]\nline = "tideline"\ndevelopers = [{ vol = 20, grams = 1800 }, '
        '{ vol = 5, grams = 900 }]\nlightener = { name = "powder", label_max_min = 12, '
        "powder_ratio = 2, grams = 800 }\n",
    )
    found = asked(capsys, path)
    best = found["best"]
    assert not best["meets_aims"]
    assert (best["never_so"] is None) == (best["past_label_foil_min"] == 0)
    assert found["currency"] is None
    assert all(way["money"] is None for way in found["ways_out"])


@pytest.mark.parametrize("name", ["lorna", "noor"])
def test_the_page_fits_and_says_what_matters(capsys, name):
    code, out, _ = run(capsys, str(named(name)))
    assert code == 0
    assert max(map(len, out.splitlines())) <= 96
    for said in ("SEARCHED", "PLANNED", "BOWLS", "wipe, you", "counted from baths", "!  "):
        assert said in out
    assert "WAY OUT" in out
    assert "Wiped is not rinsed" in out


@pytest.mark.parametrize("name", ["tamsin", "mirela", "perpetua"])
def test_a_plan_without_lightener_has_nothing_to_time(capsys, name):
    code, _, err = run(capsys, str(named(name)))
    assert code == 2
    assert "No lightener is planned" in err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere.toml",), "cannot be read"),
        ((str(EXAMPLES / "lorna.toml"), "--on", "yesterday"), "not a date"),
        ((), "Name one of the two"),
    ],
)
def test_bad_input_is_two_sentences(capsys, words, said):
    code, out, err = run(capsys, *words)
    assert code == 2
    assert out == ""
    assert said in err
    assert len(err.strip().splitlines()) <= 3


def test_an_aim_beyond_reach_is_said_and_never_called_reached(capsys, tmp_path):
    path = practised(tmp_path, "lorna", ("label_max_min = 50", "label_max_min = 5"))
    found = asked(capsys, path)
    assert {one["why"] for one in found["out_of_reach"]} == {"label"}
    assert not found["best"]["meets_aims"]
    assert not found["own_rule"]["meets_aims"]
    _, out, _ = run(capsys, str(path))
    assert "the label's 5 min end before" in out
    assert "On its aim" not in out
    stall = asked(capsys, named("brona"))["out_of_reach"]
    assert [(one["band"], one["why"]) for one in stall] == [("old colour 4", "strength")]


@pytest.mark.parametrize("label", [20, 50])
def test_where_her_rule_alone_keeps_the_label_it_comes_first(capsys, tmp_path, label):
    path = practised(
        tmp_path,
        "lorna",
        ("label_max_min = 50", f"label_max_min = {label}"),
        changes=[("regrowth_cm = 1.8", "regrowth_cm = 0")],
    )
    found = asked(capsys, path)
    assert found["best"]["past_label_foil_min"] > found["own_rule"]["past_label_foil_min"] == 0
    assert found["own_rule_is_as_good"]
    assert all(way["past_label_foil_min"] == 0 for way in found["ways_out"])
    _, out, _ = run(capsys, str(path))
    assert out.index("PLANNED") < out.index("SEARCHED") < out.index("Work as planned")
    assert "TIGHT" not in out
    assert "BOWLS" not in out


def plan(capsys, path, *words):
    code = command_line.main(["plan", str(path), *words, "--json"])
    out, err = capsys.readouterr()
    assert code == 0, err
    return json.loads(out)


def test_no_pouring_is_stronger_than_the_label_or_than_20_at_the_scalp(capsys, tmp_path):
    path = practised(tmp_path, "noor", ("label_max_vol = 30", "label_max_vol = 19"))
    for more in ((), ("--timed",)):
        assert max(bowl["developer_vol"] for bowl in plan(capsys, path, *more)["bowls"]) <= 19
    assert max(vols(asked(capsys, path)["best"])) <= 19
    path = practised(tmp_path, "brona", bottle(10), bottle(20))
    for one in plan(capsys, path)["strengths"]:
        assert one["poured_vol"] <= (30 if one["from_cm"] >= 2 else 20)
    asked(capsys, path)


@pytest.mark.parametrize("gone", [(5, 20), (10, 20)])
def test_a_strong_bottle_is_mixed_down_where_the_others_do_not_reach(capsys, tmp_path, gone):
    path = practised(tmp_path, "noor", *map(bottle, gone))
    poured = {part["vol"] for bowl in plan(capsys, path)["bowls"] for part in bowl["poured"]}
    assert 30 in poured
    poured = {
        part["vol"] for bowl in plan(capsys, named("noor"))["bowls"] for part in bowl["poured"]
    }
    assert 30 not in poured


def test_what_holds_a_plan_stands_on_top_of_its_timing(capsys, tmp_path):
    text = named("lorna").read_text()
    shutil.copy(EXAMPLES / "practice.toml", tmp_path)
    path = tmp_path / "unanswered.toml"
    path.write_text(text[: text.index("[health]")])
    assert asked(capsys, path)["verdict"] == "wait"
    _, out, _ = run(capsys, str(path))
    assert out.index("WAIT") < out.index("SEARCHED")
    assert "allergy alert test" in out


def test_colour_in_foils_has_its_caution(capsys):
    said = " ".join(one["what"] for one in asked(capsys, named("junia"))["cautions"])
    assert "allergic reaction" in said
    colour = [one for one in asked(capsys, named("junia"))["best"]["outs"] if "low" in one["block"]]
    assert [one["how"] for one in colour] == ["rinse"]


def test_a_helper_without_pay_is_said(capsys, tmp_path):
    path = practised(
        tmp_path,
        "lorna",
        ("helper_per_hour = 17\n", ""),
        changes=[("hours = 5", "hours = 5\nhelper = true")],
    )
    _, out, _ = run(capsys, str(path))
    assert "with a helper" in out
    assert "pay is not given" in out
