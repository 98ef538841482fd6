"""The steps of what is left, the next first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from strandline.service.anew.model import Money, Step
from strandline.service.anew.times import Wall
from strandline.service.schedule.chair import Group
from strandline.service.schedule.clock import Clock, Placing

SOON_MIN = 0.5
"""What is due within this is due now, min."""


@dataclass(frozen=True)
class Standing:
    """How a visit stands, to be told.

    Parameters
    ----------
    wall : its minutes
    hurts : what overrides all, or nothing
    past_label, spoilt_in : foils that come out at once
    clock : of what is in and to come
    every : minutes between checks
    gone, added : foils that this plan leaves out and adds
    money : minutes and floor, before and now
    late_min : past the booked end
    """

    wall: Wall
    hurts: str
    past_label: Sequence[int]
    spoilt_in: Sequence[int]
    clock: Clock | None
    every: float
    gone: Sequence[int]
    added: Sequence[Placing]
    money: Money
    late_min: float


def steps_of(standing: Standing) -> list[Step]:
    """Tell what is to be done, in the order of the clock."""
    wall, clock = standing.wall, standing.clock
    now = wall.at(wall.now)
    out: list[Step] = []
    if standing.hurts:
        out.append(
            Step(at=now, what=standing.hurts, why="What she feels stands above every clock.")
        )
    if standing.past_label:
        out.append(
            Step(
                at=now,
                what=f"Wipe or rinse {_foils(standing.past_label)} at once.",
                why="The label's longest time is past.",
            )
        )
    if standing.spoilt_in:
        out.append(
            Step(at=now, what=f"Wipe {_foils(standing.spoilt_in)} now.", why="It bled or slipped.")
        )
    groups = sorted(clock.groups, key=lambda group: group.out) if clock else []
    out += [_out_now(group, now) for group in groups if _due(group, wall)]
    out += _changed(standing.gone, standing.added, standing.money, now)
    if standing.late_min > 1.0:
        out.append(
            Step(
                at=now,
                what=f"Say it: it ends about {standing.late_min:.0f} min past the booked time.",
                why="A helper, two rinses or another day for the rest are the ways out.",
            )
        )
    waiting = [group for group in groups if not _due(group, wall)]
    coming = [step for group in waiting for step in _coming(group, wall, standing.every)]
    return out + [step for _, step in sorted(coming, key=lambda one: one[0])]


def _due(group: Group, wall: Wall) -> bool:
    return group.start <= wall.now and group.out <= wall.now + SOON_MIN


def _out_now(group: Group, now: str | None) -> Step:
    verb = "Wipe" if group.how == "wipe" else "Rinse"
    return Step(
        at=now,
        what=f"{verb} foils {span_of(group)} ({group.section}) now.",
        why="By the checks it has reached its aim, or its label ends.",
    )


def _changed(
    gone: Sequence[int], added: Sequence[Placing], money: Money, now: str | None
) -> list[Step]:
    out = []
    if gone:
        out.append(
            Step(
                at=now,
                what=f"Leave out {len(gone)} foils: {_foils(gone)}.",
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
                why="The front is to be brighter." + _price(money),
            )
        )
    elif gone and money.floor_now is not None:
        out[-1] = out[-1].model_copy(update={"why": out[-1].why + _price(money)})
    return out


def _price(money: Money) -> str:
    if money.floor_now is None or money.floor_before is None:
        return f" {money.minutes_now:.0f} min in all, it was {money.minutes_before:.0f}."
    return (
        f" {money.minutes_now:.0f} min in all, it was {money.minutes_before:.0f}; floor "
        f"{money.floor_now:.0f} {money.currency}, it was {money.floor_before:.0f}."
    )


def _coming(group: Group, wall: Wall, every: float) -> list[tuple[float, Step]]:
    """Give the next check of a group, where one comes before it is out, and its way out."""
    at = group.first_check
    while at < wall.now and every > 0:
        at += every
    way = f"{group.how.capitalize()} foils {span_of(group)} ({group.section})."
    out = [(group.out, Step(at=wall.at(group.out), what=way, why="By the clock as it is now."))]
    if wall.now <= at < group.out:
        what = f"Check foils {span_of(group)} ({group.section}): wipe, pinch dry, judge."
        out.append((at, Step(at=wall.at(at), what=what, why="Wet hair reads darker.")))
    return out


def span_of(group: Group) -> str:
    """Write the foils of a group: '3-24', or one alone."""
    return f"{group.first}-{group.last}" if group.last > group.first else f"{group.first}"


def _foils(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"foil {numbers[0]}"
    return "foils " + ", ".join(map(str, numbers))
