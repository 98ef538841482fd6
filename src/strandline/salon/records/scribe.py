"""Whoever writes: makes facts with who, when, device and its number."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from strandline.base.facts.fact import Fact
from strandline.salon.records.kinds import kinds_of

if TYPE_CHECKING:
    from sqlalchemy import Connection


def now() -> dt.datetime:
    """Give the moment with its offset, as the machine's clock has it."""
    return dt.datetime.now(tz=dt.UTC).astimezone()


def token() -> str:
    """Give a name that says nothing: 32 random hexadecimal digits."""
    return uuid.uuid4().hex


def utc(moment: dt.datetime) -> str:
    """Write a moment as facts do."""
    return moment.astimezone(dt.UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


@dataclass(frozen=True, slots=True)
class Scribe:
    """Who writes, on which device, by which clock.

    Parameters
    ----------
    by : a person's name, 1-60 characters
    device : its name, letters and digits
    clock : gives the moment with its offset
    """

    by: str
    device: str
    clock: Callable[[], dt.datetime] = now

    def fact(  # what a fact says
        self,
        connection: Connection,
        stream: str,
        kind: str,
        payload: Mapping[str, Any],
        *,
        sort: str,
        id: str | None = None,  # noqa: A002  # a fact's own word
    ) -> Fact:
        """Make a fact with this device's next number; what is None is not said.

        Parameters
        ----------
        connection : within the transaction that appends it
        id : its name, a random one unless it must be the same for the same deed
        """
        moment = self.clock()
        offset = moment.utcoffset() or dt.timedelta()
        return Fact(
            id=id or token(),
            stream=stream,
            kind=kind,
            schema=kinds_of(sort)[kind].schema,
            payload={name: value for name, value in payload.items() if value is not None},
            by=self.by,
            device=self.device,
            device_seq=next_seq(connection, self.device),
            device_time=utc(moment),
            offset=round(offset.total_seconds() / 60),
        )


def next_seq(connection: Connection, device: str) -> int:
    """Give the number that a device writes next; numbers begin at 1."""
    from sqlalchemy import func, select  # noqa: PLC0415  # slow

    from strandline.salon.records.tables import DEVICE, FACT  # noqa: PLC0415

    highest = connection.scalar(select(func.max(FACT.c.device_seq)).where(FACT.c.device == device))
    acknowledged = connection.scalar(select(DEVICE.c.up_to).where(DEVICE.c.name == device))
    return max(highest or 0, acknowledged or 0) + 1
