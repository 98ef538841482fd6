"""The one solver against looking at every recipe, its bounds, and the rules it keeps."""

from __future__ import annotations

import numpy as np
import pytest
from tests.plain_gloss import nearest

from strandline.base.errors import OutOfRangeError, UnreachableError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.service.consultation.shelf import GlossShade, Swatch
from strandline.service.formulate.bounds import Spans, least_away
from strandline.service.formulate.grounds import DEPTH, SIDE, Ground
from strandline.service.formulate.rules import clocks, steps
from strandline.service.formulate.solver import VIOLET, Asked, shade_dyes, solve_bowl

PALE = (71.2, 1.9, 18.0)
REFLECTS = ("neutral", "ash", "violet", "gold", "copper", "mahogany")
VIOLET_DYE, BLUE_DYE = DYES.index("violet"), DYES.index("blue")


def shelf(count, seed):
    """Give a shelf drawn by chance, a clear with it."""
    rng = np.random.default_rng(seed)
    shades = [
        GlossShade(
            name=f"shade {number}",
            depth=float(rng.choice([7, 8, 8.5, 9, 9.5, 10])),
            reflect=str(rng.choice(REFLECTS)),
            second=rng.choice([None, *REFLECTS]),
            strength=float(rng.uniform(0.7, 1.4)),
            kind=str(rng.choice(["acid demi", "acid demi", "fast toner"])),
            label_min=float(rng.choice([15, 20])),
        )
        for number in range(count)
    ]
    return [*shades, GlossShade(name="clear", clear=True)]


def ground(lab=PALE, aim=(66.0, 0.0, 6.0), **more):
    return Ground(ground_of(lab).ks[None], np.ones(1), np.ones(1), np.array(aim), **more)


def asked(*grounds, **more):
    return Asked(
        grounds,
        "stage",
        lambda kind, label: tuple(m for m in clocks()[kind].steps if m <= label),
        **more,
    )


@pytest.mark.parametrize("seed", range(6))
def test_search_equals_looking_at_every_recipe_of_twelve_shades(seed):
    aim = np.random.default_rng(100 + seed).uniform((58, -2, 2), (70, 6, 16))
    question = asked(ground(aim=tuple(aim)), violet_first=bool(seed % 2))
    quick = solve_bowl(question, shelf(12, seed))
    slow = solve_bowl(question, shelf(12, seed), look_at_every_one=True)
    assert quick.looked < slow.looked
    assert [(b.shades, b.parts, b.minutes, b.away) for b in quick.bowls] == [
        (b.shades, b.parts, b.minutes, b.away) for b in slow.bowls
    ]


def test_search_equals_looking_at_every_recipe_for_two_grounds_under_rules():
    grounds = (
        ground(weight=2.0, deepest=62.0, keeps_side=True),
        ground((64.0, 6.0, 28.0), (60.0, 2.0, 12.0), deepest=57.0),
    )
    quick = solve_bowl(asked(*grounds), shelf(12, 7))
    slow = solve_bowl(asked(*grounds), shelf(12, 7), look_at_every_one=True)
    assert [(b.shades, b.parts, b.minutes, b.away) for b in quick.bowls] == [
        (b.shades, b.parts, b.minutes, b.away) for b in slow.bowls
    ]


def test_search_of_thirty_shades_is_a_plain_walks_with_and_without_rules():
    """Asked for is within .2 dE00; it is the same to the digits of a tie.

    Every practical step of 30 shades in two kinds: more than a million bowls.
    """
    ks, aim = ground_of(PALE).ks, np.array([64.0, 0.0, 5.0])
    question = asked(ground(aim=aim))
    minutes = question.minutes
    least, ruled, walked = nearest(ks, aim, shelf(30, 3), steps(), minutes, deepest=65.0)
    quick = solve_bowl(question, shelf(30, 3))
    bound = asked(ground(aim=aim, deepest=65.0), violet_first=True)
    kept = solve_bowl(bound, shelf(30, 3))
    assert walked > 1e6
    assert quick.bowls[0].away == pytest.approx(least, abs=0.001)
    assert kept.bowls[0].away == pytest.approx(ruled, abs=0.001)
    assert kept.relaxed == ()
    assert ruled > least + 0.1
    assert quick.looked < 0.4 * walked


@pytest.mark.parametrize("seed", range(8))
def test_nothing_between_two_strengths_is_nearer_than_its_bound(seed):
    """The bound against 200 strengths between, on grounds, dyes and aims drawn by chance."""
    rng = np.random.default_rng(seed)
    place = ground(
        (rng.uniform(45, 74), rng.uniform(0, 10), rng.uniform(10, 30)),
        tuple(rng.uniform((30, -10, -10), (72, 20, 30))),
    )
    dyes = rng.uniform(0, 1.5, len(DYES)) * (rng.uniform(size=len(DYES)) < 0.5)
    cuts = np.sort(rng.uniform(0, 1, 4))
    seen = place.tristimulus(cuts[:, None] * dyes)
    slopes = np.diff(seen, axis=0) / np.diff(cuts)[:, None]
    spans = Spans(
        seen[None, 1:2], seen[None, 2:3], cuts[2:3] - cuts[1:2], slopes[None, :1], slopes[None, 2:]
    )
    between = np.linspace(cuts[1], cuts[2], 200)
    lab = lab_from_xyz(place.tristimulus(between[:, None] * dyes), np.ones(3))
    least = float(delta_e00(lab, np.broadcast_to(place.aim_lab, lab.shape)).min())
    bound = float(least_away([place], spans)[0])
    assert bound <= least + 1e-9
    assert bound >= 0.0


def test_a_reachable_aim_is_reached():
    """The colour that a mixture of the shelf gives is found again."""
    shades = shelf(8, 2)
    place = ground()
    dyes = 0.5 * 0.5 * sum(np.array(shade_dyes(one, "stage")) for one in shades[:2])
    aim = tuple(place.look(dyes[None])[0])
    one_kind = [s.model_copy(update={"kind": "acid demi", "label_min": 20.0}) for s in shades]
    assert solve_bowl(asked(ground(aim=aim)), one_kind).bowls[0].away < 0.5


def test_violet_is_at_least_silver_where_the_rule_holds():
    shades = shelf(10, 4)
    for bowl in solve_bowl(asked(ground(), violet_first=True), shades).bowls:
        assert bowl.dyes[VIOLET_DYE] >= bowl.dyes[BLUE_DYE] - 1e-9


def test_depth_and_side_are_kept_and_named_when_they_cannot_be():
    kept = solve_bowl(asked(ground(deepest=68.0, keeps_side=True)), shelf(12, 5))
    assert kept.relaxed == ()
    lab = ground().look(kept.bowls[0].dyes[None])[0]
    assert lab[0] >= 68.0
    assert lab[2] > 0
    only = [GlossShade(name="6 ash", depth=6, reflect="ash")]
    let_go = solve_bowl(asked(ground(deepest=71.0, keeps_side=True), violet_first=True), only)
    assert {DEPTH, VIOLET} <= set(let_go.relaxed) <= {DEPTH, SIDE, VIOLET}


def test_kinds_are_never_mixed():
    for bowl in solve_bowl(asked(ground()), shelf(12, 6)).bowls:
        assert len({shade.kind for shade in bowl.colours}) == 1
        assert len(bowl.colours) <= 3


def test_a_shelf_of_clear_alone_is_refused():
    with pytest.raises(UnreachableError, match="shelf"):
        solve_bowl(asked(ground()), [GlossShade(name="clear", clear=True)])


class TestSwatch:
    def test_a_swatch_stands_over_the_prior(self):
        """A swatch read on white hair is what the shade leaves on white hair."""
        from strandline.science.hair.naming.colour import ground as hair
        from strandline.science.hair.pigment import absorption

        read = (50.0, 4.0, 6.0)
        shade = GlossShade(name="8.2", swatch=Swatch(lab=read))
        white = Ground(absorption(hair("level")), np.ones(1), np.ones(1), np.array(read))
        seen = white.look(np.array(shade_dyes(shade, "stage"))[None])[0]
        assert seen == pytest.approx(read, abs=0.15)
        assert shade_dyes(shade, "stage") == shade_dyes(shade, "level")

    def test_a_swatch_that_says_what_the_prior_says_changes_little(self):
        from strandline.science.hair.naming.colour import ground as hair
        from strandline.science.hair.pigment import lab

        plain = GlossShade(name="9 violet", depth=9, reflect="violet")
        prior = np.array(shade_dyes(plain, "stage"))
        seen = lab(hair("stage").with_(dyes=prior[None]))[0]
        swatch = Swatch(lab=tuple(float(x) for x in seen), on="lightened")
        again = np.array(shade_dyes(plain.model_copy(update={"swatch": swatch}), "stage"))
        assert again == pytest.approx(prior, abs=1e-4)

    def test_a_swatch_lighter_than_its_hair_is_refused(self):
        shade = GlossShade(name="9.2", swatch=Swatch(lab=(80, 0, 10)))
        with pytest.raises(OutOfRangeError, match=r"9\.2"):
            shade_dyes(shade, "stage")


@pytest.mark.parametrize("head", ["mirela", "tamsin", "junia", "ilse"])
def test_every_bowl_of_a_plan_adds_up(made, head):
    """Shade and developer of a bowl are what the plan says is mixed, to a gram."""
    for gloss, step in zip(_by_place(made(head)), made(head).plan.gloss, strict=True):
        if gloss:
            colour = sum(part.grams for part in step.parts)
            assert colour + step.developer_grams == pytest.approx(gloss, abs=1.0)


def _by_place(one):
    from strandline.service.plan.glossing import gloss_today
    from strandline.service.plan.placing import place_foils

    c, head, bench = one.consultation, one.head, one.bench
    from strandline.service.care.gates import judge
    from strandline.service.choose.technique import choose_technique

    technique = choose_technique(c, head, judge(c, bench, one.plan.date), bench)
    placed = place_foils(c, head, technique, bench, None, None)
    return [g.mixed_grams for g in gloss_today(c, head, technique, placed, one.doses, bench).on]
