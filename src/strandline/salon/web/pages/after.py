"""After the visit: as planned, then the exceptions; the result; the days of return."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlalchemy import select

from strandline.base.errors import ReadError
from strandline.base.facts.kinds import KINDS
from strandline.salon.records.intake import take_off
from strandline.salon.records.keep import start_visit
from strandline.salon.records.learned import learn
from strandline.salon.records.look import Document, document, visit_in
from strandline.salon.records.once import sent_form
from strandline.salon.records.tables import STREAM
from strandline.salon.records.wall import StaleError
from strandline.salon.report.colours import stage_series
from strandline.salon.web.done_form import AREAS, read_form, write_done
from strandline.salon.web.faults import Faults
from strandline.salon.web.reading import client_of, visit_of
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import _
from strandline.service.plan.model import ServicePlan

if TYPE_CHECKING:
    from strandline.base.facts.fold import Visit

router = APIRouter()


@router.post("/plans/{plan}/done")
def write_down(room: InRoom, plan: str) -> Response:
    """Begin the record of a visit that was worked from paper, or go on with the one there is."""
    begun = visit_of(room.store, plan)
    if begun:
        return RedirectResponse(f"/visits/{begun}/after", 303)
    kept = document(room.store, plan)
    client = client_of(room.store, plan)
    said = ServicePlan.model_validate_json(kept.text)
    stream = start_visit(
        room.store, room.scribe, client, plan, date=said.date.isoformat(), name=said.client
    )
    return RedirectResponse(f"/visits/{stream}/after", 303)


def _visit(room: Room, stream: str) -> tuple[Visit, str, Document | None]:
    """Give a visit, whose it is, and the plan it follows.

    Raises
    ------
    ReadError   there is no such visit
    """
    client = client_of(room.store, stream)
    with room.store.reading() as connection:
        visit = visit_in(connection, stream)
        plan = connection.scalar(select(STREAM.c.name).where(STREAM.c.token == visit.plan))
    if client is None or visit.started is None:
        raise ReadError(_("There is no such visit."), _("Begin from today."), stream)
    return visit, client, document(room.store, plan) if plan else None


@router.get("/visits/{stream}/after", response_class=HTMLResponse)
def form(request: Request, room: InRoom, stream: str) -> HTMLResponse:
    """Show the form, with what the chair recorded."""
    return _page(request, room, stream, {}, Faults())


@router.post("/visits/{stream}/after")
async def over(request: Request, room: InRoom, stream: str) -> Response:
    """Write down what she says, take what was used off the shelf, keep what it taught."""
    from starlette.concurrency import run_in_threadpool  # noqa: PLC0415

    sent = await request.form()
    given = {name: value for name, value in sent.items() if isinstance(value, str)}
    return await run_in_threadpool(_over, request, room, stream, given)


def _over(request: Request, room: Room, stream: str, given: dict[str, str]) -> Response:
    visit, client, plan = _visit(room, stream)
    done, faults = read_form(given, visit, room.today)
    if not faults:
        try:
            form = sent_form(given.pop("once", ""), given)
            write_done(room, stream, client, visit, plan.text if plan else "", done, form)
        except StaleError as error:
            faults.take(error, "once")
    if faults:
        return _page(request, room, stream, given, faults, status=faults.status)
    visit, _, _ = _visit(room, stream)
    missing = take_off(room.store, room.scribe, visit, plan)
    if plan is not None and plan.text:
        learn(room.store, room.scribe, client, stream, room.plans.of(plan.stream))
    room.plans.forget()
    if missing:
        return show(request, "after-missing.html", missing=missing, client=client)
    return RedirectResponse(f"/clients/{client}", 303)


def _page(
    request: Request,
    room: Room,
    stream: str,
    given: dict[str, str],
    faults: Faults,
    *,
    status: int = 200,
) -> HTMLResponse:
    visit, client, kept = _visit(room, stream)
    plan = ServicePlan.model_validate_json(kept.text) if kept else None
    return show(
        request,
        "after.html",
        status=status,
        visit=visit,
        stream=stream,
        client=client,
        plan=plan,
        plan_stream=kept.stream if kept else "",
        given=given,
        faults=faults,
        areas=AREAS,
        words=_words(),
        stages=stage_series(),
        bowls=sorted({one.bowl for one in visit.bowls} or {one.name for one in _bowls(plan)}),
    )


def _bowls(plan: ServicePlan | None) -> list[Any]:
    return list(plan.bowls) if plan else []


def _words() -> dict[str, list[tuple[str, str]]]:
    """Give the words a result may take, from the vocabulary of facts."""
    fields = KINDS["result.seen"].fields
    return {name: [(word, word) for word in fields[name].words] for name in ("evenness", "remedy")}
