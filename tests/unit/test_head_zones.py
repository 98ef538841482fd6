"""Zones tile the scalp."""

from __future__ import annotations

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.head.polygon import holds
from strandline.science.head.scalp import Scalp
from strandline.science.head.zones import NAMES, CutLines, cut_zones


def test_zones_have_every_name_and_sum_to_the_scalp() -> None:
    zones = cut_zones()
    assert {zone.name for zone in zones} == set(NAMES)
    assert zones.area_cm2 == pytest.approx(zones.scalp.area_cm2, rel=1e-9)
    assert sum(zones.shares().values()) == pytest.approx(1.0)


def test_zones_do_not_overlap_and_leave_no_gap() -> None:
    zones = cut_zones()
    scalp = zones.scalp
    for i in range(-44, 45):
        for k in range(1, 90):
            point = (i * 0.2 + 0.0137, k * 0.4 + 0.0071)
            inside = [zone.key for zone in zones if holds(zone.outline, point)]
            assert len(inside) == int(holds(scalp.outline, point)), (point, inside)


def test_zone_shares_of_answers_sum_to_one() -> None:
    for zone in cut_zones():
        assert sum(zone.answers_for.values()) == pytest.approx(1.0)
        assert set(zone.answers_for) <= {"front", "crown", "back"}


def test_zones_area_weighted_mean_of_one_answer_is_that_answer() -> None:
    zones = cut_zones()
    assert zones.average({"front": 40.0, "crown": 40.0, "back": 40.0}) == pytest.approx(40.0)
    mixed = zones.average({"front": 70.0, "crown": 40.0, "back": 10.0})
    by_hand = sum(
        zones.shares()[zone.key]
        * sum(s * {"front": 70, "crown": 40, "back": 10}[a] for a, s in zone.answers_for.items())
        for zone in zones
    )
    assert mixed == pytest.approx(by_hand)


def test_zone_areas_she_names() -> None:
    zones = cut_zones()
    assert zones["sides left"].area_name == "sides"
    assert zones["fringe"].area_name == "front"
    assert zones["crown"].area_name == "crown"
    assert zones["nape"].area_name == "back"


def test_zones_of_a_wider_strip_give_hair_from_sides_to_top() -> None:
    narrow = cut_zones(cuts=CutLines(centre_strip_cm=9.0))
    wide = cut_zones(cuts=CutLines(centre_strip_cm=11.0))
    assert wide["top"].area_cm2 > narrow["top"].area_cm2
    assert wide["sides left"].area_cm2 < narrow["sides left"].area_cm2


def test_zones_mirrored_with_a_strip_off_the_midline() -> None:
    zones = cut_zones(cuts=CutLines(strip_offset_cm=1.5))
    other = zones.mirrored()
    assert zones["sides left"].area_cm2 > zones["sides right"].area_cm2
    assert zones["sides left"].area_cm2 == pytest.approx(other["sides right"].area_cm2)
    assert zones["fringe"].area_cm2 == pytest.approx(other["fringe"].area_cm2)


@pytest.mark.parametrize(
    "wrong",
    [
        {"centre_strip_cm": 4.0},
        {"fringe_depth_cm": 20.0},
        {"hairline_depth_cm": 0.1},
        {"strip_offset_cm": 9.0},
        {"top_end_share": 0.6},
        {"temple_end_share": 0.9},
    ],
)
def test_cut_lines_out_of_range_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(OutOfRangeError):
        CutLines(**wrong)


def test_cut_lines_that_leave_no_hair_are_refused() -> None:
    bald_temples = CutLines(hairline_depth_cm=3.0, centre_strip_cm=12.0, temple_end_share=0.06)
    with pytest.raises(OutOfRangeError, match="no hair"):
        cut_zones(Scalp(), bald_temples)


def test_zone_unknown_is_refused_with_the_names() -> None:
    with pytest.raises(OutOfRangeError, match="sides left"):
        cut_zones()["chin"]
