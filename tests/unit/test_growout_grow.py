"""Grow-out: profiles, lines, fade, draws and weeks."""

from __future__ import annotations

import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.seeing import (
    GRAY,
    RATE_CM_PER_WEEK,
    covered_pair,
    natural_pair,
    reference_blend,
)
from strandline.science.chemistry.fade import fade
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES, Fibre
from strandline.science.hair.mixing import area_mix
from strandline.science.hair.pigment import lab, reflectance
from strandline.service.growout.cover import kept_as_today, solid_cover
from strandline.service.growout.grow import GrowOut, grow_out
from strandline.service.growout.look import HairClass, Layer

WHITE, PIGMENTED = natural_pair()
COVER = solid_cover(GRAY, natural_pair(), covered_pair())
WEEKS = tuple(float(week) for week in range(27))


def _same(states: Fibre, _weeks: float) -> Fibre:
    return states


def _demi(states: Fibre, weeks: float) -> Fibre:
    return fade(states, "acid demi", weeks)


def _grown(classes: tuple[HairClass, ...], weeks: tuple[float, ...] = WEEKS, **more) -> GrowOut:
    more = {"rate_cm_per_week": RATE_CM_PER_WEEK, "fade": _same} | more
    return grow_out(classes, weeks, **more)


def _glossed(fibre: Fibre, violet: float = 0.6) -> Fibre:
    dyes = np.zeros((1, len(DYES)))
    dyes[0, DYES.index("violet")] = violet
    return fibre.with_(dyes=dyes)


def test_ends_of_the_profile_are_area_mixes_of_what_is_there() -> None:
    seen = _grown(COVER).weeks[8]
    shares = np.array([GRAY, 1 - GRAY])
    both = np.concatenate([reflectance(WHITE), reflectance(PIGMENTED)])
    assert seen.lab[0] == pytest.approx(lab_from_reflectance(area_mix(both, shares)), abs=1e-6)
    assert seen.lab[-1] == pytest.approx(lab(PIGMENTED)[0], abs=1e-6)
    assert seen.grown_cm == pytest.approx(8 * RATE_CM_PER_WEEK)


def test_everything_moves_out_by_the_growth() -> None:
    layers = (Layer(0.0, 1.0, PIGMENTED), Layer(1.0, math.inf, WHITE))
    look = _grown((HairClass("hair", 1.0, layers, PIGMENTED),), (0.0, 4.0, 8.0))
    for seen in look.weeks:
        light = look.y_cm[int(np.argmax(seen.lab[:, 0] > 44))]
        assert light == pytest.approx(1.0 + seen.grown_cm, abs=0.15)


def test_edge_stands_at_the_old_line() -> None:
    seen = _grown(COVER).weeks[12]
    assert seen.edge_cm == pytest.approx(seen.grown_cm, abs=0.4)


def test_the_week_does_not_depend_on_which_weeks_are_asked() -> None:
    alone = _grown(COVER, (8.0,)).weeks[0]
    among = _grown(COVER).weeks[8]
    assert alone.line == pytest.approx(among.line)
    assert alone.edge == pytest.approx(among.edge)


def test_rate_twice_as_fast_passes_in_half_the_weeks() -> None:
    fine = tuple(0.05 * i for i in range(200))
    one = _grown(COVER, fine).week_line_passes().middle
    two = _grown(COVER, fine, rate_cm_per_week=2 * RATE_CM_PER_WEEK).week_line_passes().middle
    assert two == pytest.approx(one / 2, rel=1e-3)


def test_no_growth_no_fade_nothing_changes() -> None:
    look = _grown(COVER, rate_cm_per_week=0.0)
    assert all(seen.line == 0.0 for seen in look.weeks)
    assert look.weeks[20].lab == pytest.approx(look.weeks[0].lab)


def test_fade_counts_in_the_line_but_not_in_that_of_growth() -> None:
    layers = (Layer(0.0, math.inf, _glossed(WHITE)),)
    hair = (HairClass("hair", 1.0, layers, WHITE),)
    still = _grown(hair, rate_cm_per_week=0.0, fade=_demi).weeks[12]
    assert still.line > 10.0
    assert still.line_of_growth == 0.0
    lasting = _grown(hair)
    assert lasting.line_draws == pytest.approx(lasting.growth_draws)


def test_stretch_fades_its_own_way() -> None:
    glossed = _glossed(WHITE)
    own = (Layer(0.0, 3.0, glossed, _demi), Layer(3.0, math.inf, glossed))
    seen = _grown((HairClass("hair", 1.0, own, WHITE),), rate_cm_per_week=0.0).weeks[8]
    assert seen.lab[-1] == pytest.approx(lab(glossed)[0], abs=1e-6)
    assert seen.lab[15] == pytest.approx(lab(_demi(glossed, 8.0))[0], abs=1e-6)


def test_stripes_and_contrast_are_of_their_own_week() -> None:
    """Glossed foils beside bare hair of the same kind: as the gloss goes, so do the stripes."""
    deep = _glossed(WHITE, 3.0)
    foils = (
        HairClass("foils", 0.4, (Layer(0, 99, deep),), WHITE, 2.0, "foils"),
        HairClass("left out", 0.6, (Layer(0, 99, WHITE),), WHITE, 3.0, "left out"),
    )
    week = 3.0
    faded = (
        HairClass("foils", 0.4, (Layer(0, 99, _demi(deep, week)),), WHITE, 2.0, "foils"),
        foils[1],
    )
    fading = _grown(foils, (0.0, week), rate_cm_per_week=0.0, fade=_demi)
    then = _grown(faded, (0.0,), rate_cm_per_week=0.0).weeks[0]
    assert fading.weeks[1].stripes_mirror == pytest.approx(then.stripes_mirror)
    assert fading.weeks[1].strand_peak == pytest.approx(then.strand_peak)
    assert fading.weeks[1].contrast.dark_level == pytest.approx(then.contrast.dark_level)
    assert fading.weeks[0].stripes_mirror > then.stripes_mirror + 1.0


def test_line_passes_between_weeks_or_never() -> None:
    look = _grown(COVER)
    week = look.week_line_passes()
    assert week.low == week.middle == week.high
    whole = math.floor(week.middle)
    assert look.weeks[whole].line < 20.0 <= look.weeks[whole + 1].line
    assert _grown(COVER, (0.0, 1.0)).week_line_passes().middle == math.inf
    assert _grown(COVER, (8.0, 9.0)).week_line_passes().middle == 8.0
    assert look.week_line_passes(30.0).middle > week.middle
    with pytest.raises(OutOfRangeError, match="threshold"):
        look.week_line_passes(0.0)


def test_drawn_rates_widen_the_figures_round_the_usual() -> None:
    drawn = RATE_CM_PER_WEEK * np.linspace(0.7, 1.3, 33)
    look, usual = _grown(COVER, rate_draws=drawn), _grown(COVER)
    week = look.week_line_passes()
    assert week.low < week.middle < week.high
    assert week.middle == pytest.approx(usual.week_line_passes().middle, rel=0.01)
    assert look.line_draws.shape == (33, 27)
    for seen, one in zip(look.weeks, usual.weeks, strict=True):
        assert seen.line == one.line
        assert seen.line_range.low <= seen.line <= seen.line_range.high
        assert one.line_range.low == one.line_range.high == one.line


def test_blend_stripes_until_its_roots_are_natural_again() -> None:
    look = reference_blend(GRAY, "natural")
    start, later = look.weeks[0], look.weeks[-1]
    assert start.stripes_mirror >= start.stripes_table > 1.0
    assert start.strand_peak > 1.0
    assert later.stripes_mirror == pytest.approx(0.0, abs=1e-3)


def test_contrast_of_fresh_cover_is_none_and_of_foils_their_share() -> None:
    assert _grown(COVER).weeks[0].contrast.even
    foils = (
        HairClass("foils", 0.35, (Layer(0, 99, WHITE),), WHITE, 2.0, "foils"),
        HairClass("left out", 0.65, (Layer(0, 99, PIGMENTED),), PIGMENTED, 3.7, "left out"),
    )
    seen = _grown(foils).weeks[0].contrast
    assert seen.light_share == pytest.approx(0.35)
    assert seen.dark_level == pytest.approx(5.0, abs=0.05)


def test_splitting_a_class_changes_nothing() -> None:
    white, pigmented = COVER
    half = [
        HairClass(f"{i}", white.share / 2, white.layers, white.root, white.run_mm, white.strand)
        for i in (1, 2)
    ]
    one, two = _grown(COVER), _grown((*half, pigmented))
    assert two.line_draws == pytest.approx(one.line_draws)
    assert two.weeks[3].stripes_mirror == pytest.approx(one.weeks[3].stripes_mirror, abs=1e-6)


@pytest.mark.parametrize(
    ("weeks", "more", "match"),
    [
        ((), {}, "do not rise"),
        ((1.0, 1.0), {}, "do not rise"),
        ((-1.0, 1.0), {}, "do not rise"),
        ((0.0, 1.0), {"rate_cm_per_week": -0.1}, "rates of growth"),
        ((0.0, 1.0), {"rate_draws": [0.2, math.nan]}, "rates of growth"),
        ((0.0, 1.0), {"rate_draws": []}, "no draws"),
        ((0.0, 1.0), {"rate_cm_per_week": math.inf}, "rates of growth"),
        ((0.0, 1.0), {"since_day": [0.0]}, "2 weeks and 1"),
    ],
)
def test_what_cannot_be_is_refused(weeks, more, match: str) -> None:
    with pytest.raises(OutOfRangeError, match=match):
        _grown(COVER, weeks, **more)


def test_cover_kept_equals_the_same_classes_grown() -> None:
    kept = kept_as_today(COVER, WEEKS, rate_cm_per_week=RATE_CM_PER_WEEK, fade=_same)
    assert kept.line_draws == pytest.approx(_grown(COVER).line_draws)
