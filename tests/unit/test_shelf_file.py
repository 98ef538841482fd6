"""A shelf read alone: what it holds, and what is refused in plain words."""

from __future__ import annotations

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError, ReadError, StrandlineError
from strandline.service.consultation.reader import read_shelf

GOOD = """
[shelf]
line = "tideline"
gloss = [
  { name = "clear", clear = true, grams = 200 },
  { name = "8.12", kind = "alkaline demi", developer_vol = 10, ratio = 2, label_min = 25 },
  { name = "silver", depth = 10, reflect = "ash", swatch = { lab = [60, 0.5, 4] } },
]
"""


def refused(text, kind=StrandlineError):
    with pytest.raises(kind) as told:
        read_shelf(text.encode(), "mine.toml")
    return str(told.value)


def test_a_shelf_is_read_from_a_file_that_holds_more():
    shelf = read_shelf((EXAMPLES / "practice.toml").read_bytes(), "practice.toml")
    assert shelf.line == "tideline"
    assert {"9 violet", "clear"} <= {shade.name for shade in shelf.gloss}


def test_a_shade_holds_what_its_label_says():
    clear, named, silver = read_shelf(GOOD.encode(), "mine.toml").gloss
    assert clear.clear
    assert (named.depth, named.reflect, named.second, named.ratio) == (8, "ash", "violet", 2)
    assert silver.swatch.lab == (60, 0.5, 4)


def test_a_shade_without_depth_is_told_by_name():
    said = refused(GOOD.replace('"silver", depth = 10', '"moonlight"'))
    assert "'moonlight' has no depth" in said
    assert "Give its depth" in said
    assert said.startswith("mine.toml: shelf.gloss.3")


def test_less_than_nothing_is_told_by_name():
    said = refused(GOOD.replace("grams = 200", "grams = -5"), OutOfRangeError)
    assert "'clear' is said to hold -5 g" in said
    assert "Weigh" in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[money]\nrent = 3", "no table [shelf]"),
        ("[shelf]\nline = 'one'", "names no gloss shades"),
        ("[shelf", "does not read as TOML"),
    ],
)
def test_a_file_that_is_no_shelf_is_refused(text, words):
    assert words in refused(text, ReadError)


def test_an_unknown_word_is_told_with_those_that_are_known():
    assert "'silver'" in refused(GOOD.replace('reflect = "ash"', 'reflect = "silver"'))


def test_a_swatch_of_a_clear_is_refused():
    text = GOOD.replace("clear = true,", "clear = true, swatch = { lab = [60, 1, 2] },")
    assert "leaves no colour" in refused(text)
