"""The toner of a visit: mids, then the ends from the same bowl, each on its own clock.

The ends come last and are rinsed with the mids, so that the mids' minutes hold those of the ends
(common practice: hair is most porous there).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.science.hair.levels import stage_of_lightness
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.gloss import LENGTH_OF_GRAMS_CM, GlossOn, look
from strandline.service.formulate.kinds import Kinds
from strandline.service.formulate.lacking_shade import shelf_said
from strandline.service.formulate.one_or_two import Met, OneOrTwo, one_or_two
from strandline.service.formulate.recipe import Recipe, Target, look_after, path, solve
from strandline.service.formulate.rules import clocks
from strandline.service.formulate.tones import Tone, day_one_of
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]
Lab = tuple[float, float, float]

SHADOW_ALONE_MIN = 3.0
"""A root shadow sits alone for at least so long before the mids; common practice, no source."""
POROUS_MIN = (2.0, 2.5, 3.0)
"""Minutes a toner is given on porous hair; common practice, no source."""
STEP_MIN = 0.5
"""Half a minute: what the ends are timed to; common practice, no source."""
ENDS_FROM = 0.7
"""Where the ends begin, of the length; common practice, no source."""
POROUS = ("porous", "stretchy", "breaking")
MISS = "Dull or violet: wash, then clarify. Still yellow: tone again, shorter."
SHARE_SAID = 0.1
"""A ground of less of the hair is not told of; common practice, no source."""


@dataclass(frozen=True)
class Tonable:
    """Hair that a toner goes on.

    Parameters
    ----------
    mids, ends : kinds of strands on either place
    from_cm : where the mids begin
    """

    mids: Kinds
    ends: Kinds
    from_cm: float


def toner(
    hair: Tonable, tone: Tone, head: HeadReading, shades: Sequence[GlossShade], bench: Bench
) -> list[GlossOn]:
    """Formulate the toner on mids, and what the same bowl does on the ends.

    Parameters
    ----------
    hair : what it goes on
    tone : the family aimed at
    head : length and ponytail, for the grams; uptake of the ends
    shades : on the shelf
    bench : her times and grams

    Notes
    -----
    On day one the mids are half a level deeper and cooler than the colour to wear, porous hair
    and ends aside; no deeper than that but for the rule's bit; the ends may not pass neutral.
    """
    porous = head.condition in POROUS
    mids = _mids(hair.mids, tone, head, bench)
    stage = float(stage_of_lightness(look(mids)[0]))
    held = toners_for(shades, stage)
    recipe = solve(mids, held)
    ends = _ends(hair.ends, tone, head, look(mids)[0], _ends_minutes(recipe, bench, porous=porous))
    on_ends = _on_ends(ends, recipe)
    grams = bench["toner_grams"] * head.length_cm / LENGTH_OF_GRAMS_CM * head.density_factor
    mixed = round(grams / 5) * 5
    split = max(hair.from_cm, head.length_cm * ENDS_FROM)
    along = (split - hair.from_cm) / max(head.length_cm - hair.from_cm, 1e-9)
    lightest = look(mids)[0]
    met = _met(
        hair.mids, recipe, shades, along, lambda own: _mids(own, tone, head, bench, lightest)
    )
    if 1 - along >= SHARE_SAID:
        met.append(Met("ends", 1 - along, ends, on_ends, _toners_met(ends, shades)))
    weighed = one_or_two(met, mixed) if len(met) > 1 else OneOrTwo((), 0.0)
    return [
        GlossOn(
            "mids",
            hair.from_cm,
            split,
            recipe,
            mixed,
            _first_look(recipe),
            recipe.window,
            look(mids),
            mids.aim_lab,
            stage,
            recipe.minutes - on_ends.minutes,
            _why(tone, porous=porous),
            MISS,
            wear_lab=tone.aim_lab(look(mids)[0]),
            factor=mids.factor,
            bowls=weighed,
            shelf=shelf_said(mids, held, recipe),
        ),
        GlossOn(
            "ends",
            split,
            head.length_cm,
            on_ends,
            0.0,
            min(1.0, on_ends.minutes),
            on_ends.window,
            look(ends),
            ends.aim_lab,
            stage,
            on_ends.minutes,
            _why_ends(on_ends),
            "Ends grab first: rinse them as soon as they lose their yellow.",
            wear_lab=ends.aim_lab,
            factor=ends.factor,
        ),
    ]


def _mids(
    kinds: Kinds, tone: Tone, head: HeadReading, bench: Bench, lightest: float = np.inf
) -> Target:
    """Give mids and their aim, no lighter than that of hair of so much L*.

    They are given no longer than the root shadow over them may sit.
    """
    porous = head.condition in POROUS
    bare = Target(kinds.states, kinds.shares, (0.0, 0.0, 0.0), 1.0, "stage", ())
    wear = tone.aim_lab(min(look(bare)[0], lightest))
    aim = wear if porous else day_one_of(wear)
    return replace(
        bare,
        aim_lab=aim,
        factor=head.end_uptake if porous else 1.0,
        minutes=POROUS_MIN if porous else (),
        longest_min=bench["shadow_total_high"] - SHADOW_ALONE_MIN,
    )


def _ends(
    kinds: Kinds, tone: Tone, head: HeadReading, lightest: float, minutes: tuple[float, ...]
) -> Target:
    """Give the ends: the colour to wear itself, no lighter than the mids', never past neutral."""
    bare = Target(kinds.states, kinds.shares, (0.0, 0.0, 0.0), head.end_uptake, "stage", minutes)
    aim = tone.aim_lab(min(look(bare)[0], lightest))
    return replace(bare, aim_lab=aim, keeps_side=True)


def _ends_minutes(recipe: Recipe, bench: Bench, *, porous: bool) -> tuple[float, ...]:
    """Give the minutes that the ends may get: hers on porous hair and of a fast toner, else all."""
    longest = recipe.minutes
    if porous:
        longest = min(longest, bench["ends_min"], 1.0)
    elif recipe.shades[0].kind == "fast toner":
        longest = min(longest, bench["ends_min"])
    steps = np.arange(STEP_MIN, longest + 1e-9, STEP_MIN)
    return tuple(float(minute) for minute in steps) or (longest,)


def _on_ends(ends: Target, recipe: Recipe) -> Recipe:
    """Give what the bowl leaves in the minutes that come nearest within the rules.

    The least minutes where none keeps to them. Rinsed no later than that: hair there grabs.
    """
    minutes, labs, _ = path(ends, recipe.shades, recipe.parts)
    best = float(minutes[int(np.argmin(ends.ground().away(labs)))])
    found = look_after(ends, recipe, best)
    return replace(found, window=(min(found.window[0], best), best))


def _met(
    kinds: Kinds,
    recipe: Recipe,
    shades: Sequence[GlossShade],
    along: float,
    aimed: Callable[[Kinds], Target],
) -> list[Met]:
    """Give the grounds that the one bowl meets on the mids, which are `along` of the length."""
    out = []
    parts = [one for one in kinds.parts() if one[1] >= SHARE_SAID]
    for name, share in parts:
        target = aimed(kinds.of(name))
        said = "mids" if len(parts) == 1 else f"mids of {name}"
        left = look_after(target, recipe, recipe.minutes)
        known = recipe if len(parts) == 1 else None
        out.append(Met(said, share * along, target, left, _toners_met(target, shades), known))
    return out


def _toners_met(target: Target, shades: Sequence[GlossShade]) -> tuple[GlossShade, ...]:
    return tuple(toners_for(shades, float(stage_of_lightness(look(target)[0]))))


def toners_for(shades: Sequence[GlossShade], stage: float) -> list[GlossShade]:
    """Give shades within a level and a half of the ground, and the clear; else all above 6."""
    shades = [shade for shade in shades if shade.kind != "permanent"]
    fit = [s for s in shades if s.clear or (s.depth is not None and abs(s.depth - stage) <= 1.5)]
    if any(not shade.clear for shade in fit):
        return fit
    return [s for s in shades if s.clear or (s.depth is not None and s.depth >= min(6.0, stage))]


def _first_look(recipe: Recipe) -> float:
    usual = clocks()[recipe.shades[0].kind].first
    return min(usual, max(1.0, float(np.floor(recipe.window[0])) - 1))


def _why(tone: Tone, *, porous: bool) -> str:
    return f"{tone.name.capitalize()}" + (
        ": porous hair takes it fast, so short and no deeper than the aim."
        if porous
        else ": half a level deeper and cooler than the colour to wear on day one."
    )


def _why_ends(on_ends: Recipe) -> str:
    why = f"From the same bowl, for its last {on_ends.minutes:g} min: ends are the most porous."
    broken = " and ".join(f"'{rule}'" for rule in on_ends.let_go)
    return f"{why} Even so it does not keep to {broken}: wipe them at once." if broken else why
