"""Junia's third visit, planned after two of the same head: what 40 to 50 foils meet there.

Foils, lowlights, strengths, aim, tone and interval are common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest
from tests.conftest import EXAMPLES

from strandline.salon.report.drawing import draw_plan_map
from strandline.service.consultation.model import Cover
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import read_earlier

THIRD = dt.date(2026, 12, 8)
pytestmark = pytest.mark.practice


@cache
def visits():
    """Give two visits of the head as it was under its cover, and the third of the example."""
    path = EXAMPLES / "junia.toml"
    own = read_consultation(
        path.read_bytes(),
        path.name,
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=THIRD,
        today=THIRD,
    )
    covered = own.model_copy(
        update={
            "bands": [],
            "cover": Cover(depth=6, years=5),
            "visit": own.visit.model_copy(update={"number": 1}),
            "aim": own.aim.model_copy(update={"too_light_now": False}),
        }
    )
    out = []
    for weeks, c in ((26, covered), (13, covered), (0, own)):
        day = THIRD - dt.timedelta(weeks=weeks)
        earlier = read_earlier(out[-1].plan.model_dump_json().encode(), b"") if out else None
        out.append(make_plan(c, day, earlier=earlier))
    return out


def foils(dark):
    return [row for row in visits()[2].plan.foils if (row.kind == "lowlight weave") == dark]


def test_foils_go_into_left_out_hair_and_few_lowlights_into_the_light():
    assert visits()[2].plan.visit == 3
    assert 40 <= len(foils(dark=False)) <= 50
    assert 6 <= len(foils(dark=True)) <= 8


def test_lowlights_do_not_grow_with_the_visits_before():
    """As many as on the head whose past is told by bands alone."""
    path = EXAMPLES / "junia.toml"
    own = read_consultation(
        path.read_bytes(), path.name, beside=lambda other: (EXAMPLES / other).read_bytes()
    )
    told = make_plan(own, THIRD).plan.foils
    assert len([row for row in told if row.kind == "lowlight weave"]) == len(foils(dark=True))


def test_strengths_aim_tone_and_interval_are_the_trades():
    plan = visits()[2].plan
    vols = {dose.bowl: dose.poured_vol for dose in plan.strengths}
    assert vols["weak"] == pytest.approx(12.5)
    assert vols["main"] == 20
    assert {row.bowl for row in foils(dark=False) if "hairline" in row.zone} == {"weak"}
    assert plan.aim_stage == 9
    assert plan.tone_family == "pearl"
    assert 14 <= plan.interval_weeks <= 16


def test_old_colour_falls_and_light_is_met_no_oftener_than_by_sight():
    kept = visits()[2].plan.carried
    shares = [one.percent.middle for one in kept.old_colour]
    assert shares == sorted(shares, reverse=True)
    assert shares[1] - shares[2] > 10
    assert kept.hairline_overlap_cm <= 0.5
    assert kept.overlap_percent.middle == pytest.approx(20, abs=3)
    assert kept.hit_percent.middle == pytest.approx(80, abs=3)


def test_the_map_shows_both_visits_before():
    drawn = draw_plan_map(visits()[2])
    assert drawn.count('stroke-dasharray="0.9 0.7"') >= len(visits()[1].plan.foils)
    assert drawn.count('stroke-dasharray="0.2 0.75"') >= len(visits()[0].plan.foils)
