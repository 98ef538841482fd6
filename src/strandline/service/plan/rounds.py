"""Every visit's round of foils, walked strand by strand up to today's.

What counts is what was done. Strands that lay in an earlier round's foils are light from how far
that has grown out; a strand shed since is new hair, and neither light nor coloured; what was cut
off is gone.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import DAYS_PER_MONTH
from strandline.science.head.strands import DIAMETER, Flags, Grown, Strands, derive, key_of, spare
from strandline.science.head.zones import Zones
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.sight import by_sight, in_foils
from strandline.service.plan.carried import VisitKept
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


@dataclass(frozen=True, eq=False)
class Round:
    """A visit's foils, its day, counted from the first round, and the length worn on it."""

    visit: int
    date: dt.date
    foils: FoilMap
    day: float
    length_cm: float


@dataclass(frozen=True, eq=False)
class Before:
    """The head before the first round: which strands are light, which carry old colour.

    light_from_cm, line_cm : where the light of those begins, and old colour
    limit_cm : past the old line that light hair is painted at the hairline
    """

    light: Flags
    coloured: Flags
    light_from_cm: float
    line_cm: float
    limit_cm: float


@dataclass(frozen=True, eq=False)
class Walked:
    """A head after all rounds at one hit rate.

    old : by round, share of the hair that carries old colour [1]
    again : of the hair taken today, the share that was light already [1]
    on_light : of today's lightener, the share that lies on light lengths [1]
    over_cm : of the strands taken twice today away from the hairline, light length under lightener
    hairline_cm : the mean of the same at the hairline; None where none is
    taken_day : shape (N,)   day a strand was last taken, infinite where never
    carries : shape (N,)   came with old colour that was not cut off since
    light_from : shape (N,)   where light began just before the last round, cm; infinite where none
    taken : shape (N,)   in the last round
    """

    old: list[float]
    again: float
    on_light: float
    over_cm: Floats
    hairline_cm: float | None
    taken_day: Floats
    carries: Flags
    light_from: Floats
    taken: Flags


@dataclass(frozen=True, eq=False)
class Today:
    """What today does to each strand, N of them, at the usual hit rate.

    Parameters
    ----------
    strands : of the head
    day : of the visit, days from the first one
    light : shape (N,)   lightened before today
    light_from_cm : shape (N,)   where that begins; infinite where it is not
    coloured : shape (N,)   came with old colour that was not cut off since
    taken : shape (N,)   in today's foils of lightener, as they are really taken
    low : shape (N,)     in today's lowlights
    rate_um_per_day : usual growth
    """

    strands: Strands
    day: float
    light: Flags
    light_from_cm: Floats
    coloured: Flags
    taken: Flags
    low: Flags
    rate_um_per_day: float

    @property
    def anew(self) -> Flags:
        """Say which were shed since the first visit and have grown again, shape (N,)."""
        shed = self.strands.shed_day
        return np.asarray((shed > 0) & (shed <= self.day))


@dataclass(frozen=True, eq=False)
class Walk:
    """All rounds walked, strand by strand, at a high, the usual and a low hit rate."""

    strands: Strands
    rounds: tuple[Round, ...]
    before: Before
    ends: tuple[Walked, ...]
    today: Today


def walk(
    c: Consultation,
    head: HeadReading,
    visits: Sequence[VisitKept],
    foils: FoilMap,
    day: dt.date,
    bench: Bench,
) -> Walk:
    """Walk all rounds up to today's, strand by strand.

    Parameters
    ----------
    visits : kept, the earliest first; may be none
    foils : today's; may be none on its zones
    day : of today's visit
    """
    if visits:
        light, coloured = visits[0].light_percent / 100, visits[0].coloured_percent / 100
    else:
        light = head.share_with("lightened")
        coloured = head.share_with("permanent") + head.share_with("unknown")
    strands = strands_of(c, head, foils.zones, bench)
    first = visits[0].date if visits else day
    rounds = [
        Round(
            one.visit,
            one.date,
            map_of_rows(one.foils, zones_of(one.scalp)),
            (one.date - first).days,
            one.length_cm or head.length_cm,
        )
        for one in visits
    ]
    number = visits[-1].visit + 1 if visits else c.visit.number
    rounds.append(Round(number, day, foils, (day - first).days, head.length_cm))
    line = (visits[0].old_line_cm if visits else head.old_line_cm) or head.regrowth_mean_cm
    before = _before(strands, (light, coloured), head, line, bench["overlap_max_mm"] / 10)
    hits = [min(1.0, max(0.0, bench["hit_rate"] / 100 + d)) for d in (HIT_SPREAD, 0, -HIT_SPREAD)]
    wanted = [in_foils(one.foils, strands, LIGHTENER_KINDS) for one in rounds]
    ends = tuple(_walk(strands, rounds, wanted, before, hit) for hit in hits)
    usual = ends[1]
    today = Today(
        strands,
        rounds[-1].day,
        np.isfinite(usual.light_from),
        usual.light_from,
        usual.carries,
        usual.taken,
        in_foils(foils, strands, ("lowlight weave",)),
        _rate(c, bench),
    )
    return Walk(strands, tuple(rounds), before, ends, today)


def strands_of(c: Consultation, head: HeadReading, zones: Zones, bench: Bench) -> Strands:
    """Derive the strands of the client's head from her answers."""
    density = densities(c, head, zones, bench)
    return derive(
        zones,
        {
            zone.key: Grown(
                density[zone.key],
                head.gray_of(zone.answers_for),
                head.diameter_um,
                _rate(c, bench),
            )
            for zone in zones
        },
        key_of(c.client.name),
    )


def _before(
    strands: Strands,
    shares: tuple[float, float],
    head: HeadReading,
    line_cm: float,
    limit_cm: float,
) -> Before:
    light, coloured = shares
    draw = spare(strands.raw[:, DIAMETER])  # not the hand's: who is coloured is not who is taken
    is_light = draw < light
    carries = ~is_light & (draw < light + coloured)
    return Before(is_light, carries, head.regrowth_mean_cm, line_cm, limit_cm)


def _walk(
    strands: Strands,
    rounds: Sequence[Round],
    in_these: Sequence[Flags],
    before: Before,
    hit: float,
) -> Walked:
    taken_day = np.full(len(strands), np.inf)
    light_from = np.where(before.light, before.light_from_cm, np.inf)
    rate = strands.growth_um_per_day * 1e-4
    old, again, on_light, day = [], 0.0, 0.0, rounds[0].day
    carries = before.coloured
    over, edge = np.empty(0), np.empty(0)
    lay, taken = light_from, np.zeros(len(strands), dtype=bool)
    edges = np.isin(strands.zone, [k for k, key in enumerate(strands.keys) if _edge(key)])
    for one, wanted in zip(rounds, in_these, strict=True):
        light_from = light_from + rate * (one.day - day)
        day = one.day
        shed = (strands.shed_day > 0) & (strands.shed_day <= day)
        gone = shed & np.where(np.isfinite(taken_day), strands.shed_day > taken_day, before.light)
        light_from = np.where(gone, np.inf, light_from)
        light_from = np.where(light_from < one.length_cm, light_from, np.inf)  # else cut off
        lay, light = light_from, np.isfinite(light_from)
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
        old.append(old_share(strands, carries, taken_day, day))
    hairline = round(float(edge.mean()), 2) if edge.size else None
    return Walked(old, again, on_light, over, hairline, taken_day, carries, lay, taken)


def _edge(key: str) -> bool:
    return key.split(" ", maxsplit=1)[0] in HAIRLINE


def _worn(strands: Strands, before: Before, one: Round) -> Flags:
    """Say on which strands old colour is not all cut off on the day of a round, shape (N,)."""
    return before.line_cm + strands.growth_um_per_day * 1e-4 * one.day < one.length_cm


def old_share(strands: Strands, carries: Flags, taken_day: Floats, day: float) -> float:
    """Give the share of hair with old colour: not cut off, not taken, not shed since [1]."""
    shed = (strands.shed_day > 0) & (strands.shed_day <= day)
    return strands.share(carries & ~np.isfinite(taken_day) & ~shed)


def _rate(c: Consultation, bench: Bench) -> float:
    if c.client.growth_cm_per_month is not None:
        return c.client.growth_cm_per_month * 10_000 / DAYS_PER_MONTH
    return bench["growth_um_per_day"]
