"""Placing, wiping and rinsing in time, at her pace; every foil has a clock of its own.

Minutes count from the first parting. A group of foils shares a section and a bowl; it is due
when its first foil is, and wiped before that foil passes the label's longest time.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from strandline.base.errors import OutOfRangeError
from strandline.service.practice.bench import Bench

MOST_GROUPS = 6
"""As many clocks as one person can watch; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Placing:
    """A foil to place: its number, kind (slice, weave, tip-out, lowlight), section and bowl."""

    number: int
    kind: str
    section: str
    bowl: str


@dataclass(frozen=True, slots=True)
class Wait:
    """What a bowl's hair needs: minutes to its aim and until its first check."""

    due_min: float
    first_check_min: float


@dataclass(frozen=True, slots=True)
class Group:
    """A group clock; minutes from the first parting.

    Parameters
    ----------
    first, last : foil numbers
    section, bowl : where and with what
    start, end : first and last foil placed
    first_check, due, latest : of its first foil
    out : when the group is wiped or rinsed
    how : 'wipe' or 'rinse'
    """

    first: int
    last: int
    section: str
    bowl: str
    start: float
    end: float
    first_check: float
    due: float
    latest: float
    out: float
    how: str


@dataclass(frozen=True)
class Clock:
    """The clock of a head in minutes from the first parting."""

    groups: tuple[Group, ...]
    placed: float
    rinse: float
    starts: Mapping[int, float]
    bowls: Mapping[str, int]
    notes: tuple[str, ...] = ()


@dataclass
class _Open:
    """A group while it is being placed."""

    numbers: list[int]
    section: str
    bowl: str
    starts: list[float] = field(default_factory=list)
    out: float = math.inf
    how: str = "rinse"


def set_clock(
    foils: Sequence[Placing],
    waits: Mapping[str, Wait],
    bench: Bench,
    *,
    label_max_min: float,
    helper: bool = False,
) -> Clock:
    """Walk through the placing and set every group's clock.

    Parameters
    ----------
    foils : in the order of work
    waits : by bowl; minutes to the aim and to the first check
    bench : her pace
    label_max_min : longest time of the label, min, > 0
    helper : a second pair of hands places and wipes

    Returns
    -------
    Clock   with no foil in longer than the label allows

    Raises
    ------
    OutOfRangeError   a label time so short that one section cannot be placed and wiped in it
    """
    if label_max_min <= 0:
        raise OutOfRangeError(
            f"The label's longest time is {label_max_min:g} min; it must be more than 0.",
            "Enter the figure on the label.",
            "shelf.lightener.label_max_min",
        )
    groups = _group(foils)
    pace = 1 - bench["helper_saving"] / 100 if helper else 1.0
    wipe_each = bench["minutes_wipe_20"] / 20
    kinds = {foil.number: foil.kind for foil in foils}
    now, section, bowl = 0.0, "", ""
    bowl_age, bowl_foils = math.inf, 0
    bowls: dict[str, int] = {}
    notes: list[str] = []
    for group in groups:  # grows behind a group that is split
        if group.section != section:
            now += bench["seconds_new_section"] / 60 if section else 0.0
            section = group.section
        for number in list(group.numbers):
            if _ripe(group, waits, now, label_max_min, bench):
                _split(groups, group)
                break
            stale = now - bowl_age > bench["bowl_minutes"]
            if group.bowl != bowl or stale or bowl_foils >= _foils_of_a_bowl(bench):
                now += bench["seconds_bowl"] / 60
                bowl, bowl_age, bowl_foils = group.bowl, now, 0
                bowls[bowl] = bowls.get(bowl, 0) + 1
            now = _wipe_what_is_due(groups, waits, now, label_max_min, bench, notes)
            group.starts.append(now)
            bowl_foils += 1
            now += bench[_PACE[kinds[number]]] / 60 * pace
    placed = now
    rinse = _rinse(groups, waits, placed, label_max_min, wipe_each, notes)
    return Clock(
        tuple(_closed(group, waits, rinse, label_max_min) for group in groups),
        placed,
        rinse,
        {n: s for group in groups for n, s in zip(group.numbers, group.starts, strict=True)},
        bowls,
        tuple(notes),
    )


_PACE = {
    "slice": "seconds_slice",
    "weave": "seconds_weave",
    "lowlight": "seconds_weave",
    "tip-out": "seconds_tip_out",
}


def _foils_of_a_bowl(bench: Bench) -> int:
    return int(bench["bowl_foils"])


def _group(foils: Sequence[Placing]) -> list[_Open]:
    groups: list[_Open] = []
    for foil in foils:
        last = groups[-1] if groups else None
        if last and last.section == foil.section and last.bowl == foil.bowl:
            last.numbers.append(foil.number)
        else:
            groups.append(_Open([foil.number], foil.section, foil.bowl))
    while len(groups) > MOST_GROUPS:
        pairs = [
            (len(a.numbers) + len(b.numbers), index)
            for index, (a, b) in enumerate(itertools.pairwise(groups))
            if a.bowl == b.bowl
        ]
        if not pairs:
            break
        _, index = min(pairs)
        joined = groups.pop(index + 1)
        kept = groups[index]
        kept.numbers += joined.numbers
        if joined.section not in kept.section:
            kept.section = f"{kept.section}, {joined.section}"
    return groups


def _limit(group: _Open, waits: Mapping[str, Wait], label_max_min: float) -> float:
    """Give the minute by which a group must be out: due or at the label's end, what is first."""
    return group.starts[0] + min(waits[group.bowl].due_min, label_max_min)


def _wipe_what_is_due(
    groups: Sequence[_Open],
    waits: Mapping[str, Wait],
    now: float,
    label_max_min: float,
    bench: Bench,
    notes: list[str],
) -> float:
    """Wipe a group now where the next foil, with a bowl and a section, would come too late."""
    wipe_each = bench["minutes_wipe_20"] / 20
    for group in groups:
        waiting = group.starts and math.isinf(group.out) and len(group.starts) == len(group.numbers)
        takes = wipe_each * len(group.numbers)
        if waiting and _ripe(group, waits, now, label_max_min, bench):
            group.out, group.how = now, "wipe"
            notes.append(
                f"Foils {group.numbers[0]}-{group.numbers[-1]} are due while you still place: "
                f"wipe them at minute {now:.0f} ({takes:.0f} min, damp towel)."
            )
            now += takes
    return now


def _ripe(
    group: _Open, waits: Mapping[str, Wait], now: float, label_max_min: float, bench: Bench
) -> bool:
    """Say whether a group's first foil is due, or would pass the label during the next foil."""
    if not group.starts:
        return False
    ahead = bench["seconds_tip_out"] + bench["seconds_bowl"] + bench["seconds_new_section"]
    due = _limit(group, waits, label_max_min)
    return now >= due or now + ahead / 60 >= _label_end(group, label_max_min)


def _split(groups: list[_Open], group: _Open) -> None:
    """Close a group with what is placed; the rest of it becomes the next one."""
    rest = group.numbers[len(group.starts) :]
    group.numbers = group.numbers[: len(group.starts)]
    groups.insert(groups.index(group) + 1, _Open(rest, group.section, group.bowl))


def _rinse(
    groups: Sequence[_Open],
    waits: Mapping[str, Wait],
    placed: float,
    label_max_min: float,
    wipe_each: float,
    notes: list[str],
) -> float:
    """Wipe group after group as it falls due; rinse when the last one is."""
    left = [group for group in groups if math.isinf(group.out)]
    now = placed
    while len(left) > 1:
        group = min(left, key=lambda one: _limit(one, waits, label_max_min))
        rest = [one for one in left if one is not group]
        last_due = max(_due_of_last(one, waits, label_max_min) for one in rest)
        if last_due <= _label_end(group, label_max_min):
            break
        takes = wipe_each * len(group.numbers)
        room = _room(rest, label_max_min, takes, wipe_each)
        now = max(now, min(_limit(group, waits, label_max_min), *room))
        group.out, group.how = now, "wipe"
        notes.append(
            f"Wipe foils {group.numbers[0]}-{group.numbers[-1]} at minute {now:.0f}; "
            "the rest goes on."
        )
        now += takes
        left = rest
    if not left:
        return placed
    due = max(_due_of_last(group, waits, label_max_min) for group in left)
    return max(now, min(due, *(_label_end(group, label_max_min) for group in left)))


def _room(
    rest: Sequence[_Open], label_max_min: float, takes: float, wipe_each: float
) -> list[float]:
    """Give the latest starts of a wipe after which the rest can still be wiped in time."""
    out = []
    for group in sorted(rest, key=lambda one: _label_end(one, label_max_min)):
        out.append(_label_end(group, label_max_min) - takes)
        takes += wipe_each * len(group.numbers)
    return out


def _due_of_last(group: _Open, waits: Mapping[str, Wait], label_max_min: float) -> float:
    return group.starts[-1] + min(waits[group.bowl].due_min, label_max_min)


def _label_end(group: _Open, label_max_min: float) -> float:
    return group.starts[0] + label_max_min


def _closed(group: _Open, waits: Mapping[str, Wait], rinse: float, label_max_min: float) -> Group:
    start, wait = group.starts[0], waits[group.bowl]
    return Group(
        group.numbers[0],
        group.numbers[-1],
        group.section,
        group.bowl,
        start,
        group.starts[-1],
        start + min(wait.first_check_min, label_max_min),
        start + min(wait.due_min, label_max_min),
        start + label_max_min,
        rinse if math.isinf(group.out) else group.out,
        group.how,
    )
