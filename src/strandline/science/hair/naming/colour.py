"""A named shade as dyes, and its colour on its ground with the range it may be read in."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.fibre import Fibre, natural
from strandline.science.hair.levels import level_spread, stage_of_lightness
from strandline.science.hair.naming.lines import numberings
from strandline.science.hair.naming.name import Named, write_name
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.pigment import lab
from strandline.science.hair.scale import along, columns, regression
from strandline.science.hair.shades import Scale, Shade
from strandline.science.hair.spread import spreads

Floats = NDArray[np.float64]

SCALE_ENDS: dict[Scale, tuple[float, float]] = {"level": (1.0, 10.0), "stage": (3.0, 10.5)}
"""Depths that `shades` can place on white and on lightened hair."""
_END_OF_PATH = 100.0


def shade_of(named: Named, numbering: Numbering, scale: Scale) -> Shade:
    """Give the shade of a name, its depth on the scale and its reflects as dyes.

    Parameters
    ----------
    named : depth and reflects
    numbering : of its line
    scale : 'level' on white hair, 'stage' on lightened hair

    Raises
    ------
    OutOfRangeError   a name the line does not have, or a depth off the scale

    Notes
    -----
    Shares of the main reflect, and of the second at the line's share, add dye by dye. A name does
    not say how long a shade lasts nor its label's time: those stay as `Shade` has them.
    """
    name = write_name(named, numbering)
    depth = named.depth + numbering.depth_step.value
    low, high = SCALE_ENDS[scale]
    if not low <= depth <= high:
        raise OutOfRangeError(
            f"The depth of {name} is {depth:g} on the scale; as a {scale} it must be "
            f"{low:g}-{high:g}.",
            "Choose another depth of the line, or mend its depth_step.",
        )
    dyes = reflect_dyes(named.main, named.second, scale, numbering)
    return Shade(name, depth, dyes, scale=scale)


def reflect_dyes(
    main: str | None, second: str | None, scale: Scale, numbering: Numbering | None = None
) -> dict[str, float]:
    """Give the dyes of a main and a second reflect.

    Parameters
    ----------
    main, second : words of `REFLECTS`, None for none
    scale : 'level' on white hair, 'stage' on lightened hair
    numbering : of the line; the international one if none

    Returns
    -------
    dye to its share, peak K/S over the depth's K/S at 550 nm [1]; neutral has none, and two
    reflects of one dye add
    """
    line = numbering or numberings()["international"]
    dyes: dict[str, float] = {}
    for word, part in ((main, 1.0), (second, line.second_share.value)):
        reflect = None if word is None else line.of_word(word)
        for dye, share in reflect.dyes(scale) if reflect else ():
            dyes[dye] = dyes.get(dye, 0.0) + part * share
    return dyes


def colour_of(named: Named, numbering: Numbering, scale: Scale) -> Floats:
    """Give the colour of a name on its ground at full uptake, CIELAB, shape (3,).

    Parameters
    ----------
    named, numbering, scale : as in `shade_of`

    Raises
    ------
    OutOfRangeError   as in `shade_of`

    Notes
    -----
    L* is the scale's at the depth. Valid for white hair ('level') and hair at the end of the path
    ('stage'); not for other grounds, nor for part of the time. Its range: `figures.shade`.
    """
    shade = shade_of(named, numbering, scale)
    return np.asarray(lab(ground(scale).with_(dyes=shade.amounts()[None]))[0])


def ground(scale: Scale) -> Fibre:
    """Give the hair on which a scale sets its depths, one state without dye."""
    if scale == "level":
        return natural(np.array([0.0]), 0.0, white=1.0)
    return natural(np.array([0.0]), 0.0).with_(progress=np.array([_END_OF_PATH]))


def depth_spread(depth: ArrayLike, numbering: Numbering, scale: Scale) -> Floats:
    """Give one sd of a depth, in depths: the scale's own and the line's step together."""
    if scale == "level":
        own = level_spread(depth)
    else:
        own = np.full_like(np.asarray(depth, dtype=float), spreads()["stage"].value)
    return np.asarray(np.hypot(own, numbering.depth_step.spread))


def shifted(lightness: ArrayLike, depths: ArrayLike, scale: Scale) -> Floats:
    """Move lightness by so many depths along a scale, past its ends too: shape (...).

    On levels ln L* moves by .1893 a depth; on stages along their table.
    """
    lightness, depths = np.asarray(lightness, dtype=float), np.asarray(depths, dtype=float)
    if scale == "level":
        return np.asarray(lightness * np.exp(regression()["slope"] * depths))
    return along(*columns("stage", "stage", "lightness"), stage_of_lightness(lightness) + depths)
