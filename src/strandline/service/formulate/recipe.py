"""The recipe of a gloss on one place: shades, parts and minutes, and the colour they come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from strandline.base.remembered import remembered
from strandline.science.chemistry.deposit import deposit, uptake, warmed_root
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES, Fibre
from strandline.science.hair.levels import stage_of_lightness
from strandline.science.hair.mixing import area_mix
from strandline.science.hair.pigment import absorption, reflectance
from strandline.science.hair.shades import Scale
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.rules import clocks, rule
from strandline.service.formulate.solver import Asked, fewest, shade_dyes, solve_bowl

Floats = NDArray[np.float64]
REMEMBERED = 256
"""Recipes kept by content: a plan made anew asks for most of them again."""


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
    minutes : steps looked at, within what she gives it; none for those of the shades' kind
    then_min : minutes it stays on after them, within its label too
    keeps_side : it may not pass neutral
    longest_min : it is given, whatever the label allows
    """

    states: Fibre
    shares: Floats
    aim_lab: tuple[float, float, float]
    factor: float
    scale: Scale
    minutes: tuple[float, ...]
    then_min: float = 0.0
    keeps_side: bool = False
    longest_min: float = np.inf

    def ground(self) -> Ground:
        """Give the place as spectra; nothing on it may be deeper than asked."""
        return Ground(
            absorption(self.states),
            np.asarray(self.shares, dtype=float),
            np.full(len(self.states), float(self.factor)),
            np.array(self.aim_lab),
            keeps_side=self.keeps_side,
            deepest=self.aim_lab[0] - rule("deeper_than_asked"),
            fibre=self.states if self.scale == "level" else None,
        )

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
    near : share of the place whose own strands end within the rule `near` of the aim [1]
    let_go : rules that it does not keep here
    """

    shades: tuple[GlossShade, ...]
    parts: tuple[float, ...]
    minutes: float
    window: tuple[float, float]
    lab: tuple[float, float, float]
    delta_e00: float
    spectrum: Floats | None = field(default=None, compare=False, repr=False)
    near: float = 0.0
    let_go: tuple[str, ...] = ()


@remembered(REMEMBERED)
def solve(target: Target, shades: Sequence[GlossShade], *, softened: bool = False) -> Recipe:
    """Find the recipe nearest to an aim.

    Parameters
    ----------
    target : ground, aim, uptake and times
    shades : those that may be used here, the clear among them
    softened : only mixtures that hold clear, where there is one

    Returns
    -------
    Recipe   the fewest shades that come within the rule `simpler` of the least dE00

    Raises
    ------
    UnreachableError   no shade may be used
    """
    solved = solve_bowl(asked_of(target, softened=softened), shades)
    bowl = fewest(solved.bowls)
    plain = Recipe(
        bowl.shades, bowl.parts, 0.0, (0.0, 0.0), target.aim_lab, 0.0, let_go=solved.relaxed
    )
    return _seen_at(target, plain, bowl.minutes)


def asked_of(target: Target, *, softened: bool = False) -> Asked:
    """Give a place as a question to the solver, with the rules that hold there."""
    return Asked(
        (target.ground(),),
        target.scale,
        lambda kind, label: within_label(target, kind, label),
        violet_first=target.scale == "stage" and _pale(target),
        softened=softened,
    )


def within_label(target: Target, kind: str, label_min: float) -> tuple[float, ...]:
    """Give the minutes looked at within a label; where all lie past it, the label's own time."""
    label = min(max(label_min - target.then_min, label_min / 2), target.longest_min)
    steps = target.minutes or clocks()[kind].steps
    return tuple(minute for minute in steps if minute <= label) or (label,)


def _seen_at(target: Target, recipe: Recipe, minutes: float) -> Recipe:
    """Give a recipe with its colour after some of its minutes, and the window about them."""
    steps, labs, away = path(target, recipe.shades, recipe.parts)
    at = steps.index(minutes)
    kept = target.ground().kept(labs)
    close = [
        m
        for m, d, good in zip(steps, away, kept, strict=True)
        if m == minutes or (good and d <= away[at] + rule("window"))
    ]
    lab = tuple(round(float(x), 1) for x in labs[at])
    there = after(target.states, recipe, minutes, target.factor, target.scale)
    return replace(
        recipe,
        minutes=minutes,
        window=(min(close), max(close)),
        lab=(lab[0], lab[1], lab[2]),
        delta_e00=float(away[at]),
        spectrum=target.spectrum(there),
        near=_share_near(target, there),
    )


def _share_near(target: Target, states: Fibre) -> float:
    """Give the share of the place whose own strands are near the aim [1]."""
    seen = lab_from_reflectance(reflectance(states))
    far = delta_e00(seen, np.broadcast_to(np.array(target.aim_lab), seen.shape))
    return float(np.asarray(target.shares)[far <= rule("near")].sum())


def _pale(target: Target) -> bool:
    stage = float(stage_of_lightness(target.look(target.states)[0]))
    return stage >= rule("violet_from_stage")


def look_after(target: Target, recipe: Recipe, minutes: float) -> Recipe:
    """Give the same shades on another place for another time, no longer than their label.

    The window is that among the minutes of the place, where it names them.
    """
    label = label_of(recipe.shades)
    minutes = min(minutes, label)
    steps = tuple(sorted({*target.minutes, minutes}))
    found = _seen_at(replace(target, minutes=steps, then_min=0.0), recipe, minutes)
    return replace(found, let_go=target.ground().broken(np.array(found.lab)))


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
    scale : as the recipe was solved; on 'level' an alkaline kind warms natural pigment too
    """
    whole = sum(recipe.parts)
    dyes = np.zeros(len(DYES))
    for shade, part in zip(recipe.shades, recipe.parts, strict=True):
        dyes += np.array(shade_dyes(shade, scale)) * part / whole
    colours = [shade for shade in recipe.shades if not shade.clear]
    label, kind = label_of(colours), colours[0].kind
    taken = uptake(minutes, label, kind) * np.asarray(factor, dtype=float)
    if scale == "level":
        states = warmed_root(states, kind, minutes, label)
    return deposit(states, dyes, taken)


def label_of(shades: Sequence[GlossShade]) -> float:
    """Give the longest time that the labels of all of them allow, min."""
    return min(shade.label_min for shade in shades if not shade.clear)


def path(
    target: Target, used: Sequence[GlossShade], parts: Sequence[float]
) -> tuple[tuple[float, ...], Floats, Floats]:
    """Give the minutes within the label, shape (T,), the colours, (T, 3), and dE00 from the aim."""
    kind = next(shade.kind for shade in used if not shade.clear)
    minutes = within_label(target, kind, label_of(used))
    recipe = Recipe(tuple(used), tuple(parts), 0.0, (0.0, 0.0), target.aim_lab, 0.0)
    labs = np.stack(
        [
            target.look(after(target.states, recipe, minute, target.factor, target.scale))
            for minute in minutes
        ]
    )
    aim = np.broadcast_to(np.array(target.aim_lab), labs.shape)
    return minutes, labs, np.asarray(delta_e00(labs, aim))
