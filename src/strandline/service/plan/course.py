"""The visits to the aim: which hair when, when old cover is gone, and the year against cover."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence

from strandline.science.head.zones import NAMES
from strandline.service.choose.course import (
    Hair,
    Visits,
    find_course,
    light_for_little_old,
    old_after,
)
from strandline.service.choose.tables import Weighed
from strandline.service.choose.wish import constants
from strandline.service.placement.places import ZONE_WORDS
from strandline.service.plan.assemble import Made
from strandline.service.plan.choices import Choices
from strandline.service.plan.returning import NEW_HAIR
from strandline.service.plan.ways_model import Course, VisitAhead, ZoneTaken
from strandline.service.plan.weighing_up import Whole, left_for
from strandline.service.schedule.search import Stop, never

MOST_VISITS = 4
"""Visits that a course looks ahead, where no number is said."""
NEW_HAIR_WEEKS = 12.0
WEEKS_PER_YEAR = 365.25 / 7
LAW = "fewest visits, then least money or minutes and harm; later visits at the hit rate; proven"


def course_of(
    stands: Made, choices: Choices, most: Whole, like_it: int | None, stop: Stop = never
) -> Course | None:
    """Lay out the visits to the aim.

    Parameters
    ----------
    stands : the plan by her rules, whose interval is taken
    choices, most : of its foils; what one visit could meet at most
    like_it : visits to the aim if each is as thorough as this one can be; None beyond twelve

    Returns
    -------
    Course, or None where no visit holds a foil
    """
    c, plan = stands.consultation, stands.plan
    hair = hair_of(stands, choices, most)
    by_stage = stage_visits(stands)
    allowed = c.aim.visits or max(MOST_VISITS, by_stage)
    found = find_course(hair, min(by_stage, allowed), allowed, stop)
    if not any(one.foils for visit in found.chosen for one in visit.values()):
        return None
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
        words=[*_words(stands, ahead, by_stage), *_never(stands, found, ahead, like_it)],
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
    light = stands.technique.kind == "foils"
    return Hair(
        choices.table,
        left_for(choices.limits, most.rest),
        choices.wished,
        choices.sizes,
        (first, *(hit for _ in range(LONGEST))),
        1 - stands.head.share_with("lightened"),
        stands.plan.next_visit.old_share_before if light else 0.0,
        (1 - NEW_HAIR) ** (stands.plan.interval_weeks / NEW_HAIR_WEEKS),
    )


LONGEST = 12
"""Visits beyond which none is counted."""


def visits_alike(hair: Hair, whole: Whole, by_stage: int) -> int | None:
    """Count visits of one kind until the light that is wished for is there and little old colour.

    Parameters
    ----------
    whole : what each visit takes
    by_stage : visits that the lift alone takes

    Returns
    -------
    visits, this one among them; None beyond twelve
    """
    sums = whole.pick.sums
    wished = sum(hair.wished.missing[zone] * hair.sizes[zone] for zone in hair.table)
    wished *= constants()["reached_at"].value
    light = 0.0
    for visit in range(1, LONGEST + 1):
        light += hair.hits[visit - 1] * (sums.light or sums.dark)
        if light >= max(wished, light_for_little_old(hair, visit)):
            return max(visit, by_stage)
    return None


def stage_visits(made: Made) -> int:
    """Give the visits that the lift alone takes on this hair."""
    return int(made.plan.next_visit.visits.middle or 1) if made.technique.in_phases else 1


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
    if _cut_off(stands) <= stands.plan.date + dt.timedelta(weeks=weeks * (len(chosen) - 1)):
        return 0.0
    return old_after(hair, _light(hair, chosen), len(chosen))


def _words(stands: Made, ahead: Sequence[VisitAhead], by_stage: int) -> list[str]:
    plan, values = stands.plan, constants()
    out = []
    enough = 100 * values["reached_at"].value
    met = next((v for v in ahead if v.wish_percent >= enough - 0.5), None)
    last = ahead[-1]
    if met is not None:
        out.append(
            f"The light that is wished for is there with visit {met.visit}, {met.date:%B %Y}."
        )
    if by_stage > 1:
        reached = plan.expected_stage.middle if plan.expected_stage else None
        out.append(
            f"Stage {plan.aim_stage:g} takes {by_stage} visits: today's lift comes to "
            f"{reached or 0:g}."
        )
    if plan.next_visit.old_share_before > 0:
        little = 100 * values["old_left_ok"].value
        gone = next((v for v in ahead if v.old_percent <= little + 0.5), None)
        when = f"what is left has grown out and is cut by {_cut_off(stands):%B %Y}"
        out.append(
            f"Old colour is down to {gone.old_percent:g} % with visit {gone.visit}; {when}."
            if gone
            else f"Old colour is still on {last.old_percent:g} % of the hair; {when}."
        )
    return out


def _never(
    stands: Made, found: Visits, ahead: Sequence[VisitAhead], like_it: int | None
) -> list[str]:
    """Say that the aim is not reached in the visits there are, and what would reach it."""
    given, by_stage = stands.consultation.aim.visits, stage_visits(stands)
    if found.reached and by_stage <= (given or MOST_VISITS):
        return []
    count = given or len(found.chosen)
    within = f"{count} {'visit' if count == 1 else 'visits'}{' given' if given else ''}"
    would = "more hours a visit would"
    if like_it is not None and max(like_it, by_stage) > count:
        would = f"{max(like_it, by_stage)} visits as thorough as the limits hold would"
    last = ahead[-1]
    told = f"Not reachable in {'the ' if given else ''}{within}: {last.wish_percent:g} % of the "
    return [f"{told}light is{_and_old(last)}; {would}."]


def _and_old(last: VisitAhead) -> str:
    if not last.old_percent:
        return ""
    return f", and {last.old_percent:g} % of the hair still has old colour"


def _cut_off(stands: Made) -> dt.date:
    """Give the day on which the old line has grown to the ends and is cut."""
    head = stands.head
    line = head.old_line_cm or head.regrowth_mean_cm
    weeks = max(0.0, (head.length_cm - line) / stands.looks.rate_cm_per_week)
    return stands.plan.date + dt.timedelta(weeks=math.ceil(weeks))
