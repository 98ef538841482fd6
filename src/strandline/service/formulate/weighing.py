"""From parts to grams on a scale: whole steps that add up to the bowl."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.service.formulate.rules import weigh_step
from strandline.service.formulate.solver import Asked, Bowl, dyes_after, fewest

LEAST_BOWL_G, MOST_BOWL_G = 5.0, 500.0
"""A bowl is mixed in this range; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A bowl on the scale.

    Parameters
    ----------
    grams : of each shade, g; they add up to the colour of the bowl
    developer_vol : its strength, volume; 0 where there is none
    developer_grams : of it, g
    """

    grams: tuple[float, ...]
    developer_vol: float
    developer_grams: float

    @property
    def mixed_grams(self) -> float:
        """Give all of the bowl, g."""
        return sum(self.grams) + self.developer_grams

    def said(self, bowl: Bowl) -> str:
        """Say a bowl in grams, its developer last."""
        each = [
            f"{gram:g} g {shade.name}" for shade, gram in zip(bowl.shades, self.grams, strict=True)
        ]
        if self.developer_grams:
            each.append(f"{self.developer_grams:g} g developer {self.developer_vol:g} vol")
        return " + ".join(each)


def weigh(bowl: Bowl, mixed_grams: float) -> Weighed:
    """Weigh a bowl.

    Parameters
    ----------
    bowl : shades and parts
    mixed_grams : shade and developer together, g

    Returns
    -------
    Weighed   in steps of the scale, the colour and the developer adding up to `mixed_grams`

    Raises
    ------
    OutOfRangeError   a bowl too small or too large to mix

    Notes
    -----
    Largest remainder: each share is rounded down to a step, then the steps that are left go to
    the largest remainders. No shade is left out: the least is one step. Where the bottles of a
    bowl differ, the strongest developer and the largest ratio on the labels govern.
    """
    if not LEAST_BOWL_G <= mixed_grams <= MOST_BOWL_G:
        raise OutOfRangeError(
            f"The bowl is {mixed_grams:g} g; it must be {LEAST_BOWL_G:g}-{MOST_BOWL_G:g} g.",
            "Give shade and developer together, in grams.",
            "--grams",
        )
    return _on_scale(bowl, mixed_grams)


def _on_scale(bowl: Bowl, mixed_grams: float) -> Weighed:
    ratio = max(shade.ratio for shade in bowl.colours)
    step = weigh_step()
    colour = max(len(bowl.parts), round(mixed_grams / (1 + ratio) / step))
    grams = apportion(bowl.parts, colour)
    strength = max(shade.developer_vol for shade in bowl.colours) if ratio else 0.0
    developer = mixed_grams - colour * step if ratio else 0.0
    return Weighed(tuple(one * step for one in grams), strength, round(developer, 6))


def weigh_fewest(
    bowls: Sequence[Bowl], asked: Asked, mixed_grams: float
) -> tuple[Bowl, Weighed, str]:
    """Take the bowl of fewest shades as it is weighed.

    Parameters
    ----------
    bowls : as they were solved, the nearest first
    asked : the grounds they go on, and the scale
    mixed_grams : shade and developer together, g

    Returns
    -------
    bowl, weighed, said   the bowl with the dyes and the dE00 of its grams; a sentence where,
        weighed in whole steps, another of them would be taken, else empty
    """
    chosen = bowls.index(fewest(bowls))
    scales = [_on_scale(bowl, mixed_grams) for bowl in bowls]
    poured = [_poured(bowl, scale, asked) for bowl, scale in zip(bowls, scales, strict=True)]
    mine = poured[chosen]
    best = fewest(sorted(poured, key=lambda one: one.away))
    if best is mine:
        return mine, scales[chosen], ""
    other = scales[poured.index(best)].said(best)
    comes = "nearer" if best.away < mine.away else "as near with fewer shades"
    return (
        mine,
        scales[chosen],
        (
            f"Weighed in whole steps, {other}, {best.minutes:g} min, comes {comes} "
            f"({best.away:.2f} against {mine.away:.2f} dE00): weigh finer, mix more, or take that."
        ),
    )


def _poured(bowl: Bowl, weighed: Weighed, asked: Asked) -> Bowl:
    """Give a bowl with the dyes of its grams, and the dE00 they leave: weighted mean."""
    dyes = dyes_after(bowl, weighed.grams, bowl.minutes, asked.scale)
    label = min(shade.label_min for shade in bowl.colours)
    whole = sum(ground.weight for ground in asked.grounds)
    away = 0.0
    for bare in asked.grounds:
        ground = bare.under(bowl.colours[0].kind, bowl.minutes, label)
        far = delta_e00(ground.look(dyes[None])[0], np.asarray(ground.aim_lab))
        away += ground.weight / whole * float(far)
    return replace(bowl, dyes=dyes, away=away)


def apportion(parts: Sequence[float], steps: int) -> list[int]:
    """Share so many whole steps out by parts, at least one to each.

    Parameters
    ----------
    parts : of each, > 0
    steps : to share, at least as many as there are parts
    """
    whole = sum(parts)
    wanted = [part / whole * steps for part in parts]
    given = [max(1, math.floor(one + 1e-9)) for one in wanted]
    while sum(given) < steps:
        given[max(range(len(parts)), key=lambda i: (wanted[i] - given[i], -i))] += 1
    while sum(given) > steps:
        over = [i for i in range(len(parts)) if given[i] > 1]
        given[max(over, key=lambda i: (given[i] - wanted[i], given[i], -i))] -= 1
    return given
