"""Clients: a list, a search by part of a name, a new one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import StrandlineError
from strandline.salon.records.look import PAGE, clients
from strandline.salon.records.once import Deed, sent_form, write_once
from strandline.salon.web.faults import Faults, day, field_of
from strandline.salon.web.pages.client import EARLIEST
from strandline.salon.web.room import InRoom
from strandline.salon.web.show import show
from strandline.salon.web.words import _

router = APIRouter()


@router.get("/clients", response_class=HTMLResponse)
def listed(request: Request, room: InRoom, part: str = "", after: str = "") -> HTMLResponse:
    """Show the list, or the lines of it that a search asks for."""
    rows = clients(room.store, part[:80], after=after[:80])
    more = rows[-1].name if len(rows) == PAGE else ""
    template = "clients-lines.html" if request.headers.get("hx-request") else "clients.html"
    return show(request, template, rows=rows, part=part[:80], more=more, faults={}, given={})


@router.post("/clients")
def add(
    request: Request,
    room: InRoom,
    name: Annotated[str, Form()] = "",
    born: Annotated[str, Form()] = "",
    contact: Annotated[str, Form()] = "",
    signature: Annotated[str, Form()] = "",
    once: Annotated[str, Form()] = "",
) -> Response:
    """Write a client down; what cannot be is told beside its field and nothing is lost."""
    given = {"name": name, "born": born, "contact": contact, "signature": signature}
    faults = Faults()
    if not signature.strip():
        faults.add(
            "signature",
            _("Nothing of her is kept before she agrees to it."),
            _("Let her read the two lines above and sign with her name."),
        )
    if not name.strip():
        faults.add("name", _("The name is empty."), _("Write how the sheets should address her."))
    day(born, "born", faults, EARLIEST, room.today)
    if not faults:
        try:
            form = sent_form(once, given)
            client = f"client-{form.mark}"
            said = {key: given[key].strip() or None for key in ("name", "born", "contact")}
            deeds = [Deed(client, "client.named", said, client=client)]
            for purpose in ("record", "health"):
                signed = {"purpose": purpose, "signature": signature.strip()}
                deeds.append(Deed(client, "consent.given", signed))
            write_once(room.store, room.scribe, form, deeds)
        except StrandlineError as error:
            faults.take(error, field_of(error, (*given, "once"), "name"))
        else:
            return RedirectResponse(f"/clients/{client}", 303)
    return show(
        request, "clients.html", status=faults.status, rows=clients(room.store), part="", more="",
        faults=faults, given=given,
    )  # fmt: skip
