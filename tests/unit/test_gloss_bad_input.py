"""What a gloss cannot be made of, or cannot come to, is said with what would mend it."""

from __future__ import annotations

import pytest
from tests.conftest import EXAMPLES

from strandline.salon.cli.main import main

SHELF = str(EXAMPLES / "practice.toml")
YELLOW = ("gloss", "--on-lab", "71.2,1.9,18", "--aim-lab", "66,1,9", "--shelf")


@pytest.mark.parametrize(
    ("gloss", "said"),
    [
        ('{ name = "fog" }', "has no depth"),
        ('{ name = "9 violet", depth = 9, grams = -5 }', "is said to hold -5 g"),
        ('{ name = "clear", clear = true }', "leaves no colour"),
        ('{ name = "9 violet", depth = 9, kind = "permanent" }', "holds no gloss"),
        ('{ name = "9 violet", depth = 9, grams = 0 }', "holds no gloss"),
        ("", "holds no gloss"),
        ('{ name = "Fog", depth = 9 }, { name = "fog ", depth = 6 }', "Two shades are called"),
        ('{ name = "8 neutral", depth = 8 }', "holds nothing violet"),
        ('{ name = "9 violet", depth = 9, label_min = 0 }', "must be more than 0"),
        ('{ name = "9 violet", depth = 19 }', "depth"),
        ('{ name = "9 violet", depth = 9, reflect = "teal" }', "reflect"),
        ('{ name = "9 violet", depth = 9, dyes = { stage = { teal = 1 } } }', "teal"),
    ],
)
def test_a_shelf_that_makes_no_gloss_is_told_why(tmp_path, capsys, gloss, said):
    file = tmp_path / "mine.toml"
    file.write_text(f"[shelf]\ngloss = [{gloss}]\n", "utf-8")
    assert main([*YELLOW, str(file)]) == 2
    told = capsys.readouterr().err
    assert said in told
    assert "Traceback" not in told


def test_without_violet_the_best_that_can_be_done_is_told(tmp_path, capsys):
    file = tmp_path / "mine.toml"
    file.write_text('[shelf]\ngloss = [{ name = "8 neutral", depth = 8 }]\n', "utf-8")
    assert main([*YELLOW, str(file)]) == 2
    told = capsys.readouterr().err
    assert "Put a violet shade on the shelf." in told
    assert "g 8 neutral" in told


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (("--on-lab", "60,2,18", "--aim-lab", "66,1,9"), "a gloss cannot lift"),
        (("--on-lab", "71,2,18", "--aim-lab", "nan,1,9"), "none of hair"),
        (("--on-lab", "71,2", "--aim-lab", "66,1,9"), "three figures"),
        (("--on-lab", "71,2,18", "--aim-lab", "66,1,9", "--grams", "-3"), "5-500 g"),
        (("--on-lab", "71,2,18", "--aim-lab", "66,1,9", "--shares", "30,70"), "2 shares"),
        (("--on-lab", "71,2,18", "--aim-lab", "66,1,9", "--came-to-lab", "90,0,5"), "only darkens"),
    ],
)
def test_a_question_that_has_no_answer_is_told_why(capsys, ask, said):
    assert main(["gloss", *ask, "--shelf", SHELF]) == 2
    assert said in capsys.readouterr().err


def test_an_aim_that_no_shelf_comes_near_is_told_with_what_is_missing(capsys):
    ask = ["gloss", "--on-lab", "71,2,18", "--aim-lab", "60,25,25", "--shelf", SHELF]
    assert main(ask) == 0
    told = capsys.readouterr().out
    assert "Nothing that stands there comes nearer" in told
    assert "red or copper" in told
