"""What is in, what is out, what is to come, and the clock of it from now on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.visit import PlacedFoil, Visit
from strandline.service.anew.checked import Awaited, bowl_of
from strandline.service.anew.times import Wall
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.parts import FoilRow
from strandline.service.practice.bench import Bench
from strandline.service.schedule.chair import Open, Wait
from strandline.service.schedule.clock import Clock, Placing, set_clock


@dataclass(frozen=True)
class Work:
    """The foils of a visit at a minute of it.

    Parameters
    ----------
    inside : placed and not out, with their start in minutes
    past_label : of those, in for as long as the label allows, or till then before a wipe could end
    outside : placed and out
    to_come : planned, neither placed nor dropped
    bowls : of each planned foil
    """

    inside: Mapping[int, float]
    past_label: tuple[int, ...]
    outside: tuple[int, ...]
    to_come: tuple[FoilRow, ...]
    placed: Mapping[int, PlacedFoil]
    bowls: Mapping[int, str]


def work_of(plan: ServicePlan, visit: Visit, wall: Wall, waits: Mapping[str, Wait]) -> Work:
    """Sort the foils of a visit by its facts.

    Parameters
    ----------
    plan : that is followed
    visit : its facts, folded
    wall : its minutes
    waits : by bowl, each with what its label allows

    Raises
    ------
    OutOfRangeError   foils that are placed though the plan has none
    """
    placed = {foil.number: foil for foil in visit.foils}
    if placed and not waits:
        raise OutOfRangeError(
            f"{len(placed)} foils are placed; the plan of {plan.client} has no foils.",
            "Rinse what is in, or name the consultation that the foils were placed for.",
            "--facts",
        )
    bowls = {row.number: row.bowl for row in plan.foils}
    starts = {
        number: wall.minutes(foil.start) if foil.start else wall.now
        for number, foil in placed.items()
        if foil.out is None
    }
    late = tuple(
        sorted(
            number
            for number, at in starts.items()
            if wall.now >= at + waits[bowl_of(placed[number], bowls, waits)].longest_min
        )
    )
    gone = {*placed, *visit.dropped}
    return Work(
        {n: at for n, at in sorted(starts.items()) if n not in late},
        late,
        tuple(sorted(n for n, foil in placed.items() if foil.out is not None)),
        tuple(row for row in plan.foils if row.number not in gone),
        placed,
        bowls,
    )


def clock_from_now(
    work: Work,
    waits: Mapping[str, Wait],
    bench: Bench,
    now: float,
    *,
    added: Sequence[Placing] = (),
    left_out: frozenset[int] = frozenset(),
    helper: bool = False,
) -> Clock | None:
    """Set the clock of what is in and what is to come; None where nothing is either.

    Parameters
    ----------
    work : at this minute
    waits : by bowl, as believed now
    bench : her pace
    now : minutes since the first foil
    added : foils that this plan adds, after the others
    left_out : numbers to come that it leaves out
    helper : a second pair of hands places
    """
    begun = _begun(work, waits)
    coming = [
        Placing(row.number, row.kind, row.section, row.bowl)
        for row in work.to_come
        if row.number not in left_out
    ]
    coming += added
    if not begun and not coming:
        return None
    return set_clock(coming, waits, bench, helper=helper, begun=begun, now=now)


def waits_from(
    awaited: Mapping[str, Awaited], waits: Mapping[str, Wait], which: str
) -> dict[str, Wait]:
    """Give each bowl's wait at the low, middle or high end of what is believed."""
    ends = {"low": lambda one: one.low, "middle": lambda one: one.out, "high": lambda one: one.high}
    return {
        bowl: replace(waits[bowl], due_min=min(ends[which](one), waits[bowl].longest_min))
        for bowl, one in awaited.items()
    }


def _begun(work: Work, waits: Mapping[str, Wait]) -> list[Open]:
    groups: list[Open] = []
    for number, start in work.inside.items():
        foil = work.placed[number]
        bowl = bowl_of(foil, work.bowls, waits)
        last = groups[-1] if groups else None
        if last and (last.section, last.bowl) == (foil.section, bowl):
            last.numbers.append(number)
            last.starts.append(max(start, last.starts[-1]))
        else:
            groups.append(Open([number], foil.section, bowl, [start]))
    return groups


def in_time(
    work: Work, waits: Mapping[str, Wait], bench: Bench, now: float, also: int = 0
) -> tuple[Work, float]:
    """Take at once what could not be wiped by its label any more.

    Parameters
    ----------
    work : at this minute
    waits : by bowl, as believed now
    bench : her pace
    now : minutes since the first foil
    also : foils that are wiped now besides, bled or slipped

    Returns
    -------
    (the work with such foils among those past their label; the minute her hands are free:
    what is past is wiped, or where that is quicker rinsed, before anything else)
    """
    each = bench["minutes_wipe_20"] / 20
    while True:
        free = now + min(each * (len(work.past_label) + also), bench["minutes_rinse"])
        at = free
        for group in sorted(
            _begun(work, waits), key=lambda one: one.starts[0] + waits[one.bowl].longest_min
        ):
            if at > group.starts[0] + waits[group.bowl].longest_min:
                break
            at += each * len(group.numbers)
        else:
            return work, free
        past = {*work.past_label, *group.numbers}
        inside = {n: start for n, start in work.inside.items() if n not in past}
        work = replace(work, inside=inside, past_label=tuple(sorted(past)))


def without(work: Work, foils: frozenset[int]) -> Work:
    """Take foils that are wiped now out of what is in."""
    return replace(
        work,
        inside={n: at for n, at in work.inside.items() if n not in foils},
        outside=tuple(sorted({*work.outside, *(foils & set(work.inside))})),
    )
