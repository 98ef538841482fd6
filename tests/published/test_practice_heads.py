"""Eight heads as an experienced colourist would plan them: common practice, no source.

Each test asserts one key of the plan: verdict, technique, foils, strengths, order, first check,
tone family, interval and cautions. The heads are invented; the answers are the trade's.
"""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.colour.difference import delta_e00
from strandline.science.hair.absorbers import ground_of
from strandline.service.formulate.grounds import Ground
from strandline.service.plan.missed import dyes_of

pytestmark = pytest.mark.practice


def words(*parts: object) -> str:
    return " ".join(str(part) for part in parts).lower()


@pytest.mark.parametrize(
    ("head", "verdict"),
    [
        ("brona", "go"), ("mirela", "go"), ("tamsin", "go"), ("perpetua", "stop"),
        ("junia", "go"), ("lorna", "go"), ("noor", "go"), ("ilse", "go"),
    ],
)  # fmt: skip
def test_verdict_is_the_trades(made, head, verdict):
    assert made(head).plan.verdict == verdict


@pytest.mark.parametrize(
    ("head", "kind", "low", "high"),
    [
        ("brona", "foils", 50, 60),
        ("mirela", "lowlights", 25, 35),
        ("tamsin", "gloss", 0, 0),
        ("perpetua", "none", 0, 0),
        ("junia", "foils", 40, 58),
        ("lorna", "foils", 70, 85),
        ("noor", "foils", 50, 65),
        ("ilse", "foils", 60, 70),
    ],
)
def test_technique_and_foils_are_the_trades(made, head, kind, low, high):
    plan = made(head).plan
    assert plan.technique_kind == kind
    assert low <= plan.foil_count <= high


@pytest.mark.parametrize(
    ("head", "first", "last"),
    [("brona", 20, 20), ("junia", 15, 15), ("lorna", 15, 15), ("noor", 15, 15), ("ilse", 10, 15)],
)
def test_first_check_is_the_trades(made, head, first, last):
    assert first <= made(head).plan.first_check_min <= last


@pytest.mark.parametrize(
    ("head", "tone"),
    [
        ("brona", "smoky beige"),
        ("mirela", "neutral-ash"),
        ("tamsin", "violet-neutral"),
        ("junia", "pearl"),
        ("lorna", "soft beige"),
        ("noor", "smoky beige"),
        ("ilse", "soft beige"),
        ("perpetua", ""),
    ],
)
def test_tone_family_is_the_trades(made, head, tone):
    assert made(head).plan.tone_family == tone


@pytest.mark.parametrize(
    ("head", "low", "high"),
    [
        ("brona", 10, 10), ("mirela", 10, 12), ("tamsin", 8, 8), ("junia", 14, 16),
        ("noor", 12, 12), ("ilse", 12, 14),
    ],
)  # fmt: skip
def test_interval_is_the_trades(made, head, low, high):
    assert low <= made(head).plan.interval_weeks <= high


class TestBrona:
    def test_goes_in_two_to_four_visits_three_as_a_rule(self, made):
        visits = made("brona").plan.next_visit.visits
        assert (visits.low, visits.middle, visits.high) == (2, 3, 4)

    def test_icy_is_refused_today_and_a_remover_strand_named(self, made):
        refused = words(*(f"{r.what} {r.do}" for r in made("brona").plan.refused))
        assert "icy" in refused
        assert "remover" in refused

    def test_old_colour_gets_25_to_30_volume_from_2_cm_and_the_regrowth_20_later(self, made):
        strong = [s for s in made("brona").plan.strengths if s.bowl == "strong"]
        regrowth = [s for s in made("brona").plan.strengths if s.band == "regrowth"]
        assert all(25 <= s.poured_vol <= 30 and s.from_cm >= 2 for s in strong)
        assert all(s.poured_vol == 20 and 10 <= s.after_min <= 15 for s in regrowth)
        assert strong
        assert regrowth

    def test_comes_to_seven_or_eight(self, made):
        assert 7 <= made("brona").plan.expected_stage.middle <= 8

    def test_few_foils_go_to_the_back(self, made):
        foils = made("brona").plan.foils
        back = [f for f in foils if f.zone.startswith(("back", "nape"))]
        assert len(back) < 0.2 * len(foils)

    def test_root_shadow_is_five_or_six(self, made):
        shadow = made("brona").plan.gloss[0]
        assert shadow.place == "root shadow"
        assert 5 <= shadow.depth <= 6


class TestMirela:
    def test_no_lightener_and_no_root_shadow(self, made):
        plan = made("mirela").plan
        assert plan.bowls == []
        assert plan.strengths == []
        assert "root shadow" not in [step.place for step in plan.gloss]

    def test_lowlight_is_a_six_neutral_ash_for_twenty_minutes(self, made):
        step = made("mirela").plan.gloss[0]
        assert step.depth == 6
        assert step.minutes_high == 20
        assert {part.shade for part in step.parts} == {"6 neutral", "6 ash"}
        assert "50-70 %" in step.why
        assert "temples least" in step.why

    def test_hairline_white_is_kept_and_glossed_in_violet_and_clear(self, made):
        plan = made("mirela").plan
        assert not [f for f in plan.foils if f.zone in ("nape_hairline", "side_hairlines")]
        soft = plan.gloss[1]
        assert "clear" in {part.shade for part in soft.parts}
        assert (soft.minutes_low, soft.minutes_high) == (3, 5)

    def test_foils_are_fine_lowlight_weaves(self, made):
        assert {(f.kind, f.grade) for f in made("mirela").plan.foils} == {
            ("lowlight weave", "fine")
        }

    def test_both_are_demis_and_the_white_gets_violet_over_clear(self, made):
        low, soft = made("mirela").plan.gloss
        assert {low.kind, soft.kind} == {"acid demi"}
        assert low.place == "lowlights"
        assert soft.place == "the white that is kept"
        assert {part.shade for part in soft.parts} == {"9 violet", "clear"}
        assert soft.lab[2] < soft.ground_lab[2]

    def test_resistant_white_takes_fifty_to_seventy_percent(self, made):
        """Read off the colour itself: the share of the bowl's dyes that leaves it on that white."""
        one = made("mirela")
        low = one.plan.gloss[0]
        dyes, _ = dyes_of(low, one.consultation, "level")
        shares = np.linspace(0, 1, 201)
        white = Ground(
            ground_of(low.ground_lab).ks[None], np.ones(1), np.ones(1), np.array(low.lab)
        )
        far = delta_e00(white.look(shares[:, None] * dyes), np.array(low.lab))
        assert float(np.min(far)) < 0.5
        assert 0.5 <= float(shares[int(np.argmin(far))]) <= 0.7

    def test_temples_and_fringe_stay_white_with_the_hairline(self, made):
        share = {one.zone: one.share for one in made("mirela").plan.next_visit.left_out}
        for zone in ("temples left", "temples right", "fringe", "nape_hairline"):
            assert share[zone] == 1.0

    def test_lowlights_go_in_before_the_gloss_on_the_white(self, made):
        order = made("mirela").plan.order
        rinse = next(n for n, said in enumerate(order) if "rinse the lowlights" in said)
        assert "violet in clear" in order[-1]
        assert rinse < len(order) - 1

    def test_returns_in_ten_to_twelve_weeks_with_no_line(self, made):
        plan = made("mirela").plan
        assert (plan.next_visit.foils_from - plan.date).days == 70
        assert (plan.next_visit.foils_to - plan.date).days == 84
        assert "no line" in plan.growout.sentence


class TestTamsin:
    def test_it_is_an_acid_shadow_a_nine_on_the_mids_and_the_same_bowl_on_the_ends(self, made):
        shadow, mids, ends = made("tamsin").plan.gloss
        assert [step.place for step in (shadow, mids, ends)] == ["root shadow", "mids", "ends"]
        assert shadow.kind == "acid demi"
        assert mids.depth == 9
        assert any("violet" in part.shade for part in mids.parts)
        assert {part.shade for part in ends.parts} == {part.shade for part in mids.parts}

    def test_order_is_shadow_mids_ends_last(self, made):
        said = words(*made("tamsin").plan.order)
        places = [said.index(word) for word in ("root shadow", "toner on mids", "toner on ends")]
        assert places == sorted(places)

    def test_no_strength_is_planned_and_no_check_of_lightener(self, made):
        plan = made("tamsin").plan
        assert plan.strengths == []
        assert plan.first_check_min is None
        assert not [step for miss in plan.gloss_misses for step in miss.steps
                    if step.name == "lighten again"]  # fmt: skip

    def test_eight_weeks_of_care_then_the_stretch_test_again(self, made):
        plan = made("tamsin").plan
        said = words(*(f"{r.what} {r.do}" for r in plan.reasons))
        assert "8 weeks of care" in said
        assert "16 bonds" in words(*(r.what for r in plan.cautions))
        assert (plan.next_visit.foils_from - plan.date).days == 56
        assert "stretch test first" in plan.next_visit.takes_next.lower()

    def test_no_lightener_whatever_she_pays(self, consultation):
        from strandline.service.plan.assemble import make_plan

        c = consultation("tamsin")
        rich = c.model_copy(update={"limits": c.limits.model_copy(update={"money": 20000.0})})
        plan = make_plan(rich, c.visit.date).plan
        assert plan.foils == []
        assert plan.bowls == []
        assert "lightener" in words(*(r.what for r in plan.refused))

    def test_shadow_mids_and_ends_are_the_trades(self, made):
        shadow, mids, ends = made("tamsin").plan.gloss
        assert shadow.depth == 8
        assert shadow.to_cm == 1.2
        assert (mids.minutes_low, mids.minutes_high) == (2, 3)
        assert ends.minutes_high <= 1

    def test_bonds_trim_and_care_are_said(self, made):
        plan = made("tamsin").plan
        said = words(*(f"{r.what} {r.do}" for r in [*plan.cautions, *plan.reasons]))
        assert "within 2 cm of a bond" in said
        assert "trim 3-5 cm" in said
        assert "stretch test" in said


class TestPerpetua:
    def test_there_is_no_formula(self, made):
        plan = made("perpetua").plan
        assert plan.gloss == plan.bowls == plan.strengths == plan.foils == []
        assert plan.order == []

    def test_a_strand_in_the_actual_mix_for_thirty_minutes_comes_first(self, made):
        said = words(*(f"{r.what} {r.do}" for r in made("perpetua").plan.reasons))
        assert "30 min" in said
        assert "strand" in said

    @pytest.mark.parametrize(
        ("result", "verdict"),
        [("heat", "stop"), ("fizz", "stop"), ("odd colour", "stop"), ("clean", "wait")],
    )
    def test_only_a_clean_strand_becomes_wait(self, consultation, result, verdict):
        from strandline.service.consultation.model import StrandTest
        from strandline.service.plan.assemble import make_plan

        c = consultation("perpetua")
        test = StrandTest(date=c.visit.date, result=result)
        tried = c.model_copy(update={"health": c.health.model_copy(update={"strand_test": test})})
        plan = make_plan(tried, c.visit.date).plan
        assert plan.verdict == verdict
        if verdict == "wait":
            assert plan.aim_stage <= 7


class TestJunia:
    def test_hairline_gets_12_5_and_the_rest_20(self, made):
        plan = made("junia").plan
        by_bowl = {s.bowl: s.poured_vol for s in plan.strengths}
        assert by_bowl == {"weak": 12.5, "main": 20}
        weak = {f.zone for f in plan.foils if f.bowl == "weak"}
        assert weak <= {"nape_hairline", "side_hairlines"}

    def test_six_to_eight_lowlights_at_seven_inside_the_light(self, made):
        plan = made("junia").plan
        dark = [f for f in plan.foils if f.kind == "lowlight weave"]
        assert 6 <= len(dark) <= 8
        assert plan.gloss[0].depth == 7

    def test_aims_at_nine_in_the_hair_left_out(self, made):
        plan = made("junia").plan
        assert plan.aim_stage == 9
        assert not [s for s in plan.strengths if "lightened" in s.band]

    def test_old_share_is_at_most_fifteen_percent_with_the_hit_rate_shown(self, made):
        after = made("junia").plan.next_visit
        assert after.old_share_after.middle <= 0.15
        assert after.old_share_after.low < after.old_share_after.high
        assert "80 in 100" in after.takes_next

    def test_shadow_seven_and_pearl_five_to_eight(self, made):
        steps = {step.place: step for step in made("junia").plan.gloss}
        assert steps["root shadow"].depth == 7
        assert 5 <= steps["mids"].minutes_low <= 8


class TestLorna:
    def test_weak_bowl_first_then_twenty(self, made):
        plan = made("lorna").plan
        assert plan.foils[0].bowl == "weak"
        assert 20 <= sum(f.bowl == "weak" for f in plan.foils) <= 27
        assert {s.poured_vol for s in plan.strengths} == {12.5, 20}

    def test_order_is_the_usual_one(self, made):
        order = words(*made("lorna").plan.order)
        places = [order.index(word) for word in ("nape", "fringe", "sides", "tip-outs", "shadow")]
        assert places == sorted(places)


class TestNoor:
    def test_cover_five_comes_to_eight_by_25_to_40_min_at_twenty(self, made):
        dose = next(s for s in made("noor").plan.strengths if s.bowl == "main" and "old" in s.band)
        assert 25 <= dose.due_min <= 40
        assert dose.stage_when_due.middle == pytest.approx(8, abs=0.25)

    def test_shadow_six_or_seven_melts_past_the_line(self, made):
        shadow = made("noor").plan.gloss[0]
        assert 6 <= shadow.depth <= 7
        assert shadow.to_cm > 2.5

    def test_fits_four_hours_alone(self, made):
        assert made("noor").plan.quote.minutes <= 240

    def test_the_year_stands_against_cover(self, made):
        quote = made("noor").plan.quote
        assert quote.year_blending.amount < quote.year_cover.amount

    def test_gloss_returns_at_six_to_eight_weeks(self, made):
        plan = made("noor").plan
        assert (plan.next_visit.gloss_from - plan.date).days == 42
        assert (plan.next_visit.gloss_to - plan.date).days == 56


class TestIlse:
    def test_both_bands_get_12_5_first_then_twenty(self, made):
        plan = made("ilse").plan
        bands = {s.band for s in plan.strengths}
        for band in bands:
            assert {s.poured_vol for s in plan.strengths if s.band == band} == {12.5, 20}
        assert len(bands) == 2

    def test_reaches_nine_in_twenty_to_forty_at_twenty(self, made):
        dose = next(s for s in made("ilse").plan.strengths if s.bowl == "main" and "old" in s.band)
        assert 20 <= dose.due_min <= 40
        assert 9 <= dose.stage_when_due.middle <= 9.5

    def test_shadow_is_an_eight(self, made):
        assert made("ilse").plan.gloss[0].depth == 8

    def test_white_regrowth_is_started_just_before_the_old_line(self, made):
        regrowth = next(s for s in made("ilse").plan.strengths if s.band == "regrowth")
        assert 0.5 <= regrowth.to_cm - regrowth.from_cm <= 1.0

    def test_contrast_only_by_lowlights_is_said(self, made):
        assert "lowlights" in made("ilse").plan.growout.sentence


@pytest.mark.parametrize("head", ["mirela", "tamsin"])
def test_cautions_of_colour_stand_where_no_lightener_is(made, head):
    said = words(*(f"{c.what} {c.do}" for c in made(head).plan.cautions))
    for word in ("allergic", "gloves", "alert test", "rinse at once"):
        assert word in said


@pytest.mark.parametrize("head", ["brona", "junia", "lorna", "noor", "ilse"])
def test_cautions_stand_where_lightener_is(made, head):
    said = words(*(f"{c.what} {c.do}" for c in made(head).plan.cautions))
    for word in ("gloves", "window", "label", "dryer", "rinse"):
        assert word in said
