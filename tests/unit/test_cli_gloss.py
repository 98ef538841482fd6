"""`strandline gloss`: recipes that add up, and what is refused with the best that can be done."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.conftest import EXAMPLES

from strandline.salon.cli.main import main
from strandline.science.chemistry.deposit import factor, warmed_root
from strandline.science.colour.difference import delta_e00
from strandline.science.fibre import natural
from strandline.science.hair.pigment import lab
from strandline.service.formulate.clock import miss_of
from strandline.service.formulate.weighing import apportion

SHELF = str(EXAMPLES / "practice.toml")
PALE = ["--on-lab", "71.2,1.9,18"]
AIM = ["--aim-lab", "66,0,6"]


def ran(capsys, *words, shelf=SHELF):
    code = main(["gloss", *words, "--shelf", str(shelf), "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_grams_add_up_to_the_bowl_and_the_distance_is_that_of_the_colour(capsys):
    code, found = ran(capsys, *PALE, *AIM, "--grams", "70")
    assert code == 0
    for recipe in found["recipes"]:
        grams = sum(part["grams"] for part in recipe["parts"])
        assert grams + recipe["developer_grams"] == pytest.approx(70)
        assert recipe["developer_vol"] == 6.7
        far = delta_e00(np.array(recipe["lab"]), np.array(found["day_one_lab"]))
        assert recipe["delta_e00"] == pytest.approx(float(far), abs=0.03)
        assert recipe["lab"][0] <= 71.2
        assert len([p for p in recipe["parts"] if p["shade"] != "clear"]) <= 3
    order = [recipe["mean_delta_e00"] for recipe in found["recipes"]]
    assert order == sorted(order) or any("Weighed" in note for note in found["notes"])


def test_day_one_is_half_a_level_deeper_and_cooler_except_on_ends(capsys):
    _, mids = ran(capsys, *PALE, *AIM)
    _, ends = ran(capsys, *PALE, *AIM, "--place", "ends")
    _, asked = ran(capsys, *PALE, *AIM, "--as-asked")
    assert 2 < 66 - mids["day_one_lab"][0] < 4.5
    assert mids["day_one_lab"][2] < 6
    assert ends["day_one_lab"] == asked["day_one_lab"] == [66, 0, 6]
    assert ends["recipes"][0]["minutes"] <= 2
    assert ends["recipes"][0]["lab"][2] > 0


def test_the_clock_runs_from_a_first_look_to_overdoing(capsys):
    _, found = ran(capsys, *PALE, *AIM, "--place", "ends")
    recipe = found["recipes"][0]
    low, high = recipe["window_min"]
    assert recipe["first_look_min"] <= low <= recipe["minutes"] <= high
    assert recipe["first_sign_min"] <= low
    assert recipe["overdone_from_min"] > high
    light = [step["lab"][0] for step in recipe["by_minute"]]
    assert light == sorted(light, reverse=True)


def test_strands_of_two_kinds_are_seen_as_one_and_counted_apart(capsys):
    two = [*PALE, "--on-lab", "66,-.5,12.5", "--shares", "60,40"]
    _, found = ran(capsys, *two, "--aim-lab", "64,1,9", "--as-asked")
    recipe = found["recipes"][0]
    assert len(recipe["grounds"]) == 1
    assert recipe["share_near"] in (0, 0.4, 0.6, 1)
    assert recipe["delta_e00"] < 3


def test_a_bowl_of_its_own_is_never_worse_on_its_ground(capsys):
    two = [*PALE, "--on-lab", "64,6,28", "--shares", "60,40", "--apart"]
    _, found = ran(capsys, *two, "--aim-lab", "62,3,14")
    one, own = found["recipes"][0]["grounds"], found["own_bowls"]
    shared = 0.6 * one[0]["delta_e00"] + 0.4 * one[1]["delta_e00"]
    alone = 0.6 * own[0]["delta_e00"] + 0.4 * own[1]["delta_e00"]
    assert alone <= shared + 0.1
    assert any("with its own" in note for note in found["notes"])


@pytest.mark.parametrize(
    ("words", "what", "do"),
    [
        ([*PALE, "--aim-lab", "75,0,6"], "a gloss cannot lift", "best that can be done"),
        (["--on-lab", "58,12,35", "--aim-lab", "56,0,3"], "honest from stage 9.5", "smoky beige"),
        (["--on-lab", "45,12,28", "--aim-lab", "43,4,10"], "honest from stage 7", "no cooler tone"),
        ([*PALE, *AIM, "--grams", "-5"], "bowl is -5 g", "grams"),
        ([*PALE, "--aim-lab", "66,0"], "three figures", "L,a,b"),
        ([*PALE, *AIM, "--shares", "60,40"], "1 readings and 2 shares", "one share"),
        (["--on-lab", "50,90,-90", *AIM], "No hair reads", "Read the hair again"),
    ],
)
def test_what_cannot_be_is_refused_with_the_way_out(capsys, words, what, do):
    code, found = ran(capsys, *words)
    assert code == 2
    assert what in found["error"]["what"]
    assert do in found["error"]["do"]


def test_a_shelf_with_nothing_violet_says_so_and_gives_its_best(capsys, tmp_path):
    shelf = tmp_path / "plain.toml"
    shelf.write_text(
        "[shelf]\ngloss = [{ name = '8 neutral', depth = 8 }, "
        "{ name = '9 ash', depth = 9, reflect = 'ash' }, { name = 'clear', clear = true }]"
    )
    code, found = ran(capsys, *PALE, *AIM, shelf=shelf)
    assert code == 2
    assert "nothing violet" in found["error"]["what"]
    assert "The best that can be done" in found["error"]["do"]
    assert "dE00 from the aim" in found["error"]["do"]


def test_it_reads_as_text(capsys):
    assert main(["gloss", *PALE, *AIM, "--shelf", SHELF]) == 0
    said = capsys.readouterr().out
    assert "look first" in said
    assert "label" in said


@given(st.lists(st.floats(0.25, 9), min_size=1, max_size=4), st.integers(8, 400))
def test_steps_add_up_and_no_share_is_left_out(parts, steps):
    grams = apportion(parts, steps)
    assert sum(grams) == steps
    assert min(grams) >= 1


def test_damp_hair_takes_less_and_porous_more():
    assert factor(1.3) > factor(1.0) > factor(1.0, damp=True) > factor(1.0, resistance=0.6)


def test_an_alkaline_gloss_warms_a_natural_root_and_not_white():
    hair = natural(np.array([13.0, 0.0]), 0.00647, white=np.array([0.0, 1.0]))
    after = lab(warmed_root(hair, "alkaline demi", 20.0, 20.0))
    before = lab(hair)
    assert after[0, 2] > before[0, 2]
    assert after[1] == pytest.approx(before[1])
    assert np.array_equal(warmed_root(hair, "acid demi", 20.0, 20.0).progress, hair.progress)


@pytest.mark.parametrize(
    ("lab_seen", "name"),
    [((60, 0, 6), "deep"), ((66, 0, 0), "violet"), ((66, 5, 6), "pink"), ((66, -5, 6), "green"),
     ((66, 0, 12), "warm"), ((66.5, 0, 6), "")],
)  # fmt: skip
def test_a_miss_has_its_name(lab_seen, name):
    assert miss_of(np.array(lab_seen), (66, 0, 6)) == name
