"""What a visit that is over has to teach: its checks, its dry results, the pace of its sections."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact, milliseconds
from strandline.base.facts.fold import fold
from strandline.base.facts.visit import AreaResult, PlacedFoil, Section, Visit
from strandline.science.chemistry.lift import LONGEST_MIN
from strandline.service.anew.checked import (
    FIRST_SEEN_MIN,
    bowl_of,
    check_on,
    checks_of,
    dose_of,
    recorded,
)
from strandline.service.anew.mixed import poured_of
from strandline.service.learning.observation import Check, observed
from strandline.service.learning.pace import KINDS, Placed
from strandline.service.learning.pool import VisitTaught
from strandline.service.learning.starting import wet_bias_started
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.assemble import Made

AREA_OF = {"sides": "front"}
"""A judged area that is none of the three answered ones is read on the one it lies by."""


def taught_of(made: Made, facts: Sequence[Fact]) -> tuple[str, VisitTaught]:
    """Give a visit's name and what it teaches.

    Parameters
    ----------
    made : the plan that was followed, made as it was on that day
    facts : of the visit, in any order

    Returns
    -------
    (name of the visit; its checks, dry results and sections)   observations at the starting wet
    bias, so that a visit teaches the same whenever it is kept

    Raises
    ------
    OutOfRangeError   no facts of a visit, facts of another client, a plan without lightener, a
    visit that teaches nothing
    """
    visit = fold(facts)
    if not visit.stream or visit.client is None:
        raise OutOfRangeError(
            "There are no facts of a visit with its client.",
            "Name the visit's own file, JSON Lines, with its visit.started.",
            "--facts",
        )
    if visit.client != made.plan.client:
        raise OutOfRangeError(
            f"The facts are of {visit.client}; the plan is for {made.plan.client}.",
            "Name the visit's own file.",
            "--facts",
        )
    lightener = made.consultation.shelf.lightener
    if lightener is None or not made.doses:
        raise OutOfRangeError(
            f"No lightener was planned for {made.plan.client}; its clock has nothing to learn.",
            "Keep the visit with its plan; learn from visits with foils of lightener.",
            "--facts",
        )
    bias = wet_bias_started()
    seen = [observed(check, bias) for check in _checks(made, visit)]
    taught = VisitTaught(
        lightener.name,
        visit.client,
        [one for one in seen if one is not None],
        _placed(made, visit),
    )
    if not taught.observations and not taught.placed:
        raise OutOfRangeError(
            "This visit teaches nothing: no check, no dry result, no section begun and closed.",
            "Record them at the chair; there is nothing to keep.",
            "--facts",
        )
    return visit.stream, taught


def _checks(made: Made, visit: Visit) -> list[Check]:
    bowls = {row.number: row.bowl for row in made.plan.foils}
    bowl = partial(bowl_of, bowls=bowls, waits=made.waits)
    poured = poured_of(visit)
    checks, _ = checks_of(visit, made.doses, bowl, poured)
    for result in visit.results:
        foil = _judged(made, visit, result)
        dose = None if foil is None else dose_of(None, bowl(foil), made.doses)
        if foil is None or dose is None or foil.in_min is None or result.stage is None:
            continue
        checks.append(
            check_on(
                dose,
                recorded(foil, dose, poured),
                foil=foil.number,
                minutes=foil.in_min,
                stage=result.stage,
                sureness="fair",
                rinsed=True,
            )
        )
    return checks


def _judged(made: Made, visit: Visit, result: AreaResult) -> PlacedFoil | None:
    """Give the foil that speaks for a judged area: the middle one by its time in.

    One that by its facts was in past the label is none: it was wiped without a tap.
    """
    area = AREA_OF.get(result.area, result.area)
    areas = {} if made.foils is None else areas_of(made.foils)
    longest = LONGEST_MIN if made.asked is None else made.asked.label_max_min
    timed = [
        foil
        for foil in visit.foils
        if foil.in_min is not None
        and FIRST_SEEN_MIN < foil.in_min <= longest
        and (area == "whole" or areas.get(foil.number) == area)
    ]
    ordered = sorted(timed, key=lambda foil: (foil.in_min or 0.0, foil.number))
    return ordered[len(ordered) // 2] if ordered else None


def areas_of(foils: FoilMap) -> dict[int, str]:
    """Give the answered area that speaks for each foil, by number."""
    return {foil.number: foils.zones[foil.key].area_name for foil in foils}


def _placed(made: Made, visit: Visit) -> list[Placed]:
    """Give the sections that tell her own pace: one kind of foil, no bowl or wipe between."""
    helped = made.consultation.limits.helper or any(c.what == "helper" for c in visit.changes)
    if helped:
        return []
    kinds = {row.number: row.kind for row in made.plan.foils}
    times = [one.time for one in visit.bowls]
    times += [one.time for one in (*visit.wipes, *visit.rinses)]
    between = [_ms(time) for time in times]
    out = []
    for section in visit.sections:
        own = _own_pace(section, kinds, between, set(visit.dropped))
        if own is not None:
            out.append(own)
    return out


def _own_pace(
    section: Section, kinds: Mapping[int, str], between: Sequence[int], dropped: set[int]
) -> Placed | None:
    if section.start is None or section.end is None or section.last_foil is None:
        return None
    start, end = _ms(section.start), _ms(section.end)
    numbers = [n for n in range(section.first_foil, section.last_foil + 1) if n not in dropped]
    of_kind = {kinds.get(number, "") for number in numbers}
    alone = not any(start < time < end for time in between)
    if len(of_kind) != 1 or not of_kind <= set(KINDS) or end <= start or not alone:
        return None
    return Placed(of_kind.pop(), len(numbers), (end - start) / 1000)


def _ms(time: str) -> int:
    return milliseconds(time) or 0
