"""Which strength for which stretch of which foils, in parts she pours, and what it will do.

Rules of the trade set the choice (a weak first bowl; nothing over 20 at the scalp; stronger only
on dark old colour away from it; at most two strengths, three in a correction); the law of lift
says how long each takes and how far it comes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import UnreachableError
from strandline.base.quantities import Range, range_of
from strandline.science.chemistry.developer import Mix, mix
from strandline.service.consultation.bands import Stretch
from strandline.service.formulate.curves import cystine_drawn, dose_after, ground_of, harm_draws
from strandline.service.formulate.lightening import Ground, Lift, lift_ground
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]
WHITE_OR_FINE = 0.85
"""From this share of white a head is checked as white; common practice, no source."""
FINE_UM = 60.0
"""Below this diameter hair counts as fine; common practice, no source."""
WARM_CM = 1.5
"""At the scalp this far runs faster for its warmth; common practice, no source."""


@dataclass(frozen=True)
class Foiled:
    """The stretches that lie in today's foils, and how their hair is aimed.

    Parameters
    ----------
    stretches : from the scalp to the ends, of the lanes that are taken
    gray : share of white hair in them [0-1]
    level : natural level of the rest
    """

    stretches: tuple[Stretch, ...]
    gray: float
    level: float


@dataclass(frozen=True)
class Asked:
    """What is asked of the strengths.

    Parameters
    ----------
    aim_stage : stage aimed for
    dark : old colour that gets a strength and time of its own
    weak_on : 'first' foils, 'hairline' foils, 'chosen' zones or 'none', where the weak bowl goes
    label_max_min, label_max_vol : of the lightener
    stock_vols : bottles on the shelf
    """

    aim_stage: float
    dark: bool
    weak_on: str
    label_max_min: float
    label_max_vol: float
    stock_vols: tuple[float, ...]


@dataclass(frozen=True)
class Dose:
    """A strength on a stretch.

    Parameters
    ----------
    bowl : 'weak', 'main' or 'strong'
    band : what the stretch is, in words
    from_cm, to_cm : where it lies
    mix : target and poured parts
    after_min : minutes after the foil's start that it waits
    aim_stage : stage aimed for
    minutes_to_aim : Range
    due_min : minutes from its own start until its foil is taken out
    stage_when_due : Range
    chance : of the aim before the label's time [0-1]
    why : a sentence
    lift : the whole curve
    ground : the hair it is on
    oxidised : Range   share of cystine oxidised when it is due, earlier lightening included, %;
        counted from baths: it compares plans and never reassures
    """

    bowl: str
    band: str
    from_cm: float
    to_cm: float
    mix: Mix
    after_min: float
    aim_stage: float
    minutes_to_aim: Range
    due_min: float
    stage_when_due: Range
    chance: float
    why: str
    lift: Lift
    ground: Ground
    oxidised: Range


def first_check_min(
    bench: Bench, *, dark: bool, gray: float, diameter_um: float = math.inf
) -> float:
    """Give when a foil is first looked at, min from its own start.

    Parameters
    ----------
    bench : her numbers
    dark : old dark colour is lightened
    gray : share of white [0-1]
    diameter_um : of the hair
    """
    if dark:
        return bench["first_check_dark_min"]
    if gray >= WHITE_OR_FINE or diameter_um < FINE_UM:
        return bench["first_check_white_fine_min"]
    return bench["first_check_min"]


def grounds(foiled: Foiled, bench: Bench) -> list[tuple[Stretch, Ground]]:
    """Give each stretch that gets lightener with its hair.

    Regrowth so white that it wants no lightener is left out but for its last millimetres; hair
    that is light already is never taken again.
    """
    out = []
    light_enough = bench["white_needs_none"] / 100
    for index, stretch in enumerate(foiled.stretches):
        if stretch.band is not None and stretch.band.past == "lightened":
            continue
        start = stretch.from_cm
        virgin_regrowth = stretch.band is None and index + 1 < len(foiled.stretches)
        if virgin_regrowth and foiled.gray >= light_enough:
            start = max(stretch.from_cm, stretch.to_cm - bench["rootward_mm"] / 10)
        ground = ground_of(
            stretch.band,
            foiled.level,
            foiled.gray,
            first_cm=stretch.to_cm <= WARM_CM,
        )
        out.append((Stretch(start, stretch.to_cm, stretch.band), ground))
    return out


def set_strengths(
    foiled: Foiled, asked: Asked, bench: Bench, draws: Mapping[str, Floats]
) -> list[Dose]:
    """Choose strengths and compute what they do, stretch by stretch.

    Parameters
    ----------
    foiled : the hair in today's foils
    asked : aim, label and shelf
    bench : her strengths and limits
    draws : shared standard normals, shape (64,) each

    Returns
    -------
    list of Dose   by bowl, then from the scalp outward

    Raises
    ------
    UnreachableError   no bottle on the shelf gives a strength that may be used
    """
    if not asked.stock_vols:
        raise UnreachableError(
            "There is no developer on the shelf.",
            "Enter the bottles: shelf.developers = [5, 20].",
            "shelf.developers",
        )
    out: list[Dose] = []
    for stretch, ground in grounds(foiled, bench):
        out += [
            _dose(bowl, ground, asked, draws)
            for bowl in _bowls(stretch, ground, asked, bench, draws)
        ]
    order = ("weak", "main", "strong")
    out = out_together(out, draws, dark=asked.dark)
    return sorted(out, key=lambda dose: (order.index(dose.bowl), dose.from_cm))


def out_together(doses: Sequence[Dose], draws: Mapping[str, Floats], *, dark: bool) -> list[Dose]:
    """Take every stretch out when its foil comes out: when the one that takes longest is due.

    Parameters
    ----------
    doses : each with its own due
    draws : as `set_strengths`
    dark : a foil takes all the bowls; else each bowl has foils of its own
    """
    out = []
    for dose in doses:
        beside = [one for one in doses if dark or one.bowl == dose.bowl]
        due = max(one.after_min + one.due_min for one in beside) - dose.after_min
        out.append(taken_out(dose, due, draws))
    return out


def taken_out(dose: Dose, minutes: float, draws: Mapping[str, Floats]) -> Dose:
    """Give a dose as it is when its foil is taken out after minutes of its own start."""
    return replace(
        dose,
        due_min=minutes,
        stage_when_due=dose.lift.at(minutes),
        oxidised=_oxidised(dose.ground, dose.mix.poured_vol, minutes, draws),
    )


@dataclass(frozen=True, slots=True)
class _Bowl:
    """A bowl on a stretch, before its lift is computed."""

    name: str
    band: str
    from_cm: float
    to_cm: float
    vol: float
    most_vol: float
    why: str
    after_min: float = 0.0


def _bowls(
    stretch: Stretch, ground: Ground, asked: Asked, bench: Bench, draws: Mapping[str, Floats]
) -> list[_Bowl]:
    band, low, high = band_name(stretch), stretch.from_cm, stretch.to_cm
    most = min(bench["scalp_max_vol"], asked.label_max_vol)
    main = min(bench["main_vol"], most)
    far = min(bench["dark_vol"], bench["powder_max_vol"], asked.label_max_vol)
    if asked.dark and ground.old_colour:
        start = max(low, bench["dark_from_cm"])
        strong = _strong(ground, asked, bench, draws)
        why = "Dark old colour holds on: a stronger bowl, first in the foil, away from the scalp."
        bowls = [_Bowl("strong", band, start, high, strong, far, why)]
        if start - low >= TOO_NARROW_CM:
            why = "Nothing over 20 volume near the scalp."
            bowls.insert(0, _Bowl("main", f"{band}, next the scalp", low, start, main, most, why))
        return bowls
    if asked.dark:
        delay = bench["regrowth_delay_min"]
        why = f"The regrowth runs faster: it follows {delay:.0f} min after the old colour."
        return [_Bowl("main", band, low, high, main, most, why, delay)]
    why = "The later foils catch up with the first."
    bowls = [_Bowl("main", band, low, high, main, most, why)]
    if asked.weak_on != "none":
        weak = min(bench["weak_vol"], main)
        bowls.insert(0, _Bowl("weak", band, low, high, weak, most, WEAK_WHY[asked.weak_on]))
    return bowls


WEAK_WHY = {
    "first": "The first foils wait longest: a weaker bowl keeps them from running ahead.",
    "hairline": "The hairline is fine and white: a weaker bowl.",
    "chosen": "A weaker bowl where less lift is enough: it takes less from the hair.",
}


TOO_NARROW_CM = 0.3
"""A stretch narrower than this cannot be painted apart; common practice, no source."""


def _strong(ground: Ground, asked: Asked, bench: Bench, draws: Mapping[str, Floats]) -> float:
    """Give the weakest of the stronger bowls that reaches the aim, else the strongest allowed."""
    most = min(
        bench["dark_vol"], bench["powder_max_vol"], asked.label_max_vol, max(asked.stock_vols)
    )
    steps = [vol for vol in (25.0, most) if bench["main_vol"] <= vol <= most] or [most]
    for vol in steps:
        lift = lift_ground(ground, vol, draws, longest_min=asked.label_max_min)
        if lift.minutes_to(asked.aim_stage).middle <= asked.label_max_min:
            return vol
    return steps[-1]


def _dose(bowl: _Bowl, ground: Ground, asked: Asked, draws: Mapping[str, Floats]) -> Dose:
    target = max(bowl.vol, min(asked.stock_vols))
    mixed = mix(target, asked.stock_vols, 60.0, most_vol=bowl.most_vol)
    lift = lift_ground(ground, mixed.poured_vol, draws, longest_min=asked.label_max_min)
    longest = asked.label_max_min - bowl.after_min
    due = due_minutes(lift, asked.aim_stage, longest)
    return Dose(
        bowl=bowl.name,
        band=bowl.band,
        from_cm=bowl.from_cm,
        to_cm=bowl.to_cm,
        mix=mixed,
        after_min=bowl.after_min,
        aim_stage=asked.aim_stage,
        minutes_to_aim=lift.minutes_to(asked.aim_stage),
        due_min=due,
        stage_when_due=lift.at(due),
        chance=lift.chance(asked.aim_stage, longest),
        why=bowl.why,
        lift=lift,
        ground=ground,
        oxidised=_oxidised(ground, mixed.poured_vol, due, draws),
    )


def _oxidised(ground: Ground, vol: float, due_min: float, draws: Mapping[str, Floats]) -> Range:
    z = harm_draws(draws)
    cost = dose_after(ground, vol, np.full(z.shape, due_min), draws)
    return range_of(list(100.0 * cystine_drawn(cost, z)), "%", "cystine oxidised, from baths")


NO_MORE = 0.25
"""Where less than this stage is still to come before the label's time, waiting buys nothing."""


def due_minutes(lift: Lift, aim_stage: float, longest_min: float) -> float:
    """Give the minutes until a foil is taken out.

    The median reaches the aim, or, where it does not before the label's time, comes within
    `NO_MORE` of what that time gives.
    """
    middle = lift.minutes_to(aim_stage).middle
    if middle <= longest_min:
        return float(middle)
    last = lift.at(longest_min).middle - NO_MORE
    return float(min(longest_min, lift.minutes_to(last).middle))


def band_name(stretch: Stretch) -> str:
    """Say in words what a stretch is."""
    if stretch.band is None:
        return "regrowth" if stretch.from_cm < WARM_CM else "natural lengths"
    if stretch.band.past == "permanent":
        return f"old colour {stretch.band.depth:g}"
    return f"{stretch.band.past} lengths"


def expected_stage(doses: Sequence[Dose]) -> Range:
    """Give the stage of the lengths when they come out: of the longest stretch."""
    longest = max(doses, key=lambda dose: (dose.to_cm - dose.from_cm, dose.bowl == "main"))
    return longest.stage_when_due
