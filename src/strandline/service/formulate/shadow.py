"""The root shadow: its depth, how far it goes, and the colour it leaves.

It goes on first, everywhere but the hairline, so that it sits longest (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import stack
from strandline.science.hair.levels import level_of_lightness, natural_palette
from strandline.science.hair.mixing import intimate_mix
from strandline.science.hair.pigment import lab, reflectance
from strandline.service.consultation.fibres import natural_hair
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.gloss import GlossOn, look, near, nothing_with_depth
from strandline.service.formulate.recipe import Recipe, Target, solve
from strandline.service.formulate.rules import rule
from strandline.service.practice.bench import Bench

SHADOW_LIGHTEST = 8.0
WHITE_FROM = 0.75
"""From this share of white a root shadow is 7 to 8; common practice, no source."""
PAST_LINE_CM = 1.0
"""A melted shadow runs so far past the old line; common practice, no source."""
NEAR_DEPTH = (0.5, 1.5)
"""Shades within so many levels of the depth make a root shadow, the first that come near
its aim; common practice, no source."""


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
    """Formulate the root shadow: neutral shades and clear to the squint depth of the regrowth.

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
    rest = sum(gloss.alone_min for gloss in after_it)
    least, most = bench.pair("shadow_total")
    alone = max(bench["shadow_alone_min"], least - rest)
    target, deeper = _regrowth(head, depth, min(alone + rest, max(most, rest)), bench)
    recipe = _nearest(target, shades, depth)
    total = recipe.minutes
    to_cm = shadow_reach_cm(head, bench)
    why = (
        f"It starts where the regrowth is at a squint, about depth {depth:.0f}"
        + (", and melts past the old line." if to_cm > bench["shadow_width_cm"] else ".")
        + _far_line(head, bench)
        + deeper
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


def _regrowth(head: HeadReading, depth: float, minutes: float, bench: Bench) -> tuple[Target, str]:
    """Give the regrowth with its aim, and a sentence where it is deeper than that already.

    No lighter is aimed at than the hair itself is.
    """
    gray = head.gray_mean
    states = stack(
        [natural_hair(head.level_mean, white=True), natural_hair(head.level_mean, white=False)]
    )
    natural = lab(natural_palette([depth], with_white=False))[0]
    target = Target(
        states,
        np.array([gray, 1 - gray]),
        (float(natural[0]), float(natural[1]), float(natural[2])),
        factor=gray * bench["resistance_white"] / 100 + (1 - gray),
        scale="level",
        minutes=(minutes,),
    )
    own = float(target.look(states)[0])
    if own >= target.aim_lab[0]:
        return target, ""
    said = (
        f" This hair is deeper already, L* {own:.1f} for {target.aim_lab[0]:.1f}: a gloss cannot "
        "lift, so it only evens the tone; it may be left out."
    )
    return replace(target, aim_lab=(own, *target.aim_lab[1:])), said


def _nearest(target: Target, shades: Sequence[GlossShade], depth: float) -> Recipe:
    """Give the recipe of the shade of the depth and clear; of those about it where that is far."""
    own, about = (
        solve(target, shadow_shades(shades, depth, within=within)) for within in NEAR_DEPTH
    )
    there = own.delta_e00 <= rule("near") and not own.let_go
    return own if there or about.delta_e00 >= own.delta_e00 else about


def shadow_shades(shades: Sequence[GlossShade], depth: float, *, within: float) -> list[GlossShade]:
    """Give the neutral shades near a depth and the clear; else all neutral, else all that deposit.

    Raises
    ------
    UnreachableError   nothing with a depth on the shelf
    """
    usable = [s for s in shades if s.kind != "permanent"]
    with_depth = [s for s in usable if s.depth is not None and not s.clear]
    if not with_depth:
        raise nothing_with_depth()
    neutral = [s for s in with_depth if s.reflect == "neutral"]
    chosen = near(neutral, depth, within, ("neutral",)) or neutral or with_depth
    return [*chosen, *(s for s in usable if s.clear)]
