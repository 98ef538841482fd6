"""The quote counts all that is mixed: each product's grams once, at the shelf's price."""

from __future__ import annotations

import pytest

from strandline.service.plan.assemble import make_plan

HEADS = ["mirela", "tamsin", "noor", "junia"]


def lines_of(plan):
    return {line.what: line for line in plan.quote.lines}


def poured(plan):
    """Give grams of developer by strength: poured into lightener, and said beside each gloss."""
    out: dict[float, float] = {}
    for bowl in plan.bowls:
        for part in bowl.poured:
            out[part.vol] = out.get(part.vol, 0.0) + part.grams * bowl.count
    for step in plan.gloss:
        for one in [step, *([step.filler] if step.filler else [])]:
            if one.developer_grams:
                out[one.developer_vol] = out.get(one.developer_vol, 0.0) + one.developer_grams
    return out


def planned(consultation, head, **shelf):
    c = consultation(head)
    held = c.shelf.model_copy(update=shelf)
    return make_plan(c.model_copy(update={"shelf": held}), c.visit.date).plan


@pytest.mark.parametrize("head", HEADS)
def test_every_developer_of_the_plan_is_in_its_quote_once(made, head):
    plan = made(head).plan
    wanted = poured(plan)
    assert any(step.developer_grams for step in plan.gloss)
    lines = [line for line in plan.quote.lines if line.what.startswith("developer ")]
    assert len({line.what for line in lines}) == len(lines)
    assert {line.what: line.grams for line in lines} == {
        f"developer {vol:g} volume": round(grams) for vol, grams in wanted.items()
    }
    priced = [line.amount for line in plan.quote.lines if line.amount is not None]
    assert plan.quote.product == pytest.approx(sum(priced), abs=0.005)


def test_a_gloss_takes_the_price_of_the_bottles_its_developer_is_mixed_from(made):
    """6.7 volume of 5 at 7 and 10 at 7 a kg costs 7 a kg: the invented practice's prices."""
    line = lines_of(made("mirela").plan)["developer 6.7 volume"]
    assert line.amount == round(line.grams * 7 / 1000, 2)


def test_a_strength_between_two_bottles_costs_what_it_takes_of_each(consultation):
    """By hand: 6.7 of 5 and 10 is 1.7 parts of the strong to 3.3 of the weak (alligation)."""
    bottles = [
        one.model_copy(update={"price_per_kg": {5: 5, 10: 15}.get(one.vol, 7)})
        for one in consultation("mirela").shelf.developers
    ]
    line = lines_of(planned(consultation, "mirela", developers=bottles))["developer 6.7 volume"]
    assert line.amount == round(line.grams * (3.3 * 5 + 1.7 * 15) / 5 / 1000, 2)


def test_a_bottle_of_its_own_gives_its_own_price(consultation):
    bottles = consultation("mirela").shelf.developers
    own = bottles[0].model_copy(update={"vol": 6.7, "price_per_kg": 40})
    plan = planned(consultation, "mirela", developers=[*bottles, own])
    line = lines_of(plan)["developer 6.7 volume"]
    assert line.amount == round(line.grams * 40 / 1000, 2)


def test_a_developer_without_a_price_is_named_and_not_reckoned(consultation):
    bottles = consultation("mirela").shelf.developers
    line = lines_of(
        planned(consultation, "mirela", developers=[one for one in bottles if one.vol >= 10])
    )["developer 6.7 volume"]
    assert line.grams > 0
    assert line.amount is None


def test_a_direct_colour_brings_no_developer(consultation):
    shades = [
        shade.model_copy(update={"kind": "direct", "ratio": 0.0, "developer_vol": 0.0})
        for shade in consultation("mirela").shelf.gloss
    ]
    lines = lines_of(planned(consultation, "mirela", gloss=shades))
    assert not [what for what in lines if what.startswith("developer ")]
