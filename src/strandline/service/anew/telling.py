"""The steps of what is left, the next first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from strandline.service.anew.model import Money, Step
from strandline.service.anew.times import Wall
from strandline.service.plan.timing import runs
from strandline.service.schedule.chair import Group
from strandline.service.schedule.clock import Clock, Placing

SOON_MIN = 0.5
"""What is due within this is due now, min."""
LATE_MIN = 1.0
"""Past the booked end by less is in time, min."""
RINSE_IF = "Burning, heat or pain: rinse at once, whatever any clock says."


@dataclass(frozen=True)
class Standing:
    """How a visit stands, to be told.

    Parameters
    ----------
    wall : its minutes
    free : the minute her hands are free of what comes out at once
    past_label, spoilt_in : foils that come out at once
    clock : of what is in and to come
    every : minutes between checks
    gone, added : foils that this plan leaves out and adds
    money : minutes and floor, before and now
    late_min : past the booked end
    """

    wall: Wall
    free: float
    past_label: Sequence[int]
    spoilt_in: Sequence[int]
    clock: Clock | None
    every: float
    gone: Sequence[int]
    added: Sequence[Placing]
    money: Money
    late_min: float


def steps_of(standing: Standing) -> list[Step]:
    """Tell what is to be done, in the order of the clock.

    The label's word stands on the first step that touches a foil.
    """
    wall, clock = standing.wall, standing.clock
    now = wall.at(wall.now)
    groups = sorted(clock.groups, key=lambda group: group.out) if clock else []
    waiting = [group for group in groups if not _due(group, standing)]
    coming = [step for group in waiting for step in _coming(group, wall, standing.every)]
    first = _at_once(standing, now) + [
        _out_now(group, now) for group in groups if _due(group, standing)
    ]
    then = [step for _, step in sorted(coming, key=lambda one: one[0])]
    for touching in (first, then):
        if touching:
            touching[0] = touching[0].model_copy(update={"caution": RINSE_IF})
            break
    return first + _changed(standing, now) + then


def _at_once(standing: Standing, now: str | None) -> list[Step]:
    out = []
    if standing.past_label:
        out.append(
            Step(
                at=now,
                what=f"Wipe or rinse {_foils(standing.past_label)} at once.",
                why="The label's longest time is past, or would be before a wipe could end.",
            )
        )
    if standing.spoilt_in:
        what = f"Wipe {_foils(standing.spoilt_in)} now."
        out.append(Step(at=now, what=what, why="It bled or slipped."))
    return out


def _due(group: Group, standing: Standing) -> bool:
    soon = standing.free + SOON_MIN
    return group.start <= standing.wall.now and min(group.due, group.out) <= soon


def _out_now(group: Group, now: str | None) -> Step:
    verb = "Wipe" if group.how == "wipe" else "Rinse"
    return Step(
        at=now,
        what=f"{verb} foils {group.foils} ({group.section}) now.",
        why="By the checks it has reached its aim, or its label ends.",
    )


def _changed(standing: Standing, now: str | None) -> list[Step]:
    gone, added, out = standing.gone, standing.added, []
    if gone:
        out.append(
            Step(
                at=now,
                what=f"Leave out {len(gone)} foils: {runs(gone)}.",
                why="What is least seen goes first when time is short; the next visit takes it.",
            )
        )
    if added:
        first, last = added[0].number, added[-1].number
        out.append(
            Step(
                at=now,
                what=f"Add {len(added)} fine weaves at the front, foils {first}-{last}, "
                f"bowl {added[0].bowl}, after the others.",
                why="The front is to be brighter.",
            )
        )
    if gone or added:
        out.append(Step(at=now, what=_price(standing.money), why="Say it before you go on."))
    if standing.late_min > LATE_MIN:
        ways = "A helper, two rinses or another day for the rest are the ways out."
        out.append(
            Step(
                at=now,
                what=f"Say it: it ends about {standing.late_min:.0f} min past the booked time.",
                why=ways if standing.clock else "What is left is the gloss and the finish.",
            )
        )
    return out


def _price(money: Money) -> str:
    minutes = f"All in all {money.minutes_now:.0f} min, planned {money.minutes_before:.0f} min"
    if money.floor_now is None or money.floor_before is None:
        return f"{minutes}."
    now, before = (f"{one:.0f} {money.currency}" for one in (money.floor_now, money.floor_before))
    return f"{minutes}; floor {now}, it was {before}."


def _coming(group: Group, wall: Wall, every: float) -> list[tuple[float, Step]]:
    """Give the next check of a group, where one comes before it is out, and its way out."""
    at = group.first_check
    while at < wall.now and every > 0:
        at += every
    way = f"{group.how.capitalize()} foils {group.foils} ({group.section})."
    out = [(group.out, Step(at=wall.at(group.out), what=way, why="By the clock as it is now."))]
    if wall.now <= at < group.out:
        what = f"Check foils {group.foils} ({group.section}): wipe, pinch dry, judge."
        out.append((at, Step(at=wall.at(at), what=what, why="Wet hair reads darker.")))
    return out


def _foils(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"foil {numbers[0]}"
    return f"foils {runs(numbers)}"
