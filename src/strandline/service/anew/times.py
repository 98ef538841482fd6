"""Minutes of a visit and the clock on the wall."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact, milliseconds
from strandline.base.facts.visit import Visit

MINUTE_MS = 60_000
HOURS, HOUR_MIN = 24, 60
MOST_HOURS = 16.0
"""A visit longer than this is another day; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Wall:
    """Minutes of a visit, from its first foil, on the wall of the room.

    Parameters
    ----------
    zero_ms : ms since 1970 of the first foil, or of now where none is in
    offset_min : of the room against UTC
    now : minutes since `zero_ms`
    """

    zero_ms: int
    offset_min: int
    now: float

    def minutes(self, text: str) -> float:
        """Give the minutes of a UTC time of the facts."""
        return ((milliseconds(text) or self.zero_ms) - self.zero_ms) / MINUTE_MS

    def at(self, minutes: float) -> str | None:
        """Give the local time of some minutes, HH:MM; None for never."""
        if not math.isfinite(minutes):
            return None
        moment = self.zero_ms + round(minutes * MINUTE_MS) + self.offset_min * MINUTE_MS
        day = dt.datetime.fromtimestamp(0, tz=dt.UTC) + dt.timedelta(milliseconds=moment)
        return day.strftime("%H:%M")


def time_of_day(text: str) -> tuple[int, int]:
    """Read HH:MM as (hour, minute).

    Raises
    ------
    OutOfRangeError   anything else
    """
    found = re.fullmatch(r"(\d{1,2}):(\d{2})", text)
    if found is None or not (int(found[1]) < HOURS and int(found[2]) < HOUR_MIN):
        raise OutOfRangeError(
            f"'{text}' is no time of day.", "Write it as HH:MM, local: 10:30.", "--now"
        )
    return int(found[1]), int(found[2])


def until(
    facts: Sequence[Fact], clock: tuple[int, int], started: str | None, offset_min: int
) -> tuple[list[Fact], int]:
    """Leave out what came after a time on the wall of the room.

    Parameters
    ----------
    facts : of the visit
    clock : local hour and minute of its day
    started : when it began, UTC as the facts have it
    offset_min : of the room against UTC

    Returns
    -------
    (the facts until then, that time in ms since 1970)

    Raises
    ------
    OutOfRangeError   no start, or a time that lies before the visit began or a day after it
    """
    first = milliseconds(started) if started else None
    if first is None:
        raise OutOfRangeError(
            "The facts hold no visit that has begun.",
            "Record the start of the visit, or plan it without --facts.",
            "--facts",
        )
    local = dt.datetime.fromtimestamp(0, tz=dt.UTC) + dt.timedelta(
        milliseconds=first + offset_min * MINUTE_MS
    )
    wanted = local.replace(hour=clock[0], minute=clock[1], second=0, microsecond=0)
    moment = first + round((wanted - local) / dt.timedelta(milliseconds=1))
    if not 0 <= moment - first <= MOST_HOURS * 60 * MINUTE_MS:
        raise OutOfRangeError(
            f"It is said to be {clock[0]:02d}:{clock[1]:02d}; the visit began at {local:%H:%M}.",
            f"Give a time after it, within {MOST_HOURS:g} hours.",
            "--now",
        )
    return [f for f in facts if (milliseconds(f.device_time) or 0) <= moment], moment


def wall_of(visit: Visit, now_ms: int, offset_min: int) -> Wall:
    """Set the wall of a visit by its first foil."""
    starts = [foil.start for foil in visit.foils if foil.start]
    starts += [section.start for section in visit.sections if section.start]
    known = [ms for ms in map(milliseconds, starts) if ms is not None]
    zero = min(known, default=now_ms)
    return Wall(zero, offset_min, (now_ms - zero) / MINUTE_MS)
