"""A plan: what to do, then why, then the figures behind, then the sources."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import OutOfRangeError, StrandlineError
from strandline.salon.records.behind import Behind, behind_next, behind_plan
from strandline.salon.records.keep import keep_plan, write_consultation
from strandline.salon.records.look import document, head_today
from strandline.salon.report.colours import hex_of
from strandline.salon.report.drawing import draw_kept_map
from strandline.salon.report.sheets import client_sheet_pdf, worksheet_pdf
from strandline.salon.web.changing import changed
from strandline.salon.web.compare import compared
from strandline.salon.web.faults import Faults, field_of
from strandline.salon.web.pages.client import client_page
from strandline.salon.web.plan_told import comes_first, foil_runs, supposed
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import _, manner_of
from strandline.service.consultation import words
from strandline.service.plan.model import ServicePlan

router = APIRouter()
HEAVY = ("stop", "wait", "hold")


def read_plan(room: Room, stream: str) -> ServicePlan:
    """Read a plan as it was kept.

    Raises
    ------
    ReadError   there is no such plan
    """
    return ServicePlan.model_validate_json(document(room.store, stream).text)


@router.post("/clients/{client}/plans")
def make(request: Request, room: InRoom, client: str, day: Annotated[str, Form()] = "") -> Response:
    """Plan a client's visit for a day and keep the plan; what is in the way stands beside the day.

    Raises
    ------
    ReadError   there is no such client
    """
    head_today(room.store, client)
    try:
        on = day_of(day)
        made = room.plans.made(behind_next(room.store, client, on), on)
    except StrandlineError as error:
        faults = Faults()
        faults.take(error, "day")
        return client_page(request, room, client, faults, {"day": day})
    known = head_today(room.store, client).plan_of(on)
    text = made.plan.model_dump_json()
    kept = keep_plan(room.store, room.scribe, client, text, over=known)
    room.plans.forget()
    return RedirectResponse(f"/plans/{kept.stream}", 303)


def day_of(text: str) -> dt.date:
    """Read a day as a form sends it.

    Raises
    ------
    OutOfRangeError   it is none
    """
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        raise OutOfRangeError(
            _("'%(said)s' is no day.") % {"said": text.strip()[:40]},
            _("Choose the day of the visit."),
            "day",
        ) from None


@router.get("/plans/{stream}", response_class=HTMLResponse)
def shown(request: Request, room: InRoom, stream: str) -> HTMLResponse:
    """Show a plan as it was kept."""
    return _page(request, room, stream)


def _page(
    request: Request,
    room: Room,
    stream: str,
    faults: Faults | None = None,
    given: dict[str, Any] | None = None,
    status: int = 200,
) -> HTMLResponse:
    found = document(room.store, stream)
    plan = ServicePlan.model_validate_json(found.text)
    client, behind = behind_plan(room.store, stream)
    return show(
        request,
        "plan.html",
        status=status,
        faults=faults or {},
        version=found.version,
        plan=plan,
        stream=stream,
        client=client,
        map=draw_kept_map(plan).replace("Source Sans 3", "Strandline Text"),
        heavy=[one for one in plan.reasons if one.weight in HEAVY],
        rest=[one for one in plan.reasons if one.weight not in HEAVY],
        cautions=_by_step(plan),
        foil_runs=foil_runs(plan.foils),
        supposed=list(supposed(plan.defaults)),
        first=comes_first([one for one in plan.reasons if one.weight in HEAVY], client),
        hex_of=hex_of,
        asks={**asked(room, behind), **(given or {})},
        ends=plan_ends(room, plan),
    )


def plan_ends(room: Room, plan: ServicePlan) -> dict[str, str]:
    """Give the hours of a visit that begins when the practice opens."""
    start = dt.datetime.combine(plan.date, dt.time(9), room.clock().tzinfo)
    return {"minutes": f"{plan.quote.minutes:g}", "start": start.isoformat()}


def _by_step(plan: ServicePlan) -> dict[str, list[Any]]:
    out: dict[str, list[Any]] = {}
    for one in plan.cautions:
        out.setdefault(one.step, []).append(one)
    return out


def asked(room: Room, behind: Behind) -> dict[str, Any]:
    """Give the answers that may be changed on the plan's page, and what each may be."""
    from typing import get_args  # noqa: PLC0415

    from strandline.salon.records.bench import read_kept  # noqa: PLC0415  # slow

    c = read_kept(room.store, behind.consultation, "consultation")
    return {
        "wish": c.aim.wish,
        "tone": c.aim.tone,
        "front": c.aim.lighter_front,
        "hours": f"{c.limits.hours:g}",
        "helper": c.limits.helper,
        "wishes": [(one, one) for one in get_args(words.Wish)],
        "tones": [(one, one) for one in get_args(words.Tone)],
    }


def _change(wish: str, tone: str, hours: str, *, front: bool, helper: bool) -> dict[str, Any]:
    try:
        long = float(hours.replace(",", "."))
    except ValueError:
        raise OutOfRangeError(
            _("'%(said)s' is no number of hours.") % {"said": hours[:40]},
            _("Write for instance 4 or 3.5."),
            "hours",
        ) from None
    return {
        "aim.wish": wish,
        "aim.tone": tone,
        "aim.lighter_front": front,
        "limits.hours": long,
        "limits.helper": helper,
    }


@router.get("/plans/{stream}/if", response_class=HTMLResponse)
def what_if(
    request: Request,
    room: InRoom,
    stream: str,
    wish: Annotated[str, Query()] = "soft",
    tone: Annotated[str, Query()] = "neutral",
    hours: Annotated[str, Query()] = "",
    front: Annotated[bool, Query()] = False,  # a box that is ticked or not
    helper: Annotated[bool, Query()] = False,
) -> HTMLResponse:
    """Show what follows from a change, beside the plan as it is."""
    plan = read_plan(room, stream)
    behind = behind_plan(room.store, stream)[1]
    try:
        change = _change(wish, tone, hours, front=front, helper=helper)
        text = changed(behind.consultation, change)
        other = room.plans.made(
            Behind(text, behind.plan_before, behind.facts_before), plan.date
        ).plan
    except StrandlineError as error:
        return show(request, "plan-if.html", error=error, rows=[], same=False)
    rows = compared(plan, other)
    same = not any(row.differs for row in rows)
    return show(request, "plan-if.html", error=None, rows=rows, same=same)


@router.post("/plans/{stream}/if")
def take_change(
    request: Request,
    room: InRoom,
    stream: str,
    wish: Annotated[str, Form()] = "",
    tone: Annotated[str, Form()] = "",
    hours: Annotated[str, Form()] = "",
    front: Annotated[str, Form()] = "",
    helper: Annotated[str, Form()] = "",
    version: Annotated[str, Form()] = "",
) -> Response:
    """Keep a change: the consultation as changed, and the plan made from it.

    Notes
    -----
    A change names the version of the plan that it was made on. On a newer one nothing is kept:
    the page shows the plan as it is now with what was chosen, to be looked at and sent again.
    """
    kept = document(room.store, stream)
    given = {"wish": wish, "tone": tone, "hours": hours, "front": front, "helper": helper}
    faults = Faults()
    if version not in ("", str(kept.version)):
        faults.add(
            "version",
            _("This plan was changed since you opened it; yours is not kept."),
            _("It is shown as it is now, your choice is in the form: look, then keep it again."),
        )
        return _page(request, room, stream, faults, given, 409)
    client, behind = behind_plan(room.store, stream)
    day = dt.date.fromisoformat(kept.date or "")
    try:
        for name in ("front", "helper"):
            if given[name] not in ("", "true"):
                faults.add(name, _("This box is ticked or not."), _("Tick it, or leave it."))
        change = _change(wish, tone, hours, front=front == "true", helper=helper == "true")
        text = changed(behind.consultation, change)
        made = room.plans.made(Behind(text, behind.plan_before, behind.facts_before), day)
    except StrandlineError as error:
        where = "front" if error.where.endswith("lighter_front") else field_of(error, [*given], "")
        faults.take(error, where or "wish")
    if faults:
        return _page(request, room, stream, faults, given, 422)
    newest = head_today(room.store, client).consultations[-1]
    keep_plan(room.store, room.scribe, client, made.plan.model_dump_json(), over=kept)
    write_consultation(room.store, room.scribe, client, text, over=newest)
    return RedirectResponse(f"/plans/{stream}", 303)


@router.get("/plans/{stream}/worksheet.pdf")
def worksheet(request: Request, room: InRoom, stream: str) -> Response:
    """Give the worksheet, one side of the paper that this device's units go with."""
    plan = read_plan(room, stream)
    made = worksheet_pdf(plan, draw_kept_map(plan), paper=manner_of(request.cookies).paper)
    return _pdf(made, f"worksheet-{plan.date}.pdf")


@router.get("/plans/{stream}/client-sheet.pdf")
def client_sheet(request: Request, room: InRoom, stream: str) -> Response:
    """Give the client sheet: the head as it grows, and the other ways where one was chosen."""
    from strandline.salon.report.client_ways import ways_for_her  # noqa: PLC0415  # slow
    from strandline.salon.report.folder import heads_of  # noqa: PLC0415

    plan = read_plan(room, stream)
    _client, behind = behind_plan(room.store, stream)
    ways = room.plans.ways(behind, plan.date).ways if behind.way else None
    rows = ways_for_her(ways, behind.way) if ways else ()
    heads = heads_of(room.plans.of(stream))
    made = client_sheet_pdf(plan, heads, rows, paper=manner_of(request.cookies).paper)
    return _pdf(made, f"for-the-client-{plan.date}.pdf")


def _pdf(content: bytes, name: str) -> Response:
    shown_as = {"content-disposition": f'inline; filename="{name}"'}
    return Response(content, media_type="application/pdf", headers=shown_as)
