"""The two sheets as PDF: the worksheet for the chair, the client sheet with the promise.

typst sets them from a template and the plan's words; fonts are our own, so that a page is the
same everywhere. The worksheet is tried in falling sizes until it is one side.
"""

from __future__ import annotations

import json
import re
import tempfile
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

from strandline.base.errors import UnreachableError
from strandline.salon.report.client_words import client_words
from strandline.salon.report.strands import strand_strip_svg
from strandline.salon.report.worksheet_words import worksheet_words
from strandline.service.plan.model import ServicePlan

SIZES: tuple[tuple[float, float], ...] = (
    (9.6, 112), (9.0, 104), (8.4, 96), (7.8, 90), (7.2, 84), (6.8, 74), (6.4, 64), (6.0, 54),
)  # fmt: skip
"""Text size in points and height of the map in mm, tried in turn."""


def worksheet_pdf(plan: ServicePlan, foil_map_svg: str) -> bytes:
    """Set the worksheet on one side.

    Parameters
    ----------
    plan : the plan
    foil_map_svg : its foil map

    Returns
    -------
    bytes   a PDF of one A4 page

    Raises
    ------
    UnreachableError   more words than a page holds in the smallest size
    """
    words = worksheet_words(plan)
    for size, map_mm in SIZES:
        data = {**words, "size": size, "map_mm": map_mm}
        sheet = _pdf("worksheet.typ", data, {"foil-map.svg": foil_map_svg})
        if _pages(sheet) == 1:
            return sheet
    raise UnreachableError(
        "The worksheet does not fit one side.",
        "Shorten what is written in the consultation's own words.",
    )


def client_sheet_pdf(plan: ServicePlan) -> bytes:
    """Set the client sheet, one or two sides."""
    words = client_words(plan)
    looks = ("as kept", "planned")
    drawings = {
        name: strand_strip_svg(plan, look, week)
        for names, look in zip(words["strips"], looks, strict=False)
        for name, week in zip(names, [w.week for w in plan.growout.weeks], strict=True)
    }
    return _pdf("client-sheet.typ", words, drawings)


def _pages(sheet: bytes) -> int:
    """Count the pages that typst wrote: one /Page object each, its tree told apart."""
    return len(re.findall(rb"/Type */Page\b(?!s)", sheet))


def _pdf(template: str, data: dict[str, Any], drawings: dict[str, str]) -> bytes:
    """Compile a template with its data and drawings."""
    import typst  # noqa: PLC0415 - slow, and only where a sheet is made

    package = files(__package__ or "")
    with tempfile.TemporaryDirectory() as folder, as_file(package.joinpath("fonts")) as fonts:
        root = Path(folder)
        (root / template).write_text(package.joinpath(template).read_text("utf-8"), "utf-8")
        (root / "sheet.json").write_text(json.dumps(data, ensure_ascii=False), "utf-8")
        for name, drawing in drawings.items():
            (root / name).write_text(drawing, "utf-8")
        made: bytes = typst.compile(
            str(root / template), root=folder, font_paths=[str(fonts)], format="pdf"
        )
        return made
