"""One bowl from the shelf: the shades, parts, clear and minutes that come nearest to an aim.

The one solver: the plan, the toners after a rinse and the command `gloss` ask it. What is
searched and how stands in `search`; the rules it keeps to in `gloss_rules.toml`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, UnreachableError
from strandline.science.chemistry.deposit import uptake
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import FAR, dyes_of_swatch, ground_of
from strandline.science.hair.naming.colour import ground as ground_of_scale
from strandline.science.hair.naming.colour import reflect_dyes
from strandline.science.hair.pigment import absorption
from strandline.science.hair.shades import Scale, dye_amounts
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.grounds import DEPTH, SIDE, Ground, warms
from strandline.service.formulate.mixtures import Colour, Mixtures, Strengths, mixtures, strengths
from strandline.service.formulate.rules import rule, steps
from strandline.service.formulate.search import Found, look_at_all, search

Floats = NDArray[np.float64]
Minutes = Callable[[str, float], tuple[float, ...]]
"""From a kind and its label's minutes to the minutes looked at, none past the label."""


@dataclass(frozen=True)
class Asked:
    """What a bowl is asked to do.

    Parameters
    ----------
    grounds : the places it goes on
    scale : whether depths are read on lightened hair ('stage') or on white ('level')
    minutes : looked at, by kind and label
    violet_first : it must hold at least as much violet as silver
    softened : it must hold clear, where there is one
    """

    grounds: tuple[Ground, ...]
    scale: Scale
    minutes: Minutes
    violet_first: bool = False
    softened: bool = False


@dataclass(frozen=True)
class Bowl:
    """A mixture in parts.

    Parameters
    ----------
    shades, parts : shades used, the clear last where there is one
    minutes : it is on
    dyes : shape (D,)   it leaves on sound mids by then
    away : weighted mean dE00 from the aims
    """

    shades: tuple[GlossShade, ...]
    parts: tuple[float, ...]
    minutes: float
    dyes: Floats
    away: float

    @property
    def colours(self) -> tuple[GlossShade, ...]:
        """Give the shades without the clear."""
        return tuple(shade for shade in self.shades if not shade.clear)


@dataclass(frozen=True)
class Solved:
    """What the solver found.

    Parameters
    ----------
    bowls : the nearest first; fewer shades only where they cost nearness
    relaxed : rules that no mixture of this shelf can keep, and that were let go
    looked : recipes looked at
    """

    bowls: tuple[Bowl, ...]
    relaxed: tuple[str, ...]
    looked: int


@lru_cache(maxsize=512)
def shade_dyes(shade: GlossShade, scale: Scale) -> tuple[float, ...]:
    """Give the dyes that a shade of the shelf leaves at full uptake, over `DYES`.

    Raises
    ------
    OutOfRangeError   a swatch that no dye gives on the hair it is said to lie on
    """
    if shade.depth is None:
        return (0.0,) * len(DYES)
    if shade.swatch is None:
        return tuple(float(amount) for amount in _named_dyes(shade, scale))
    on: Scale = "level" if shade.swatch.on == "white" else "stage"
    bare = absorption(ground_of_scale(on))[0]
    if shade.swatch.on_lab is not None:
        bare = ground_of(shade.swatch.on_lab).ks
    read = dyes_of_swatch(shade.swatch.lab, bare, _named_dyes(shade, on))
    if read.difference > FAR:
        said = ", ".join(f"{x:g}" for x in shade.swatch.lab)
        raise OutOfRangeError(
            f"The swatch of '{shade.name}' reads {said}; no dye on {shade.swatch.on} hair comes "
            f"nearer to it than {read.difference:.0f} dE00.",
            "Read it again, dry, and give the hair it lies on as on_lab: a gloss only darkens.",
            "shelf.gloss",
        )
    return tuple(float(amount) for amount in read.amounts)


def _named_dyes(shade: GlossShade, scale: Scale) -> Floats:
    shares = reflect_dyes(shade.reflect, shade.second, scale)
    if shade.dyes is not None:
        shares = shade.dyes.on(scale)
    reflects = {dye: share * shade.strength for dye, share in shares.items()}
    return dye_amounts(shade.depth or 0.0, reflects, scale=scale)


def solve_bowl(
    asked: Asked,
    shades: Sequence[GlossShade],
    *,
    look_at_every_one: bool = False,
    new: Sequence[GlossShade] = (),
) -> Solved:
    """Find the nearest bowl.

    Parameters
    ----------
    asked : grounds, aims, rules
    shades : those that may be used, the clear among them
    look_at_every_one : the slow reference instead of the search
    new : shades that do not stand there and are tried: every bowl is one of them, alone or with
        one of `shades`, and clear

    Returns
    -------
    Solved   the least weighted mean dE00; a tie goes to fewer shades, less time, less clear

    Raises
    ------
    UnreachableError   no shade may be used

    Notes
    -----
    Where no mixture keeps the rules, they are let go one after the other and named: first the
    depth and the side of gray, then violet over silver.
    """
    clear = next((shade for shade in shades if shade.clear), None)
    colours = [shade for shade in shades if not shade.clear]
    if not colours:
        raise UnreachableError(
            "Only a clear stands there: it leaves no colour." if shades else NONE_LEFT,
            "Put a gloss shade with a depth on the shelf: shelf.gloss.",
            "shelf.gloss",
        )
    new_from = len(colours) if new else None
    colours += new
    find = look_at_all if look_at_every_one else search
    looked = 0
    for relaxed in _RELAXED:
        eased = _eased(asked, relaxed)
        found, count = find(_blocks(eased, colours, clear, new_from))
        looked += count
        if found:
            bowls = sorted(
                (_bowl(one, colours, clear) for one in found.values()), key=lambda b: b.away
            )
            return Solved(tuple(bowls), relaxed, looked)
    raise UnreachableError(
        "No shade on the shelf may be used here.",
        "Enter the gloss shades at hand: shelf.gloss.",
        "shelf.gloss",
    )


def fewest(bowls: Sequence[Bowl]) -> Bowl:
    """Give the bowl of fewest shades within the rule `simpler` of the nearest, which is first."""
    near = bowls[0].away + rule("simpler")
    return min((one for one in bowls if one.away <= near), key=lambda one: len(one.colours))


def let_go_said(relaxed: Sequence[str]) -> list[str]:
    """Give a sentence for each rule that was let go."""
    return [f"No mixture of this shelf keeps to '{one}'; it was let go." for one in relaxed]


NONE_LEFT = "The shelf holds no gloss: what is there is used up, or permanent colour, which lifts."
VIOLET = "violet at least silver"
_RELAXED: tuple[tuple[str, ...], ...] = (
    (),
    (DEPTH,),
    (DEPTH, SIDE),
    (DEPTH, SIDE, VIOLET),
)


def _eased(asked: Asked, relaxed: Sequence[str]) -> Asked:
    grounds = tuple(
        replace(
            ground,
            deepest=0.0 if DEPTH in relaxed else ground.deepest,
            keeps_side=ground.keeps_side and SIDE not in relaxed,
        )
        for ground in asked.grounds
    )
    return replace(
        asked, grounds=grounds, violet_first=asked.violet_first and VIOLET not in relaxed
    )


def _blocks(
    asked: Asked,
    shades: Sequence[GlossShade],
    clear: GlossShade | None,
    new_from: int | None,
) -> Iterator[tuple[Sequence[Ground], Mixtures, Strengths]]:
    """Give the mixtures with their strengths; where one warms its ground, minute by minute."""
    colours = [
        Colour(np.array(shade_dyes(shade, asked.scale)), shade.kind, shade.label_min)
        for shade in shades
    ]
    clears = steps().clears if clear else (0.0,)
    if asked.softened and clear:
        clears = tuple(one for one in clears if one > 0)
    every = mixtures(colours, steps(), violet_first=asked.violet_first, new_from=new_from)
    for block in every:
        on = asked.minutes(block.kind, block.label_min)
        by_minute = [(minute,) for minute in on] if warms(asked.grounds, block.kind) else [on]
        for minutes in by_minute:
            under = [one.under(block.kind, minutes[0], block.label_min) for one in asked.grounds]
            yield under, block, strengths(block.kind, block.label_min, minutes, clears)


def _bowl(found: Found, colours: Sequence[GlossShade], clear: GlossShade | None) -> Bowl:
    shades = tuple(colours[i] for i in found.index)
    parts = found.parts
    if found.clear and clear:
        shades, parts = (*shades, clear), (*parts, found.clear * sum(parts))
    return Bowl(shades, parts, found.minutes, found.dyes, found.away)


def dyes_after(bowl: Bowl, parts: Sequence[float], minutes: float, scale: Scale) -> Floats:
    """Give the dyes that shades in other parts or another time leave on sound mids, shape (D,).

    Parameters
    ----------
    bowl : its shades
    parts : of each, such as grams
    minutes : it is on
    scale : as the bowl was solved
    """
    share = np.array(parts) / sum(parts)
    dyes = share @ np.array([shade_dyes(shade, scale) for shade in bowl.shades])
    label = min(shade.label_min for shade in bowl.colours)
    return np.asarray(dyes * uptake(minutes, label, bowl.colours[0].kind))
