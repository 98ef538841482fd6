"""The two sheets as PDF: the worksheet for the chair, the client sheet with the promise.

typst sets a template from the plan's words. Fonts are our own and no others, the date is the
plan's, so that the same plan gives the same bytes everywhere.
"""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from collections.abc import Mapping, Sequence
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, Literal
from xml.etree import ElementTree as ET

from strandline.salon.report.client_growout import head_name, picture_name
from strandline.salon.report.client_words import client_words
from strandline.salon.report.strands import HEIGHT_MM, LOOKS, Look, strand_strip_svg
from strandline.salon.report.worksheet_words import worksheet_words
from strandline.service.plan.model import ServicePlan

Paper = Literal["a4", "us-letter"]
"""A4 by ISO 216, Letter by ANSI/ASME Y14.1."""
Try = tuple[float, float, bool]
"""Text size in points, least height of the map in mm, and whether the reasons are told too."""


def _tries(first: float, last: float, map_mm: float, *, wordy: bool) -> tuple[Try, ...]:
    return tuple(
        (tenths / 10, map_mm, wordy)
        for tenths in range(round(first * 10), round(last * 10) - 1, -2)
    )


WITH_MAP = (
    *_tries(10.4, 9.0, 101, wordy=True),
    *_tries(9.6, 8.4, 101, wordy=False),
    *_tries(8.4, 7.4, 94, wordy=False),
    *_tries(7.2, 6.0, 80, wordy=False),
)
"""Tried in turn: the text shrinks, the reasons go, the map shrinks, then both. What fits in none
is drawn smaller as a whole."""
WITHOUT_MAP = (*_tries(13.0, 8.0, 0, wordy=True), *_tries(9.0, 6.0, 0, wordy=False))
"""The same for a visit without foils."""
UNDER_HEADS_MM = 29.3
"""What the pictures of strands under heads show, of their 46 mm: the first five centimetres."""
MAP_TOP_MM = 6.0
"""Cut off the drawing's own top: the sheet has a head of its own."""

_SVG = "{http://www.w3.org/2000/svg}"


def worksheet_pdf(plan: ServicePlan, foil_map_svg: str, *, paper: Paper = "a4") -> bytes:
    """Set the worksheet on one side.

    Parameters
    ----------
    plan : the plan
    foil_map_svg : its foil map, as `foil_map_svg` draws it
    paper : its size

    Returns
    -------
    bytes   a PDF of one page

    Notes
    -----
    The template measures the whole sheet in each of its sizes and sets the first that fits, in one
    compilation; what fits in none is scaled. There is no second page to spill onto.
    """
    words = worksheet_words(plan)
    words["paper"] = paper
    drawings: dict[str, str | bytes] = {}
    words["sizes"] = [
        {"size": size, "map": least, "wordy": wordy}
        for size, least, wordy in (WITH_MAP if words["foils"] else WITHOUT_MAP)
    ]
    words["map"] = {"width": 1.0, "height": 1.0}
    if words["foils"]:
        drawings["foil-map.svg"], width, height = _bare_map(foil_map_svg)
        words["map"] = {"width": width, "height": height}
    return _pdf("worksheet.typ", words, drawings, plan.date)


def client_sheet_pdf(
    plan: ServicePlan,
    heads: Mapping[tuple[Look, int], bytes] | None = None,
    ways: Sequence[Mapping[str, Any]] = (),
    *,
    paper: Paper = "a4",
) -> bytes:
    """Set the client sheet.

    Parameters
    ----------
    plan : the plan
    heads : pictures of the head as PNG, by look and place of the week; none without them
    ways : rows of the other ways there were, as `ways_for_her` gives them
    paper : its size

    Returns
    -------
    bytes   a PDF of one or two pages
    """
    words = client_words(plan, ways)
    words["heads"] = bool(heads)
    words["paper"] = paper
    high = UNDER_HEADS_MM if heads else HEIGHT_MM
    drawings: dict[str, str | bytes] = {
        picture_name(look, number): strand_strip_svg(
            plan, look, plan.growout.weeks[number].week, high
        )
        for number in range(len(words["weeks"]))
        for look in LOOKS
    }
    for (look, number), picture in (heads or {}).items():
        drawings[head_name(look, number)] = picture
    return _pdf("client-sheet.typ", words, drawings, plan.date)


def _bare_map(drawing: str) -> tuple[str, float, float]:
    """Take the drawing's own title off and its empty top; give it with its size in mm.

    Words that stand directly on the drawing's sheet are its title; all others are in groups.
    """
    ET.register_namespace("", _SVG[1:-1])
    root = ET.fromstring(drawing)  # noqa: S314 - drawn by this project
    left, top, width, height = (float(x) for x in root.get("viewBox", "0 0 1 1").split())
    for words in root.findall(f"{_SVG}text"):
        root.remove(words)
    height -= MAP_TOP_MM
    root.set("viewBox", f"{left:g} {top + MAP_TOP_MM:g} {width:g} {height:g}")
    root.set("height", f"{height:g}mm")
    return ET.tostring(root, encoding="unicode"), width, height


def _pdf(
    template: str, data: Mapping[str, Any], drawings: Mapping[str, str | bytes], day: dt.date
) -> bytes:
    """Compile a template with its data and drawings in a folder of its own."""
    import typst  # noqa: PLC0415 - slow, and only where a sheet is made

    package = files(__package__ or "")
    noon = dt.datetime.combine(day, dt.time(12), tzinfo=dt.UTC)
    with tempfile.TemporaryDirectory() as folder, as_file(package.joinpath("fonts")) as fonts:
        root = Path(folder)
        for name in (template, "sheet-common.typ"):
            (root / name).write_text(package.joinpath(name).read_text("utf-8"), "utf-8")
        (root / "sheet.json").write_text(json.dumps(data, ensure_ascii=False), "utf-8")
        for name, drawing in drawings.items():
            content = drawing if isinstance(drawing, bytes) else drawing.encode("utf-8")
            (root / name).write_bytes(content)
        ours = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts)]
        )
        made: bytes = typst.compile(
            str(root / template), root=folder, font_paths=ours, format="pdf", timestamp=noon
        )
        return made
