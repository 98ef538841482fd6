"""The gloss of a plan keeps the rules of a recipe, and tells what one bowl costs."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from strandline.science.chemistry.deposit import deposit, uptake
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import stack
from strandline.science.hair.levels import stage_of_lightness
from strandline.science.hair.naming.colour import shifted
from strandline.science.hair.pigment import reflectance
from strandline.service.consultation.fibres import natural_hair
from strandline.service.formulate.kinds import Kinds
from strandline.service.formulate.recipe import after
from strandline.service.formulate.rules import rule, steps
from strandline.service.formulate.solver import shade_dyes
from strandline.service.formulate.toner import Tonable, toner
from strandline.service.formulate.tones import tones
from strandline.service.plan.tonable import BEFORE, TODAY, kinds_between

HEADS = ["brona", "junia", "lorna", "noor", "ilse", "tamsin"]


def place(plan, name):
    return next(step for step in plan.gloss if step.place == name)


@pytest.mark.parametrize("head", HEADS)
def test_day_one_is_half_a_level_deeper_and_cooler_except_where_porous(made, head):
    """8-practice.md: common practice, no source."""
    one = made(head)
    mids = place(one.plan, "mids")
    wear = np.array(mids.wear_lab)
    if one.head.condition in ("porous", "stretchy", "breaking"):
        assert mids.aim_lab == pytest.approx(wear)
        return
    assert mids.aim_lab[0] == pytest.approx(float(shifted(wear[0], -0.5, "stage")), abs=0.1)
    assert np.hypot(*mids.aim_lab[1:]) < np.hypot(*wear[1:])


@pytest.mark.parametrize("head", [*HEADS, "mirela", "oriel", "sidony", "tavia", "wenna"])
def test_nothing_is_deeper_than_asked(made, head):
    """3-gloss.md, Solving: root shadow, lowlights, mids, ends and kept white alike."""
    for step in made(head).plan.gloss:
        assert step.lab[0] >= step.aim_lab[0] - rule("deeper_than_asked") - 0.1, step.place


class TestRootShadow:
    """The search of the mids for a root shadow too: common practice, no source."""

    @pytest.mark.parametrize("head", HEADS)
    def test_it_comes_as_near_as_every_bowl_of_neutral_shades_looked_at(self, made, head):
        """Every bowl of the shade of its depth and clear, walked here by itself.

        Where none of those ends near the aim, every bowl of the shades about it.
        """
        one = made(head)
        shadow = place(one.plan, "root shadow")
        least = min(far for far, kept in _shadows(one, shadow, 0.5) if kept)
        if least > rule("near"):
            least = min(far for far, kept in _shadows(one, shadow, 1.5) if kept)
        assert shadow.delta_e00 <= least + rule("simpler") + 0.051

    def test_it_is_let_down_with_clear_where_the_plain_shade_is_too_deep(self, made):
        parts = {part.shade for part in place(made("tamsin").plan, "root shadow").parts}
        assert "clear" in parts

    def test_hair_that_is_deeper_already_is_told_and_no_deeper_than_it_need_be(self, consultation):
        """Level 6.3 is a 6 by name and deeper than a 6.5 by lightness: a gloss cannot lift."""
        from strandline.service.plan.assemble import make_plan

        c = consultation("tamsin")
        areas = {
            name: area.model_copy(update={"gray": 0, "level": level})
            for (name, area), level in zip(dict(c.areas).items(), (6, 7, 7), strict=True)
        }
        dark = c.model_copy(update={"areas": c.areas.model_copy(update=areas)})
        one = make_plan(dark, c.visit.date)
        shadow = place(one.plan, "root shadow")
        assert one.head.level_mean < shadow.depth
        assert shadow.aim_lab[0] == pytest.approx(shadow.ground_lab[0], abs=0.05)
        assert "a gloss cannot lift" in shadow.why
        assert shadow.lab[0] >= shadow.aim_lab[0] - rule("deeper_than_asked") - 0.1

    def test_a_rule_that_no_bowl_of_the_shelf_keeps_is_told(self, consultation):
        """Tamsin's shelf with no clear and one neutral 7: too deep, and the plan says so."""
        from strandline.service.plan.assemble import make_plan

        c = consultation("tamsin")
        kept = [s for s in c.shelf.gloss if s.reflect != "neutral" or s.name == "7 neutral"]
        shelf = c.shelf.model_copy(update={"gloss": [s for s in kept if not s.clear]})
        plan = make_plan(c.model_copy(update={"shelf": shelf}), c.visit.date).plan
        shadow = place(plan, "root shadow")
        assert shadow.lab[0] < shadow.aim_lab[0] - rule("deeper_than_asked")
        assert "No mixture of this shelf keeps to 'no deeper than asked'" in shadow.why


def _shadows(one, shadow, within):
    """Give (dE00, whether it keeps the rule) of every bowl of neutral shades and clear."""
    head = one.head
    states = stack([natural_hair(head.level_mean, white=white) for white in (True, False)])
    shares = np.array([head.gray_mean, 1 - head.gray_mean])
    taken = head.gray_mean * one.bench["resistance_white"] / 100 + 1 - head.gray_mean
    neutral = [s for s in _shelf(one) if s.reflect == "neutral" and not s.clear]
    near = [s for s in neutral if abs(s.depth - shadow.depth) <= within]
    for count, parts in ((1, [(1,)]), (2, steps().pairs), (3, steps().triples)):
        for chosen in combinations(near, count):
            for part in parts:
                share = np.array(part) / sum(part)
                dyes = share @ np.array([shade_dyes(one, "level") for one in chosen])
                for clear in steps().clears:
                    full = uptake(shadow.best_min, 20.0, "acid demi") * taken / (1 + clear)
                    seen = lab_from_reflectance(shares @ reflectance(deposit(states, dyes, full)))
                    kept = seen[0] >= shadow.aim_lab[0] - rule("deeper_than_asked")
                    yield float(delta_e00(seen, np.array(shadow.aim_lab))), kept


@pytest.mark.parametrize("head", HEADS)
def test_ends_keep_their_side_of_gray_and_are_on_no_longer_than_the_mids(made, head):
    plan = made(head).plan
    mids, ends = place(plan, "mids"), place(plan, "ends")
    assert np.dot(ends.lab[1:], ends.ground_lab[1:]) >= 0
    assert ends.minutes_high <= mids.minutes_high
    assert ends.alone_min + mids.alone_min <= mids.minutes_high + 1e-6


@pytest.mark.parametrize("head", HEADS)
def test_a_tone_is_allowed_only_from_its_lift(made, head):
    plan = made(head).plan
    tone = tones()[plan.tone_family]
    mids = place(plan, "mids")
    assert stage_of_lightness(mids.ground_lab[0]) >= tone.from_stage - 0.3


def test_a_gloss_alone_on_orange_lengths_is_no_violet_neutral(consultation):
    from strandline.service.plan.assemble import make_plan

    c = consultation("tamsin")
    bands = [band.model_copy(update={"stage": 7.0}) for band in c.bands]
    plan = make_plan(c.model_copy(update={"bands": bands}), c.visit.date).plan
    assert plan.tone_family == "mushroom"


def test_the_shadow_sits_alone_three_to_five_minutes_before_long_mids(made):
    """8-practice.md: alone 3-5 min, 10-15 in all."""
    for head in ("brona", "noor", "lorna"):
        shadow = place(made(head).plan, "root shadow")
        assert 3 <= shadow.alone_min <= 5
        assert 10 <= shadow.minutes_high <= 15


class TestGround:
    def test_foils_and_the_light_before_share_the_ground_by_their_hair(self, made):
        one = made("junia")
        taken = one.foils.taken_share("slice", "fine weave", "medium weave")
        kinds = kinds_between(one.head, one.doses, taken, 4.3, 21.0)
        parts = dict(kinds.parts())
        assert set(parts) == {TODAY, BEFORE}
        assert sum(parts.values()) == pytest.approx(1)
        assert parts[BEFORE] == pytest.approx(0.65 / (0.65 + taken))

    def test_a_gloss_alone_meets_each_stretch_by_its_length(self, made):
        """Tamsin is stage 9 to 26 cm and 10 beyond: the ends are the lighter."""
        one = made("tamsin")
        mids = kinds_between(one.head, (), 0.0, 1.2, 25.0)
        ends = kinds_between(one.head, (), 0.0, 26.0, 36.0)
        look = [
            lab_from_reflectance(np.asarray(k.shares) @ reflectance(k.states))[0]
            for k in (mids, ends)
        ]
        assert look[1] > look[0]

    def test_foils_of_unlike_pace_come_out_unlike(self, made):
        one = made("noor")
        kinds = kinds_between(one.head, one.doses, 0.4, 4.0, 20.0)
        light = lab_from_reflectance(reflectance(kinds.states))[:, 0]
        assert np.ptp(light) > 0.5


class TestOneBowl:
    def test_the_share_near_is_that_of_the_strands_themselves(self, made):
        one = made("ilse")
        mids = place(one.plan, "mids")
        gloss = _again(one)[0]
        kinds = _hair(one).mids
        seen = lab_from_reflectance(
            reflectance(
                after(kinds.states, gloss.recipe, gloss.recipe.minutes, gloss.factor, "stage")
            )
        )
        far = delta_e00(seen, np.broadcast_to(np.array(gloss.aim_lab), seen.shape))
        assert mids.near_percent == round(100 * kinds.shares[far <= 3].sum())
        assert 0 < mids.near_percent < 100

    @pytest.mark.parametrize("head", HEADS)
    def test_a_bowl_of_its_own_is_never_farther_off(self, made, head):
        mids = place(made(head).plan, "mids")
        assert len(mids.grounds) > 1
        for ground in mids.grounds:
            assert ground.own_delta_e00 <= ground.one_delta_e00
        assert mids.bowls_said
        assert sum(ground.share for ground in mids.grounds) == pytest.approx(1, abs=0.01)

    def test_the_less_alike_two_grounds_are_the_more_two_bowls_are_worth(self, made):
        """One toner over mixed levels turns the light gray and leaves the warm warm."""
        one = made("junia")
        worth = [_unlike(one, part).worth for part in (0.8, 0.6, 0.4)]
        assert worth == sorted(worth)
        assert worth[-1] > 2
        said = _unlike(one, 0.4).said()
        assert "A bowl for each: " in said
        assert "another clock" in said


def _unlike(one, part):
    """Give one bowl against two where today's foils came out at a part of their lift."""
    hair = _hair(one)
    light, warm = hair.mids.of(BEFORE), hair.mids.of(TODAY)
    states = warm.states
    dark = states.with_(progress=states.progress * part, old_progress=states.old_progress * part)
    both = Kinds(
        stack([light.states, dark]),
        np.concatenate([light.shares, warm.shares]) / 2,
        (*light.whose, *warm.whose),
    )
    hair = replace(hair, mids=both)
    return toner(hair, tones()["pearl"], one.head, _shelf(one), one.bench)[0].bowls


def _shelf(one):
    return [shade for shade in one.consultation.shelf.gloss if shade.grams > 0]


def _hair(one) -> Tonable:
    from strandline.service.formulate.shadow import shadow_reach_cm
    from strandline.service.plan.placing import LIGHTENER_KINDS
    from strandline.service.plan.tonable import tonable

    return tonable(
        one.head,
        one.doses,
        one.foils.taken_share(*LIGHTENER_KINDS),
        from_cm=shadow_reach_cm(one.head, one.bench),
    )


def _again(one):
    return toner(_hair(one), tones()[one.plan.tone_family], one.head, _shelf(one), one.bench)
