"""Every strand's class: white as white, foils in foils, old light as it lies, zones as answered."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.hair.pigment import lab
from strandline.service.growout.grow import grow_out
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.growing import dressed, growing_json, ways_grown
from strandline.service.plan.strand_look import beside_parting

HEADS = ("brona", "ilse", "junia", "lorna", "mirela", "noor", "perpetua", "tamsin")


def names(look):
    return np.array([one.name for one in look.classes])[look.hair.kind]


@pytest.mark.parametrize("head", HEADS)
def test_white_strands_are_of_white_classes(made, head):
    looks = made(head).looks
    for look in (looks.kept, looks.planned):
        white = np.char.endswith(names(look), "white")
        assert np.array_equal(white, looks.strands.white)


@pytest.mark.parametrize(
    ("head", "how"),
    [("noor", "foils"), ("lorna", "foils"), ("brona", "foils"), ("mirela", "lowlights")],
)
def test_hair_in_foils_is_as_much_as_the_map_takes(made, head, how):
    one = made(head)
    strands = one.looks.strands
    found = strands.share(np.char.startswith(names(one.looks.planned), how))
    by_map = sum(foil.hair_share * strands.share(strands.in_zone(foil.key)) for foil in one.foils)
    assert found == pytest.approx(by_map, abs=0.02)


def test_on_a_return_visit_light_hair_stays_light_and_little_is_taken_again(made):
    looks = made("junia").looks
    found = names(looks.planned)
    again = looks.strands.share(np.char.startswith(found, "taken again"))
    taken = again + looks.strands.share(np.char.startswith(found, "foils"))
    assert looks.strands.share(np.char.startswith(found, "light already")) > 0.1
    # By sight 80 in 100 of what is taken was left out before.
    assert again / taken == pytest.approx(0.2, abs=0.05)


def test_nothing_is_done_where_nothing_is_planned(made):
    found = names(made("perpetua").looks.planned)
    assert set(np.char.partition(found, " ")[:, 0]) == {"left"}


def test_zones_of_another_level_are_of_classes_of_their_own(consultation):
    c = consultation("noor")
    back = c.areas.back.model_copy(update={"level": 3.0})
    darker = c.model_copy(update={"areas": c.areas.model_copy(update={"back": back})})
    looks = make_plan(darker, c.visit.date).looks
    level = {}
    for place, zone in enumerate(looks.zones):
        pigmented = (looks.strands.zone == place) & ~looks.strands.white
        kind = looks.planned.hair.kind[pigmented][0]
        level[zone.name] = lab(looks.planned.classes[kind].root)[0, 0]
    assert level["nape"] < level["sides"] < level["crown"]
    assert level["crown"] == level["fringe"]


@pytest.mark.parametrize("parting", ["left", "right", "centre", "none", "wandering"])
def test_any_parting_has_hair_beside_it_and_none_from_the_nape(made, parting):
    looks = made("noor").looks
    style = dataclasses.replace(looks.style, parting=parting)
    near = beside_parting(looks.strands, looks.zones, style)
    assert near.sum() > 800
    assert looks.strands.y[near].max() < 22
    if parting in ("left", "right"):
        assert np.sign(looks.strands.u[near]).mean() * (1 if parting == "right" else -1) > 0.7


def test_weeks_four_apart_look_unlike_on_a_head_that_grows_out(made):
    grown = made("noor").looks.grown(made("noor").looks.planned, [0.0, 4.0, 8.0, 12.0, 16.0])
    labs = np.array([seen.lab for seen in grown.weeks])
    assert np.all(delta_e00(labs[1:], labs[:-1]).mean(axis=1) > 1.0)


def test_ways_are_measured_alike_and_cover_renewed_never_grows_past_its_weeks(made):
    one = made("noor")
    ways = ways_grown(one, [0.0, 4.0, 12.0])
    assert [way.name for way in ways] == [
        "colour stopped",
        "covered every 4 weeks",
        "as planned",
    ]
    left, renewed, planned = (way.grown.weeks for way in ways)
    assert renewed[2].line == pytest.approx(renewed[1].line)
    assert left[2].line_of_growth > planned[2].line_of_growth > 0
    found = growing_json(one, ways)
    assert found["ways"][1]["line_seen_week"] is None
    assert found["ways"][2]["planned"] is True
    shown = {week.week: week.planned.line for week in one.plan.growout.weeks}
    assert found["ways"][2]["weeks"][2]["line_of_growth"] == pytest.approx(shown[12.0], abs=0.11)


@pytest.mark.parametrize(
    ("weeks", "said"),
    [([-4.0, 0.0], "0-104"), ([], "none"), ([8.0, 4.0], "do not rise"), ([0.0, 200.0], "0-104")],
)
def test_weeks_that_are_none_are_refused(made, weeks, said):
    with pytest.raises(OutOfRangeError, match=said):
        ways_grown(made("noor"), weeks)


def test_states_are_of_the_strands_own_classes_and_end_at_their_tips(made):
    one = made("noor")
    look = dressed(one, [0.0, 8.0])["as planned"]
    length = np.minimum(look.hair.tip_cm, 40.0)
    day, later = (look.states(week, length, 40) for week in (0.0, 8.0))
    each = len(look.colours.starts_cm) + 1
    held = day >= 0
    assert np.array_equal((day // each)[held], np.repeat(look.hair.kind[:, None], 40, 1)[held])
    # Eight weeks are about two centimetres of new growth, and what was shed is short.
    new = (later[:, 0] % each == 0).mean()
    assert new > 0.95
    assert (later < 0).sum() > (day < 0).sum()
    with pytest.raises(OutOfRangeError, match="was not coloured"):
        look.palette(3.0)


@pytest.mark.parametrize("faster", [0.7, 1.3])
@pytest.mark.parametrize("head", ["noor", "junia"])
def test_a_drawn_rate_is_read_as_if_hair_grew_at_it(made, head, faster):
    looks = made(head).looks
    hair, weeks = looks.planned.hair.some(looks.beside), [float(week) for week in range(27)]
    rate = looks.rate_cm_per_week

    def grown(rate_cm_per_week, **more):
        return grow_out(
            looks.planned.classes,
            weeks,
            rate_cm_per_week=rate_cm_per_week,
            fade=looks.fade,
            strands=hair,
            **more,
        ).week_line_passes(growth_alone=True)

    drawn = grown(rate, rate_draws=[faster * rate])
    assert drawn.middle == pytest.approx(grown(faster * rate).middle, abs=0.15)


def test_bands_lie_by_each_strands_growth_and_glosses_by_the_hand(made):
    one = made("noor")
    colours = dressed(one, [0.0])["as planned"].colours
    flagged = dict(zip(colours.starts_cm.tolist(), colours.grown.tolist(), strict=True))
    assert one.consultation.hair.regrowth_cm == 2.5
    (shadow,) = [round(g.to_cm, 6) for g in one.plan.gloss if g.place == "root shadow"]
    assert flagged[2.5]
    assert not flagged[shadow]
    assert not flagged[0.0]
