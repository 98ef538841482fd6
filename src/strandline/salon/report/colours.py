"""Colours of the sheets: ink and paper from the palette, hair colours computed."""

from __future__ import annotations

from functools import cache

import numpy as np

from strandline.salon.report.palette import LIGHT
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.pigment import lab
from strandline.science.hair.stages import lightened, progress_of_stage, underlying

AMBER, AMBER_GROUND, RED = "#96590a", "#f2e6cf", "#a3231f"
"""Cautions and their ground; a stop."""
SHOWN_STAGES = (5, 6, 7, 8, 9, 10)
"""Stages seen in a foil that is wiped."""
SERIES_LEVEL = 5.0
"""Natural level of the hair whose lightening the series shows."""


def sheet_colours() -> dict[str, str]:
    """Give what the templates draw with, as sRGB hex."""
    return {
        "paper": LIGHT.paper,
        "ground": LIGHT.ground,
        "ink": LIGHT.ink,
        "quiet": LIGHT.quiet,
        "line": LIGHT.line,
        "foil": LIGHT.foil,
        "foil_edge": LIGHT.foil_edge,
        "accent": LIGHT.accent,
        "neutral": LIGHT.neutral,
        "amber": AMBER,
        "amber_ground": AMBER_GROUND,
        "red": RED,
    }


def hex_of(lab_colour: tuple[float, float, float]) -> str:
    """Give the sRGB of a CIELAB as '#rrggbb'."""
    return hex_from_lab(np.array([lab_colour], dtype=float))[0]


@cache
def shown_stage(stage: float) -> tuple[str, str]:
    """Give the name of a stage of lightening, 3-10.5, and its colour as '#rrggbb'.

    Computed for a natural `SERIES_LEVEL`; a stage darker than that hair shows the hair itself.
    """
    hair = natural_palette([SERIES_LEVEL], with_white=False)
    state = lightened(hair, progress_of_stage(stage, hair))
    return underlying(stage)[0], hex_from_lab(lab(state))[0]


def stage_series() -> tuple[tuple[int, str, str], ...]:
    """Give stage, name and colour of the underlying pigment, as natural hair lightens.

    Returns
    -------
    (stage, name, hex), for `SHOWN_STAGES`
    """
    return tuple((stage, *shown_stage(float(stage))) for stage in SHOWN_STAGES)
