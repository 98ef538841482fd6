"""The days of return, and of the test before each, as an iCalendar file (RFC 5545)."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from strandline.salon.records.tables import CLIENT, PLAN

if TYPE_CHECKING:
    from sqlalchemy import Row

    from strandline.salon.records.store import Store

TEST_DAYS_BEFORE = 3
"""An alert test is put on at least 48 h before; three days leave the visit's hour open."""


@dataclass(frozen=True, slots=True)
class Return:
    """A day of return.

    Parameters
    ----------
    name : the client's
    what : foils, gloss or alert test
    first, last : the days, the same where it is agreed
    agreed : False where it is only the plan's window
    key : the same for the same return
    """

    name: str
    what: str
    first: dt.date
    last: dt.date
    agreed: bool
    key: str


def returns(store: Store, today: str, *, client: str | None = None) -> list[Return]:
    """Give the coming days of return of a client, or of all, the earliest first.

    Notes
    -----
    What was agreed stands before what the newest plan says. A test is set before foils and before
    a gloss where no signed one counts on that day, nor one that is set here.
    """
    newest = (
        select(PLAN, func.row_number().over(
            partition_by=PLAN.c.client, order_by=(PLAN.c.date.desc(), PLAN.c.stream)
        ).label("rank"))
        .subquery()
    )  # fmt: skip
    query = (
        select(CLIENT, *(newest.c[name] for name in WINDOWS))
        .select_from(CLIENT)
        .outerjoin(newest, (newest.c.client == CLIENT.c.client) & (newest.c.rank == 1))
    )
    if client:
        query = query.where(CLIENT.c.client == client)
    with store.reading() as connection:
        rows = connection.execute(query).all()
    found = [one for row in rows for one in _of_row(row, today)]
    return sorted(found, key=lambda one: (one.first, one.name, one.what))


WINDOWS = ("foils_from", "foils_to", "gloss_from", "gloss_to")


def _of_row(row: Row[Any], today: str) -> Iterator[Return]:
    coming = []
    for what, agreed in (("foils", row.next_visit), ("gloss", row.next_gloss)):
        first = agreed or getattr(row, f"{what}_from")
        last = agreed or getattr(row, f"{what}_to") or first
        if first and last and last >= today:
            days = (dt.date.fromisoformat(first), dt.date.fromisoformat(last))
            coming.append(_return(row, what, *days, agreed=agreed is not None))
    yield from coming
    yield from _tests(row, sorted(coming, key=lambda one: one.first))


def _tests(row: Row[Any], coming: Sequence[Return]) -> Iterator[Return]:
    """Set a test before each day that none counts on, those that are set among them."""
    from strandline.service.care.gates import limits, months_later  # noqa: PLC0415  # slow

    until = dt.date.fromisoformat(row.alert_until) if row.alert_until else dt.date.min
    for one in coming:
        if until < one.first:
            on = one.first - dt.timedelta(days=TEST_DAYS_BEFORE)
            yield _return(row, "alert test", on, on, agreed=one.agreed)
            until = months_later(on, int(limits()["alert_test_months"].value))


def _return(row: Row[Any], what: str, first: dt.date, last: dt.date, *, agreed: bool) -> Return:
    key = hashlib.sha256(f"{row.client}:{what}:{first}".encode()).hexdigest()[:32]
    return Return(row.name, what, first, last, agreed, key)


def initials(name: str) -> str:
    """Give the first letters of a name."""
    return " ".join(f"{part[0]}." for part in name.split() if part)


def calendar(days: Sequence[Return], made_at: dt.datetime, *, names: bool = False) -> bytes:
    """Write the calendar.

    Parameters
    ----------
    made_at : the moment, with its offset
    names : whole names; else initials, for calendars are shared and copied

    Returns
    -------
    bytes of an .ics file; each day is a whole-day event that leaves the day free
    """
    from icalendar import Calendar, Event  # noqa: PLC0415  # slow

    made = Calendar()
    made.add("prodid", "-//Strandline//days of return//EN")
    made.add("version", "2.0")
    for day in days:
        who = day.name if names else initials(day.name)
        event = Event()
        event.add("uid", f"{day.key}@strandline")
        event.add("dtstamp", made_at.astimezone(dt.UTC).replace(microsecond=0))
        event.add("dtstart", day.first)
        event.add("dtend", day.last + dt.timedelta(days=1))  # the day after, by the standard
        event.add("summary", f"{who} {day.what}".strip())
        event.add("status", "CONFIRMED" if day.agreed else "TENTATIVE")
        event.add("transp", "TRANSPARENT")
        if day.what == "alert test":
            event.add(
                "description",
                "At least 48 h before colour; a clear test lowers the risk, it is never proof.",
            )
        made.add_component(event)
    return bytes(made.to_ical())
