"""What a shade on the shelf leaves, by its reflects or by its name alone."""

from __future__ import annotations

import numpy as np
import pytest
from pydantic import ValidationError

from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.solver import shade_dyes


def dyes(**fields):
    return np.array(shade_dyes(GlossShade(name="one", depth=8, **fields), "stage"))


def test_a_second_reflect_of_the_same_dye_adds_to_the_first():
    """Red and mahogany share a dye; a doubled ash is stronger, not weaker."""
    for main, second in (("ash", "ash"), ("red", "mahogany")):
        once, twice = dyes(reflect=main), dyes(reflect=main, second=second)
        assert np.max(twice / np.max(twice[0])) > np.max(once / np.max(once[0]))


@pytest.mark.parametrize(
    "name, depth, main, second",
    [
        ("8.12", 8, "ash", "violet"),
        ("8AV", 8, "ash", "violet"),
        ("7/0", 7, "neutral", None),
        ("10V", 10, "violet", None),
        ("9.02", 9, "neutral", "violet"),
    ],
)
def test_a_shade_named_in_numbers_or_letters_needs_no_more(name, depth, main, second):
    shade = GlossShade(name=name)
    assert (shade.depth, shade.reflect, shade.second) == (depth, main, second)


def test_a_name_fills_in_what_is_not_said():
    shade = GlossShade(name="8.12", depth=7.5)
    assert (shade.depth, shade.reflect, shade.second) == (7.5, "ash", "violet")


def test_what_is_said_of_a_shade_stands_over_its_name():
    shade = GlossShade(name="8.12", reflect="gold")
    assert (shade.depth, shade.reflect, shade.second) == (8, "gold", None)


def test_a_depth_that_contradicts_the_name_is_told():
    with pytest.raises(ValidationError, match="given the depth 5"):
        GlossShade(name="8.12", depth=5)


def test_a_name_that_says_no_depth_still_asks_for_one():
    with pytest.raises(ValidationError, match="has no depth"):
        GlossShade(name="moonlight")
