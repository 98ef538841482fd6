"""The answer to a gloss asked for by readings: recipes on the scale, with their clock and cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from strandline.base.errors import UnreachableError
from strandline.science.colour.difference import delta_e00
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.asking import (
    Wanted,
    asked_of,
    check,
    grounds_of,
    lacking,
    usable,
)
from strandline.service.formulate.clock import Clock, clock_of, miss_of
from strandline.service.formulate.grounds import Ground, share_near
from strandline.service.formulate.rules import clocks
from strandline.service.formulate.solver import Bowl, dyes_after, let_go_said, solve_bowl
from strandline.service.formulate.weighing import Weighed, weigh


@dataclass(frozen=True)
class Dish:
    """A recipe as it is weighed.

    Parameters
    ----------
    bowl, weighed : in parts, and on the scale
    on : its colour by the best minute on each ground, CIELAB
    away : dE00 from the day's aim on each ground
    from_aim : dE00 from the colour to wear on each ground
    near : share of the hair whose own strands end near the aim [1]
    clocks : of each ground
    price : of the shades in it; None where a price is not known
    """

    bowl: Bowl
    weighed: Weighed
    on: tuple[tuple[float, float, float], ...]
    away: tuple[float, ...]
    from_aim: tuple[float, ...]
    near: float
    clocks: tuple[Clock, ...]
    price: float | None


@dataclass(frozen=True)
class Answer:
    """All that a gloss comes to.

    Parameters
    ----------
    wanted : as asked
    grounds : the places with the day's aim
    dishes : the nearest first
    own : for several grounds, the best bowl of each ground alone
    notes : sentences to read before it is mixed
    """

    wanted: Wanted
    grounds: tuple[Ground, ...]
    dishes: tuple[Dish, ...]
    own: tuple[Dish, ...]
    notes: tuple[str, ...]


def answer(wanted: Wanted, shades: Sequence[GlossShade]) -> Answer:
    """Find the gloss that is asked for.

    Parameters
    ----------
    wanted : hair, aim, place
    shades : on the shelf

    Raises
    ------
    OutOfRangeError    a reading, share or bowl off its range
    UnreachableError   an aim lighter than its ground, a tone that the lift does not carry, nothing
                       on the shelf against the ground's warmth: with the best that can be done
    """
    check(wanted)
    held = usable(shades)
    grounds = grounds_of(wanted)
    missing = lacking(wanted, grounds, held)
    if missing is not None:
        best = _dishes(missing.instead, grounds_of(missing.instead), held)[0][0]
        far = delta_e00(np.array(best.on[0]), np.array(wanted.aim))
        raise UnreachableError(
            missing.what,
            f"{missing.do} The best that can be done: {in_words(best)}, to "
            f"{_lab(best.on[0])}, {float(far):.1f} dE00 from the aim.",
            "--aim-lab",
        )
    dishes, notes = _dishes(wanted, grounds, held)
    own: tuple[Dish, ...] = ()
    if len(grounds) > 1:
        own = tuple(_alone(wanted, ground, held) for ground in grounds)
    return Answer(wanted, grounds, dishes, own, tuple(notes))


def in_words(dish: Dish) -> str:
    """Give a recipe in a line: grams of each shade, and the minutes."""
    grams = " + ".join(
        f"{gram:g} g {shade.name}"
        for shade, gram in zip(dish.bowl.shades, dish.weighed.grams, strict=True)
    )
    return f"{grams}, {dish.bowl.minutes:g} min"


def _alone(wanted: Wanted, ground: Ground, shades: Sequence[GlossShade]) -> Dish:
    share = ground.weight / sum(wanted.shares)
    grams = max(30.0, round(wanted.mixed_grams * share))
    return _dishes(replace(wanted, mixed_grams=grams), (ground,), shades)[0][0]


def _dishes(
    wanted: Wanted, grounds: tuple[Ground, ...], shades: Sequence[GlossShade]
) -> tuple[tuple[Dish, ...], list[str]]:
    solved = solve_bowl(asked_of(wanted, grounds), shades)
    dishes = tuple(_dish(wanted, grounds, bowl) for bowl in solved.bowls)
    notes = let_go_said(solved.relaxed)
    notes += _far(grounds, dishes[0])
    notes += _rounded(grounds, dishes)
    notes += _stock(dishes[0])
    return dishes, notes


def _dish(wanted: Wanted, bare: tuple[Ground, ...], bowl: Bowl) -> Dish:
    weighed = weigh(bowl, wanted.mixed_grams)
    scale = wanted.where.scale
    dyes = dyes_after(bowl, weighed.grams, bowl.minutes, scale)
    label = min(shade.label_min for shade in bowl.colours)
    kind = bowl.colours[0].kind
    grounds = tuple(one.under(kind, bowl.minutes, label) for one in bare)
    seen = [ground.look(dyes[None])[0] for ground in grounds]
    first = clocks()[wanted.where.clock or bowl.colours[0].kind].first
    whole = sum(ground.weight for ground in grounds)
    return Dish(
        bowl,
        weighed,
        tuple((float(one[0]), float(one[1]), float(one[2])) for one in seen),
        tuple(float(delta_e00(s, g.aim_lab)) for s, g in zip(seen, grounds, strict=True)),
        tuple(float(delta_e00(one, np.array(wanted.aim))) for one in seen),
        sum(share_near(ground, dyes) * ground.weight / whole for ground in grounds),
        tuple(
            clock_of(
                ground,
                lambda minute: dyes_after(bowl, weighed.grams, minute, scale),
                bowl.minutes,
                label,
                first,
                kind,
            )
            for ground in bare
        ),
        _price(bowl, weighed),
    )


def _price(bowl: Bowl, weighed: Weighed) -> float | None:
    total = 0.0
    for shade, grams in zip(bowl.shades, weighed.grams, strict=True):
        if shade.price_per_kg is None:
            return None
        total += shade.price_per_kg * grams / 1000
    return total


def mean_away(grounds: Sequence[Ground], dish: Dish) -> float:
    """Give the weighted mean dE00 of a recipe as weighed."""
    whole = sum(ground.weight for ground in grounds)
    return sum(g.weight / whole * far for g, far in zip(grounds, dish.away, strict=True))


def _rounded(grounds: Sequence[Ground], dishes: Sequence[Dish]) -> list[str]:
    """Say where weighing turns two recipes round."""
    far = [mean_away(grounds, dish) for dish in dishes]
    return [
        f"Weighed in whole steps, recipe {number + 2} comes nearer ({then:.2f} dE00) than recipe "
        f"{number + 1} ({now:.2f}): weigh it finer, mix more, or take the other."
        for number, (now, then) in enumerate(pairwise(far))
        if then < now
    ]


FAR = 5.0
"""A recipe farther than this from its aim is said to be far; from memory."""
WANTING = {
    "deep": "a lighter shade, or a clear",
    "violet": "gold or beige",
    "warm": "a stronger violet or blue",
    "pink": "green or ash",
    "green": "red or copper",
}
"""What takes a colour back that misses so; common practice, no source."""


def _far(grounds: Sequence[Ground], dish: Dish) -> list[str]:
    """Say where the nearest recipe is far from its aim, and what the shelf is short of."""
    worst = max(range(len(grounds)), key=lambda i: dish.away[i])
    if dish.away[worst] <= FAR:
        return []
    way = miss_of(np.array(dish.on[worst]), grounds[worst].aim_lab, plain=0.0)
    far = dish.away[worst]
    words = f"Nothing that stands there comes nearer than {far:.0f} dE00; what is missing is "
    return [f"{words}{WANTING[way]}, or an aim nearer to this hair."]


def _stock(dish: Dish) -> list[str]:
    return [
        f"The shelf holds {shade.grams:g} g of {shade.name}; {grams:g} g are wanted."
        for shade, grams in zip(dish.bowl.shades, dish.weighed.grams, strict=True)
        if grams > shade.grams
    ]


def _lab(lab: Sequence[float]) -> str:
    return ", ".join(f"{x:.1f}" for x in lab)
