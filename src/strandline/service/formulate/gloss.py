"""One gloss on one place, and what every gloss of a visit is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from strandline.base.errors import UnreachableError
from strandline.science.hair.shades import Scale
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.one_or_two import OneOrTwo
from strandline.service.formulate.recipe import Recipe, Target
from strandline.service.formulate.rules import weigh_step
from strandline.service.formulate.weighing import apportion

LENGTH_OF_GRAMS_CM = 30.0
"""Length for which toner grams are said; common practice, no source."""


@dataclass(frozen=True)
class GlossOn:
    """One gloss on one place.

    Parameters
    ----------
    place : where, in her words
    from_cm, to_cm : along the length
    recipe : shades, parts, minutes, colour
    mixed_grams : shade and developer together, g; 0 where it comes from an earlier bowl
    first_look_min : when to look first
    minutes : the window
    ground_lab, aim_lab : before and aimed at
    depth : depth or stage of what is left
    alone_min : minutes until the next place begins, or the rinse
    why, miss : a sentence each
    scale : whether its shades' depth is read on white or on lightened hair
    wear_lab : the colour to wear once day one has faded; None where it is aimed at today
    factor : uptake of the place against sound mids [1]
    first : a filler under it, blotted and left in; None where none goes on
    shelf : what the shelf is short of, a sentence; empty where nothing is
    bowls : one bowl for its grounds against a bowl for each; None where it meets one ground
    """

    place: str
    from_cm: float
    to_cm: float
    recipe: Recipe
    mixed_grams: float
    first_look_min: float
    minutes: tuple[float, float]
    ground_lab: tuple[float, float, float]
    aim_lab: tuple[float, float, float]
    depth: float
    alone_min: float
    why: str
    miss: str
    scale: Scale = "stage"
    wear_lab: tuple[float, float, float] | None = None
    factor: float = 1.0
    bowls: OneOrTwo | None = None
    first: Recipe | None = None
    shelf: str = ""

    def grams(self) -> list[float]:
        """Give grams of each shade in steps of the scale, adding up to the colour of the bowl."""
        return [] if not self.mixed_grams else grams_of(self.recipe, self.mixed_grams)


def grams_of(recipe: Recipe, mixed_grams: float) -> list[float]:
    """Give grams of each shade, whole steps of the scale, of a bowl with its developer in, g."""
    ratio = max(shade.ratio for shade in recipe.shades)
    steps = round(mixed_grams / (1 + ratio) / weigh_step())
    shared = apportion(recipe.parts, max(len(recipe.parts), steps))
    return [one * weigh_step() for one in shared]


def nothing_with_depth() -> UnreachableError:
    """Give the error of a shelf without a shade that has a depth."""
    return UnreachableError(
        "No shade with a depth stands on the shelf.",
        "Enter the gloss shades at hand: shelf.gloss.",
        "shelf.gloss",
    )


def near(
    shades: Sequence[GlossShade], depth: float, within: float, reflects: Sequence[str]
) -> list[GlossShade]:
    """Give shades within so many levels of a depth and with one of the reflects."""
    return [
        shade
        for shade in shades
        if shade.depth is not None
        and abs(shade.depth - depth) <= within
        and shade.reflect in reflects
    ]


def look(target: Target) -> tuple[float, float, float]:
    """Give the CIELAB of a place before anything is on it, to one decimal."""
    seen = target.look(target.states)
    return (round(float(seen[0]), 1), round(float(seen[1]), 1), round(float(seen[2]), 1))
