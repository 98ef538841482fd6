"""The colours of a whole line on a scale's ground, computed once."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.naming.colour import SCALE_ENDS, ground, reflect_dyes
from strandline.science.hair.naming.name import Named, write_name
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.pigment import absorption, dye_bands, lab, reflectance_from_ks
from strandline.science.hair.shades import Scale
from strandline.science.hair.stages import lightness_of_stage

Floats = NDArray[np.float64]

OPPOSITES = tuple(frozenset(("ash", warm)) for warm in ("copper", "mahogany", "red"))
"""Reflects that one name does not hold together, for each takes the other away; common practice,
no source. Gold with violet is a beige and stays."""
_HALVINGS = 60
_LEAST, _MOST = 1e-6, 1e4
_SAME = 6
"""Decimals of L*, a*, b* to which two names are one colour."""


@lru_cache(maxsize=16)
def colour_table(
    numbering: Numbering, scale: Scale
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...], Floats]:
    """Give the colours of a line on a scale's ground, each colour once.

    Returns
    -------
    names : M names, of each colour the simplest
    others : for each the names of the same colour
    table : shape (M, 3)   CIELAB, not to be written to

    Raises
    ------
    OutOfRangeError   a line with no depth on the scale

    Notes
    -----
    Every depth on the scale with no reflect, one, a weak one, or two. Amounts by the bisection
    of `shades.dye_amounts`, all names at once. On white hair depth 10 leaves nothing, so its
    names are one colour.
    """
    low, high = SCALE_ENDS[scale]
    step = numbering.depth_step.value
    depths = [
        depth
        for depth in range(numbering.least_depth, numbering.most_depth + 1)
        if low <= depth + step <= high
    ]
    if not depths:
        raise OutOfRangeError(
            f"The numbering '{numbering.name}' has no depth that is a {scale}, {low:g}-{high:g}.",
            "Mend its depths or its depth_step, or choose the other scale.",
        )
    every = [named for depth in depths for named in names_of_depth(depth, numbering)]
    shares = np.zeros((len(every), len(DYES)))
    shares[:, DYES.index("depth")] = 1.0
    for row, named in zip(shares, every, strict=True):
        for dye, share in reflect_dyes(named.main, named.second, scale, numbering).items():
            row[DYES.index(dye)] = share
    aims = dict(zip(depths, _aims(np.array(depths) + step, scale), strict=True))
    table = _colours(shares, np.array([aims[named.depth] for named in every]), scale)

    groups: dict[tuple[float, ...], list[int]] = {}
    for i, key in enumerate(np.round(table, _SAME).tolist()):
        groups.setdefault(tuple(key), []).append(i)
    written = [write_name(named, numbering) for named in every]
    names = tuple(written[group[0]] for group in groups.values())
    others = tuple(tuple(written[i] for i in group[1:]) for group in groups.values())
    once = table[[group[0] for group in groups.values()]]
    once.setflags(write=False)
    return names, others, once


def names_of_depth(depth: int, numbering: Numbering) -> list[Named]:
    """Give a depth's names, the simplest first."""
    tinted = [one.word for one in numbering.reflects if one.word != "neutral"]
    return [
        Named(depth),
        *(Named(depth, word) for word in tinted),
        *(Named(depth, "neutral", word) for word in tinted),
        *(
            Named(depth, word, second)
            for word in tinted
            for second in tinted
            if frozenset((word, second)) not in OPPOSITES
        ),
    ]


def _aims(depths: Floats, scale: Scale) -> Floats:
    if scale == "level":
        return np.asarray(lab(natural_palette(depths, with_white=False))[:, 0])
    return lightness_of_stage(depths)


def _colours(shares: Floats, aims: Floats, scale: Scale) -> Floats:
    """Bisect the amount of M names to their L*, shape (M, 3)."""
    ks, bands = absorption(ground(scale)), shares @ dye_bands()

    def colours(amount: Floats) -> Floats:
        return lab_from_reflectance(reflectance_from_ks(ks + amount[:, None] * bands))

    bare = colours(np.zeros(len(shares)))
    low, high = np.full(len(shares), _LEAST), np.full(len(shares), _MOST)
    for _ in range(_HALVINGS):
        middle = np.sqrt(low * high)
        lighter = colours(middle)[:, 0] > aims
        low, high = np.where(lighter, middle, low), np.where(lighter, high, middle)
    return np.where((bare[:, 0] <= aims)[:, None], bare, colours(np.sqrt(low * high)))
