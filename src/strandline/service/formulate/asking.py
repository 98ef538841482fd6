"""A gloss that is asked for by readings: what may be aimed at, and what is missing for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.deposit import constants, factor
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.levels import stage_of_lightness
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.rules import Place, clocks, places, rule
from strandline.service.formulate.solver import Asked, shade_dyes
from strandline.service.formulate.tones import (
    NEAR_STAGE,
    carried,
    day_one_of,
    tones,
)

Floats = NDArray[np.float64]
Lab = tuple[float, float, float]

HAIR_WARM_FROM, ORANGE_TO, YELLOW_TO = 30.0, 65.0, 115.0
"""Hues of lightened hair, degrees: orange up to the one, yellow up to the other; from memory."""
LESS_WARM = 2.0
"""An aim this much less warm than its ground wants the opposite dye, C*; from memory."""
SAME_TONE = 1.5
"""Families this near to the nearest stand for it, in a*, b*; from memory."""
ANY_TONE = 5.0
"""An aim farther than this from every family is under no rule of lift, in a*, b*; from memory."""
PLAIN_REFLECT = 0.25
"""A dye of at least this share of its shade's depth is a reflect of it; from memory."""


@dataclass(frozen=True)
class Wanted:
    """A gloss by readings.

    Parameters
    ----------
    on : the hair as it is, one reading for each kind of strand or each ground
    shares : of the hair [1], summing to 1
    aim : the colour to wear
    place : where on the length
    apart : the readings are grounds of their own, not strands seen as one
    damp : the hair is damp when it goes on
    as_asked : aim at the colour itself on day one
    mixed_grams : shade and developer together, g
    """

    on: tuple[Lab, ...]
    shares: tuple[float, ...]
    aim: Lab
    place: str = "mids"
    apart: bool = False
    damp: bool = False
    as_asked: bool = False
    mixed_grams: float = 100.0

    @property
    def where(self) -> Place:
        """Give the place with what holds there."""
        return places()[self.place]


def day_one(wanted: Wanted) -> Lab:
    """Give the colour to leave on day one, as `day_one_of` has it, porous ends aside."""
    if wanted.as_asked or not wanted.where.day_one:
        return wanted.aim
    return day_one_of(wanted.aim)


def grounds_of(wanted: Wanted) -> tuple[Ground, ...]:
    """Give the places of the bowl as spectra.

    Raises
    ------
    OutOfRangeError   a reading that no hair has
    """
    ks = np.array([ground_of(reading).ks for reading in wanted.on])
    place = wanted.where
    taken = factor(constants()["on_hair"][place.uptake].value, damp=wanted.damp)
    aim = np.array(day_one(wanted))
    deepest = float(aim[0]) - rule("deeper_than_asked")

    def ground(rows: Floats, shares: Sequence[float], weight: float) -> Ground:
        return Ground(
            rows,
            np.array(shares),
            np.full(len(rows), taken),
            aim,
            weight=weight,
            keeps_side=place.keeps_side,
            deepest=deepest,
        )

    if not wanted.apart:
        return (ground(ks, wanted.shares, 1.0),)
    return tuple(ground(ks[i : i + 1], (1.0,), share) for i, share in enumerate(wanted.shares))


def asked_of(wanted: Wanted, grounds: tuple[Ground, ...]) -> Asked:
    """Give the question to the solver, with the rules that hold on these grounds."""
    place = wanted.where
    pale = all(
        stage_of_lightness(ground.bare()[0]) >= rule("violet_from_stage") for ground in grounds
    )

    def minutes(kind: str, label_min: float) -> tuple[float, ...]:
        steps = clocks()[place.clock or kind].steps
        return tuple(minute for minute in steps if minute <= label_min) or (label_min,)

    return Asked(grounds, place.scale, minutes, violet_first=pale and place.scale == "stage")


def usable(shades: Sequence[GlossShade]) -> list[GlossShade]:
    """Give the shades a gloss may be made of: not used up, and none that lifts."""
    return [shade for shade in shades if shade.grams > 0 and shade.kind != "permanent"]


@dataclass(frozen=True)
class Lacking:
    """Why an aim cannot be had, and the nearest that can be asked for instead.

    Parameters
    ----------
    what, do : a sentence each
    instead : the gloss to ask for
    """

    what: str
    do: str
    instead: Wanted


def lacking(
    wanted: Wanted, grounds: tuple[Ground, ...], shades: Sequence[GlossShade]
) -> Lacking | None:
    """Say what stands in the way of an aim; None where nothing does."""
    bare = [ground.bare() for ground in grounds]
    lightest = max(float(one[0]) for one in bare)
    if wanted.aim[0] > lightest + rule("cannot_lift"):
        below = (lightest, wanted.aim[1], wanted.aim[2])
        return Lacking(
            f"The aim is L* {wanted.aim[0]:g}, its ground L* {lightest:.1f}: a gloss cannot lift.",
            "Lighten first, or aim no lighter than the ground.",
            replace(wanted, aim=below, as_asked=True),
        )
    stage = max(float(stage_of_lightness(one[0])) for one in bare)
    return _too_dark_for(wanted, stage) or _opposite(wanted, bare, shades)


def _too_dark_for(wanted: Wanted, stage: float) -> Lacking | None:
    """Say which tone an aim is, where the lift does not carry it."""
    if wanted.where.scale != "stage":
        return None
    known = list(tones().values())
    off = [
        float(np.hypot(*(np.array(tone.aim_lab(0.0)) - np.array(wanted.aim))[1:])) for tone in known
    ]
    if min(off) > ANY_TONE:
        return None
    same = [t for t, d in zip(known, off, strict=True) if d <= min(off) + SAME_TONE]
    tone = min(same, key=lambda one: one.from_stage)
    if stage + NEAR_STAGE >= tone.from_stage:
        return None
    lower = carried(tone, stage)
    lightness = float(wanted.aim[0])
    return Lacking(
        f"The aim is {tone.name}, honest from stage {tone.from_stage:g}; this hair is at "
        f"{stage:.1f}.",
        f"Lighten first, or aim for {lower.name}."
        if lower is not tone
        else "Lighten first: no cooler tone is honest on it.",
        replace(wanted, aim=(lightness, *lower.aim_lab(0.0)[1:])),
    )


def _opposite(
    wanted: Wanted, bare: Sequence[Floats], shades: Sequence[GlossShade]
) -> Lacking | None:
    """Say which dye against its warmth a ground wants that the shelf does not hold."""
    for ground in bare:
        hue = float(np.degrees(np.arctan2(ground[2], ground[1])))
        chroma = float(np.hypot(ground[1], ground[2]))
        along = (ground[1] * wanted.aim[1] + ground[2] * wanted.aim[2]) / max(chroma, 1e-9)
        if not HAIR_WARM_FROM <= hue <= YELLOW_TO or along > chroma - LESS_WARM:
            continue
        name, dye = ("orange", "blue") if hue < ORANGE_TO else ("yellow", "violet")
        if not any(_holds(shade, dye, wanted) for shade in shades):
            word = "blue (ash)" if dye == "blue" else dye
            return Lacking(
                f"The ground is {name} and the shelf holds nothing {word}, which takes it down.",
                f"Put a {word} shade on the shelf.",
                wanted,
            )
    return None


def _holds(shade: GlossShade, dye: str, wanted: Wanted) -> bool:
    amounts = np.array(shade_dyes(shade, wanted.where.scale))
    own = amounts[DYES.index(dye)]
    warm = sum(amounts[DYES.index(name)] for name in ("gold", "copper", "red"))
    return bool(own > 0 and own >= PLAIN_REFLECT * amounts[0] and own >= warm)


def check(wanted: Wanted) -> None:
    """Refuse readings and shares that say nothing.

    Raises
    ------
    OutOfRangeError   with the option to mend
    """
    if len(wanted.on) != len(wanted.shares):
        raise OutOfRangeError(
            f"There are {len(wanted.on)} readings and {len(wanted.shares)} shares.",
            "Give one share for each reading, such as 70,30.",
            "--shares",
        )
    for name, reading in (*(("--on-lab", one) for one in wanted.on), ("--aim-lab", wanted.aim)):
        check_reading(reading, name)


def check_reading(reading: Lab, where: str) -> None:
    """Refuse a colour that no hair has.

    Raises
    ------
    OutOfRangeError   with the option to mend
    """
    if not (0 < reading[0] <= 100 and max(abs(reading[1]), abs(reading[2])) <= 100):
        said = ",".join(f"{x:g}" for x in reading)
        raise OutOfRangeError(
            f"The colour {said} is none of hair: L* is above 0 and at most 100, a* and b* lie "
            "between -100 and 100.",
            "Give L*,a*,b* as read, dry, under D65.",
            where,
        )
