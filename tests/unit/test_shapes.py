"""Four heads that are hard to draw, each planned and its map read."""

from __future__ import annotations

import itertools
import re

import pytest
from tests.conftest import SHAPES

from strandline.salon.report.drawing import draw_plan_map

TEXT = re.compile(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*font-size="([\d.]+)"[^>]*>([^<]*)</text>')
WIDTH_EM = 0.5
"""A little more than the mean letter of the bundled font is wide, in its size."""


def boxes(drawn):
    """Give every line of words with the box it fills, mm."""
    for match in TEXT.finditer(drawn):
        x, y, size, words = float(match[1]), float(match[2]), float(match[3]), match[4]
        wide = WIDTH_EM * size * len(words)
        anchor = re.search(r'text-anchor="(\w+)"', match[0])
        left = {"end": x - wide, "middle": x - wide / 2}.get(anchor[1] if anchor else "", x)
        yield words, (left, y - 0.7 * size, left + wide, y + 0.05 * size)


def of(made, name, zone):
    return [foil for foil in made(name).foils if foil.zone == zone]


@pytest.mark.parametrize("name", SHAPES)
def test_each_plans(made, name):
    plan = made(name).plan
    assert plan.verdict == "go"
    low, high = plan.foil_range
    assert low <= plan.foil_count <= high
    assert plan.bowls
    assert plan.clock is not None


@pytest.mark.parametrize("name", SHAPES)
def test_no_words_of_a_map_lie_over_others(made, name):
    """Even at the mean width of a letter; numbers of foils have plates of their own."""
    said = list(boxes(draw_plan_map(made(name))))
    assert len(said) > 60
    for (one, a), (other, b) in itertools.combinations(said, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, f"'{one}' and '{other}'"


@pytest.mark.parametrize("name", SHAPES)
def test_first_and_last_foil_of_each_section_can_be_read(made, name):
    foils = made(name).foils
    shown = {words for words, _ in boxes(draw_plan_map(made(name)))}
    for section in foils.order:
        numbers = [foil.number for foil in foils.section(section)]
        assert {str(numbers[0]), str(numbers[-1])} <= shown


def test_where_hair_turns_all_is_woven_and_partings_turn(made):
    """Wenna: a double swirl at the crown, and her fringe turns on one side."""
    for zone in ("crown", "fringe"):
        foils = of(made, "wenna", zone)
        assert {foil.kind for foil in foils} == {"weave"}
        assert all(foil.turned for foil in foils)
    assert len(made("wenna").foils.zones.whirls["crown"]) == 2
    assert not [foil for foil in made("wenna").foils if foil.kind == "tip-out"]


def test_a_short_dense_fringe_has_more_hair_in_the_same_scalp(made):
    def roots_a_cm2(name):
        zone = made(name).foils.zones["fringe"]
        foils = of(made, name, "fringe")
        return sum(f.roots for f in foils) / sum(f.hair_share for f in foils) / zone.area_cm2

    assert roots_a_cm2("wenna") == pytest.approx(1.25 * roots_a_cm2("noor"), rel=0.01)


def test_long_fine_hair_has_its_product_along_its_length(made):
    """65 cm of 55 um hair weigh so much a root as 30 cm of 81 um."""
    long, usual = (of(made, name, "crown")[0] for name in ("sidony", "noor"))
    a_root = [foil.hair_grams / foil.roots for foil in (long, usual)]
    assert a_root[0] / a_root[1] == pytest.approx(65 / 30 * (55 / 70) ** 2, rel=0.01)


def test_tight_curl_is_planned_by_its_stretched_length(made):
    head = made("tavia").head
    assert head.length_cm == pytest.approx(20 * 1.8)
    assert made("tavia").plan.scalp.parting_cm is None  # it wanders


def test_a_thin_crown_takes_thinner_sections_there_alone(made):
    crown, top = of(made, "oriel", "crown"), of(made, "oriel", "top")
    assert {foil.grade for foil in crown} == {"normal"}
    assert {foil.grade for foil in top} == {"full"}
    assert max(f.thickness_mm for f in crown) < min(f.thickness_mm for f in top)
    assert any("thin at the crown" in one.what for one in made("oriel").plan.cautions)
