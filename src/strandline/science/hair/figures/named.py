"""Figures of hair that is named: by its level, its stage, its gray."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.lights import Light
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.hair.figures.figures import Draws, Figures, gathered
from strandline.science.hair.pigment import lab
from strandline.science.hair.spread import Asked, deviations, drawn
from strandline.science.hair.stages import stage_of_lightness

Floats = NDArray[np.float64]


def figures_of_asked(asked: Asked, under: Light | None = None) -> Figures:
    """Give the figures of hair that is named.

    Parameters
    ----------
    asked : its level, and what was done to it
    under : the light it is seen under; D65 if none

    Raises
    ------
    OutOfRangeError   a level or stage off its scale, a stage that the level has passed already

    Notes
    -----
    `delta_e00` is how far a head so named may be from the middle colour. The level and stage are
    those its lightness reads as; the amount is what lightening has left of the pigment.
    """
    _refuse_passed(asked)
    z = deviations()
    middle, spread = drawn(asked, {}), drawn(asked, z)
    labs = lab_from_reflectance(spread.reflectance) + spread.off
    away = delta_e00(labs, lab_from_reflectance(middle.reflectance))
    none = np.zeros(len(labs))
    return gathered(
        Draws(spread.reflectance, spread.off, spread.pigmented, none, none),
        middle.reflectance[0],
        middle.pigmented,
        (away, None),
        under,
        lightened=asked.stage is not None,
        cautions=_cautions(asked),
    )


def _refuse_passed(asked: Asked) -> None:
    if asked.stage is None:
        return
    virgin = drawn(Asked(asked.level), {})
    starts = float(stage_of_lightness(lab(virgin.pigmented)[0, 0]))
    if asked.stage < starts:
        raise OutOfRangeError(
            f"Stage {asked.stage:g} is darker than level {asked.level:g} before any lightening, "
            f"which is as light as stage {starts:.1f}.",
            "Give a lighter stage, or the level alone.",
        )


def _cautions(asked: Asked) -> list[str]:
    out = []
    if asked.level > 7:
        out.append("Levels 8 to 10 are estimates: no natural hair so light was measured.")
    if asked.stage is not None:
        out.append("Lightened hair here is a prior from memory until hers is read.")
    if asked.gray > 0:
        out.append("White hair here is a prior from memory until hers is read.")
    return out
