"""A tone under the chair's lamps, by day and at home."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.colour.lights import light, turned_by
from strandline.science.fibre import DYES, natural
from strandline.science.hair.pigment import reflectance
from strandline.service.plan.under_lights import light_note, under_lights


def toned(**dyes):
    pale = natural(np.array([0.0]), 0.0).with_(progress=np.array([100.0]))
    amounts = np.array([[dyes.get(name, 0.0) for name in DYES]])
    return reflectance(pale.with_(dyes=amounts))[0]


def test_a_tone_that_turns_is_told_and_one_that_holds_is_not():
    silver, bare = toned(violet=0.29, blue=0.3), toned()
    assert turned_by(silver, light("LED-B3")) > 2.0 > turned_by(bare, light("LED-B3"))
    assert "at a window" in light_note(silver, "neutral")
    assert light_note(bare, "neutral") == ""
    assert light_note(silver, "daylight") == ""
    assert light_note(None, "neutral") == ""


def test_the_word_is_the_way_the_colour_moves():
    silver = toned(violet=0.29, blue=0.3)
    chair, day, _ = under_lights(silver, "warm")
    moved = {"b": chair.lab[2] - day.lab[2], "a": chair.lab[1] - day.lab[1]}
    said = light_note(silver, "warm")
    words = {"a": ("greener", "redder"), "b": ("bluer", "yellower")}
    axis = max(moved, key=lambda one: abs(moved[one]))
    assert words[axis][int(moved[axis] > 0)] in said


@pytest.mark.parametrize("head", ["noor", "mirela", "junia"])
def test_every_gloss_of_a_plan_is_seen_in_three_lights(made, head):
    for step in made(head).plan.gloss:
        assert [one.place for one in step.lights] == ["at the chair", "by day", "at home"]
        assert step.lights[1].turned_delta_e00 == 0.0
        np.testing.assert_allclose(step.lights[1].lab, step.lab, atol=0.11)
