"""Placing, wiping and rinsing in time, at her pace; every foil has a clock of its own.

Minutes count from the first parting. A group of foils shares a section and a bowl; it is due
when its first foil is, and out before that foil passes the label's longest time.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from strandline.service.practice.bench import Bench
from strandline.service.schedule.chair import Chair, Group, Open, Wait

MOST_GROUPS = 6
"""As many clocks as one person can watch; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Placing:
    """A foil to place: number, kind (slice, weave, tip-out, lowlight weave), section and bowl."""

    number: int
    kind: str
    section: str
    bowl: str


@dataclass(frozen=True)
class Clock:
    """The clock of a head in minutes from the first parting."""

    groups: tuple[Group, ...]
    placed: float
    rinse: float
    starts: Mapping[int, float]
    bowls: Mapping[str, int]
    notes: tuple[str, ...] = ()


def set_clock(
    foils: Sequence[Placing],
    waits: Mapping[str, Wait],
    bench: Bench,
    *,
    helper: bool = False,
    begun: Sequence[Open] = (),
    now: float = 0.0,
) -> Clock:
    """Walk through the placing and set every group's clock.

    Parameters
    ----------
    foils : in the order of work
    waits : by bowl
    bench : her pace
    helper : a second pair of hands places
    begun : groups that are in already, each with its starts; `foils` come after them
    now : minute it is, where something is in

    Returns
    -------
    Clock   with no foil in longer than its label allows

    Raises
    ------
    OutOfRangeError   labels so short that what is placed cannot be wiped in time

    Notes
    -----
    Before each foil she looks up: what is due is wiped; and what could no longer be wiped in
    time after one foil more is wiped first, a group that is still being placed being closed
    where it stands.
    """
    chair = Chair([*begun, *_group(foils)], waits, bench["minutes_wipe_20"] / 20, now=now)
    pace = 1 - bench["helper_saving"] / 100 if helper else 1.0
    kinds = {foil.number: foil.kind for foil in foils}
    hand = _Hand(bench)
    for group in chair.groups:  # grows behind a group that is closed early
        for number in group.numbers[len(group.starts) :]:
            place = seconds_to_place(kinds[number], bench) / 60 * pace
            if waits[group.bowl].twice:
                place += bench["seconds_second_stretch"] / 60
            chair.look_up(partial(hand.step, group, place), group)
            if group.placed:  # closed early: the rest of it comes next
                break
            chair.now = hand.begins(chair.now, group)
            group.starts.append(chair.now)
            chair.now += place
    placed = chair.now
    rinse = chair.rinse()
    return Clock(
        tuple(chair.closed(group, rinse) for group in chair.groups),
        placed,
        rinse,
        {n: t for group in chair.groups for n, t in zip(group.numbers, group.starts, strict=True)},
        hand.bowls,
        tuple(chair.notes),
    )


@dataclass
class _Hand:
    """What she has in hand: the section she stands in, the bowl and how fresh it is."""

    bench: Bench
    section: str = ""
    bowl: str = ""
    mixed_at: float = -math.inf
    foils: int = 0
    bowls: dict[str, int] = field(default_factory=dict)

    def before(self, now: float, group: Open) -> float:
        """Give the minutes a foil needs before it is placed: a new section, a fresh bowl."""
        parts = self.section not in ("", group.section)
        part = self.bench["seconds_new_section"] / 60 if parts else 0.0
        return part + (self.bench["seconds_bowl"] / 60 if self._mixes(now, group) else 0.0)

    def step(self, group: Open, place_min: float, now: float) -> float:
        """Give the minutes one foil more takes."""
        return self.before(now, group) + place_min

    def begins(self, now: float, group: Open) -> float:
        """Part and mix what the next foil needs; give the minute it goes in."""
        mixes, at = self._mixes(now, group), now + self.before(now, group)
        if mixes:
            self.bowl, self.mixed_at, self.foils = group.bowl, at, 0
            self.bowls[group.bowl] = self.bowls.get(group.bowl, 0) + 1
        self.section = group.section
        self.foils += 1
        return at

    def _mixes(self, now: float, group: Open) -> bool:
        stale = now - self.mixed_at > self.bench["bowl_minutes"]
        return group.bowl != self.bowl or stale or self.foils >= self.bench["bowl_foils"]


_PACE = {
    "slice": "seconds_slice",
    "weave": "seconds_weave",
    "lowlight weave": "seconds_weave",
    "tip-out": "seconds_tip_out",
}


def seconds_to_place(kind: str, bench: Bench) -> float:
    """Give the seconds that a foil of a kind takes her."""
    return bench[_PACE[kind]]


def _group(foils: Sequence[Placing]) -> list[Open]:
    groups: list[Open] = []
    for foil in foils:
        last = groups[-1] if groups else None
        if last and last.section == foil.section and last.bowl == foil.bowl:
            last.numbers.append(foil.number)
        else:
            groups.append(Open([foil.number], foil.section, foil.bowl))
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
