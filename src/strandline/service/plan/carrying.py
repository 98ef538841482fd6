"""Earlier visits under today's foils, strand by strand: old colour left, light taken twice.

What carries is what was done. Strands that lay in an earlier round's foils are light from how far
that has grown out; a strand shed since is new hair, and neither light nor coloured.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import DAYS_PER_MONTH, Range
from strandline.science.head.strands import DIAMETER, Flags, Grown, Strands, derive, key_of, spare
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.sight import by_sight, in_foils
from strandline.service.plan.carried import CarriedPart, OldColourLeft, VisitKept
from strandline.service.plan.parts import Figure, figure
from strandline.service.plan.placing import (
    HAIRLINE,
    LIGHTENER_KINDS,
    densities,
    map_of_rows,
    zones_of,
)
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]

HIT_SPREAD = 0.1
"""Spread of the share that is hit by sight; from memory."""
LAW = "20,000 derived strands; foils as done, later rounds by sight; shed hair is new"


@dataclass(frozen=True, eq=False)
class _Round:
    """A visit's foils, its day, counted from the first round, and the length worn on it."""

    visit: int
    date: dt.date
    foils: FoilMap
    day: float
    length_cm: float


def strands_of(c: Consultation, head: HeadReading, foils: FoilMap, bench: Bench) -> Strands:
    """Derive the strands of the client's head from her answers."""
    density = densities(c, head, foils.zones, bench)
    return derive(
        foils.zones,
        {
            zone.key: Grown(
                density[zone.key],
                head.gray_of(zone.answers_for),
                head.diameter_um,
                _rate(c, bench),
            )
            for zone in foils.zones
        },
        key_of(c.client.name),
    )


def carried_part(
    c: Consultation,
    head: HeadReading,
    visits: Sequence[VisitKept],
    foils: FoilMap | None,
    day: dt.date,
    interval_weeks: float,
    bench: Bench,
) -> CarriedPart | None:
    """Say what earlier visits left under today's foils.

    Parameters
    ----------
    visits : kept, the earliest first; may be none where bands tell of earlier light
    foils : today's
    day : of today's visit
    interval_weeks : to the next one, for the share that is left then

    Returns
    -------
    CarriedPart, or None on a head without earlier light or without foils of lightener
    """
    if visits:
        light, coloured = visits[0].light_percent / 100, visits[0].coloured_percent / 100
    else:
        light = head.share_with("lightened")
        coloured = head.share_with("permanent") + head.share_with("unknown")
    today = foils is not None and any(foil.kind in LIGHTENER_KINDS for foil in foils)
    if foils is None or not today or not (visits or light):
        return None
    strands = strands_of(c, head, foils, bench)
    first = visits[0].date if visits else day
    rounds = [
        _Round(
            one.visit,
            one.date,
            map_of_rows(one.foils, zones_of(one.scalp)),
            (one.date - first).days,
            one.length_cm or head.length_cm,
        )
        for one in visits
    ]
    number = visits[-1].visit + 1 if visits else c.visit.number
    rounds.append(_Round(number, day, foils, (day - first).days, head.length_cm))
    line = (visits[0].old_line_cm if visits else head.old_line_cm) or head.regrowth_mean_cm
    head_then = _before(strands, (light, coloured), head, line, bench["overlap_max_mm"] / 10)
    hits = [min(1.0, max(0.0, bench["hit_rate"] / 100 + d)) for d in (HIT_SPREAD, 0, -HIT_SPREAD)]
    ends = [_walk(strands, rounds, head_then, hit) for hit in hits]
    last = rounds[-2].day if visits else rounds[-1].day
    anew = strands.share((strands.shed_day > last) & (strands.shed_day <= rounds[-1].day))
    lightener = sum(foil.lightener_grams for foil in foils)
    left = [] if coloured == 0 else _old_colour(strands, rounds, ends, interval_weeks)
    hit = _ends([100 * (1 - one.again) for one in ends])
    return CarriedPart(
        visits=list(visits),
        hit_percent=figure(Range(*hit, "%", LAW), 0),
        new_hair_percent=round(100 * anew, 1) if visits else 0.0,
        overlap_percent=figure(Range(*_ends([100 * one.again for one in ends]), "%", LAW), 0),
        overlap_grams=figure(Range(*_ends([lightener * e.on_light for e in ends]), "g", LAW), 1),
        overlap_cm=_overlap_cm(ends[1]),
        hairline_overlap_cm=ends[1].hairline_cm,
        old_colour=left,
        words=_words(hit, left),
        law=LAW,
    )


@dataclass(frozen=True, eq=False)
class _Before:
    """The head before the first round: which strands are light, which carry old colour.

    light_from_cm, line_cm : where the light of those begins, and old colour
    limit_cm : past the old line that light hair is painted at the hairline
    """

    light: Flags
    coloured: Flags
    light_from_cm: float
    line_cm: float
    limit_cm: float


def _before(
    strands: Strands,
    shares: tuple[float, float],
    head: HeadReading,
    line_cm: float,
    limit_cm: float,
) -> _Before:
    light, coloured = shares
    draw = spare(strands.raw[:, DIAMETER])  # not the hand's: who is coloured is not who is taken
    is_light = draw < light
    carries = ~is_light & (draw < light + coloured)
    return _Before(is_light, carries, head.regrowth_mean_cm, line_cm, limit_cm)


def _old_colour(
    strands: Strands,
    rounds: Sequence[_Round],
    ends: Sequence[_Walked],
    interval_weeks: float,
) -> list[OldColourLeft]:
    """Give the share that carries old colour after each round, and at the one to come."""
    out = [
        OldColourLeft(
            visit=one.visit,
            date=one.date,
            percent=figure(Range(*_ends([100 * end.old[place] for end in ends]), "%", LAW), 0),
            planned=one is rounds[-1],
        )
        for place, one in enumerate(rounds)
    ]
    last = rounds[-1]
    then = last.day + 7 * interval_weeks
    later = _ends([100 * _old(strands, end.carries, end.taken_day, then) for end in ends])
    out.append(
        OldColourLeft(
            visit=last.visit + 1,
            date=last.date + dt.timedelta(weeks=interval_weeks),
            percent=figure(Range(*later, "%", LAW), 0),
            planned=True,
        )
    )
    return out


@dataclass(frozen=True, eq=False)
class _Walked:
    """A head after all rounds at one hit rate.

    old : by round, share of the hair that carries old colour [1]
    again : of the hair taken today, the share that was light already [1]
    on_light : of today's lightener, the share that lies on light lengths [1]
    over_cm : of the strands taken twice today away from the hairline, light length under lightener
    hairline_cm : the mean of the same at the hairline; None where none is
    taken_day : shape (N,)   day a strand was last taken, infinite where never
    carries : shape (N,)   came with old colour that was not cut off since
    """

    old: list[float]
    again: float
    on_light: float
    over_cm: Floats
    hairline_cm: float | None
    taken_day: Floats
    carries: Flags


def _walk(strands: Strands, rounds: Sequence[_Round], before: _Before, hit: float) -> _Walked:
    taken_day = np.full(len(strands), np.inf)
    light_from = np.where(before.light, before.light_from_cm, np.inf)
    rate = strands.growth_um_per_day * 1e-4
    old, again, on_light, day = [], 0.0, 0.0, rounds[0].day
    carries = before.coloured
    over, edge = np.empty(0), np.empty(0)
    edges = np.isin(strands.zone, [k for k, key in enumerate(strands.keys) if _edge(key)])
    for one in rounds:
        light_from = light_from + rate * (one.day - day)
        day = one.day
        shed = (strands.shed_day > 0) & (strands.shed_day <= day)
        gone = shed & np.where(np.isfinite(taken_day), strands.shed_day > taken_day, before.light)
        light_from = np.where(gone, np.inf, light_from)
        light_from = np.where(light_from < one.length_cm, light_from, np.inf)  # else cut off
        light = np.isfinite(light_from)
        wanted = in_foils(one.foils, strands, LIGHTENER_KINDS)
        taken = by_sight(strands, wanted, light, hit, one.visit) if light.any() else wanted
        whole = float(strands.weight[taken].sum()) or 1.0
        both = taken & light
        again = float(strands.weight[both].sum()) / whole
        lies = np.clip(one.length_cm - light_from[both], 0.0, None)
        lies = np.where(edges[both], np.minimum(lies, before.limit_cm), lies)
        over, edge = lies[~edges[both]], lies[edges[both]]
        on_light = float((strands.weight[both] * lies).sum()) / one.length_cm / whole
        taken_day[taken] = day
        light_from = np.where(taken, 0.0, light_from)
        carries = carries & _worn(strands, before, one)
        old.append(_old(strands, carries, taken_day, day))
    hairline = round(float(edge.mean()), 2) if edge.size else None
    return _Walked(old, again, on_light, over, hairline, taken_day, carries)


def _edge(key: str) -> bool:
    return key.split(" ", maxsplit=1)[0] in HAIRLINE


def _overlap_cm(walked: _Walked) -> Figure | None:
    """Give how far lightener lies on light hair by strand: a tenth, the middle, nine tenths."""
    if not walked.over_cm.size:
        return None
    low, middle, high = np.quantile(walked.over_cm, [0.1, 0.5, 0.9])
    return figure(Range(float(low), float(middle), float(high), "cm", LAW), 1)


def _worn(strands: Strands, before: _Before, one: _Round) -> Flags:
    """Say on which strands old colour is not all cut off on the day of a round, shape (N,)."""
    return before.line_cm + strands.growth_um_per_day * 1e-4 * one.day < one.length_cm


def _old(strands: Strands, carries: Flags, taken_day: Floats, day: float) -> float:
    """Give the share of hair with old colour: not cut off, not taken, not shed since [1]."""
    shed = (strands.shed_day > 0) & (strands.shed_day <= day)
    return strands.share(carries & ~np.isfinite(taken_day) & ~shed)


def _rate(c: Consultation, bench: Bench) -> float:
    if c.client.growth_cm_per_month is not None:
        return c.client.growth_cm_per_month * 10_000 / DAYS_PER_MONTH
    return bench["growth_um_per_day"]


def _ends(values: Sequence[float]) -> tuple[float, float, float]:
    """Give low, middle and high of values at the high, usual and low hit rate."""
    return min(values), values[1], max(values)


def _words(hit: tuple[float, float, float], left: Sequence[OldColourLeft]) -> str:
    said = (
        f"By sight {hit[1]:.0f} % of what is taken was left out before ({hit[0]:.0f} to "
        f"{hit[2]:.0f})"
    )
    if not left:
        return f"{said}."
    now = next(one for one in left if one.planned)
    return f"{said}; after today {now.percent.middle:.0f} % of the hair still carries old colour."
