"""How a tone is worn: by kind of dye, with and without violet shampoo, on into the grow-out."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.pigment import reflectance
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.home_care import INTERVALS_DAYS, worn
from strandline.service.formulate.rules import rule
from strandline.service.formulate.wear import (
    LIGHTNESS,
    WARMTH,
    cared_fade,
    doses_left,
    gone_weeks,
    wear_of,
)
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.wearing import gloss_weeks

WASHES = 2.5


def toned(aim_b=9.0, violet=0.4):
    ground = Ground(
        ground_of((71.2, 1.9, 18.0)).ks[None], np.ones(1), np.ones(1), np.array([64, 1.5, aim_b])
    )
    dyes = np.zeros(len(DYES))
    dyes[DYES.index("violet")] = violet
    return ground, dyes


class TestGone:
    @pytest.mark.practice
    def test_a_demi_is_mostly_gone_when_the_trade_glosses_again(self):
        """8-practice.md: gloss 6 to 8 weeks; common practice, no source."""
        ground, dyes = toned()
        assert 6 <= gone_weeks(ground, dyes, "acid demi", WASHES) <= 8

    def test_kinds_go_in_the_order_of_their_lastingness(self):
        """Practical Modern Hair Science, Table 5: temporary, semi, demi, permanent."""
        ground, dyes = toned()
        kinds = ("temporary", "direct", "acid demi", "permanent")
        weeks = [gone_weeks(ground, dyes, kind, WASHES) for kind in kinds]
        assert weeks == sorted(weeks)
        assert len(set(weeks)) == len(weeks)

    def test_what_is_left_then_is_the_rule(self):
        ground, dyes = toned()
        weeks = gone_weeks(ground, dyes, "acid demi", WASHES)
        seen = worn(ground, dyes, "acid demi", np.array([0.0, weeks - 0.25, weeks]))[:, WARMTH]
        bare = ground.bare()[WARMTH]
        left = (bare - seen) / (bare - seen[0])
        assert left[2] < rule("gone_left") <= left[1]

    def test_more_washes_take_it_sooner_and_shampoo_later(self):
        ground, dyes = toned()
        usual = gone_weeks(ground, dyes, "acid demi", WASHES)
        assert gone_weeks(ground, dyes, "acid demi", 5.0) < usual
        assert gone_weeks(ground, dyes, "acid demi", WASHES, every_days=7.0) > usual

    def test_depth_goes_by_its_lightness(self):
        ground, dyes = toned(violet=0.0)
        dyes[DYES.index("depth")] = 1.0
        assert 4 < gone_weeks(ground, dyes, "acid demi", WASHES, of=LIGHTNESS) < 26

    def test_a_gloss_that_does_nothing_has_nothing_to_lose(self):
        ground, dyes = toned(violet=0.0)
        assert gone_weeks(ground, dyes, "acid demi", WASHES) == 0


class TestShampoo:
    def test_the_interval_told_is_the_widest_that_holds_until_the_return(self):
        ground, dyes = toned(aim_b=14.0)
        told = wear_of(ground, dyes, "acid demi", 3.0, WASHES)
        wider = [days for days in INTERVALS_DAYS if days > told.every_days]
        assert told.cared_seen_weeks > 3
        for days in wider:
            weeks = np.linspace(0, 3, 57)
            assert worn(ground, dyes, "acid demi", weeks, every_days=days)[:, 2].max() > 16

    def test_where_none_holds_the_usual_week_is_told_with_what_it_gains(self):
        ground, dyes = toned(aim_b=8.0)
        told = wear_of(ground, dyes, "acid demi", 8.0, WASHES)
        assert told.every_days == 7
        assert told.cared_seen_weeks >= told.seen_weeks
        assert told.cared_gone_weeks > told.gone_weeks
        assert "once a week, 2 to 3 min" in told.said()

    def test_a_strand_in_the_grow_out_wears_as_the_care_was_worked_out(self):
        """Two ways to the same colour: dyes on a ground, and states that fade week by week."""
        from strandline.science.fibre import natural
        from strandline.science.hair.pigment import absorption

        state = natural(np.array([0.0]), 0.0, white=1.0)
        dyes = np.zeros(len(DYES))
        dyes[DYES.index("violet")] = 0.3
        ground = Ground(absorption(state), np.ones(1), np.ones(1), np.zeros(3))
        for kind in ("direct", "acid demi", "permanent"):
            faded = cared_fade(kind, WASHES, 7.0)(state.with_(dyes=dyes[None]), 5.0)
            by_ground = worn(ground, dyes, kind, np.array([5.0]), every_days=7.0)[0]
            assert lab_from_reflectance(reflectance(faded))[0] == pytest.approx(by_ground, abs=1e-6)

    def test_doses_pile_up_towards_a_steady_state(self):
        some = [doses_left(weeks, 7.0, WASHES) for weeks in (0.5, 1.0, 4.0, 8.0, 20.0)]
        assert some[0] == 0
        assert some[1] == pytest.approx(1)
        assert some == sorted(some)
        assert some[-1] - some[-2] < 0.01


def with_shades(c, **changes):
    """Give a consultation whose whole shelf is changed alike."""
    shades = [shade if shade.clear else shade.model_copy(update=changes) for shade in c.shelf.gloss]
    return c.model_copy(update={"shelf": c.shelf.model_copy(update={"gloss": shades})})


class TestInAPlan:
    def test_tone_and_lowlights_are_told_by_their_kind(self, made):
        wear = {one.place: one for one in made("junia").plan.wear}
        assert set(wear) == {"mids", "lowlights"}
        assert wear["mids"].kind == "acid demi"
        by = {one.kind: one.weeks for one in wear["mids"].by_kind}
        assert by["direct"] < by["acid demi"] == wear["mids"].gone_weeks < by["permanent"]

    @pytest.mark.parametrize("head", ["noor", "ilse", "brona", "junia", "tamsin", "mirela"])
    def test_the_gloss_date_keeps_to_her_range(self, made, head):
        plan, bench = made(head).plan, made(head).bench
        low, high = bench.pair("gloss_return")
        first = (plan.next_visit.gloss_from - plan.date).days / 7
        last = (plan.next_visit.gloss_to - plan.date).days / 7
        assert low <= first <= last <= high

    def test_the_gloss_date_comes_of_the_fade_within_it(self, made, consultation):
        c, bench = consultation("noor"), made("noor").bench
        usual = made("noor").plan.next_visit
        often = make_plan(
            c.model_copy(update={"practice": {"washes_per_week": 5}}), c.visit.date
        ).plan.next_visit
        direct = make_plan(with_shades(c, kind="direct", ratio=0, developer_vol=0), c.visit.date)
        assert often.gloss_to < usual.gloss_to
        assert direct.plan.next_visit.gloss_to <= often.gloss_to
        assert gloss_weeks([], bench) == bench.pair("gloss_return")

    def test_a_wider_range_lets_the_date_move(self, consultation):
        c = consultation("noor")
        own = {"gloss_return_low": 3, "gloss_return_high": 12}
        plan = make_plan(c.model_copy(update={"practice": own}), c.visit.date).plan
        weeks = (plan.next_visit.gloss_from - plan.date).days / 7
        assert weeks == np.floor(plan.wear[0].gone_weeks) - 1

    def test_the_grow_out_wears_the_tone_by_its_kind(self, made, consultation):
        """After eight weeks a direct dye is gone, and a demi is not."""
        c = consultation("noor")
        direct = make_plan(with_shades(c, kind="direct", ratio=0, developer_vol=0), c.visit.date)
        demi = made("noor")

        def warmth(one):
            look = one.looks.grown(one.looks.planned, [0.0, 8.0])
            far = slice(-5, None)  # past what grows out in eight weeks
            return look.weeks[1].lab[far, 2].mean() - look.weeks[0].lab[far, 2].mean()

        assert warmth(direct) > warmth(demi) > 0

    def test_care_as_told_reaches_the_grow_out(self, made):
        from strandline.service.plan.on_top import Doing, hair_class

        one = made("tamsin")
        assert one.plan.wear[0].violet_every_days is not None
        layer = self._mids(one, Doing, hair_class, 3.5)
        plain = self._mids(one, Doing, hair_class, None)
        assert layer < plain

    def _mids(self, one, doing, hair_class, every):
        from strandline.service.care.gates import judge
        from strandline.service.choose.technique import choose_technique
        from strandline.service.plan.glossing import gloss_today
        from strandline.service.plan.placing import place_foils

        c, head, bench = one.consultation, one.head, one.bench
        technique = choose_technique(c, head, judge(c, bench, one.plan.date), bench)
        placed = place_foils(c, head, technique, bench, None, None)
        toned = gloss_today(c, head, technique, placed, (), bench)
        today = doing(head, (), {g.place: g for g in toned.on}, bench, every)
        made = hair_class(today, "light already", 0, head.level_mean, white=True)
        layer = next(one for one in made.layers if one.from_cm >= 3)
        return float(lab_from_reflectance(reflectance(layer.fade(layer.fibre, 6.0)))[0, 2])


class TestWords:
    def test_the_client_is_told_interval_turn_and_date(self, made):
        from strandline.salon.report.client_words import client_words

        said = " ".join(client_words(made("noor").plan)["care"])
        assert "violet shampoo once a week" in said
        assert "wants a fresh gloss" in said

    def test_the_grow_out_tells_it_in_words_and_figures(self, capsys):
        import json

        from tests.conftest import EXAMPLES

        from strandline.salon.cli.main import main

        noor = str(EXAMPLES / "noor.toml")
        assert main(["growout", noor, "--weeks", "0,8"]) == 0
        assert "first seen to turn warmer" in capsys.readouterr().out
        assert main(["growout", noor, "--weeks", "0,8", "--json"]) == 0
        found = json.loads(capsys.readouterr().out)
        assert found["wear"][0]["place"] == "mids"
        assert found["gloss_again"][0] < found["gloss_again"][1]

    def test_a_shade_of_its_own_kind_is_worn_by_it(self):
        assert GlossShade(name="9.2", kind="direct").developer_vol == 0
