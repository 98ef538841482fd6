"""Depth given back: lowlights, and a soft violet on the white that is kept."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from strandline.science.hair.levels import natural_palette, stage_of_lightness
from strandline.science.hair.pigment import lab
from strandline.service.consultation.fibres import natural_hair
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.filler import Filled, fill, has_filler
from strandline.service.formulate.gloss import (
    LENGTH_OF_GRAMS_CM,
    GlossOn,
    look,
    near,
    nothing_with_depth,
)
from strandline.service.formulate.kinds import Kinds
from strandline.service.formulate.recipe import Target, label_of, solve
from strandline.service.formulate.rules import rule
from strandline.service.formulate.toner import POROUS
from strandline.service.formulate.tones import Tone
from strandline.service.practice.bench import Bench


def lowlight_depth(head: HeadReading) -> float:
    """Give the depth of a lowlight: a level lighter than the natural, which is wished for."""
    return min(round(head.level_mean) + 1.0, 9.0)


def lowlight_shades(head: HeadReading, shades: Sequence[GlossShade]) -> list[GlossShade]:
    """Give the shades a lowlight may be made of, the nearest in depth and kind that there are.

    Raises
    ------
    UnreachableError   nothing with a depth on the shelf
    """
    depth = lowlight_depth(head)
    usable = [
        shade
        for shade in near(shades, depth, 0.5, ("neutral", "ash"))
        if shade.kind in ("acid demi", "alkaline demi")
    ]
    usable = usable or near(shades, depth, 1.5, ("neutral", "ash"))
    usable = usable or [shade for shade in shades if not shade.clear]
    if not usable:
        raise nothing_with_depth()
    return usable


def lowlight(
    head: HeadReading,
    grams: float,
    shades: Sequence[GlossShade],
    bench: Bench,
    light: Kinds | None = None,
) -> GlossOn:
    """Formulate lowlights: a demi one level lighter than the natural, neutral with ash.

    Parameters
    ----------
    head : its level and gray
    grams : lowlight colour that the foils take, shade and developer, g
    shades, bench : on the shelf; her times
    light : the lightened hair that the foils lie in; None for natural white
    """
    depth = lowlight_depth(head)
    natural_lab = lab(natural_palette([depth], with_white=False))[0]
    aim = (float(natural_lab[0]), float(natural_lab[1]) * COOLER, float(natural_lab[2]) * COOLER)
    usable = lowlight_shades(head, shades)
    minutes = min(bench["lowlight_min"], label_of(usable))
    target = Target(
        natural_hair(head.level_mean, white=True) if light is None else light.states,
        np.array([1.0]) if light is None else light.shares,
        aim,
        bench["resistance_white"] / 100 if light is None else head.end_uptake,
        "level",
        (minutes,),
    )
    filled = Filled(None, solve(target, usable), "")
    if light is not None and head.condition in POROUS:
        filled = fill(target, depth, usable, shades)
    why = f"One level lighter than the natural {head.level_mean:.0f}"
    if light is None:
        low, high = bench["resistance_white"] - 10, bench["resistance_white"] + 10
        why += f"; resistant white takes {low:.0f}-{high:.0f} %, the temples least."
    else:
        why += f". {filled.why or 'This blonde is sound enough to take it without a filler.'}"
    first = 0.0 if filled.first is None else filled.first.minutes
    return GlossOn(
        "lowlights",
        0.0,
        head.length_cm,
        filled.then,
        max(30.0, round(grams * (1 + bench["grams_reserve"] / 100) / 5) * 5),
        first + minutes / 2,
        (minutes, minutes),
        look(target),
        aim,
        depth,
        first + minutes,
        why,
        "Too light: resistant; deeper next time, never past the label. Green: a copper gloss.",
        "level",
        factor=target.factor,
        first=filled.first,
    )


def filler_minutes(head: HeadReading, shades: Sequence[GlossShade]) -> float:
    """Give the minutes that lowlights wait for a filler; 0 where none goes on."""
    if head.condition not in POROUS or head.share_with("lightened") <= 0:
        return 0.0
    return rule("filler_min") if has_filler(lowlight_depth(head), shades) else 0.0


def clear_violet(
    head: HeadReading, shades: Sequence[GlossShade], bench: Bench, tone: Tone
) -> GlossOn:
    """Formulate a soft violet in clear on white hair that is kept."""
    white = natural_hair(head.level_mean, white=True)
    minutes = (3.0, 4.0, 5.0)
    ground = look(Target(white, np.array([1.0]), (0.0, 0.0, 0.0), 1.0, "stage", minutes))
    aim = tone.aim_lab(ground[0])
    uptake = bench["resistance_white"] / 100
    target = Target(white, np.array([1.0]), aim, uptake, "stage", minutes)
    soft = [s for s in shades if s.clear or (s.reflect == "violet" and s.second is None)]
    usable = soft if any(not s.clear for s in soft) else list(shades)
    recipe = solve(target, usable, softened=True)
    grams = bench["toner_grams"] * head.length_cm / LENGTH_OF_GRAMS_CM * head.density_factor / 2
    return GlossOn(
        "the white that is kept",
        0.0,
        head.length_cm,
        recipe,
        round(grams / 5) * 5,
        min(2.0, recipe.window[0]),
        recipe.window,
        ground,
        aim,
        float(stage_of_lightness(ground[0])),
        recipe.minutes,
        "A soft violet in clear takes the yellow from the white and keeps it bright.",
        "Lilac: wash twice at once; it goes.",
    )


COOLER = 0.8
"""Chroma of a neutral-ash lowlight against natural hair of its depth; from memory."""
