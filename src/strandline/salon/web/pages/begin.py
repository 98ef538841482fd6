"""The way from a plan to the chair: what holds it back, who answers for it, the visit begun."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import StrandlineError
from strandline.salon.web.chair.beginning import HeldError, answer_for, begin, beginning
from strandline.salon.web.faults import Faults, field_of
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show

router = APIRouter()


@router.get("/plans/{plan}/visits", response_class=HTMLResponse)
def before(request: Request, room: InRoom, plan: str) -> HTMLResponse:
    """Show what stands before the visit."""
    return _page(request, room, plan)


@router.post("/plans/{plan}/visits")
def to_the_chair(request: Request, room: InRoom, plan: str) -> Response:
    """Begin the visit; where something holds it back, show that."""
    try:
        stream = begin(room, plan)
    except HeldError:
        return _page(request, room, plan, status=409)
    return RedirectResponse(f"/chair/{stream}", 303)


@router.post("/plans/{plan}/answers")
def answered(
    request: Request,
    room: InRoom,
    plan: str,
    gate: Annotated[str, Form()] = "",
    person: Annotated[str, Form()] = "",
    reason: Annotated[str, Form()] = "",
) -> Response:
    """Keep who answers for what holds it back, and why."""
    try:
        answer_for(room, plan, gate, person, reason)
    except StrandlineError as error:
        faults = Faults()
        faults.take(error, field_of(error, ("person", "reason"), gate))
        given = {"gate": gate, "person": person, "reason": reason}
        return _page(request, room, plan, faults=faults, given=given, status=422)
    return RedirectResponse(f"/plans/{plan}/visits", 303)


def _page(  # whose, and what was wrong
    request: Request,
    room: Room,
    plan: str,
    *,
    faults: Faults | None = None,
    given: dict[str, str] | None = None,
    status: int = 200,
) -> HTMLResponse:
    found = beginning(room, plan)
    return show(request, "begin.html", status=status, found=found, faults=faults, given=given or {})
