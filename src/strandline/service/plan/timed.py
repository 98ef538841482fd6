"""Today's foils handed to the search of their timing: which hair, which strengths, at her pace."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import UnreachableError
from strandline.science.chemistry.developer import mix, percent_nominal, poured_strengths
from strandline.science.chemistry.harm import dose
from strandline.science.chemistry.lift import constants
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.lightening import Ground, Lift, lift_ground
from strandline.service.formulate.strengths import (
    NO_MORE,
    TOO_NARROW_CM,
    Asked,
    Foiled,
    band_name,
    grounds,
)
from strandline.service.placement.foil import Foil, FoilMap
from strandline.service.practice.bench import Bench
from strandline.service.schedule.blocks import Band, Block, Choice, Spot
from strandline.service.schedule.chair import Wait
from strandline.service.schedule.clock import seconds_to_place
from strandline.service.schedule.cut import Laid, cut
from strandline.service.schedule.offers import first_at
from strandline.service.schedule.problem import Problem, hands_of

Floats = NDArray[np.float64]
WEAKEST_VOL = 10.0
"""Below this powder lightener is not mixed for foils; common practice, no source."""
APART_VOL = 2.5
"""Strengths nearer than this are one to a hand that pours; common practice, no source."""
SAME = 1e-6


def problem_of(
    foils: Sequence[Foil],
    foiled: Mapping[str, Foiled],
    asked: Asked,
    waits: Mapping[str, Wait],
    bench: Bench,
    draws: Mapping[str, Floats],
    *,
    helper: bool = False,
    also_vols: Sequence[float] = (),
) -> Problem:
    """State the timing of a head's foils.

    Parameters
    ----------
    foils : in the order of work
    foiled : the hair in those of lightener, by key of the zone
    asked : aim, label and shelf
    waits : by bowl; the one of 'lowlight' is read where there are lowlights, of any other the
        first check
    bench : her pace, strengths and limits
    draws : shared standard normals, shape (64,) each
    helper : a second pair of hands
    also_vols : strengths that are tried beside those of `strengths_tried`, vol

    Returns
    -------
    Problem   the usual order, two strengths of lightener, each in one run of foils (three where old
    dark colour is corrected), every wipe allowed, one rinse; the hair of a block is the mean of
    its foils'

    Raises
    ------
    OutOfRangeError   no foils, or no strength that may be poured
    """

    @cache
    def bands_of(gray: float, level: float) -> tuple[Band, ...]:
        stretches = next(iter(foiled.values())).stretches
        return _bands(Foiled(stretches, gray, level), asked, bench, draws, vols)

    vols = strengths_tried(asked.stock_vols)
    if asked.dark:  # a foil takes two bowls of up to three: each is one bottle's, as it is
        vols = [vol for vol in vols if vol in asked.stock_vols]
    vols = sorted([*vols, *(vol for vol in also_vols if all(abs(vol - v) > SAME for v in vols))])
    lowlights = any(foil.kind == LOWLIGHT for foil in foils)
    blocks = cut(
        [
            Laid(
                Spot(foil.number, seconds_to_place(foil.kind, bench), foil.hair_grams),
                foil.section,
                COLOUR if foil.kind == LOWLIGHT else "lightener",
                may_drop=foil.section == "sides",
            )
            for foil in foils
        ],
        {"lightener": bands_of(0.5, 5.0), COLOUR: (colour_band(waits),) if lowlights else ()},
        {
            COLOUR if bowl == "lowlight" else "lightener": wait.first_check_min
            for bowl, wait in waits.items()
        },
    )
    key = {foil.number: foil.key for foil in foils}

    def with_hair(block: Block) -> Block:
        if is_colour(block.bands[0]):
            return replace(block, may_wipe=False)
        hair = _mean_hair([foiled[key[spot.number]] for spot in block.foils])
        shows = any(section in block.section for section in FACE)
        return replace(block, bands=bands_of(*hair), shows=shows)

    return Problem(
        tuple(with_hair(block) for block in blocks),
        hands_of(bench, helper=helper),
        most_strengths=(3 if asked.dark else 2) + int(lowlights),
        one_run=not asked.dark,
    )


FACE = ("fringe", "side hairlines")
"""Sections that frame the face."""
LOWLIGHT = "lowlight weave"
COLOUR = "lowlight colour"
COLOUR_VOL = 1.0
"""Stands for a colour's developer among the strengths: it lifts nothing."""


def colour_band(waits: Mapping[str, Wait]) -> Band:
    """Describe foils of lowlight colour: there when its minutes are over, never past, no harm."""
    wait = waits["lowlight"]
    minutes = np.array([0.0, wait.due_min, wait.longest_min + 1.0])
    there = np.array([0.0, 1.0, 1.0])
    choice = Choice(COLOUR_VOL, wait.due_min, minutes, there, there, there, 0.0)
    return Band(COLOUR, 1.0, (choice,), wait.longest_min)


def is_colour(band: Band) -> bool:
    """Say whether a band is lowlight colour, whose stage says nothing."""
    return band.name == COLOUR


def hair_by_zone(head: HeadReading, foils: FoilMap) -> dict[str, Foiled]:
    """Give the hair that lies in today's foils of lightener, by key of the zone."""
    stretches = foiled_of(head).stretches
    return {
        zone.key: Foiled(stretches, head.gray_of(zone.answers_for), head.level_of(zone.answers_for))
        for zone in foils.zones
    }


def foiled_of(head: HeadReading) -> Foiled:
    """Give the stretches that lie in today's foils."""
    lanes = [
        lane
        for lane in head.lanes["crown"]
        if not any(s.band and s.band.past == "lightened" for s in lane.stretches)
    ] or list(head.lanes["crown"])
    taken = max(lanes, key=lambda lane: lane.share)
    return Foiled(taken.stretches, head.gray_mean, head.level_mean)


def _mean_hair(foiled: Sequence[Foiled]) -> tuple[float, float]:
    """Give share of white and natural level, foil for foil alike, to a hundredth and a tenth."""
    gray = sum(one.gray for one in foiled) / len(foiled)
    level = sum(one.level for one in foiled) / len(foiled)
    return round(gray, 2), round(level, 1)


def strengths_tried(stock_vols: Sequence[float]) -> list[float]:
    """Give the strengths she can pour and tell apart, vol, rising.

    The simplest first: each bottle as it is, then equal parts, then two to one and so on; one that
    lies nearer than `APART_VOL` to a simpler one is left out.
    """
    pourings = [(vol, mix(vol, stock_vols, 60.0).poured) for vol in poured_strengths(stock_vols)]
    out: list[float] = []
    for vol, _ in sorted(pourings, key=lambda one: (sum(s.parts for s in one[1]), -one[0])):
        if vol >= WEAKEST_VOL and all(abs(vol - other) >= APART_VOL for other in out):
            out.append(vol)
    return sorted(out)


def _bands(
    foiled: Foiled,
    asked: Asked,
    bench: Bench,
    draws: Mapping[str, Floats],
    vols: Sequence[float],
) -> tuple[Band, ...]:
    """Describe what a foil is painted with: all of one bowl, or dark old colour apart.

    Dark old colour is cut where 20 vol ends.
    """
    near = min(bench["scalp_max_vol"], asked.label_max_vol)
    far = min(bench["dark_vol"], bench["powder_max_vol"], asked.label_max_vol)
    out = []
    for stretch, ground in grounds(foiled, bench):
        name, low, high = band_name(stretch), stretch.from_cm, stretch.to_cm
        dark = asked.dark and ground.old_colour
        low, most = (max(low, bench["dark_from_cm"]), far) if dark else (low, near)
        if high - low >= TOO_NARROW_CM:
            after = bench["regrowth_delay_min"] if asked.dark and not dark else 0.0
            least = min(near, max(vols)) if dark else 0.0  # old colour gets no less than its root
            allowed = [vol for vol in vols if least <= vol <= most + SAME]
            if not allowed:
                raise UnreachableError(
                    f"No bowl that is poured may be used on {name}: {most:g} volume at most.",
                    "Put a bottle of that strength or less on the shelf.",
                    "shelf.developers",
                )
            share = high - low
            out.append(_band(name, ground, allowed, asked, draws, share=share, after=(after,)))
    if asked.dark:  # regrowth is no lighter than the lengths beside it can be: roots would glow
        reach = min(band.aim_stage for band in out)
        out = [_aimed(band, reach) for band in out]
    whole = sum(band.share for band in out)
    out = sorted(
        (replace(band, share=band.share / whole) for band in out), key=_slowness, reverse=True
    )
    first, *rest = out
    rest = [replace(band, ahead=True) for band in rest]
    if asked.dark:
        return tuple(sorted([first, *rest], key=lambda band: band.after_min))
    return (replace(first, together=tuple(rest)),)


def _aimed(band: Band, aim: float) -> Band:
    """Give a stretch another aim that it reaches."""
    choices = tuple(replace(c, minutes_to_aim=first_at(c, aim)) for c in band.choices)
    return replace(band, aim_stage=aim, choices=choices)


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
