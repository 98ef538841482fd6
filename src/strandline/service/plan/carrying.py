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

from strandline.base.quantities import DAYS_PER_MONTH, Range, growth_cm
from strandline.science.head.strands import SEEN, Flags, Grown, Strands, derive, key_of, unit
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.sight import by_sight, in_foils
from strandline.service.plan.carried import CarriedPart, OldColourLeft, VisitKept
from strandline.service.plan.parts import figure
from strandline.service.plan.placing import LIGHTENER_KINDS, map_of_rows
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]

HIT_SPREAD = 0.1
"""Spread of the share that is hit by sight; from memory."""
OVERLAP_CM = 0.5
"""Lightener runs over an old line by at most this; common practice, no source."""
LAW = "20,000 derived strands; foils as done, later rounds by sight; shed hair is new"


@dataclass(frozen=True, eq=False)
class _Round:
    """A visit's foils and its day, counted from the first round."""

    visit: int
    date: dt.date
    foils: FoilMap
    day: float


def strands_of(c: Consultation, head: HeadReading, foils: FoilMap, bench: Bench) -> Strands:
    """Derive the strands of the client's head from her answers."""
    density = c.hair.density_per_cm2 or bench["density_per_cm2"] * head.density_factor
    return derive(
        foils.zones,
        {
            zone.key: Grown(
                density,
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
    light_share = head.share_with("lightened")
    old_share = head.share_with("permanent") + head.share_with("unknown")
    today = foils is not None and any(foil.kind in LIGHTENER_KINDS for foil in foils)
    if foils is None or not today or not (visits or light_share):
        return None
    strands = strands_of(c, head, foils, bench)
    first = visits[0].date if visits else day
    rounds = [
        _Round(one.visit, one.date, map_of_rows(one.foils, foils.zones), (one.date - first).days)
        for one in visits
    ]
    number = visits[-1].visit + 1 if visits else c.visit.number
    rounds.append(_Round(number, day, foils, (day - first).days))
    started = unit(strands.raw[:, SEEN]) < light_share if not visits else None
    ends = [
        _walk(strands, rounds, started, hit)
        for hit in (
            min(1.0, bench["hit_rate"] / 100 + HIT_SPREAD),
            bench["hit_rate"] / 100,
            max(0.0, bench["hit_rate"] / 100 - HIT_SPREAD),
        )
    ]
    coloured = 1.0 if visits else (light_share + old_share) or 1.0
    next_day = (day - first).days + 7 * interval_weeks
    last = rounds[-2].day if visits else rounds[-1].day - 7 * interval_weeks
    anew = strands.share((strands.shed_day > last) & (strands.shed_day <= rounds[-1].day))
    if not visits:
        anew = 0.0
    overlap = _ends([100 * one.again for one in ends])
    grown = growth_cm(_rate(c, bench), rounds[-1].day - last) if visits else head.regrowth_mean_cm
    lightener = sum(foil.lightener_grams for foil in foils)
    light_cm = max(0.0, head.length_cm - grown)
    grams = _ends([one.again * lightener * light_cm / head.length_cm for one in ends])
    left = []
    for place, one in enumerate(rounds):
        percent = _ends([100 * coloured * end.old[place] for end in ends])
        left.append(
            OldColourLeft(
                visit=one.visit,
                date=one.date,
                percent=figure(Range(*percent, "%", LAW), 0),
                planned=one is rounds[-1],
            )
        )
    later = _ends([100 * coloured * _old(strands, end.light, next_day) for end in ends])
    left.append(
        OldColourLeft(
            visit=number + 1,
            date=day + dt.timedelta(weeks=interval_weeks),
            percent=figure(Range(*later, "%", LAW), 0),
            planned=True,
        )
    )
    hit = _ends([100 * (1 - one.again) for one in ends])
    return CarriedPart(
        visits=list(visits),
        hit_percent=figure(Range(*hit, "%", LAW), 0),
        new_hair_percent=round(100 * anew, 1),
        overlap_percent=figure(Range(*overlap, "%", LAW), 0),
        overlap_grams=figure(Range(*grams, "g", LAW), 1),
        overlap_cm=OVERLAP_CM,
        old_colour=left,
        words=_words(hit, left),
        law=LAW,
    )


@dataclass(frozen=True, eq=False)
class _Walked:
    """A head after all rounds at one hit rate.

    old : by round, share of the hair never taken and not shed [1]
    again : of the hair taken today, the share that was light already [1]
    light : shape (N,)   day a strand was last taken, infinite where never
    """

    old: list[float]
    again: float
    light: Floats


def _walk(strands: Strands, rounds: Sequence[_Round], started: Flags | None, hit: float) -> _Walked:
    taken_day = np.full(len(strands), np.inf)
    if started is not None:
        taken_day[started] = -1.0
    old, again = [], 0.0
    for one in rounds:
        shed = (strands.shed_day > 0) & (strands.shed_day <= one.day)
        light = np.isfinite(taken_day) & ~(shed & (strands.shed_day > taken_day))
        wanted = in_foils(one.foils, strands, LIGHTENER_KINDS)
        taken = wanted
        if light.any():
            taken = by_sight(strands, wanted, light, hit, one.visit)
        whole = float(strands.weight[taken].sum())
        again = float(strands.weight[taken & light].sum()) / whole if whole else 0.0
        taken_day[taken] = one.day
        old.append(_old(strands, taken_day, one.day))
    return _Walked(old, again, taken_day)


def _old(strands: Strands, taken_day: Floats, day: float) -> float:
    """Give the share of hair that was never taken and not shed since the first round [1]."""
    shed = (strands.shed_day > 0) & (strands.shed_day <= day)
    return strands.share(~np.isfinite(taken_day) & ~shed)


def _rate(c: Consultation, bench: Bench) -> float:
    if c.client.growth_cm_per_month is not None:
        return c.client.growth_cm_per_month * 10_000 / DAYS_PER_MONTH
    return bench["growth_um_per_day"]


def _ends(values: Sequence[float]) -> tuple[float, float, float]:
    """Give low, middle and high of values at the high, usual and low hit rate."""
    return min(values), values[1], max(values)


def _words(hit: tuple[float, float, float], left: Sequence[OldColourLeft]) -> str:
    now = next(one for one in left if one.planned)
    return (
        f"By sight {hit[1]:.0f} % of what is taken was left out before ({hit[0]:.0f} to "
        f"{hit[2]:.0f}); after today {now.percent.middle:.0f} % of the hair still carries old "
        "colour."
    )
