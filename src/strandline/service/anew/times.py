"""Minutes of a visit and the clock on the wall."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact, milliseconds
from strandline.base.facts.visit import Visit

MINUTE_MS = 60_000
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


def until(facts: list[Fact], clock: str, offset_min: int) -> tuple[list[Fact], int]:
    """Leave out what came after a time on the wall of the room.

    Parameters
    ----------
    facts : of the visit
    clock : local time of its day, HH:MM
    offset_min : of the room against UTC

    Returns
    -------
    (the facts until then, that time in ms since 1970)

    Raises
    ------
    OutOfRangeError   no time, or one that lies before the visit began or a day after it
    """
    begun = [f for f in facts if f.kind == "visit.started"] or facts[:1]
    first = milliseconds(begun[0].device_time) if begun else None
    if first is None:
        raise OutOfRangeError(
            "The facts hold no visit that has begun.",
            "Record the start of the visit, or plan it without --facts.",
            "--facts",
        )
    try:
        time = dt.time.fromisoformat(clock)
    except ValueError:
        raise OutOfRangeError(
            f"'{clock}' is no time of day.", "Write it as HH:MM, local: 10:30.", "--now"
        ) from None
    local = dt.datetime.fromtimestamp(0, tz=dt.UTC) + dt.timedelta(
        milliseconds=first + offset_min * MINUTE_MS
    )
    wanted = local.replace(hour=time.hour, minute=time.minute, second=0, microsecond=0)
    moment = first + round((wanted - local) / dt.timedelta(milliseconds=1))
    if not 0 <= moment - first <= MOST_HOURS * 60 * MINUTE_MS:
        raise OutOfRangeError(
            f"It is said to be {clock}; the visit began at {local:%H:%M}.",
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
