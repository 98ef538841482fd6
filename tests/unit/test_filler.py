"""Depth given back to porous blonde: warmth first, or ash turns green (common practice)."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.hair.pigment import reflectance
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.filler import fill, has_filler
from strandline.service.formulate.recipe import Recipe, Target, after, look_after
from strandline.service.plan.assemble import make_plan

ASH = GlossShade(name="7 ash", depth=7, reflect="ash")
NEUTRAL = GlossShade(name="7 neutral", depth=7)
GOLD = GlossShade(name="8 gold", depth=8, reflect="gold")
COPPER = GlossShade(name="8 copper", depth=8, reflect="copper")
CLEAR = GlossShade(name="clear", clear=True)
NATURAL_SEVEN = (37.6, 5.2, 13.6)


def blonde(stage=10.0, uptake=1.3):
    """Give porous hair at a stage, to be made a natural-looking seven."""
    from strandline.science.hair.stages import lightened, progress_of_stage
    from strandline.service.consultation.fibres import natural_hair

    fibre = natural_hair(6, white=False)
    fibre = lightened(fibre, progress_of_stage(np.array([stage]), fibre))
    return Target(fibre, np.ones(1), NATURAL_SEVEN, uptake, "level", (20.0,))


def raw(shade, target):
    return look_after(
        target, Recipe((shade,), (1.0,), 0.0, (0.0, 0.0), target.aim_lab, 0.0), 20.0
    ).lab


@pytest.mark.practice
@pytest.mark.parametrize("stage", [9.5, 10.0, 10.5])
def test_raw_ash_on_porous_blonde_goes_green(stage):
    """8-practice.md: raw ash on porous 10 goes green. Past yellow in hue, where hair is orange."""
    seen = raw(ASH, blonde(stage))
    assert seen[1] < 0
    assert np.degrees(np.arctan2(seen[2], seen[1])) > 90
    assert np.degrees(np.arctan2(NATURAL_SEVEN[2], NATURAL_SEVEN[1])) < 75


@pytest.mark.parametrize("warm", [GOLD, COPPER])
def test_a_filler_first_keeps_it_from_green(warm):
    target = blonde()
    filled = fill(target, 7.0, [ASH], [ASH, warm, CLEAR])
    assert filled.first is not None
    assert {shade.name for shade in filled.first.shades} <= {warm.name, "clear"}
    assert filled.then.lab[1] > raw(ASH, target)[1]
    assert "green" in filled.why


def test_ash_over_copper_comes_nearer_than_raw_ash_by_far():
    target = blonde()
    filled = fill(target, 7.0, [ASH], [ASH, GOLD, COPPER, CLEAR])
    seen = np.array(raw(ASH, target))
    from strandline.science.colour.difference import delta_e00

    assert filled.then.delta_e00 < float(delta_e00(seen, np.array(NATURAL_SEVEN))) / 2
    assert filled.then.lab[1] > 3


def test_the_two_steps_told_are_the_two_steps_done():
    target = blonde()
    filled = fill(target, 7.0, [ASH], [ASH, COPPER, CLEAR])
    states = after(target.states, filled.first, filled.first.minutes, 1.3, "level")
    states = after(states, filled.then, filled.then.minutes, 1.3, "level")
    assert lab_from_reflectance(reflectance(states))[0] == pytest.approx(filled.then.lab, abs=0.06)


def test_a_shelf_without_gold_or_copper_is_told_what_to_put_there():
    filled = fill(blonde(), 7.0, [ASH, NEUTRAL], [ASH, NEUTRAL, CLEAR])
    assert filled.first is None
    assert "nothing gold or copper" in filled.why
    assert [shade.name for shade in filled.then.shades] == ["7 neutral"]
    assert not has_filler(7.0, [ASH, NEUTRAL, CLEAR])


@pytest.mark.parametrize(
    "shade",
    [
        GlossShade(name="9 beige", depth=9, reflect="gold", second="violet"),
        GlossShade(name="8 copper", depth=8, reflect="copper", kind="permanent"),
        GlossShade(name="5 copper", depth=5, reflect="copper"),
        GlossShade(name="8 gold", depth=8, reflect="gold", grams=0),
    ],
)
def test_what_is_cool_lifts_is_deeper_or_used_up_fills_nothing(shade):
    assert not has_filler(7.0, [shade])


class TestInAPlan:
    def planned(self, consultation, more, condition="porous"):
        c = consultation("tamsin")
        c = c.model_copy(
            update={
                "aim": c.aim.model_copy(update={"wish": "more depth"}),
                "hair": c.hair.model_copy(update={"bonds": 0, "condition": condition}),
                "shelf": c.shelf.model_copy(update={"gloss": [*c.shelf.gloss, *more]}),
            }
        )
        return make_plan(c, c.visit.date)

    def test_porous_blonde_is_filled_before_its_lowlights(self, consultation):
        made = self.planned(consultation, [COPPER.model_copy(update={"name": "9 copper"})])
        low = made.plan.gloss[0]
        assert low.place == "lowlights"
        assert low.filler is not None
        mixed = sum(part.grams for part in low.filler.parts) + low.filler.developer_grams
        assert mixed == pytest.approx(30, abs=0.5)
        assert low.alone_min == low.filler.minutes + low.minutes_high

    def test_the_clock_of_the_foils_waits_for_it(self, consultation):
        without = self.planned(consultation, [])
        filled = self.planned(consultation, [COPPER])
        assert filled.plan.clock.groups[0].due_min - without.plan.clock.groups[0].due_min == 10

    def test_sound_blonde_takes_its_lowlights_without(self, made):
        low = made("junia").plan.gloss[0]
        assert low.place == "lowlights"
        assert low.filler is None
        assert "without a filler" in low.why

    def test_its_ground_is_the_blonde_itself(self, made):
        """Junia's lowlights lie inside lightened hair of stage 9.5, not in natural white."""
        low = made("junia").plan.gloss[0]
        assert low.ground_lab[2] > 14

    def test_it_is_in_the_words_and_the_quote(self, consultation):
        from strandline.salon.report.summary import summary

        plan = self.planned(consultation, [COPPER.model_copy(update={"price_per_kg": 120})]).plan
        said = " ".join(summary(plan).split())
        assert "Filler first: " in said
        assert "blot, do not rinse" in said
        assert any("8 copper" in line.what for line in plan.quote.lines)
