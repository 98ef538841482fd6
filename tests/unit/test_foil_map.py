"""The foil map as a drawing: true to the geometry, legible, fit for paper and screen."""

from __future__ import annotations

import itertools
import math
from dataclasses import fields
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

import strandline.salon.report
from strandline.salon.report.foil_column import HEIGHT_MM, WIDTH_MM
from strandline.salon.report.foil_map import MIDDLE, MM_PER_CM, foil_map_svg
from strandline.salon.report.foil_number import SIZE_MM, labels
from strandline.salon.report.foil_strip import pieces, strip_mm
from strandline.salon.report.foil_words import pitch_mm, ranges, section_lines
from strandline.salon.report.palette import DARK, LIGHT, Palette, contrast, luminance
from strandline.salon.report.svg import figure
from strandline.salon.report.view import View
from strandline.science.head.zones import cut_zones
from strandline.service.placement.foil import FoilMap, grown_out
from strandline.service.placement.pattern import Pattern, pattern, pattern_names
from strandline.service.placement.place import place

ZONES = cut_zones()
MAPS = {name: place(ZONES, pattern(name)) for name in pattern_names()}
VIEW = View(ZONES.scalp, MIDDLE, MM_PER_CM)
SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(strandline.salon.report.__path__[0]) / "fonts"


def groups(svg: str, name: str) -> list[ET.Element]:
    root = ET.fromstring(svg)  # noqa: S314 - drawn by this project
    return [g for g in root.iter(f"{SVG}g") if g.get("class") == name]


def test_every_foil_is_drawn_once_in_its_kind() -> None:
    for foils in MAPS.values():
        svg = foil_map_svg(foils)
        (drawn,) = groups(svg, "foils")
        kinds = [g.get("class") for g in drawn if g.tag == f"{SVG}g"]
        expected = ["lowlight" if f.kind == "lowlight weave" else f.kind for f in foils]
        assert kinds == expected


def test_drawing_uses_nothing_that_paper_cannot() -> None:
    svg = foil_map_svg(
        MAPS["heavy"], ghosts=MAPS["soft"], facts=[("a", "b")], colours=[("c", "#abcdef")]
    )
    for word in (
        "filter",
        "var(",
        "foreignObject",
        "url(",
        "<style",
        "objectBoundingBox",
        "<image",
    ):
        assert word not in svg


def test_words_are_kept_as_words() -> None:
    svg = foil_map_svg(MAPS["soft"], title="<Noor & Co>", subtitle='"first"')
    root = ET.fromstring(svg)  # noqa: S314 - drawn by this project
    title = root.find(f"{SVG}title")
    assert title is not None
    assert title.text == "<Noor & Co>"


def test_everything_lies_on_the_sheet() -> None:
    for foil in MAPS["heavy"]:
        for x, y in itertools.chain.from_iterable(pieces(foil, VIEW)):
            assert 0 < x < 115
            assert 0 < y < HEIGHT_MM
    assert WIDTH_MM < 297, "an A4 page lying down"
    on_worksheet = 192 / WIDTH_MM
    assert HEIGHT_MM * on_worksheet < 148.5, "half an A4 page"
    assert SIZE_MM * on_worksheet > 2.0


@pytest.mark.parametrize("name", pattern_names())
def test_numbers_are_legible_and_meet_no_other(name: str) -> None:
    foils = MAPS[name]
    placed = labels(foils.foils, VIEW)
    assert SIZE_MM >= 2.2
    for one, other in itertools.combinations(placed, 2):
        assert not one.meets(other, (0.0, 0.0))
    shown = {label.number for label in placed}
    for section in foils.order:
        run = foils.section(section)
        assert {run[0].number, run[-1].number} <= shown
    assert len(shown) >= 0.9 * len(foils)


def test_crowded_numbers_are_thinned_but_every_run_keeps_its_ends() -> None:
    thin = pattern("heavy", {"slice_full_mm": 2.5})
    crowded = place(ZONES, thin, pitch_scale=0.2)
    placed = labels(crowded.foils, VIEW)
    assert len(placed) < len(crowded)
    for one, other in itertools.combinations(placed, 2):
        assert not one.meets(other, (0.0, 0.0))
    numbers = {label.number for label in placed}
    top = crowded.in_zone("top")
    assert top[0].number in numbers


def test_number_stands_on_its_own_strip() -> None:
    foils = {foil.number: foil for foil in MAPS["soft"]}
    for label in labels(MAPS["soft"].foils, VIEW):
        line = VIEW.line(foils[label.number].line)
        assert min(math.dist(label.at, place) for place in line) < 2.5


def test_view_keeps_the_midline_true() -> None:
    for y0, y1 in ((0.0, 5.0), (5.0, 18.1), (18.1, 36.2)):
        assert VIEW.y_of(y1) - VIEW.y_of(y0) == pytest.approx((y1 - y0) * MM_PER_CM)


def test_view_puts_left_at_left_and_fringe_above() -> None:
    for u, y in ((3.0, 5.0), (6.0, 14.0), (5.0, 30.0)):
        right, left = VIEW.at((u, y)), VIEW.at((-u, y))
        assert left[0] < MIDDLE[0] < right[0]
        assert left[1] == pytest.approx(right[1])
        assert MIDDLE[0] - left[0] == pytest.approx(right[0] - MIDDLE[0])
    assert VIEW.y_of(0.0) < VIEW.y_of(20.0)


def test_strips_are_as_thick_as_they_are_or_can_be_seen() -> None:
    for foil in MAPS["heavy"]:
        true = foil.thickness_mm / 10 * MM_PER_CM
        assert strip_mm(foil, VIEW) == pytest.approx(max(true, 1.0))


def test_weave_shows_its_picks() -> None:
    fine = next(foil for foil in MAPS["heavy"] if foil.grade == "fine" and foil.kind == "weave")
    drawn = pieces(fine, VIEW)
    assert len(drawn) == round(fine.length_cm * 10 / 6)
    assert len(pieces(MAPS["heavy"].in_zone("top")[0], VIEW)) == 1


def test_ghosts_are_dashed_and_said() -> None:
    old = grown_out(MAPS["soft"], 3.3)
    svg = foil_map_svg(MAPS["return"], ghosts=old)
    (drawn,) = groups(svg, "ghosts")
    assert len(drawn) == len(old)
    assert all(path.get("stroke-dasharray") for path in drawn)
    assert "3.3 cm" in svg
    assert not groups(foil_map_svg(MAPS["return"]), "ghosts")


def test_order_of_work_is_said_with_its_numbers() -> None:
    heavy = MAPS["heavy"]
    svg = foil_map_svg(heavy, next_section="fringe")
    (order,) = groups(svg, "order")
    words = [element.text for element in order.iter(f"{SVG}text")]
    for name in heavy.order:
        assert name in words
        assert ranges(foil.number for foil in heavy.section(name)) in words
    violet = [e.text for e in order.iter(f"{SVG}text") if e.get("fill") == LIGHT.accent]
    assert violet == ["fringe", ranges(foil.number for foil in heavy.section("fringe"))]


def test_long_column_stands_clear_of_the_key() -> None:
    facts = [(f"figure {k}", "12 g") for k in range(7)]
    svg = foil_map_svg(
        place(ZONES, pattern("return"), ghosts=MAPS["heavy"]),
        ghosts=grown_out(MAPS["heavy"], 3.0),
        facts=facts,
        colours=[("lifted", "#d8b98a"), ("toned", "#cdbfae")],
    )
    said = groups(svg, "facts")[0]
    lowest = max(float(element.get("y", 0)) for element in said.iter(f"{SVG}text"))
    (key,) = groups(svg, "key")
    first = min(float(e.get("y", 0)) for e in key if e.tag == f"{SVG}text")
    assert lowest < first - 4
    heights = sorted(float(e.get("y", 0)) for e in said.iter(f"{SVG}text"))
    gaps = [b - a for a, b in itertools.pairwise(heights) if b - a > 0.01]
    assert min(gaps) > 2.4


def test_words_of_a_section_give_the_pattern_back() -> None:
    lines = section_lines(MAPS["heavy"], "centre strip")
    assert [line.words for line in lines] == [
        "nape, slice, every 15 mm",
        "lower back, slice, every 15 mm",
        "upper back, slice, every 10 mm",
        "crown, full slice, every 6 mm",
        "top, full slice, every 6 mm",
    ]
    assert pitch_mm(MAPS["heavy"].in_zone("temples left")) is None
    assert ranges([3, 4, 5, 9]) == "3–5, 9"


def test_map_without_foils_is_open_ground() -> None:
    empty = place(ZONES, Pattern("", {}))
    svg = foil_map_svg(empty)
    assert not groups(svg, "foils")
    assert "0 foils" in svg


def test_map_of_any_head_is_drawn() -> None:
    small = FoilMap((), ZONES, {}, ())
    assert foil_map_svg(small).startswith("<svg")


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_palette_can_be_read(palette: Palette) -> None:
    """WCAG 2.2 AA: 4.5 for words, 3 for large words and drawings."""
    for ground in (palette.paper, palette.ground):
        assert contrast(palette.ink, ground) >= 7
        assert contrast(palette.quiet, ground) >= 4.5
        assert contrast(palette.accent, ground) >= 4.5
        assert contrast(palette.foil_edge, ground) >= 3
        assert contrast(palette.ghost, ground) >= 3
    for field in fields(palette):
        assert getattr(palette, field.name).startswith("#")


def test_foils_and_lowlights_differ_in_gray() -> None:
    for palette in (LIGHT, DARK):
        assert contrast(palette.foil, palette.dark) >= 3
    assert luminance("#ffffff") == pytest.approx(1.0)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


def test_coordinates_are_short() -> None:
    assert [figure(v) for v in (1.0, 0.126, -0.001, 12.30)] == ["1", "0.13", "0", "12.3"]


def test_map_prints_through_typst(tmp_path: Path) -> None:
    typst = pytest.importorskip("typst")
    (tmp_path / "map.svg").write_text(foil_map_svg(MAPS["heavy"]), "utf-8")
    page = f'#set page(width: {WIDTH_MM}mm, height: {HEIGHT_MM}mm, margin: 0mm)\n#image("map.svg")'
    (tmp_path / "map.typ").write_text(page, "utf-8")
    compile_ = typst.compile
    pdf = compile_(str(tmp_path / "map.typ"), font_paths=[str(FONTS)], ignore_system_fonts=True)
    assert pdf.startswith(b"%PDF")
    assert b"SourceSans3" in pdf
