"""A few ways to do a visit, side by side; the visits to the aim; one of them kept."""

from __future__ import annotations

import asyncio
import datetime as dt
import json
import threading
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response, StreamingResponse

from strandline.base.errors import StrandlineError, UnreachableError
from strandline.salon.records.behind import behind_plan
from strandline.salon.records.keep import keep_plan
from strandline.salon.records.look import document
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import _
from strandline.service.plan.ways_model import Ways

router = APIRouter()
LOOK_S = 0.2
"""How often it is looked whether anybody still listens."""


@router.get("/plans/{stream}/ways", response_class=HTMLResponse)
def page(request: Request, room: InRoom, stream: str, now: bool = False) -> HTMLResponse:
    """Show the ways: at once where that is asked, else as they are planned."""
    kept = document(room.store, stream)
    ways = _ways(room, stream) if now else None
    return show(request, "ways.html", stream=stream, date=kept.date, ways=ways)


@router.get("/plans/{stream}/ways/table", response_class=HTMLResponse)
def table(request: Request, room: InRoom, stream: str) -> HTMLResponse:
    """Give the table alone."""
    return show(request, "ways-table.html", stream=stream, ways=_ways(room, stream))


def _ways(room: Room, stream: str) -> Ways:
    day = dt.date.fromisoformat(document(room.store, stream).date or "")
    _, behind = behind_plan(room.store, stream)
    return room.plans.ways(behind, day).ways


@router.get("/plans/{stream}/ways/run")
async def run(request: Request, room: InRoom, stream: str) -> StreamingResponse:
    """Plan the ways as server-sent events: how far, then done; it stops when nobody listens."""
    day = dt.date.fromisoformat(document(room.store, stream).date or "")
    _, behind = behind_plan(room.store, stream)
    told: asyncio.Queue[tuple[str, object]] = asyncio.Queue()
    loop = asyncio.get_running_loop()
    left = threading.Event()

    def tell(event: str, said: object) -> None:
        loop.call_soon_threadsafe(told.put_nowait, (event, said))

    def work() -> None:
        try:
            room.plans.ways(behind, day, left.is_set, lambda share: tell("progress", share))
        except StrandlineError as error:
            tell("failed", error.as_json())
        else:
            tell("done", {})

    async def events() -> AsyncIterator[str]:
        threading.Thread(target=work, daemon=True).start()
        try:
            while True:
                try:
                    event, said = await asyncio.wait_for(told.get(), LOOK_S)
                except TimeoutError:
                    if await request.is_disconnected():
                        return
                    continue
                yield f"event: {event}\ndata: {json.dumps(said)}\n\n"
                if event != "progress":
                    return
        finally:
            left.set()

    return StreamingResponse(events(), media_type="text/event-stream")


@router.post("/plans/{stream}/ways")
def choose(room: InRoom, stream: str, way: Annotated[str, Form()] = "") -> Response:
    """Keep one of the ways in the plan's place.

    Raises
    ------
    UnreachableError   it is none of those that this visit holds
    """
    kept = document(room.store, stream)
    client, behind = behind_plan(room.store, stream)
    many = room.plans.ways(behind, dt.date.fromisoformat(kept.date or ""))
    made = many.stands if way == "" else many.made.get(way)
    if made is None:
        raise UnreachableError(
            _("There is no way '%(way)s' for this visit.") % {"way": way[:40]},
            _("Choose one of: %(ways)s.") % {"ways": ", ".join(many.made)},
            "way",
        )
    text = made.plan.model_dump_json()
    keep_plan(room.store, room.scribe, client, text, over=kept, way=way or None)
    return RedirectResponse(f"/plans/{stream}", 303)
