"""The recipe of a gloss: which shades in which parts for how long come nearest to a colour.

Exhaustive over her practical steps: at most two shades and a clear, in whole parts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import UnreachableError
from strandline.science.chemistry.deposit import deposit, uptake
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES, Fibre
from strandline.science.hair.mixing import area_mix
from strandline.science.hair.naming.colour import reflect_dyes
from strandline.science.hair.pigment import reflectance
from strandline.science.hair.shades import Scale, dye_amounts
from strandline.service.consultation.shelf import GlossShade

Floats = NDArray[np.float64]

PAIRS = ((1, 0), (3, 1), (2, 1), (1, 1), (1, 2), (1, 3))
"""Parts of two shades that can be weighed without a thought; common practice, no source."""
CLEARS = (0, 1, 2, 4)
"""Parts of clear to one part of the rest; common practice, no source."""
NEAR_ENOUGH = 1.0
"""Minutes that stay within this of the best colour, in dE00, make the window."""


@dataclass(frozen=True)
class Target:
    """The hair a gloss goes on and what it should become.

    Parameters
    ----------
    states : the kinds of strands on that place
    shares : shape (N,), summing to 1
    aim_lab : CIELAB aimed at
    factor : uptake against sound mids [1]
    scale : 'stage' on lightened hair, 'level' where depth is given back
    minutes : steps looked at, within what she gives it
    then_min : minutes it stays on after them, within its label too
    """

    states: Fibre
    shares: Floats
    aim_lab: tuple[float, float, float]
    factor: float
    scale: Scale
    minutes: tuple[float, ...]
    then_min: float = 0.0

    def look(self, states: Fibre) -> Floats:
        """Give the colour of the place, shape (3,)."""
        return np.asarray(lab_from_reflectance(self.spectrum(states)))

    def spectrum(self, states: Fibre) -> Floats:
        """Give the reflectance of the place, shape (81,) [1]."""
        return area_mix(reflectance(states), self.shares)


@dataclass(frozen=True)
class Recipe:
    """Shades in parts, the time, and the colour that comes of it.

    Parameters
    ----------
    shades, parts : the shades used, clear last where there is one
    minutes : best time, and the window about it
    lab : colour after it
    delta_e00 : from the aim
    spectrum : shape (81,)   reflectance after it [1]; None before it was looked at
    """

    shades: tuple[GlossShade, ...]
    parts: tuple[float, ...]
    minutes: float
    window: tuple[float, float]
    lab: tuple[float, float, float]
    delta_e00: float
    spectrum: Floats | None = field(default=None, compare=False, repr=False)


@lru_cache(maxsize=512)
def shade_dyes(shade: GlossShade, scale: Scale) -> tuple[float, ...]:
    """Give the dyes that a shade of the shelf leaves at full uptake, over `DYES`."""
    if shade.depth is None:
        return (0.0,) * len(DYES)
    shares = reflect_dyes(shade.reflect, shade.second, scale)
    reflects = {dye: share * shade.strength for dye, share in shares.items()}
    return tuple(dye_amounts(shade.depth, reflects, scale=scale))


def solve(target: Target, shades: Sequence[GlossShade], *, softened: bool = False) -> Recipe:
    """Find the recipe nearest to an aim.

    Parameters
    ----------
    target : ground, aim, uptake and times
    shades : those that may be used here, the clear among them
    softened : only mixtures that hold clear, where there is one

    Returns
    -------
    Recipe   the least dE00 (a tie goes to fewer shades, then to the shorter time)

    Raises
    ------
    UnreachableError   no shade may be used
    """
    clear = next((shade for shade in shades if shade.clear), None)
    colours = [shade for shade in shades if not shade.clear]
    if not colours:
        raise UnreachableError(
            "No shade on the shelf may be used here.",
            "Enter the gloss shades at hand: shelf.gloss.",
            "shelf.gloss",
        )
    mixtures = list(_mixtures(colours, clear))
    if softened and clear:
        mixtures = [one for one in mixtures if clear in one[0]]
    paths = [_path(target, used, parts) for used, parts in mixtures]
    best = min(
        (round(float(away), 3), len(mixtures[index][0]), minute, index)
        for index, (minutes, _, from_aim) in enumerate(paths)
        for minute, away in zip(minutes, from_aim, strict=True)
    )
    (used, parts), (minutes, labs, away) = mixtures[best[3]], paths[best[3]]
    at = minutes.index(best[2])
    near = [m for m, d in zip(minutes, away, strict=True) if d <= away[at] + NEAR_ENOUGH]
    lab = tuple(round(float(x), 1) for x in labs[at])
    recipe = Recipe(
        used, parts, best[2], (min(near), max(near)), (lab[0], lab[1], lab[2]), float(away[at])
    )
    return replace(recipe, spectrum=_spectrum_after(target, recipe, best[2]))


def look_after(target: Target, recipe: Recipe, minutes: float) -> Recipe:
    """Give the same shades on another place for another time, no longer than their label."""
    once = replace(target, minutes=(minutes,), then_min=0.0)
    (minutes,), labs, away = _path(once, recipe.shades, recipe.parts)
    lab = tuple(round(float(x), 1) for x in labs[0])
    return replace(
        recipe,
        spectrum=_spectrum_after(once, recipe, minutes),
        minutes=minutes,
        window=(minutes, minutes),
        lab=(lab[0], lab[1], lab[2]),
        delta_e00=float(away[0]),
    )


def after(
    states: Fibre, recipe: Recipe, minutes: float, factor: Floats | float, scale: Scale
) -> Fibre:
    """Give states with a recipe's dyes on them.

    Parameters
    ----------
    states : N states
    recipe : shades and parts
    minutes : it was on
    factor : shape (N,) or scalar, uptake against sound mids [1]
    scale : as the recipe was solved
    """
    whole = sum(recipe.parts)
    dyes = np.zeros(len(DYES))
    for shade, part in zip(recipe.shades, recipe.parts, strict=True):
        dyes += np.array(shade_dyes(shade, scale)) * part / whole
    colours = [shade for shade in recipe.shades if not shade.clear]
    taken = uptake(minutes, label_of(colours), colours[0].kind) * np.asarray(factor, dtype=float)
    return deposit(states, dyes, taken)


def _spectrum_after(target: Target, recipe: Recipe, minutes: float) -> Floats:
    return target.spectrum(after(target.states, recipe, minutes, target.factor, target.scale))


def label_of(shades: Sequence[GlossShade]) -> float:
    """Give the longest time that the labels of all of them allow, min."""
    return min(shade.label_min for shade in shades if not shade.clear)


def _mixtures(
    colours: Sequence[GlossShade], clear: GlossShade | None
) -> Iterator[tuple[tuple[GlossShade, ...], tuple[float, ...]]]:
    plain: list[tuple[tuple[GlossShade, ...], tuple[float, ...]]] = [
        ((shade,), (1.0,)) for shade in colours
    ]
    for one, two in combinations(colours, 2):
        if one.kind == two.kind:
            plain += [((one, two), (float(a), float(b))) for a, b in PAIRS if b]
    for used, parts in plain:
        for more in CLEARS if clear else (0,):
            if more and clear:
                yield (*used, clear), (*parts, sum(parts) * more)
            else:
                yield used, parts


def _path(
    target: Target, used: Sequence[GlossShade], parts: Sequence[float]
) -> tuple[tuple[float, ...], Floats, Floats]:
    """Give the minutes within the label, shape (T,), the colours, (T, 3), and dE00 from the aim.

    Where every step lies past the label, the label's own time is the one looked at.
    """
    label = max(label_of(used) - target.then_min, label_of(used) / 2)
    minutes = tuple(minute for minute in target.minutes if minute <= label) or (label,)
    recipe = Recipe(tuple(used), tuple(parts), 0.0, (0.0, 0.0), target.aim_lab, 0.0)
    labs = np.stack(
        [
            target.look(after(target.states, recipe, minute, target.factor, target.scale))
            for minute in minutes
        ]
    )
    aim = np.broadcast_to(np.array(target.aim_lab), labs.shape)
    return minutes, labs, np.asarray(delta_e00(labs, aim))
