"""Today's foils handed to the search of their timing: which hair, which strengths, at her pace."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from strandline.base.draws import draws as shared_draws
from strandline.base.errors import UnreachableError
from strandline.science.chemistry.developer import percent_nominal, poured_strengths
from strandline.science.chemistry.harm import dose
from strandline.science.chemistry.lift import LIFT_DRAWS, constants
from strandline.service.formulate.lightening import Ground, Lift, lift_ground
from strandline.service.formulate.strengths import (
    NO_MORE,
    TOO_NARROW_CM,
    Asked,
    Foiled,
    band_name,
    grounds,
)
from strandline.service.placement.foil import Foil
from strandline.service.plan.assemble import Made, foiled_of
from strandline.service.practice.bench import Bench
from strandline.service.schedule.blocks import Band, Choice, Spot
from strandline.service.schedule.clock import seconds_to_place
from strandline.service.schedule.cut import MOST, Laid, cut
from strandline.service.schedule.problem import Problem, hands_of

Floats = NDArray[np.float64]
WEAKEST_VOL = 10.0
"""Below this powder lightener is not mixed for foils; common practice, no source."""
MOST_DARK = 4
"""Blocks where a foil takes two strengths: each has many times the ways of one."""
APART_VOL = 1.0
"""Strengths nearer than this are one to a hand that pours; common practice, no source."""


def problem_of(
    foils: Sequence[Foil],
    foiled: Foiled,
    asked: Asked,
    first_check_min: float,
    bench: Bench,
    draws: Mapping[str, Floats],
    *,
    helper: bool = False,
) -> Problem:
    """State the timing of a head's foils of lightener.

    Parameters
    ----------
    foils : in the order of work, lowlights left out
    foiled, asked : the hair in them, and aim, label and shelf
    first_check_min : from a foil's own start, min
    bench : her pace, strengths and limits
    draws : shared standard normals, shape (64,) each
    helper : a second pair of hands

    Returns
    -------
    Problem   the usual order, two strengths (three where old dark colour is corrected), every
    wipe allowed, one rinse

    Raises
    ------
    OutOfRangeError   no foils, or no strength that may be poured
    """
    bands = _bands(foiled, asked, bench, draws)
    if not asked.dark:
        bands = [replace(max(bands, key=_slowness), share=1.0)]
    hair = {"lengths": tuple(sorted(bands, key=lambda band: band.after_min))}
    blocks = cut(
        [
            Laid(
                Spot(foil.number, seconds_to_place(foil.kind, bench), foil.hair_grams),
                foil.section,
                "lengths",
                may_drop=foil.section == "sides",
            )
            for foil in foils
        ],
        hair,
        {"lengths": first_check_min},
        most=MOST if len(bands) == 1 else MOST_DARK,
    )
    return Problem(
        blocks,
        hands_of(bench, helper=helper),
        most_strengths=3 if asked.dark else 2,
    )


def problem_of_plan(made: Made, *, helper: bool) -> Problem:
    """State the timing of a plan's foils of lightener; the lowlights among them left out.

    Raises
    ------
    UnreachableError   no lightener is planned
    """
    if made.asked is None or made.foils is None or made.plan.first_check_min is None:
        raise UnreachableError(
            f"No lightener is planned for {made.plan.client}.",
            "The plan itself says why; there are no foils to time.",
        )
    return problem_of(
        [foil for foil in made.foils if foil.kind != "lowlight weave"],
        foiled_of(made.head),
        made.asked,
        made.plan.first_check_min,
        made.bench,
        shared_draws(LIFT_DRAWS),
        helper=helper,
    )


def strengths_tried(stock_vols: Sequence[float]) -> list[float]:
    """Give the strengths she can pour and tell apart, vol, rising; each bottle is one."""
    out: list[float] = []
    for vol in poured_strengths(stock_vols):
        if vol < WEAKEST_VOL:
            continue
        if not out or vol - out[-1] >= APART_VOL:
            out.append(vol)
        elif vol in stock_vols:
            out[-1] = vol
    return out


def _bands(foiled: Foiled, asked: Asked, bench: Bench, draws: Mapping[str, Floats]) -> list[Band]:
    """Describe each stretch that gets lightener; dark old colour is cut where 20 vol ends."""
    vols = strengths_tried(asked.stock_vols)
    near = min(bench["scalp_max_vol"], asked.label_max_vol)
    far = min(bench["dark_vol"], bench["powder_max_vol"], asked.label_max_vol)
    out = []
    for stretch, ground in grounds(foiled, bench):
        name, low, high = band_name(stretch), stretch.from_cm, stretch.to_cm
        dark = asked.dark and ground.old_colour
        low, most = (max(low, bench["dark_from_cm"]), far) if dark else (low, near)
        if high - low >= TOO_NARROW_CM:
            after = (0.0, bench["regrowth_delay_min"]) if asked.dark and not dark else (0.0,)
            least = near if dark else 0.0  # old colour never gets less than what lies beside it
            allowed = [vol for vol in vols if least <= vol <= most]
            share = high - low
            out.append(_band(name, ground, allowed, asked, draws, share=share, after=after))
    whole = sum(band.share for band in out)
    return [replace(band, share=band.share / whole) for band in out]


def _slowness(band: Band) -> tuple[float, float]:
    return min(choice.minutes_to_aim for choice in band.choices), band.share


def _band(
    name: str,
    ground: Ground,
    vols: Sequence[float],
    asked: Asked,
    draws: Mapping[str, Floats],
    *,
    share: float,
    after: tuple[float, ...],
) -> Band:
    label = asked.label_max_min
    lifts = {vol: lift_ground(ground, vol, draws, longest_min=label) for vol in vols}
    reach = max(lift.at(label).middle for lift in lifts.values()) - NO_MORE
    aim = min(asked.aim_stage, reach)
    choices = tuple(choice_of(vol, lift, aim) for vol, lift in lifts.items())
    return Band(name, aim, choices, label, share, after)


def choice_of(vol: float, lift: Lift, aim_stage: float) -> Choice:
    """Give a strength as the search reads it."""
    seen = np.stack([np.interp(p, lift.gained, lift.stages) for p in lift.progress])
    low, middle, high = np.percentile(seen, [10, 50, 90], axis=0)
    rate = dose(1.0, percent_nominal(vol), constants()["strength_exponent"].value)
    return Choice(
        vol,
        lift.minutes_to(aim_stage).middle,
        lift.minutes,
        low,
        middle,
        high,
        float(rate),
    )
