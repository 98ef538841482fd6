"""Tables of the page on gloss: the steps back from a miss, a filler, and wear by kind."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from strandline.salon.cli.docs.pages import table_lines
from strandline.salon.evidence.gloss_filler import (
    ASH,
    FILLERS,
    GROUND_STAGE,
    porous_blonde,
    raw_ash,
)
from strandline.science.chemistry.fade import WASHES_PER_WEEK
from strandline.service.consultation.shelf import GlossShade, Shelf
from strandline.service.formulate.filler import fill
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.ladder import Landed, Rung, ladder, minutes_up_to
from strandline.service.formulate.misses import misses
from strandline.service.formulate.solver import Asked
from strandline.service.formulate.wear import wear_of

Floats = NDArray[np.float64]

BOWL_G = 100.0
"""Shade and developer together, as the command takes it, g."""


def miss_rows(ground: Ground, dyes: Floats, kind: str, most_min: float) -> Iterator[str]:
    """Give the steps back from each miss of a gloss.

    Parameters
    ----------
    ground, dyes, kind : the place with its aim, and what lies on it
    most_min : longest minutes of a further bowl
    """
    asked = Asked((ground,), "stage", minutes_up_to(most_min), violet_first=True)
    landed = Landed(ground, dyes, kind, asked, tuple(Shelf().gloss), BOWL_G)
    rows = [
        (miss.said, _lab(one.lab), f"{one.away:g}", _said(one))
        for miss in misses().values()
        for one in ladder(landed, miss)
    ]
    return table_lines(("seen", "L*, a*, b*", "dE00", "step"), rows)


def _said(one: Rung) -> str:
    if one.bowl is None:
        return "" if one.name == "seen" else one.name
    parts = " + ".join(
        f"{part:g} {shade.name}"
        for shade, part in zip(one.bowl.shades, one.bowl.parts, strict=True)
    )
    return f"{one.name}: {parts}, {one.minutes:g} min"


def filler_rows() -> Iterator[str]:
    """Give what raw ash leaves on porous blonde, and ash over a filler."""
    target = porous_blonde(GROUND_STAGE)
    rows = [("7 ash alone", _lab(raw_ash(GROUND_STAGE)))]
    for filler in FILLERS:
        clear = GlossShade(name="clear", clear=True)
        found = fill(target, 7.0, [ASH], [ASH, filler, clear])
        first = found.first
        if first is None:
            continue
        names = " + ".join(
            f"{part:g} {shade.name}" for shade, part in zip(first.shades, first.parts, strict=True)
        )
        over = " + ".join(
            f"{part:g} {shade.name}"
            for shade, part in zip(found.then.shades, found.then.parts, strict=True)
        )
        rows.append((f"{names}, {first.minutes:g} min; then {over}", _lab(found.then.lab)))
    rows.append(("natural hair of level 7", _lab(target.aim_lab)))
    return table_lines(("on it", "L*, a*, b*"), rows)


def kind_rows(ground: Ground, dyes: Floats, kind: str) -> Iterator[str]:
    """Give the weeks until a tone is mostly gone, by kind of dye."""
    worn = wear_of(ground, dyes, kind, 6.0, WASHES_PER_WEEK)
    rows = [(one, f"{weeks:g}" if weeks < 26 else "26 or more") for one, weeks in worn.by_kind]
    return table_lines(("kind", "mostly gone after, weeks"), rows)


def _lab(lab: tuple[float, ...]) -> str:
    return ", ".join(f"{x:.1f}" for x in lab)
