"""The minute at the chair: what is in, what is due, what must be wiped before it is too late."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from strandline.base.errors import OutOfRangeError

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Wait:
    """What a bowl's hair needs, each from a foil's own start, min.

    Parameters
    ----------
    due_min : until its aim
    first_check_min : until it is looked at
    longest_min : what the label of its product allows, > 0
    twice : each foil is painted a second time, later or from another bowl
    """

    due_min: float
    first_check_min: float
    longest_min: float
    twice: bool = False

    def __post_init__(self) -> None:
        """Refuse a label of no time."""
        if not self.longest_min > 0:
            raise OutOfRangeError(
                f"The label's longest time is {self.longest_min:g} min; it must be more than 0.",
                "Enter the figure on the label.",
            )

    @property
    def out_min(self) -> float:
        """When it comes out: at its aim, or at the label's end where that is first."""
        return min(self.due_min, self.longest_min)


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

    @property
    def foils(self) -> str:
        """Write its foils: '3-24', or one alone."""
        return f"{self.first}-{self.last}" if self.last > self.first else f"{self.first}"


@dataclass
class Open:
    """A group while it is being placed."""

    numbers: list[int]
    section: str
    bowl: str
    starts: list[float] = field(default_factory=list)
    out: float = math.inf
    how: str = "rinse"

    @property
    def placed(self) -> bool:
        """Every foil of it is in."""
        return len(self.starts) == len(self.numbers)


@dataclass
class Chair:
    """The minute at the chair, what is in, and what was wiped."""

    groups: list[Open]
    waits: Mapping[str, Wait]
    wipe_each: float
    now: float = 0.0
    notes: list[str] = field(default_factory=list)

    def look_up(self, step: Callable[[float], float], into: Open) -> None:
        """Wipe what is due, and what could not be wiped in time after one foil more.

        Parameters
        ----------
        step : minutes that the next foil takes, from a minute on
        into : the group it goes into
        """
        while True:
            pending = self._pending()
            if not pending or self._can_add(pending, into, self.now + step(self.now)):
                due = [g for g in pending if g.placed and self.now >= self._due(g)]
                group = min(self._first(due, pending), key=self._due, default=None)
            else:
                group = pending[0]
            if group is None:
                return
            if not group.placed:
                self._close(group)
            self._wipe(group, "are due while you still place: wipe them")

    def rinse(self) -> float:
        """Wipe group after group as it falls due; give the minute of the rinse of the rest."""
        while len(pending := self._pending()) > 1:
            group = min(self._first(pending, pending), key=self._due, default=pending[0])
            rest = self._but(pending, group)
            if max(self._last_due(one) for one in rest) <= self._end(group):
                break
            takes = self._takes(group)
            latest, at = math.inf, takes
            for one in rest:
                latest = min(latest, self._end(one) - at)
                at += self._takes(one)
            self.now = max(self.now, min(self._due(group), latest))
            self._wipe(group, "are due first: wipe them")
        if not pending:
            return self.now
        due = max(self._last_due(group) for group in pending)
        return max(self.now, min(due, *(self._end(group) for group in pending)))

    def closed(self, group: Open, rinse: float) -> Group:
        """Give a group's clock.

        Raises
        ------
        OutOfRangeError   it cannot be out by its label
        """
        start, wait = group.starts[0], self.waits[group.bowl]
        out = rinse if math.isinf(group.out) else group.out
        if out > self._end(group) + _SAME:
            raise OutOfRangeError(
                f"Foils {group.numbers[0]}-{group.numbers[-1]} would be in for "
                f"{out - start:.0f} min; their label allows {wait.longest_min:g} min.",
                "Plan fewer foils, a helper, or a product with a longer time.",
            )
        return Group(
            group.numbers[0],
            group.numbers[-1],
            group.section,
            group.bowl,
            start,
            group.starts[-1],
            start + min(wait.first_check_min, wait.longest_min),
            start + wait.out_min,
            start + wait.longest_min,
            out,
            group.how,
        )

    def _pending(self) -> list[Open]:
        """Give what is in, the label that ends first before the others."""
        inside = [group for group in self.groups if group.starts and math.isinf(group.out)]
        return sorted(inside, key=self._end)

    def _in_time(self, pending: Sequence[Open], now: float) -> bool:
        """Say whether all of it could be wiped one after the other from a minute on."""
        for group in pending:
            if now > self._end(group):
                return False
            now += self._takes(group)
        return True

    def _can_add(self, pending: Sequence[Open], into: Open, now: float) -> bool:
        """Say whether all could still be wiped in time with a foil more, placed by a minute."""
        loads = [(self._end(one), self._takes(one, more=int(one is into))) for one in pending]
        if into not in pending:
            loads.append((self.now + self.waits[into.bowl].longest_min, self.wipe_each))
        for end, takes in sorted(loads):
            if now > end:
                return False
            now += takes
        return True

    def _first(self, some: Sequence[Open], pending: Sequence[Open]) -> list[Open]:
        """Give those that may be wiped now with all that is pending still in time after it."""
        return [g for g in some if self._in_time(self._but(pending, g), self._after(g))]

    def _but(self, pending: Sequence[Open], group: Open) -> list[Open]:
        return [one for one in pending if one is not group]

    def _after(self, group: Open) -> float:
        return self.now + self._takes(group)

    def _takes(self, group: Open, more: int = 0) -> float:
        return self.wipe_each * (len(group.starts) + more)

    def _due(self, group: Open) -> float:
        return group.starts[0] + self.waits[group.bowl].out_min

    def _last_due(self, group: Open) -> float:
        return group.starts[-1] + self.waits[group.bowl].out_min

    def _end(self, group: Open) -> float:
        return group.starts[0] + self.waits[group.bowl].longest_min

    def _close(self, group: Open) -> None:
        """Close a group with what is placed; the rest of it becomes the next one."""
        rest = group.numbers[len(group.starts) :]
        group.numbers = group.numbers[: len(group.starts)]
        self.groups.insert(self.groups.index(group) + 1, Open(rest, group.section, group.bowl))

    def _wipe(self, group: Open, why: str) -> None:
        takes = self._takes(group)
        group.out, group.how = self.now, "wipe"
        self.notes.append(
            f"Foils {group.numbers[0]}-{group.numbers[-1]} {why} at minute {self.now:.0f} "
            f"({takes:.0f} min, damp towel)."
        )
        self.now += takes
