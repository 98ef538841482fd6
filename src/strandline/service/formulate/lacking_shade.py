"""Which one shade more on the shelf would help a bowl most: its depth and reflects."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from strandline.base.remembered import remembered
from strandline.science.hair.levels import stage_of_lightness
from strandline.science.hair.naming.lines import numberings
from strandline.science.hair.naming.name import write_name
from strandline.science.hair.naming.table import names_of_depth
from strandline.science.hair.shades import LEAST_STAGE
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.misses import number
from strandline.service.formulate.recipe import REMEMBERED, Recipe, Target, asked_of
from strandline.service.formulate.rules import rule
from strandline.service.formulate.solver import solve_bowl

NEAR_DEPTH = 1.5
"""A toner is within so many levels of its ground; common practice, no source."""


@dataclass(frozen=True)
class Lacking:
    """The shade that would help most.

    Parameters
    ----------
    shade : by its name in the international numbering, as the prior has it
    away : dE00 from the aim that the best bowl with it comes to
    """

    shade: GlossShade
    away: float


@remembered(REMEMBERED)
def lacking_shade(target: Target, held: Sequence[GlossShade], now: Recipe) -> Lacking | None:
    """Find the shade that would help most were it on the shelf.

    Parameters
    ----------
    target : ground, aim and times
    held : shades that the bowl may be made of
    now : the best bowl of them

    Returns
    -------
    None where every shade gains less than a further bowl is mixed for

    Notes
    -----
    Every name of the international numbering within `NEAR_DEPTH` of the ground is tried, of the
    kind and label of the bowl: alone, or with one shade that stands there, and clear. They are
    compared on hair of one kind that looks as the place does; what is told of the best is found
    on its own strands.
    """
    like = now.shades[0]
    numbering = numberings()["international"]
    stage = float(stage_of_lightness(target.look(target.states)[0]))
    low, high = np.ceil(stage - NEAR_DEPTH), np.floor(stage + NEAR_DEPTH)
    asked = asked_of(target)
    least = LEAST_STAGE if asked.scale == "stage" else 1
    depths = [d for d in range(int(low), int(high) + 1) if least <= d <= numbering.most_depth]
    new = [
        like.model_copy(
            update={
                "name": write_name(named, numbering),
                "depth": float(named.depth),
                "reflect": named.main,
                "second": named.second,
                "strength": 1.0,
                "dyes": None,
                "swatch": None,
            }
        )
        for depth in depths
        for named in names_of_depth(depth, numbering)
    ]
    if not new:
        return None
    as_one = replace(asked, grounds=tuple(ground.as_one() for ground in asked.grounds))
    compared = solve_bowl(as_one, held, new=new).bowls[0]
    shade = next(shade for shade in compared.shades if shade in new)
    best = solve_bowl(asked, held, new=[shade]).bowls[0]
    if best.away > now.delta_e00 - number("gain"):
        return None
    return Lacking(shade, best.away)


def shelf_said(target: Target, held: Sequence[GlossShade], now: Recipe) -> str:
    """Say in a sentence what the shelf is short of; empty where the bowl comes near."""
    if now.delta_e00 <= rule("near"):
        return ""
    nearest = f"The nearest that this shelf comes is {now.delta_e00:.1f} dE00"
    found = lacking_shade(target, held, now)
    if found is None:
        return (
            f"{nearest}, and no single shade more brings it {number('gain'):g} dE00 nearer: what "
            "is left is this hair's own warmth at its depth; a warmer aim comes nearer."
        )
    return (
        f"{nearest}; of all shades that could stand there a {_words(found.shade)} would help "
        f"most: {found.away:.1f} dE00 from the aim."
    )


def _words(shade: GlossShade) -> str:
    """Give a shade in words: '7 violet and ash (7.21)'."""
    second = {None: "", shade.reflect: " twice"}.get(shade.second, f" and {shade.second}")
    return f"{shade.depth:g} {shade.reflect}{second} ({shade.name})"
