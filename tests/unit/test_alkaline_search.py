"""An alkaline gloss warms natural pigment, and the search counts on it."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.hair.pigment import absorption
from strandline.service.consultation.fibres import natural_hair
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.answer import answer
from strandline.service.formulate.asking import Wanted
from strandline.service.formulate.grounds import Ground, warms
from strandline.service.formulate.recipe import Target, solve
from strandline.service.formulate.rules import clocks
from strandline.service.formulate.solver import Asked, dyes_after, solve_bowl

AIM = (26.0, 3.5, 8.0)


def shelf(kind):
    return [
        GlossShade(name="5 neutral", depth=5, kind=kind),
        GlossShade(name="6 neutral", depth=6, kind=kind),
        GlossShade(name="6 ash", depth=6, reflect="ash", kind=kind),
        GlossShade(name="6 violet", depth=6, reflect="violet", kind=kind),
        GlossShade(name="clear", clear=True),
    ]


def target(kind, level=6.0, *, white=False):
    fibre = natural_hair(level, white=white)
    return Target(fibre, np.ones(1), AIM, 1.0, "level", clocks()[kind].steps)


@pytest.mark.parametrize("kind", ["acid demi", "alkaline demi"])
def test_what_the_search_says_is_what_the_recipe_leaves(kind):
    """Both ways agree: the ground warmed minute by minute, and the states themselves."""
    place = target(kind)
    found = solve(place, shelf(kind))
    asked = Asked((place.ground(),), "level", lambda *_: clocks()[kind].steps)
    bowls = solve_bowl(asked, shelf(kind)).bowls
    assert found.delta_e00 == pytest.approx(min(b.away for b in bowls), abs=0.31)
    same = next(b for b in bowls if len(b.colours) == len([s for s in found.shades if not s.clear]))
    assert found.delta_e00 == pytest.approx(same.away, abs=2e-3)


def test_search_equals_looking_at_every_recipe_under_an_alkaline_demi():
    place = target("alkaline demi")
    asked = Asked((place.ground(),), "level", lambda *_: clocks()["alkaline demi"].steps)
    quick = solve_bowl(asked, shelf("alkaline demi"))
    slow = solve_bowl(asked, shelf("alkaline demi"), look_at_every_one=True)
    assert [(b.parts, b.minutes, b.away) for b in quick.bowls] == [
        (b.parts, b.minutes, b.away) for b in slow.bowls
    ]
    assert quick.looked < slow.looked


@pytest.mark.practice
def test_a_natural_root_turns_warmer_under_an_alkaline_demi_than_under_an_acid_one():
    """8-practice.md: alkaline demi warms a natural root; common practice, no source."""
    root = target("alkaline demi").ground()
    dyes = np.zeros((1, 7))
    bare = root.look(dyes)[0]
    alkaline = root.under("alkaline demi", 20.0, 20.0).look(dyes)[0]
    acid = root.under("acid demi", 20.0, 20.0).look(dyes)[0]
    assert acid == pytest.approx(bare)
    assert np.hypot(*alkaline[1:]) > np.hypot(*bare[1:])
    assert alkaline[0] > bare[0]


def test_white_hair_and_lightened_lengths_are_left_as_they_are():
    white = target("alkaline demi", white=True).ground()
    assert not warms([white], "alkaline demi")
    length = Ground(absorption(natural_hair(6, white=False)), np.ones(1), np.ones(1), np.array(AIM))
    assert not warms([length], "alkaline demi")
    assert length.under("alkaline demi", 20.0, 20.0) is length


def test_the_answer_to_a_reading_of_a_root_counts_on_it_at_every_minute():
    wanted = Wanted(((31.0, 5.0, 12.0),), (1.0,), AIM, place="roots", mixed_grams=60)
    found = answer(wanted, shelf("alkaline demi"))
    dish, clock = found.dishes[0], found.dishes[0].clocks[0]
    at = int(np.argmin(np.abs(clock.minutes - dish.bowl.minutes)))
    assert clock.lab[at] == pytest.approx(np.array(dish.on[0]), abs=1e-6)
    dyes = dyes_after(dish.bowl, dish.weighed.grams, dish.bowl.minutes, "level")
    cold = found.grounds[0].look(dyes[None])[0]
    assert dish.on[0][0] > cold[0]


def test_a_root_asks_for_no_violet(capsys, tmp_path):
    """What is yellow on lightened lengths is natural hair at a root."""
    from strandline.salon.cli.main import main

    file = tmp_path / "mine.toml"
    file.write_text(
        '[shelf]\ngloss = [{ name = "5 neutral", depth = 5, kind = "alkaline demi" }]\n', "utf-8"
    )
    ask = ["gloss", "--on-lab", "31,5,12", "--place", "roots", "--aim-lab", "26,4,9"]
    assert main([*ask, "--shelf", str(file)]) == 0
    assert "5 neutral" in capsys.readouterr().out
