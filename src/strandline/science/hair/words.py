"""Hair in a colourist's words: what a level is called, and whether a colour is warm or cool."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import cite, numbers
from strandline.science.hair.levels import level_of_lightness, natural_palette
from strandline.science.hair.pigment import lab
from strandline.science.hair.scale import document, within

Floats = NDArray[np.float64]


def name_of_level(level: float) -> str:
    """Name of a natural level.

    Parameters
    ----------
    level : 1-10, taken to the nearest half; a half is called by both its neighbours

    Raises
    ------
    OutOfRangeError   a level outside 1-10

    References
    ----------
    common practice, no source: lines differ by a word or two.
    """
    entry = document()["names"]
    cite(entry["source"])
    halves = int(np.floor(2.0 * float(within(level, 1.0, 10.0, "A natural level")) + 0.5))
    name = str(entry["name"][halves // 2 - 1])
    return name if halves % 2 == 0 else f"{name} to {entry['name'][halves // 2]}"


def warmth_of(colour: Floats) -> str:
    """Say whether a colour is warm, neutral or cool against natural hair as light.

    Parameters
    ----------
    colour : shape (3,)   CIELAB under D65

    Returns
    -------
    'warm' where its chroma along the hue of natural hair is greater, 'cool' where it is less

    Notes
    -----
    The chroma is taken along the natural hue, so that violet and green count as cool. The limit
    is a prior (levels.toml).
    """
    level = float(np.clip(level_of_lightness(colour[0]), 1.0, 10.0))  # white lies past the scale
    natural = _natural_chroma(round(level, 2))
    size = float(np.hypot(*natural))
    along = float(colour[1:] @ natural) / size
    limit = numbers(document()["warmth"], "levels.toml [warmth]")["neutral"].value
    if along - size > limit:
        return "warm"
    return "cool" if size - along > limit else "neutral"


@cache
def _natural_chroma(level: float) -> Floats:
    return np.asarray(lab(natural_palette([level], with_white=False))[0, 1:])
