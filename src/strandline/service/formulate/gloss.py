"""The gloss of a visit: root shadow, toner on mids and ends, lowlights, a gloss alone.

Order on the head (common practice): the root shadow first, everywhere but the hairline, so that
it sits longest; then the mids; the ends last, where hair is most porous.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import UnreachableError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import Fibre, stack
from strandline.science.hair.levels import level_of_lightness, natural_palette, stage_of_lightness
from strandline.science.hair.mixing import intimate_mix
from strandline.science.hair.pigment import lab, reflectance
from strandline.science.hair.shades import Scale
from strandline.service.consultation.fibres import natural_hair
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.recipe import Recipe, Target, label_of, look_after, solve
from strandline.service.formulate.rules import weigh_step
from strandline.service.formulate.tones import Tone
from strandline.service.formulate.weighing import apportion
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]

HALF_A_LEVEL = 3.0
"""Half a level in L* on light hair: day one is this much deeper, porous ends aside; [1]."""
SHADOW_LIGHTEST = 8.0
WHITE_FROM = 0.75
"""From this share of white a root shadow is 7 to 8; common practice, no source."""
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

    def grams(self) -> list[float]:
        """Give grams of each shade in steps of the scale, adding up to the colour of the bowl."""
        if not self.mixed_grams:
            return []
        ratio = max(shade.ratio for shade in self.recipe.shades)
        steps = round(self.mixed_grams / (1 + ratio) / weigh_step())
        shared = apportion(self.recipe.parts, max(len(self.recipe.parts), steps))
        return [one * weigh_step() for one in shared]


def shadow_depth(head: HeadReading) -> float:
    """Give the depth of the root shadow: what the regrowth is at a squint.

    The intimate mix of white and dark of the regrowth, read as a natural level; with
    `WHITE_FROM` of white 7 to 8.
    """
    gray = head.gray_mean
    states = stack(
        [natural_hair(head.level_mean, white=True), natural_hair(head.level_mean, white=False)]
    )
    mixed = intimate_mix(reflectance(states), np.array([gray, 1 - gray]))
    depth = float(level_of_lightness(lab_from_reflectance(mixed)[0]))
    depth = min(round(depth), SHADOW_LIGHTEST)
    return max(depth, 7.0) if gray >= WHITE_FROM else depth


def shadow_reach_cm(head: HeadReading, bench: Bench) -> float:
    """Give how far the root shadow goes: its width, or past the old line where that shows.

    The line is the one on hair that is left out. Farther out than a shadow may reach it is
    accepted, or broken by lowlights.
    """
    line = head.old_line_cm
    if line is None or not bench["shadow_melt_from_cm"] <= line <= bench["shadow_melt_most_cm"]:
        return bench["shadow_width_cm"]
    return line + PAST_LINE_CM


PAST_LINE_CM = 1.0
"""A melted shadow runs so far past the old line; common practice, no source."""


def _far_line(head: HeadReading, bench: Bench) -> str:
    line = head.old_line_cm
    if line is None or line <= bench["shadow_melt_most_cm"]:
        return ""
    return (
        f" The old line on the hair left out lies {line:.1f} cm out, too far for a shadow: accept "
        "it, or break it with lowlights."
    )


def root_shadow(
    head: HeadReading,
    shades: Sequence[GlossShade],
    bench: Bench,
    *,
    after_it: Sequence[GlossOn] = (),
) -> GlossOn:
    """Formulate the root shadow: neutral shades to the squint depth of the regrowth.

    Parameters
    ----------
    head : its regrowth
    shades, bench : on the shelf; her times
    after_it : what goes on while it sits; it stays on until all of them are rinsed

    Notes
    -----
    It sits alone first, then through the rest, `shadow_total_low` to `shadow_total_high` in all
    and never past its label.
    """
    depth = shadow_depth(head)
    gray = head.gray_mean
    resistance = bench["resistance_white"] / 100
    states = stack(
        [natural_hair(head.level_mean, white=True), natural_hair(head.level_mean, white=False)]
    )
    aim = tuple(float(x) for x in lab(natural_palette([depth], with_white=False))[0])
    plain = _of_depth(shades, depth)
    rest = sum(gloss.alone_min for gloss in after_it)
    least, most = bench.pair("shadow_total")
    alone = max(bench["shadow_alone_min"], least - rest)
    total = min(alone + rest, max(most, rest), label_of(plain.shades))
    target = Target(
        states,
        np.array([gray, 1 - gray]),
        (aim[0], aim[1], aim[2]),
        factor=gray * resistance + (1 - gray),
        scale="level",
        minutes=(total,),
    )
    recipe = look_after(target, plain, total)
    to_cm = shadow_reach_cm(head, bench)
    why = (
        f"It starts where the regrowth is at a squint, about depth {depth:.0f}"
        + (", and melts past the old line." if to_cm > bench["shadow_width_cm"] else ".")
        + _far_line(head, bench)
        + f" {bench['shadow_width_temples_cm']:g} cm at the temples, none on the hairline."
    )
    return GlossOn(
        "root shadow",
        0.0,
        to_cm,
        recipe,
        bench["shadow_grams"],
        min(3.0, total),
        (min(least, total), total),
        look(target),
        target.aim_lab,
        depth,
        max(total - rest, 0.0),
        why,
        "Too dark: wipe off and rinse that part at once; too warm: a drop of ash next time.",
        "level",
    )


def toner(
    states: Fibre,
    shares: Floats,
    tone: Tone,
    head: HeadReading,
    shades: Sequence[GlossShade],
    bench: Bench,
    *,
    from_cm: float,
) -> list[GlossOn]:
    """Formulate the toner on mids, and what the same bowl does on the ends.

    Parameters
    ----------
    states, shares : the lightened strands it goes on
    tone : the family aimed at
    head : length and ponytail, for the grams; uptake of the ends
    shades : on the shelf
    bench : her times and grams
    from_cm : where the mids begin
    """
    porous = head.condition in ("porous", "stretchy", "breaking")
    minutes = _minutes(2, 3) if porous else _minutes(5, 12)
    ground = look(Target(states, shares, (0.0, 0.0, 0.0), 1.0, "stage", minutes))
    stage = float(stage_of_lightness(ground[0]))
    aim = tone.aim_lab(ground[0], 0.0 if porous else HALF_A_LEVEL)
    uptake = head.end_uptake if porous else 1.0
    ends_min = min(bench["ends_min"], 1.0) if porous else bench["ends_min"]
    target = Target(states, shares, aim, uptake, "stage", minutes, ends_min)
    recipe = solve(target, _toners(shades, stage))
    grams = bench["toner_grams"] * head.length_cm / LENGTH_OF_GRAMS_CM * head.density_factor
    ends_from = max(from_cm, head.length_cm * 0.7)
    low, high = recipe.window
    first = 1.0 if recipe.shades[0].kind == "fast toner" else min(5.0, max(1.0, low - 1))
    mids = GlossOn(
        "mids",
        from_cm,
        ends_from,
        recipe,
        round(grams / 5) * 5,
        first,
        (low, high),
        ground,
        aim,
        stage,
        recipe.minutes,
        f"{tone.name.capitalize()}"
        + (
            ": porous hair takes it fast, so short and no deeper than the aim."
            if porous
            else ": half a level deeper and cooler than the aim on day one."
        ),
        _miss(recipe, aim),
    )
    last = Target(states, shares, tone.aim_lab(ground[0]), head.end_uptake, "stage", (ends_min,))
    on_ends = look_after(last, recipe, ends_min)
    ends = GlossOn(
        "ends",
        ends_from,
        head.length_cm,
        on_ends,
        0.0,
        min(1.0, on_ends.minutes),
        (min(1.0, on_ends.minutes), on_ends.minutes),
        ground,
        last.aim_lab,
        stage,
        on_ends.minutes,
        "From the same bowl, last: ends are the most porous.",
        "Ends grab first: rinse them as soon as they lose their yellow.",
    )
    return [mids, ends]


def _of_depth(shades: Sequence[GlossShade], depth: float) -> Recipe:
    """Give the neutral shade of a depth, or two about it in equal parts; no colour yet.

    Raises
    ------
    UnreachableError   nothing with a depth on the shelf
    """
    usable = [s for s in shades if s.depth is not None and s.kind != "permanent"]
    neutral = [s for s in usable if s.reflect == "neutral"] or usable
    if not neutral:
        raise nothing_with_depth()
    away = sorted(neutral, key=lambda s: abs((s.depth or 0.0) - depth))
    chosen = tuple(away[:1])
    if abs((away[0].depth or 0.0) - depth) > SAME_DEPTH and len(away) > 1:
        chosen = tuple(away[:2])
    nowhere = (0.0, 0.0, 0.0)
    return Recipe(chosen, (1.0,) * len(chosen), 0.0, (0.0, 0.0), nowhere, 0.0)


def nothing_with_depth() -> UnreachableError:
    """Give the error of a shelf without a shade that has a depth."""
    return UnreachableError(
        "No shade with a depth stands on the shelf.",
        "Enter the gloss shades at hand: shelf.gloss.",
        "shelf.gloss",
    )


SAME_DEPTH = 0.25
"""A shade this near a depth stands for it; common practice, no source."""


def _toners(shades: Sequence[GlossShade], stage: float) -> list[GlossShade]:
    """Give shades within a level and a half of the ground, and the clear; else all above 6."""
    fit = [
        s
        for s in shades
        if s.clear
        or (s.depth is not None and abs(s.depth - stage) <= 1.5 and s.kind != "permanent")
    ]
    if any(not shade.clear for shade in fit):
        return fit
    return [s for s in shades if s.clear or (s.depth is not None and s.depth >= min(6.0, stage))]


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


def _minutes(first: float, last: float) -> tuple[float, ...]:
    steps = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20)
    return tuple(float(m) for m in steps if first <= m <= last)


def look(target: Target) -> tuple[float, float, float]:
    """Give the CIELAB of a place before anything is on it, to one decimal."""
    seen = target.look(target.states)
    return (round(float(seen[0]), 1), round(float(seen[1]), 1), round(float(seen[2]), 1))


def _miss(recipe: Recipe, aim: tuple[float, float, float]) -> str:
    away = float(delta_e00(np.array(recipe.lab), np.array(aim)))
    first = f"Nothing on the shelf comes nearer than {away:.0f} dE00. " if away > 5 else ""
    return first + "Dull or violet: wash, then clarify. Still yellow: tone again, shorter."
