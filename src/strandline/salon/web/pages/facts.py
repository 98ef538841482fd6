"""Facts of devices: taken once whatever is sent again, and given back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, Body
from fastapi.responses import JSONResponse
from sqlalchemy import select

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.base.facts.fact import Fact
from strandline.base.facts.jsonl import Unread, read_lines
from strandline.salon.records.append import append
from strandline.salon.records.look import visit_facts
from strandline.salon.records.tables import STREAM
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.words import _

router = APIRouter()
MOST = 1000
"""Facts of one message; a device sends a hundred at a time."""


@router.post("/api/facts")
def take(room: InRoom, facts: Annotated[list[Any], Body(embed=True)]) -> JSONResponse:
    """Keep facts of visits; all that is sent is acknowledged, what is no fact kept aside.

    Raises
    ------
    OutOfRangeError   more than a message may hold; nothing is kept
    """
    if len(facts) > MOST:
        raise OutOfRangeError(
            _("%(sent)d facts were sent at once; a message holds %(most)d.")
            % {"sent": len(facts), "most": MOST},
            _("Send them in parts."),
            "facts",
        )
    reading = read_lines("\n".join(json.dumps(record) for record in facts))
    aside = list(reading.unread)
    visits, others = _of_visits(room, reading.facts)
    aside += [Unread(0, json.dumps(one.as_json()), _("It is of no visit.")) for one in others]
    return JSONResponse(asdict(append(room.store, visits, aside, sort="visit")))


def _of_visits(room: Room, facts: Sequence[Fact]) -> tuple[list[Fact], list[Fact]]:
    """Part facts of visits from those that would write into another kind of stream."""
    names = {fact.stream for fact in facts}
    with room.store.reading() as connection:
        rows = connection.execute(
            select(STREAM.c.name).where(STREAM.c.name.in_(names), STREAM.c.sort != "visit")
        )
        others = {row.name for row in rows}
    return (
        [fact for fact in facts if fact.stream not in others],
        [fact for fact in facts if fact.stream in others],
    )


@router.get("/api/visits/{visit}/facts")
def give(room: InRoom, visit: str) -> JSONResponse:
    """Give a visit's facts in the order they came.

    Raises
    ------
    ReadError   there is no such visit
    """
    with room.store.reading() as connection:
        sort = connection.scalar(select(STREAM.c.sort).where(STREAM.c.name == visit))
    if sort != "visit":
        raise ReadError(_("There is no such visit."), _("Begin one from a plan."), visit[:80])
    return JSONResponse({"facts": [one.as_json() for one in visit_facts(room.store, visit)]})
