"""What earlier visits left under today's foils: old colour visit by visit, light taken twice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from strandline.base.quantities import Range
from strandline.science.head.strands import Strands
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.carried import CarriedPart, OldColourLeft, VisitKept
from strandline.service.plan.parts import Figure, figure
from strandline.service.plan.placing import LIGHTENER_KINDS
from strandline.service.plan.rounds import Round, Walk, Walked, old_share

LAW = "20,000 derived strands; foils as done, later rounds by sight; shed hair is new"


def carried_part(
    walked: Walk, visits: Sequence[VisitKept], foils: FoilMap | None, interval_weeks: float
) -> CarriedPart | None:
    """Say what earlier visits left under today's foils.

    Parameters
    ----------
    walked : all rounds up to today's
    visits : kept, the earliest first; may be none where bands tell of earlier light
    foils : today's
    interval_weeks : to the next one, for the share that is left then

    Returns
    -------
    CarriedPart, or None on a head without earlier light or without foils of lightener
    """
    strands, rounds, ends = walked.strands, walked.rounds, walked.ends
    before = walked.before
    today = foils is not None and any(foil.kind in LIGHTENER_KINDS for foil in foils)
    if foils is None or not today or not (visits or before.light.any()):
        return None
    last = rounds[-2].day if visits else rounds[-1].day
    anew = strands.share((strands.shed_day > last) & (strands.shed_day <= rounds[-1].day))
    lightener = sum(foil.lightener_grams for foil in foils)
    left = _old_colour(strands, rounds, ends, interval_weeks) if before.coloured.any() else []
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


def _old_colour(
    strands: Strands,
    rounds: Sequence[Round],
    ends: Sequence[Walked],
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
    later = _ends([100 * old_share(strands, end.carries, end.taken_day, then) for end in ends])
    out.append(
        OldColourLeft(
            visit=last.visit + 1,
            date=last.date + dt.timedelta(weeks=interval_weeks),
            percent=figure(Range(*later, "%", LAW), 0),
            planned=True,
        )
    )
    return out


def _overlap_cm(walked: Walked) -> Figure | None:
    """Give how far lightener lies on light hair by strand: a tenth, the middle, nine tenths."""
    if not walked.over_cm.size:
        return None
    low, middle, high = np.quantile(walked.over_cm, [0.1, 0.5, 0.9])
    return figure(Range(float(low), float(middle), float(high), "cm", LAW), 1)


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
