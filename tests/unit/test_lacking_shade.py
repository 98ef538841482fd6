"""Where a shelf ends far from an aim: the one shade more that would help most."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.hair.naming.lines import numberings
from strandline.science.hair.naming.name import read_name
from strandline.science.hair.naming.table import names_of_depth
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.lacking_shade import lacking_shade
from strandline.service.formulate.misses import number
from strandline.service.formulate.recipe import asked_of, solve
from strandline.service.formulate.rules import rule
from strandline.service.formulate.shadow import shadow_reach_cm
from strandline.service.formulate.solver import solve_bowl
from strandline.service.formulate.toner import _mids, toners_for
from strandline.service.formulate.tones import tones
from strandline.service.plan.placing import LIGHTENER_KINDS
from strandline.service.plan.tonable import tonable


def mids_of(one):
    """Give the mids of a plan with their aim, and the shades that its bowl may be made of."""
    hair = tonable(
        one.head,
        one.doses,
        one.foils.taken_share(*LIGHTENER_KINDS),
        from_cm=shadow_reach_cm(one.head, one.bench),
    )
    tone = tones()[one.plan.tone_family]
    target = _mids(hair.mids, tone, one.head, one.bench)
    step = next(step for step in one.plan.gloss if step.place == "mids")
    return target, toners_for(one.consultation.shelf.gloss, step.depth), step


@pytest.mark.parametrize("head", ["noor", "tavia"])
def test_put_on_the_shelf_it_helps_as_much_as_was_told(made, head):
    target, held, step = mids_of(made(head))
    found = lacking_shade(target, held, solve(target, held))
    again = solve(target, [*held, found.shade])
    assert found.away <= step.delta_e00 - number("gain")
    assert again.delta_e00 <= found.away + rule("simpler")
    assert f"({found.shade.name}) would help most" in step.shelf_said


def test_no_other_shade_of_the_line_helps_more(made):
    """Each name put on the shelf by itself, with each shade that stands there, and clear.

    To a tenth of dE00, for they are compared on hair of one kind.
    """
    target, held, _ = mids_of(made("tavia"))
    found = lacking_shade(target, held, solve(target, held))
    clear = [shade for shade in held if shade.clear]
    every = [
        GlossShade(
            name=f"{named.depth} tried", depth=named.depth, reflect=named.main, second=named.second
        )
        for depth in (6, 7, 8)
        for named in names_of_depth(depth, numberings()["international"])
    ]
    rng = np.random.default_rng(5)
    for shade in rng.choice(np.array(every, dtype=object), 25, replace=False):
        for beside in (s for s in held if not s.clear):
            bowls = solve_bowl(asked_of(target), [shade, beside, *clear]).bowls
            without = solve_bowl(asked_of(target), [beside, *clear]).bowls[0].away
            assert min(bowls[0].away, without) >= found.away - 0.1


def test_the_shade_is_named_in_numbers_that_say_what_it_is(made):
    found = lacking_shade(*_asked(made, "noor"))
    named = read_name(found.shade.name, numberings()["international"])
    assert (named.depth, named.main, named.second) == (
        found.shade.depth,
        found.shade.reflect,
        found.shade.second,
    )


def _asked(made, head):
    target, held, _ = mids_of(made(head))
    return target, held, solve(target, held)


def test_a_shelf_that_comes_near_is_short_of_nothing(made):
    step = next(step for step in made("ilse").plan.gloss if step.place == "mids")
    assert step.delta_e00 <= rule("near")
    assert step.shelf_said == ""


def test_where_no_shade_would_help_it_is_told(made):
    target, held, step = mids_of(made("lorna"))
    assert lacking_shade(target, held, solve(target, held)) is None
    assert "no single shade more" in step.shelf_said


def test_a_shade_that_is_told_is_not_told_again_once_it_stands_there(made):
    target, held, now = _asked(made, "tavia")
    with_it = [*held, lacking_shade(target, held, now).shade]
    again = lacking_shade(target, with_it, solve(target, with_it))
    assert again is None or again.shade.name != with_it[-1].name
