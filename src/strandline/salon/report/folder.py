"""A plan as a folder: plan.json, foil-map.svg, worksheet.pdf, client-sheet.pdf.

Everything is made in memory first, written beside, then renamed: a folder is whole or untouched.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from strandline.base.errors import StoreError
from strandline.salon.report.drawing import draw_plan_map
from strandline.salon.report.sheets import client_sheet_pdf, worksheet_pdf
from strandline.salon.report.strands import Look
from strandline.service.plan.assemble import Made


def write_folder(made: Made, out: Path, ways: Sequence[Mapping[str, Any]] = ()) -> None:
    """Write a plan's files.

    Parameters
    ----------
    made : the plan and its maps
    out : the folder; made where it is missing, its files replaced where it is there
    ways : rows of the other ways there were, for the client sheet

    Raises
    ------
    StoreError   a file of that name, or a place that cannot be written
    """
    files = render(made, ways)
    if out.exists() and not out.is_dir():
        raise StoreError("That is a file, not a folder.", "Name a folder for --out.", str(out))
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    except OSError as error:
        raise _cannot(error, out) from None
    try:
        for name, content in files.items():
            (beside / name).write_bytes(content)
        if out.is_dir():
            for name in files:
                os.replace(beside / name, out / name)  # noqa: PTH105 - atomic, over what is there
        else:
            beside.chmod(0o755)
            beside.rename(out)
    except OSError as error:
        raise _cannot(error, out) from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def render(made: Made, ways: Sequence[Mapping[str, Any]] = ()) -> dict[str, bytes]:
    """Give every file of a plan by its name."""
    drawing = draw_plan_map(made)
    return {
        "plan.json": (made.plan.model_dump_json(indent=1) + "\n").encode("utf-8"),
        "foil-map.svg": drawing.encode("utf-8"),
        "worksheet.pdf": worksheet_pdf(made.plan, drawing),
        "client-sheet.pdf": client_sheet_pdf(made.plan, heads_of(made), ways),
    }


def heads_of(made: Made) -> dict[tuple[Look, int], bytes]:
    """Draw the heads of the client sheet as PNG, where it shows how hair grows out."""
    weeks = [week.week for week in made.plan.growout.weeks]
    if made.plan.verdict == "stop" or not made.plan.growout.strands or not weeks:
        return {}
    from strandline.salon.report.growout_pictures import heads  # noqa: PLC0415 - slow, used here

    return heads(made, weeks)


def _cannot(error: OSError, out: Path) -> StoreError:
    return StoreError(
        f"The folder cannot be written: {error.strerror or error}.",
        "Name a folder that you may write to, with room on its disk.",
        str(out),
    )
