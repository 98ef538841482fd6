"""Today: who is in the chair, who comes back, what is running low."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from sqlalchemy import select

from strandline.base.facts.fold import fold
from strandline.salon.records.drafts import open_drafts
from strandline.salon.records.look import clients
from strandline.salon.records.readings import facts_of
from strandline.salon.records.returns import Return, returns
from strandline.salon.records.shelf import shelf
from strandline.salon.records.tables import CLIENT, STREAM, VISIT
from strandline.salon.web.reading import PlanRow, plans_on
from strandline.salon.web.room import InRoom
from strandline.salon.web.show import show

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

router = APIRouter()
AHEAD_DAYS = 28
"""How far returns are looked ahead."""


@dataclass(frozen=True, slots=True)
class Running:
    """A visit of today that the record knows: begun, perhaps ended."""

    stream: str
    client: str | None
    name: str
    plan: str | None
    ended: bool


@router.get("/", response_class=HTMLResponse)
def today(request: Request, room: InRoom) -> HTMLResponse:
    """Show the day."""
    day = room.today
    plans = plans_on(room.store, day.isoformat())
    running = visits_of(room.store, day.isoformat())
    begun = {one.plan for one in running}
    here = {one.name for one in plans} | {one.name for one in running}
    soon = [
        one
        for one in returns(room.store, day.isoformat())
        if _near(one, day) and not (one.first == day and one.name in here)
    ]
    low = [row for row in shelf(room.store, day.isoformat()) if row.low]
    waiting: list[PlanRow] = [one for one in plans if one.stream not in begun]
    return show(
        request,
        "today.html",
        waiting=waiting,
        running=running,
        asking=open_drafts(room.store),
        soon=soon,
        low=low,
        fresh=not clients(room.store),
    )


def _near(one: Return, day: dt.date) -> bool:
    return one.first <= day + dt.timedelta(days=AHEAD_DAYS)


def visits_of(store: Store, day: str) -> list[Running]:
    """Give the visits of a day with whose they are and the plan each follows."""
    with store.reading() as connection:
        rows = connection.execute(
            select(VISIT.c.stream, VISIT.c.client, CLIENT.c.name)
            .join(CLIENT, CLIENT.c.client == VISIT.c.client)
            .where(VISIT.c.date == day)
            .order_by(VISIT.c.stream)
        ).all()
        return [_running(connection, *row) for row in rows]


def _running(connection: Connection, stream: str, client: str | None, name: str) -> Running:
    said = fold(facts_of(connection, stream))
    plan = connection.scalar(select(STREAM.c.name).where(STREAM.c.token == said.plan))
    return Running(stream, client, name, plan, said.ended is not None)
