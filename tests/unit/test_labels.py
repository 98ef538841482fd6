"""No figure of a plan goes past a label: lightener, lowlight or gloss."""

from __future__ import annotations

import pytest

from strandline.service.consultation.bands import Band
from strandline.service.consultation.model import StrandTest
from strandline.service.plan.assemble import make_plan

GLOSS_LABEL = 20
LIGHTENER_LABEL = 50


def with_label(c, minutes):
    gloss = [shade.model_copy(update={"label_min": minutes}) for shade in c.shelf.gloss]
    return c.model_copy(update={"shelf": c.shelf.model_copy(update={"gloss": gloss})})


@pytest.mark.parametrize("head", ["mirela", "junia"])
def test_lowlights_keep_to_the_label_of_their_shade(made, head):
    plan = made(head).plan
    dark = [g for g in plan.clock.groups if g.bowl == "lowlight"]
    assert dark
    for group in dark:
        assert group.latest_min - group.start_min <= GLOSS_LABEL
        assert group.out_min <= group.latest_min


@pytest.mark.parametrize("head", ["brona", "ilse", "junia", "lorna", "noor"])
def test_foils_keep_to_the_label_of_the_lightener(made, head):
    for group in made(head).plan.clock.groups:
        assert group.out_min - group.start_min <= LIGHTENER_LABEL + 1  # whole minutes


@pytest.mark.parametrize("head", ["noor", "mirela", "tamsin", "junia"])
@pytest.mark.parametrize("minutes", [4, 8, 20])
def test_a_gloss_is_off_by_its_label(consultation, head, minutes):
    c = with_label(consultation(head), minutes)
    for step in make_plan(c, c.visit.date).plan.gloss:
        assert step.minutes_low <= step.minutes_high <= minutes
        assert step.first_look_min <= step.minutes_high


def test_an_unknown_build_up_is_planned_as_dark_colour(consultation):
    c = consultation("perpetua")
    tested = StrandTest(date=c.visit.date, result="clean")
    band = Band(from_cm=3, to_cm=30, past="unknown")
    c = c.model_copy(
        update={
            "bands": [band],
            "health": c.health.model_copy(update={"strand_test": tested}),
        }
    )
    plan = make_plan(c, c.visit.date).plan
    assert plan.verdict == "wait"
    assert any(s.bowl == "strong" for s in plan.strengths)
    assert plan.first_check_min == 20
