"""The consultation: about fourteen answers, a plan from the sixth, nothing lost."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import (
    HTMLResponse,
    JSONResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from pydantic import BaseModel, Field

from strandline.base.errors import StrandlineError
from strandline.salon.records.wall import StaleError
from strandline.salon.web.answered import keep, put, read_form
from strandline.salon.web.asking import page_of, part_of, state_of
from strandline.salon.web.faults import Faults
from strandline.salon.web.finish import finish
from strandline.salon.web.pages.plan import day_of
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.sitting import Sitting, sit_down
from strandline.salon.web.words import manner_of

router = APIRouter()


class Save(BaseModel):
    """Answers as they are given, with the version they were given on."""

    stream: str = Field(max_length=64)
    version: int = Field(ge=0, le=2**53)
    answers: dict[str, Any] = Field(max_length=200)


async def form_of(request: Request) -> dict[str, str]:
    """Give a form's texts."""
    return {key: value for key, value in (await request.form()).items() if isinstance(value, str)}


Form = Annotated[dict[str, str], Depends(form_of)]


@router.get("/clients/{client}/consultation", response_class=HTMLResponse)
def shown(request: Request, room: InRoom, client: str, ranges: bool = False) -> HTMLResponse:
    """Show a client's consultation as far as it is."""
    return page_of(request, sit_down(room, client), ranges=ranges)


@router.post("/clients/{client}/consultation")
def sent(request: Request, room: InRoom, client: str, form: Form) -> Response:
    """Keep a whole form, and plan where that is asked."""
    changes = read_form(form, manner_of(request.cookies))
    stream, version = form.get("stream", "")[:64], _version(form)
    try:
        sitting, faults = keep(room, client, stream, version, changes)
        if form.get("day"):
            _day(form["day"], faults)
        if form.get("do") == "plan":
            return _planned(request, room, sitting, form, faults)
    except StaleError as stale:
        return _stale(request, room, client, changes, stale)
    if faults:
        return page_of(request, sitting, faults=faults, given=form)
    return RedirectResponse(f"/clients/{client}/consultation", 303)


def _version(form: Mapping[str, str]) -> int:
    text = form.get("version", "")
    return int(text) if text.isdecimal() and len(text) < 16 else 0


def _planned(
    request: Request, room: Room, sitting: Sitting, form: Mapping[str, str], faults: Faults
) -> Response:
    """Write the consultation and keep its plan; what is wrong stands beside its field."""
    day = _day(form.get("day") or room.today.isoformat(), faults) or room.today
    plan = None if faults else finish(room, sitting, day, faults)
    if plan is None:
        return page_of(request, sitting, faults=faults, given=form)
    return RedirectResponse(f"/plans/{plan}", 303)


def _day(text: str, faults: Faults) -> dt.date | None:
    try:
        return day_of(text)
    except StrandlineError as error:
        faults.take(error, "day")
        return None


def _stale(
    request: Request, room: Room, client: str, changes: Mapping[str, Any], stale: StaleError
) -> HTMLResponse:
    """Show the form as it was filled, on what stands now: sent again, it is kept over that."""
    now = sit_down(room, client)
    mine, faults = put(now.answers, changes)
    return page_of(request, now.with_(mine), faults=faults, stale=stale, there=now.answers)


@router.get("/api/clients/{client}/consultation")
def state(room: InRoom, client: str) -> dict[str, Any]:
    """Give the answers so far with the version that a save must name."""
    return state_of(sit_down(room, client))


@router.post("/api/clients/{client}/consultation")
def save(room: InRoom, client: str, sent: Save) -> JSONResponse:
    """Keep answers; those that cannot be are told by key, the others are kept."""
    try:
        sitting, faults = keep(room, client, sent.stream, sent.version, sent.answers)
    except StaleError as stale:
        now = state_of(sit_down(room, client))
        return JSONResponse({"error": stale.as_json(), "now": now}, 409)
    told = {key: error.as_json() for key, error in faults.items()}
    return JSONResponse({**state_of(sitting), "faults": told})


@router.get("/api/clients/{client}/consultation/outlook")
def outlook(request: Request, room: InRoom, client: str) -> StreamingResponse:
    """Stream what the plan may come to, better with each event; closing it stops the work."""
    sitting = sit_down(room, client)
    return StreamingResponse(_events(request, room, sitting), media_type="text/event-stream")


def _events(request: Request, room: Room, sitting: Sitting) -> Iterator[str]:
    if not sitting.answers.stands:
        yield _event("lacking", part_of(request, sitting, None))
        yield from _ahead(room, sitting)
        return
    last = None
    try:
        for last in room.outcomes.outlooks(sitting):
            yield _event("running", part_of(request, sitting, last))
    except StrandlineError as error:
        yield _event("cannot", part_of(request, sitting, None, error))
        return
    yield _event("whole", part_of(request, sitting, last))


def _ahead(room: Room, sitting: Sitting) -> Iterator[str]:
    """Work ahead while she answers on: what the next plans share is remembered then.

    It ends where the device closes the stream, as it does with the next answer.
    """
    if sitting.answers.lacking == ("more",):
        try:
            for _ in room.outcomes.outlooks(sitting):
                yield ": at work\n\n"
        except StrandlineError:  # told once a plan is due
            pass
    yield _event("rest", {})


def _event(name: str, said: Mapping[str, Any]) -> str:
    return f"event: {name}\ndata: {json.dumps(said)}\n\n"
