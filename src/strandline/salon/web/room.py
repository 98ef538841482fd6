"""What every page stands on: the record, who writes, the clock, plans as they were made."""

from __future__ import annotations

import datetime as dt
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Annotated, TypeVar

from fastapi import Depends, Request

from strandline.base.remembered import Kept
from strandline.salon.records.behind import Behind, behind_plan, make_from, ways_from
from strandline.salon.records.learned import learned
from strandline.salon.records.look import document
from strandline.salon.records.scribe import Scribe, now
from strandline.salon.web.outcomes import Outcomes

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

    from strandline.salon.records.store import Store
    from strandline.service.plan.assemble import Made
    from strandline.service.plan.ways import ManyMade

T = TypeVar("T")
DEVICE = "desk"
"""Facts that a page's form writes come from here; a chair has a name of its own."""
KEPT = 24
"""Plans held in memory with what their drawings are made from, a megabyte or two each."""


class Plans:
    """Plans as they were made, with their maps: made again from the record, the newest kept."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._kept = Kept(KEPT)

    def of(self, plan: str) -> Made:
        """Give a plan of the record with what its drawings are made from.

        Raises
        ------
        ReadError   there is no such plan, or nothing stands behind it
        """
        found = document(self._store, plan)
        _, behind = behind_plan(self._store, plan)
        return self.made(behind, dt.date.fromisoformat(found.date or ""))

    def made(self, behind: Behind, day: dt.date) -> Made:
        """Make a plan, or give it as it was made, or is being made, from the same."""

        def make() -> Made:
            if behind.way:
                many = self.ways(behind, day)
                return many.made.get(behind.way, many.stands)
            return make_from(self._store, behind, day, "consultation", taught=learned(self._store))

        return self._kept.of((behind, day), make)

    def ways(
        self,
        behind: Behind,
        day: dt.date,
        stop: Callable[[], bool] = lambda: False,
        progress: Callable[[float], None] = lambda _: None,
    ) -> ManyMade:
        """Give the few ways of a day, made or as they were made from the same.

        Raises
        ------
        StoppedError   it was told to stop
        """
        start = replace(behind, way="")
        age = self._kept.age

        def make() -> ManyMade:
            found = ways_from(
                self._store, start, day, "consultation",
                taught=learned(self._store), stop=stop, progress=progress,
            )  # fmt: skip
            for name, made in found.made.items():
                self._kept.know((replace(start, way=name), day), made, age)
            return found

        return self._kept.of(("ways", start, day), make)

    def forget(self) -> None:
        """Let go of all of them: the shelf, the practice or what was learned has changed."""
        self._kept.forget()


class Once:
    """What is drawn of a plan, made once for each content by an executor that is handed in."""

    def __init__(self, executor: Executor) -> None:
        self._executor = executor
        self._kept = Kept(KEPT)

    def of(self, content: Hashable, make: Callable[[], T]) -> T:
        """Give what is made of a content.

        Parameters
        ----------
        content : what it depends on, and what is made of it
        make : makes it
        """
        return self._kept.of(content, lambda: self._executor.submit(make).result())


@dataclass(frozen=True)
class Room:
    """What pages are handed.

    Parameters
    ----------
    store : the record
    by : who works here
    clock : gives the moment with its offset
    executor : makes what takes long, one after another
    """

    store: Store
    by: str
    clock: Callable[[], dt.datetime] = now
    executor: Executor = field(default_factory=lambda: ThreadPoolExecutor(1, "long work"))
    plans: Plans = field(init=False)
    outcomes: Outcomes = field(init=False, default_factory=Outcomes)
    once: Once = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "plans", Plans(self.store))
        object.__setattr__(self, "once", Once(self.executor))

    @property
    def today(self) -> dt.date:
        """Give the day by the clock."""
        return self.clock().date()

    @property
    def scribe(self) -> Scribe:
        """Give whoever writes from a page."""
        return Scribe(self.by, DEVICE, self.clock)


def room_of(request: Request) -> Room:
    """Give the room that a request came to."""
    room: Room = request.app.state.room
    return room


InRoom = Annotated[Room, Depends(room_of)]
"""A route's parameter: the room it works in."""
