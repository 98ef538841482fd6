"""The visits to the aim: which hair when, when old cover is gone, and the year against cover."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence

from strandline.science.head.zones import NAMES
from strandline.service.choose.course import Hair, Visits, find_course, gain
from strandline.service.choose.tables import Weighed
from strandline.service.choose.wish import constants
from strandline.service.placement.places import ZONE_WORDS
from strandline.service.plan.assemble import Made
from strandline.service.plan.choices import Choices
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.returning import NEW_HAIR
from strandline.service.plan.ways_model import Course, VisitAhead, ZoneTaken
from strandline.service.plan.weighing_up import Whole, left_for
from strandline.service.schedule.search import Stop, never

MOST_VISITS = 4
"""Visits that a course looks ahead, where no number is said."""
NEW_HAIR_WEEKS = 12.0
WEEKS_PER_YEAR = 365.25 / 7
LAW = "fewest visits, then least money or minutes and harm; later visits at the hit rate; proven"


def course_of(stands: Made, choices: Choices, most: Whole, stop: Stop = never) -> Course:
    """Lay out the visits to the aim.

    Parameters
    ----------
    stands : the plan by her rules, whose interval is taken
    choices, most : of its foils; what one visit could meet at most
    """
    c, plan = stands.consultation, stands.plan
    hair = hair_of(stands, choices, most)
    by_stage = int(plan.next_visit.visits.middle or 1) if stands.technique.in_phases else 1
    allowed = c.aim.visits or max(MOST_VISITS, by_stage)
    found = find_course(hair, min(by_stage, allowed), allowed, stop)
    chosen = [v for n, v in enumerate(found.chosen) if n == 0 or any(o.foils for o in v.values())]
    ahead = [
        _visit(stands, hair, found, number, visit, most) for number, visit in enumerate(chosen)
    ]
    inside = [v for v in ahead if (v.date - plan.date).days < WEEKS_PER_YEAR * 7]
    priced = all(v.money is not None for v in ahead)
    cover = plan.quote.year_cover
    return Course(
        visits=ahead,
        reached=found.reached and by_stage <= allowed,
        words=[*_words(stands, found, ahead, by_stage, allowed)],
        hours=round(sum(v.minutes for v in ahead) / 60, 1),
        money=round(sum(v.money or 0.0 for v in ahead)) if priced else None,
        first_year_money=round(sum(v.money or 0.0 for v in inside)) if priced else None,
        first_year_hours=round(sum(v.minutes for v in inside) / 60, 1),
        cover_year_money=cover.amount if cover else None,
        cover_year_hours=cover.hours if cover else None,
        gap_percent=round(100 * found.gap, 1),
        law=LAW,
    )


def hair_of(stands: Made, choices: Choices, most: Whole) -> Hair:
    """Give what the visits work on; on clean hair the first takes all that lies in its foils."""
    hit = stands.bench["hit_rate"] / 100
    first = hit if stands.technique.scale == "return" else 1.0
    return Hair(
        choices.table,
        left_for(choices.limits, most.rest),
        choices.wished,
        choices.sizes,
        (first, *(hit for _ in range(MOST_VISITS * 2))),
    )


def visits_alike(choices: Choices, whole: Whole, plan: ServicePlan) -> int | None:
    """Count visits of one kind until the wish is met, lift not counted; None beyond eight."""
    hits = [1.0] + [0.8] * 7
    have = dict.fromkeys(choices.table, 0.0)
    aim = constants()["reached_at"].value
    by_stage = int(plan.next_visit.visits.middle or 1) if len(plan.refused) else 1
    for number, hit in enumerate(hits, 1):
        met = 0.0
        for zone, one in whole.pick.chosen.items():
            have[zone] += hit * gain(one, choices.sizes[zone])
            missing = choices.wished.missing[zone]
            if missing > 0:
                met += choices.wished.shows[zone] * min(1.0, have[zone] / missing)
        if met >= aim:
            return max(number, by_stage)
    return None


def _visit(
    stands: Made,
    hair: Hair,
    found: Visits,
    number: int,
    chosen: Mapping[str, Weighed],
    most: Whole,
) -> VisitAhead:
    weeks = stands.plan.interval_weeks
    minutes = most.rest.minutes + sum(one.minutes for one in chosen.values())
    money = None
    if stands.plan.quote.floor is not None:
        money = round(most.rest.money + sum(one.money for one in chosen.values()))
    before = found.chosen[: number + 1]
    return VisitAhead(
        visit=stands.plan.visit + number,
        date=stands.plan.date + dt.timedelta(weeks=weeks * number),
        foils=sum(one.foils for one in chosen.values()),
        minutes=round(minutes),
        money=money,
        wish_percent=round(100 * found.met[number]),
        light_percent=round(100 * (_have(stands) + _light(hair, before))),
        old_percent=round(100 * _old(stands, hair, before, weeks)),
        taken=[_taken(zone, chosen[zone]) for zone in NAMES if zone in chosen],
    )


def _taken(zone: str, one: Weighed) -> ZoneTaken:
    why = one.option.rows[0].reason if one.option.rows else ""
    return ZoneTaken(
        zone=ZONE_WORDS[zone], words=one.option.words, foils=one.foils, bowl=one.bowl, why=why
    )


def _have(stands: Made) -> float:
    return stands.head.share_with("lightened")


def _light(hair: Hair, chosen: Sequence[Mapping[str, Weighed]]) -> float:
    return sum(
        hit * one.light
        for hit, visit in zip(hair.hits, chosen, strict=False)
        for one in visit.values()
    )


def _old(stands: Made, hair: Hair, chosen: Sequence[Mapping[str, Weighed]], weeks: float) -> float:
    """Give the share of hair with old colour after some visits: taken, shed, or cut off."""
    plan, head = stands.plan, stands.head
    before = plan.next_visit.old_share_before
    dark = 1 - _have(stands)
    if before <= 0 or dark <= 0:
        return 0.0
    since = weeks * (len(chosen) - 1)
    line = head.old_line_cm or head.regrowth_mean_cm
    if line + stands.looks.rate_cm_per_week * since >= head.length_cm:
        return 0.0
    left = max(0.0, dark - _light(hair, chosen)) / dark
    return float(before * left * (1 - NEW_HAIR) ** (since / NEW_HAIR_WEEKS))


def _words(
    stands: Made, found: Visits, ahead: Sequence[VisitAhead], by_stage: int, allowed: int
) -> list[str]:
    plan, out = stands.plan, []
    if found.reached and by_stage <= allowed:
        out.append(
            f"The wish is met at visit {ahead[-1].visit}, {ahead[-1].date:%B %Y}."
            if len(ahead) > 1
            else "One visit meets the wish."
        )
    else:
        last = found.met[-1] if found.met else 0.0
        out.append(
            f"Not reachable in {allowed} {'visit' if allowed == 1 else 'visits'}: "
            f"{100 * last:.0f} % of the light is; more hours or more visits would reach it."
        )
    if by_stage > 1:
        reached = plan.expected_stage.middle if plan.expected_stage else None
        out.append(
            f"Stage {plan.aim_stage:g} takes {by_stage} visits: today's lift comes to "
            f"{reached or 0:g}."
        )
    gone = [v for v in ahead if v.old_percent <= 100 * constants()["old_gone_at"].value]
    if plan.next_visit.old_share_before > 0:
        if gone:
            out.append(f"Old colour is gone with visit {gone[0].visit}.")
        else:
            out.append(
                f"Old colour is still on {ahead[-1].old_percent:g} % of the hair then; it is grown "
                f"out and cut by {_cut_off(stands):%B %Y}."
            )
    return out


def _cut_off(stands: Made) -> dt.date:
    """Give the day on which the old line has grown to the ends and is cut."""
    head = stands.head
    line = head.old_line_cm or head.regrowth_mean_cm
    weeks = max(0.0, (head.length_cm - line) / stands.looks.rate_cm_per_week)
    return stands.plan.date + dt.timedelta(weeks=math.ceil(weeks))
