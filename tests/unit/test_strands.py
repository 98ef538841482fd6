"""The strands: shares, growth and colours are the plan's; the picture is the same each time."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from types import SimpleNamespace
from xml.etree import ElementTree as ET

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.report.palette import LIGHT
from strandline.salon.report.strands import (
    HEIGHT_MM,
    LOOKS,
    SHOWN_CM,
    STRANDS,
    WIDTH_MM,
    _curve,
    _piece,
    laid,
    strand_strip_svg,
    stretches,
)
from strandline.service.plan.model import StrandClass, StrandStretch


def hair(name="a", share=1.0, look="planned", root="#a9a08a", colours=("#806a55", "#857154")):
    cuts = [0.0, *(2.5 * n for n in range(1, len(colours))), 30.0]
    return StrandClass(
        name=name,
        look=look,
        share=share,
        root_colour=root,
        stretches=[
            StrandStretch(from_cm=a, to_cm=b, colour=colour)
            for (a, b), colour in zip(itertools.pairwise(cuts), colours, strict=True)
        ],
    )


def plan_of(*classes, weeks=((0.0, 0.0), (8.0, 2.1))):
    grown = [SimpleNamespace(week=week, grown_cm=cm) for week, cm in weeks]
    return SimpleNamespace(growout=SimpleNamespace(strands=list(classes), weeks=grown))


@pytest.mark.parametrize(
    "shares", [(1.0,), (0.5, 0.5), (0.75, 0.25), (0.2646, 0.0882, 0.4854, 0.1618), (0.96, 0.04)]
)
def test_every_class_has_its_share_of_the_strands_and_of_every_layer(shares):
    classes = [hair(f"{n}", share) for n, share in enumerate(shares)]
    drawn = laid(classes)
    assert len(drawn) == STRANDS
    counted = Counter(one.of.name for one in drawn)
    for one in classes:
        assert counted[one.name] == pytest.approx(one.share * STRANDS, abs=2)
    for start in range(0, STRANDS, STRANDS // 3):
        layer = Counter(one.of.name for one in drawn[start : start + STRANDS // 3])
        for one in classes:
            assert layer[one.name] == pytest.approx(one.share * STRANDS / 3, abs=2)


def test_shares_need_not_sum_to_one():
    halves = Counter(one.of.name for one in laid([hair("a", 0.2), hair("b", 0.2)]))
    assert halves["a"] == pytest.approx(STRANDS / 2, abs=2)


def test_growth_moves_what_was_there_out_and_has_the_colour_of_the_root():
    one = hair()
    assert next(iter(stretches(one, 0.0))) == (0.0, 2.5, "#806a55")
    grown = list(stretches(one, 2.1))
    assert grown[0] == (0.0, 2.1, "#a9a08a")
    assert grown[1] == (2.1, 4.6, "#806a55")


@pytest.mark.parametrize("grown_cm", [0.0, 0.4, 3.0, 9.0])
def test_a_strand_is_whole_from_scalp_to_the_end_of_the_picture(grown_cm):
    parts = list(stretches(hair(colours=("#111111", "#222222", "#333333")), grown_cm))
    assert parts[0][0] == 0.0
    for (_, end, _), (start, _, _) in itertools.pairwise(parts):
        assert start == end
    assert parts[-1][1] >= SHOWN_CM


def test_hair_shorter_than_the_picture_goes_on_to_its_end():
    short = StrandClass(
        name="short",
        look="planned",
        share=1.0,
        root_colour="#a9a08a",
        stretches=[StrandStretch(from_cm=0.0, to_cm=3.0, colour="#806a55")],
    )
    assert list(stretches(short, 1.0))[-1][1] >= SHOWN_CM


def test_new_growth_is_seen_only_once_it_has_grown():
    plan = plan_of(hair())
    assert "#a9a08a" not in strand_strip_svg(plan, "planned", 0.0)
    assert strand_strip_svg(plan, "planned", 8.0).count("#a9a08a") >= STRANDS


def test_colours_are_the_plans_on_neutral_gray_with_shadows_between():
    svg = strand_strip_svg(plan_of(hair()), "planned", 8.0)
    used = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', svg))
    assert used == {"#a9a08a", "#806a55", "#857154", LIGHT.neutral, "#000"}


def test_only_the_look_asked_for_is_drawn():
    plan = plan_of(hair(look="planned"), hair(look="as kept", colours=("#010203",)))
    assert "#010203" in strand_strip_svg(plan, "as kept", 0.0)
    assert "#010203" not in strand_strip_svg(plan, "planned", 0.0)


def test_drawing_is_well_formed_and_the_same_each_time():
    plan = plan_of(hair())
    svg = strand_strip_svg(plan, "planned", 8.0)
    assert svg == strand_strip_svg(plan, "planned", 8.0)
    root = ET.fromstring(svg)  # noqa: S314 - drawn by this project
    assert root.get("viewBox") == f"0 0 {WIDTH_MM:g} {HEIGHT_MM:g}"
    assert "url(" not in svg


def test_pieces_of_a_curve_are_the_curve():
    curve = _curve(laid([hair()])[7])
    for cut in (0.1, 0.37, 0.9):
        before, after = _piece(curve, 0.0, cut), _piece(curve, cut, 1.0)
        assert before[3] == pytest.approx(after[0])
        assert before[0] == pytest.approx(curve[0])
        assert after[3] == pytest.approx(curve[3])
        # height runs evenly along the curve, so that a cut is a length
        assert before[3][1] == pytest.approx(curve[0][1] + cut * (curve[3][1] - curve[0][1]))


def test_strands_cover_the_picture_from_edge_to_edge():
    lowest = list(laid([hair()])[: STRANDS // 3])
    for height in (0.0, 0.5, 1.0):
        spans = sorted(
            (x - one.wide_mm / 2, x + one.wide_mm / 2)
            for one in lowest
            for x in [_piece(_curve(one), height, height)[0][0]]
        )
        assert spans[0][0] <= 0
        assert spans[-1][1] >= WIDTH_MM


@pytest.mark.parametrize("look", LOOKS)
def test_every_week_of_a_real_plan_can_be_drawn(made, look):
    plan = made("noor").plan
    drawn = {strand_strip_svg(plan, look, week.week) for week in plan.growout.weeks}
    assert len(drawn) == len(plan.growout.weeks)


def test_what_the_plan_does_not_hold_is_told():
    with pytest.raises(OutOfRangeError, match="Week 5"):
        strand_strip_svg(plan_of(hair()), "planned", 5.0)
    with pytest.raises(OutOfRangeError, match="no strands"):
        strand_strip_svg(plan_of(hair()), "as kept", 0.0)


def test_a_shorter_picture_begins_at_the_scalp_all_the_same(made):
    plan = made("noor").plan
    whole, short = (strand_strip_svg(plan, "as kept", 8, high) for high in (46.0, 17.0))
    assert 'height="17mm" viewBox="0 0 30 17"' in short
    assert short.split("<title>")[1] == whole.split("<title>")[1]
