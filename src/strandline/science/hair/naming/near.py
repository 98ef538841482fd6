"""The names of a line that come nearest to a colour seen on its ground, with their shares."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.draws import DRAWS, draws
from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range, range_of
from strandline.science.colour.difference import delta_e00
from strandline.science.hair.levels import level_of_lightness
from strandline.science.hair.naming.colour import depth_spread, shifted
from strandline.science.hair.naming.lines import naming_numbers
from strandline.science.hair.naming.name import read_name
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.naming.table import colour_table
from strandline.science.hair.shades import Scale
from strandline.science.hair.stages import stage_of_lightness

Floats = NDArray[np.float64]

COVERED = 0.8
"""Part of the draws that the names listed must stand for; a choice of ours."""


TOLD_APART = 1.0
"""dE00 by which a name must be nearer for a plainer one to give way; from memory."""


@dataclass(frozen=True, slots=True)
class Near:
    """A name near a colour.

    Parameters
    ----------
    name : in its line's canonical form
    difference : of its colour from the colour seen, dE00
    share : part of the draws for which it is the nearest [1]
    also : other names of the line with the same colour
    """

    name: str
    difference: float
    share: float
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Names:
    """What a colour may be called.

    Parameters
    ----------
    called : the simplest name within `TOLD_APART` of the nearest
    near : nearest first; together they stand for at least 80 % of the draws
    depth : depth of the line, 10th, 50th and 90th percentile of the draws; past its ends where the
        colour or its spread is
    mains : main reflect and the part of all draws whose nearest name has it [1], most first; where
        names crowd within a dE00 or two this says more than any one of them
    caution : said where no name comes near, else empty
    """

    called: Near
    near: tuple[Near, ...]
    depth: Range
    mains: tuple[tuple[str, float], ...]
    caution: str = ""


def names_of(
    colour: ArrayLike,
    numbering: Numbering,
    scale: Scale = "level",
    spread: tuple[float, float] | None = None,
) -> Names:
    """Give the names of a line that come nearest to a colour seen.

    Parameters
    ----------
    colour : shape (3,)   CIELAB under D65 on the scale's ground, L* above 0 and at most 100
    numbering : of the line
    scale : 'level' for hair coloured from white or as it grew, 'stage' for lightened hair
    spread : one sd of a* and of b*, >= 0; None takes that of numbering.toml

    Returns
    -------
    Names   nearest first, with shares, depth and a caution

    Raises
    ------
    OutOfRangeError   a colour or spread outside the above, a line with no depth on the scale

    Notes
    -----
    64 fixed draws about the colour: L* by the spread of the scale and of the line's depth_step,
    a* and b* by `spread`. Its default is how far named heads lie from natural hair of their
    lightness: 1.6 and 3.4, rms of the ten heads of the level scale left when the black with odd
    a* and b* is set aside. A calibrated reading of one tress may hand in less. On lightened hair
    nothing was measured; the same figures stand there from memory. Draws of very light hair may
    pass L* 100: they only say that the lightest names are meant. dE00 beyond 5 orders, it does
    not measure.

    References
    ----------
    strandline_fit, on bohnert1998 and vrhel1994; sharma2005.
    """
    seen = _checked(colour)
    limits = naming_numbers()
    wide = (limits["a_spread"], limits["b_spread"]) if spread is None else spread
    if not all(math.isfinite(one) and one >= 0 for one in wide):
        raise OutOfRangeError(
            f"The spread of a* and b* is {wide[0]:g} and {wide[1]:g}; both must be 0 or more.",
            "Give one standard deviation of each, or leave it out.",
        )
    names, others, table = colour_table(numbering, scale)
    depth_seen = level_of_lightness(seen[0]) if scale == "level" else stage_of_lightness(seen[0])
    z = draws(("depth", "a", "b"))
    drawn = np.tile(seen, (DRAWS, 1))
    drawn[:, 0] = shifted(seen[0], depth_spread(depth_seen, numbering, scale) * z["depth"], scale)
    drawn[:, 1] += wide[0] * z["a"]
    drawn[:, 2] += wide[1] * z["b"]

    away = delta_e00(table, seen)
    nearest = np.argmin(delta_e00(drawn[:, None], table[None]), axis=1)
    counts = np.bincount(nearest, minlength=len(names))
    nearby = [
        Near(name, float(off), float(count) / DRAWS, other)
        for name, off, count, other in zip(names, away, counts, others, strict=True)
    ]
    near = tuple(nearby[i] for i in _covering(counts, int(np.argmin(away)), away))
    simplest = min(
        (one for one in nearby if one.difference <= near[0].difference + TOLD_APART),
        key=lambda one: (_reflects(one.name, numbering), one.difference),
    )
    to_depth = level_of_lightness if scale == "level" else stage_of_lightness
    depths = to_depth(drawn[:, 0]) - numbering.depth_step.value
    law = f"lightness on the {scale} scale and the line's own step"
    mains: dict[str, float] = {}
    for i in np.flatnonzero(counts):
        main = read_name(names[i], numbering).main
        mains[main] = mains.get(main, 0.0) + float(counts[i]) / DRAWS
    return Names(
        simplest,
        near,
        range_of(depths.tolist(), "depth", law),
        tuple(sorted(mains.items(), key=lambda one: -one[1])),
        _caution(near[0], numbering, limits["far"]),
    )


def _reflects(name: str, numbering: Numbering) -> int:
    named = read_name(name, numbering)
    return int(named.main != "neutral") + int(named.second is not None)


def _checked(colour: ArrayLike) -> Floats:
    seen = np.asarray(colour, dtype=float)
    if seen.shape != (3,) or not np.all(np.isfinite(seen)) or not 0 < seen[0] <= 100:
        raise OutOfRangeError(
            f"The colour is {seen.tolist()}; it must be L*, a*, b* with L* above 0 and at most "
            "100.",
            "Read the hair again; black hair reads about 10 or more.",
        )
    return seen


def _covering(counts: NDArray[np.intp], first: int, away: Floats) -> list[int]:
    """Give the nearest and the fewest others that cover the draws, by their difference."""
    order = np.lexsort((away, -counts))
    enough = int(np.searchsorted(np.cumsum(counts[order]), math.ceil(COVERED * DRAWS))) + 1
    kept = {first, *(int(i) for i in order[:enough])}
    return sorted(kept, key=lambda i: (float(away[i]), i))


def _caution(nearest: Near, numbering: Numbering, far: float) -> str:
    if nearest.difference <= far:
        return ""
    return (
        f"No name of the numbering '{numbering.name}' comes within {far:g} dE00 of this colour: "
        f"the nearest, {nearest.name}, is {nearest.difference:.1f} away. Do not go by the name; "
        "read the hair again, or match it with a swatch."
    )
