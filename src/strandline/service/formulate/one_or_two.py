"""One bowl for several grounds, or a bowl for each: what either leaves, and what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.recipe import Recipe, Target, solve
from strandline.service.formulate.rules import rule

LEAST_BOWL_G = 30.0
"""A bowl of its own is not mixed smaller; common practice, no source."""


@dataclass(frozen=True)
class Met:
    """A ground that a bowl meets.

    Parameters
    ----------
    name : in words
    share : of the hair that the bowl is for [1]
    target : the ground and its aim
    by_one : what the bowl that goes on all of them leaves
    shades : that a bowl of its own may be made of
    """

    name: str
    share: float
    target: Target
    by_one: Recipe
    shades: tuple[GlossShade, ...]


@dataclass(frozen=True)
class OnGround:
    """What one bowl leaves on a ground, and a bowl of its own.

    Parameters
    ----------
    name, share : as `Met`
    one, own : dE00 from the aim
    near, own_near : share of its strands within the rule `near` of the aim [1]
    recipe : the bowl of its own
    """

    name: str
    share: float
    one: float
    own: float
    near: float
    own_near: float
    recipe: Recipe


@dataclass(frozen=True)
class OneOrTwo:
    """Both ways set against each other.

    Parameters
    ----------
    grounds : in their order
    extra_grams : that bowls of their own take more, g
    """

    grounds: tuple[OnGround, ...]
    extra_grams: float

    @property
    def worth(self) -> float:
        """Give what bowls of their own gain on the ground that gains most, dE00."""
        return max((ground.one - ground.own for ground in self.grounds), default=0.0)

    def said(self) -> str:
        """Say what it comes to, in a sentence or two."""
        if not self.grounds:
            return ""
        left = "; ".join(f"{g.name}: {g.one:.1f} dE00 with one bowl" for g in self.grounds)
        if self.worth < rule("two_bowls"):
            return f"{left}. A bowl for each gains less than an eye sees: one is enough."
        own = "; ".join(f"{g.own:.1f} on {g.name} ({_recipe(g.recipe)})" for g in self.grounds)
        more = f"{self.extra_grams:g} g more" if self.extra_grams else "as much colour in all"
        return f"{left}. A bowl for each: {own}; {more}, and another clock."


def one_or_two(met: Sequence[Met], mixed_grams: float) -> OneOrTwo:
    """Set one bowl against a bowl for each ground.

    Parameters
    ----------
    met : the grounds, with what one bowl leaves on each
    mixed_grams : of the one bowl, g

    Notes
    -----
    Where the search for one ground alone finds nothing nearer, the one bowl is its own too.
    """
    out = []
    for one in met:
        own = solve(one.target, one.shades)
        if own.delta_e00 >= one.by_one.delta_e00:
            own = one.by_one
        out.append(
            OnGround(
                one.name,
                one.share,
                one.by_one.delta_e00,
                own.delta_e00,
                one.by_one.near,
                own.near,
                own,
            )
        )
    whole = sum(one.share for one in met)
    grams = sum(max(LEAST_BOWL_G, mixed_grams * one.share / whole) for one in met)
    return OneOrTwo(tuple(out), max(0.0, round((grams - mixed_grams) / 5) * 5))


def _recipe(recipe: Recipe) -> str:
    parts = " + ".join(
        f"{part:g} {shade.name}" for shade, part in zip(recipe.shades, recipe.parts, strict=True)
    )
    return f"{parts}, {recipe.minutes:g} min"
