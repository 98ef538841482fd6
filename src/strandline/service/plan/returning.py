"""The next visit: two dates, what was left out, what share of the old colour is still there."""

from __future__ import annotations

import datetime as dt
import math

from strandline.base.quantities import Range
from strandline.service.choose.technique import Technique
from strandline.service.consultation.reading import HeadReading
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.carried import CarriedPart
from strandline.service.plan.model import LeftOut, NextVisit
from strandline.service.plan.parts import figure
from strandline.service.plan.placing import LIGHTENER_KINDS, Placed
from strandline.service.practice.bench import Bench

NEW_HAIR = 0.10
"""Share of the hair that is new after 12 weeks, for what sheds regrows; 12 % telogen over about
100 days (loussouarn2005)."""
LIGHT_SHARE = 0.35
"""Share of lightened hair at which a blend carries itself; the reference blend of this project,
common practice, no source."""
STAGES_A_VISIT = (0.75, 1.0, 2.0)
"""What a later visit adds on hair that stalls, in stages; common practice, no source."""


def visits_needed(
    technique: Technique,
    head: HeadReading,
    placed: Placed | None,
    stage: Range | None,
    bench: Bench,
) -> Range:
    """Give how many visits the wish takes, this one among them.

    Notes
    -----
    The larger of two counts: visits until the light share is reached at her hit rate, from what is
    light already, and visits until the aim's stage is, where this one stalls below it.
    """
    if technique.kind != "foils" or placed is None or stage is None:
        return Range(1, 1, 1, "visits", "one visit")
    taken = gained_a_visit(placed, bench)
    missing_share = LIGHT_SHARE - head.share_with("lightened")
    by_share = max(1, math.ceil(missing_share / max(taken, 0.05)))
    slow, usual, fast = STAGES_A_VISIT
    tolerance = bench["shortfall_ok_stage"]

    def by_stage(reached: float, gain: float) -> int:
        missing = technique.aim_stage - tolerance - reached
        return 1 + max(0, math.ceil(missing / gain))

    middle = max(by_share, by_stage(stage.middle, usual))
    low = min(middle, max(1, min(by_share, by_stage(stage.high, fast))))
    if technique.in_phases:
        low = max(low, 2)
        middle = max(middle, 3)
    high = max(middle, by_stage(stage.low, slow), middle + (1 if middle > 1 else 0))
    return Range(low, middle, min(high, middle + 1), "visits", "light share and stage by visit")


def gained_a_visit(placed: Placed | None, bench: Bench) -> float:
    """Give the share of the hair that a later visit with these foils makes light [1]."""
    if placed is None:
        return 0.0
    return placed.foils.taken_share(*LIGHTENER_KINDS) * bench["hit_rate"] / 100


def next_visit(  # noqa: PLR0913  # all that a date stands on
    head: HeadReading,
    technique: Technique,
    placed: Placed | None,
    interval: float,
    visits: Range,
    day: dt.date,
    bench: Bench,
    kept: CarriedPart | None,
    *,
    gloss: tuple[float, float],
) -> NextVisit:
    """Say when, and what is picked up then.

    Parameters
    ----------
    kept : what earlier visits left, where any are known: then its share of old colour is told
    gloss : weeks in which the gloss is done again, first and last
    """
    low, high = gloss
    foils = technique.kind in ("foils", "lowlights")
    some = technique.kind != "none"
    before = _carried_before(kept)
    if before is None:
        before = head.share_with("permanent")
    after = _carried(kept) or old_share_after(before, technique, placed, bench)
    return NextVisit(
        gloss_from=_weeks_on(day, low) if some else None,
        gloss_to=_weeks_on(day, high) if some else None,
        foils_from=_weeks_on(day, technique.interval_weeks[0] if foils else interval)
        if some
        else None,
        foils_to=_weeks_on(day, max(interval, technique.interval_weeks[1])) if some else None,
        visits=figure(visits, 0),
        left_out=_left_out(placed) if placed else [],
        old_share_before=round(before, 3),
        old_share_after=figure(after, 3),
        takes_next=_takes_next(technique, bench),
        brick_lay_offset_mm=_offset_mm(placed.foils) if placed else 0.0,
    )


def _carried(kept: CarriedPart | None) -> Range | None:
    """Give the share of old colour after today's visit, of the head's own strands."""
    if kept is None or not kept.old_colour:
        return None
    today = next(one for one in kept.old_colour if one.planned).percent
    low, middle, high = ((one or 0.0) / 100 for one in (today.low, today.middle, today.high))
    return Range(low, middle, high, "1", kept.law)


def _carried_before(kept: CarriedPart | None) -> float | None:
    """Give the share of old colour that the last visit left, of the head's own strands."""
    past = [one.percent.middle for one in kept.old_colour if not one.planned] if kept else []
    return None if not past or past[-1] is None else past[-1] / 100


def old_share_after(
    before: float, technique: Technique, placed: Placed | None, bench: Bench
) -> Range:
    """Give the share of hair that still carries old colour after this visit.

    What sheds comes back without it; what is taken at her hit rate carries it no more. On a
    return visit the foils aim at what was left out, so all that is hit counts.
    """
    law = "taken at the hit rate; shed hair comes back without it"
    if technique.kind != "foils" or placed is None or before == 0:
        return Range(before, before, before, "1", law)
    taken = placed.foils.taken_share(*LIGHTENER_KINDS)
    hit = bench["hit_rate"] / 100
    kept = before * (1 - NEW_HAIR) if technique.scale == "return" else before
    aimed = taken if technique.scale == "return" else taken * before

    def left(rate: float) -> float:
        return max(0.0, kept - aimed * rate)

    if technique.scale != "return":
        return Range(left(1.0), left(1.0), left(1.0), "1", law)
    return Range(left(min(1.0, hit + 0.1)), left(hit), left(hit - 0.1), "1", law)


def _left_out(placed: Placed) -> list[LeftOut]:
    whole = placed.foils
    out = []
    for zone in placed.zones:
        share = whole.left_out[zone.key]
        inside = whole.in_zone(zone.key)
        grams_all = sum(f.hair_grams for f in inside) / max(1e-9, sum(f.hair_share for f in inside))
        grams = share * grams_all if inside else 0.0
        out.append(LeftOut(zone=zone.key, share=round(share, 3), grams=round(grams, 1)))
    return out


def _takes_next(technique: Technique, bench: Bench) -> str:
    if technique.kind == "none":
        return ""
    if technique.kind == "gloss":
        return "Stretch test first; then what it allows."
    if technique.kind == "lowlights":
        return "The same foils, moved by half a space; the hairline stays white."
    return (
        "The hair left out this time, found by sight between these foils; "
        f"about {bench['hit_rate']:.0f} in 100 of its hairs are met. The rest meets only new "
        "growth."
    )


def _offset_mm(foils: FoilMap) -> float:
    """Give half the mean distance between neighbouring partings on top, mm."""
    ups = sorted({round(foil.up_cm, 3) for foil in foils.in_zone("top") if foil.kind != "tip-out"})
    if len(ups) < 2:
        return 0.0
    return round((ups[-1] - ups[0]) / (len(ups) - 1) * 10 / 2, 1)


def _weeks_on(day: dt.date, weeks: float) -> dt.date:
    return day + dt.timedelta(weeks=weeks)
