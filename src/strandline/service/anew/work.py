"""What is in, what is out, what is to come, and the clock of it from now on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from strandline.base.facts.visit import PlacedFoil, Visit
from strandline.service.anew.checked import Awaited, bowl_of
from strandline.service.anew.times import Wall
from strandline.service.plan.model import FoilRow, ServicePlan
from strandline.service.practice.bench import Bench
from strandline.service.schedule.chair import Open, Wait
from strandline.service.schedule.clock import Clock, Placing, set_clock


@dataclass(frozen=True)
class Work:
    """The foils of a visit at a minute of it.

    Parameters
    ----------
    inside : placed and not out, with their start in minutes
    past_label : of those, in for as long as the label allows or longer
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


def work_of(plan: ServicePlan, visit: Visit, wall: Wall, label_min: float) -> Work:
    """Sort the foils of a visit by its facts.

    Parameters
    ----------
    plan : that is followed
    visit : its facts, folded
    wall : its minutes
    label_min : the label's longest time
    """
    placed = {foil.number: foil for foil in visit.foils}
    starts = {
        number: wall.minutes(foil.start) if foil.start else wall.now
        for number, foil in placed.items()
        if foil.out is None
    }
    late = tuple(sorted(n for n, at in starts.items() if wall.now >= at + label_min))
    gone = {*placed, *visit.dropped}
    return Work(
        {n: at for n, at in sorted(starts.items()) if n not in late},
        late,
        tuple(sorted(n for n, foil in placed.items() if foil.out is not None)),
        tuple(row for row in plan.foils if row.number not in gone),
        placed,
        {row.number: row.bowl for row in plan.foils},
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
    begun = _begun(work)
    coming = [
        Placing(row.number, _kind(row), row.section, row.bowl)
        for row in work.to_come
        if row.number not in left_out
    ]
    coming += added
    if not begun and not coming:
        return None
    return set_clock(coming, waits, bench, helper=helper, begun=begun, now=now)


def waits_from(
    awaited: Mapping[str, Awaited], first_check: float, label_min: float, which: str
) -> dict[str, Wait]:
    """Give each bowl's wait at the low, middle or high end of what is believed."""
    ends = {"low": lambda one: one.low, "middle": lambda one: one.out, "high": lambda one: one.high}
    return {
        bowl: Wait(min(ends[which](one), label_min), first_check, label_min)
        for bowl, one in awaited.items()
    }


def _begun(work: Work) -> list[Open]:
    groups: list[Open] = []
    for number, start in work.inside.items():
        foil = work.placed[number]
        bowl = bowl_of(foil, dict(work.bowls))
        last = groups[-1] if groups else None
        if last and (last.section, last.bowl) == (foil.section, bowl):
            last.numbers.append(number)
            last.starts.append(max(start, last.starts[-1]))
        else:
            groups.append(Open([number], foil.section, bowl, [start]))
    return groups


def _kind(row: FoilRow) -> str:
    return {"lowlight weave": "lowlight"}.get(row.kind, row.kind)


def without(work: Work, foils: frozenset[int]) -> Work:
    """Take foils that are wiped now out of what is in."""
    return replace(
        work,
        inside={n: at for n, at in work.inside.items() if n not in foils},
        outside=tuple(sorted({*work.outside, *(foils & set(work.inside))})),
    )
