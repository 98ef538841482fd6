"""A client: her head now, her history as a line in time, what she consented to."""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import ReadError, StrandlineError
from strandline.salon.records.keep import remove_photo, take_photo, with_last_day, write
from strandline.salon.records.kinds import PURPOSES
from strandline.salon.records.look import head_today
from strandline.salon.records.once import Deed, sent_form, write_once
from strandline.salon.records.returns import returns
from strandline.salon.web.done_form import FARTHEST_RETURN
from strandline.salon.web.faults import Faults, day, field_of
from strandline.salon.web.head_now import head_now
from strandline.salon.web.reading import row_of
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.timeline import marks, timeline
from strandline.salon.web.words import _

router = APIRouter()
EARLIEST = dt.date(1900, 1, 1)
"""No one in a chair was born, tested or hurt before it."""


@router.get("/clients/{client}", response_class=HTMLResponse)
def shown(request: Request, room: InRoom, client: str) -> HTMLResponse:
    """Show a client."""
    return client_page(request, room, client)


def client_page(
    request: Request,
    room: Room,
    client: str,
    faults: Faults | None = None,
    given: dict[str, Any] | None = None,
) -> HTMLResponse:
    """Show a client with what was typed and what of it is wrong, where anything is."""
    head = head_today(room.store, client)
    plans = [
        row_of(one.stream, json.loads(one.text), client, head.client.name or "")
        for one in sorted(head.plans, key=lambda one: one.date or "", reverse=True)
    ]
    coming = returns(room.store, room.today.isoformat(), client=client)
    foils = next((one for one in coming if one.what != "alert test"), None)
    return show(
        request,
        "client.html",
        status=faults.status if faults else 200,
        head=head,
        client=client,
        plans=plans,
        of_today=next((one for one in plans if one.date == room.today.isoformat()), None),
        now=head_now(head, room.today),
        line=timeline(head, room.today),
        marks=marks(head),
        coming=coming,
        next_day=(max(foils.first, room.today) if foils else room.today).isoformat(),
        purposes=PURPOSES,
        faults=faults or {},
        given=given or {},
    )


@router.post("/clients/{client}/consents")
def consent(
    request: Request,
    room: InRoom,
    client: str,
    purpose: Annotated[str, Form()] = "",
    signature: Annotated[str, Form()] = "",
    withdraw: Annotated[bool, Form()] = False,
) -> Response:
    """Keep a consent as signed, or that it was taken back."""
    head_today(room.store, client)  # nothing is written of a client who is not here
    if withdraw:
        write(room.store, room.scribe, client, "consent.withdrawn", {"purpose": purpose})
        return _back(client, "consents")
    if not signature.strip():
        faults = Faults()
        faults.add(f"sign-{purpose}", _("It is not signed."), _("Let her write her name."))
        return client_page(request, room, client, faults)
    signed = {"purpose": purpose, "signature": signature.strip()}
    try:
        write(room.store, room.scribe, client, "consent.given", signed)
    except StrandlineError as error:
        faults = Faults()
        faults.take(error, f"sign-{purpose}")
        given = {f"sign-{purpose}": signature}
        return client_page(request, room, client, faults, given)
    return _back(client, "consents")


@router.post("/clients/{client}/tests")
def test(  # a form's fields
    request: Request,
    room: InRoom,
    client: str,
    test: Annotated[str, Form()] = "",  # a form's field
    result: Annotated[str, Form()] = "",
    line: Annotated[str, Form()] = "",
    applied_on: Annotated[str, Form()] = "",
    applied_at: Annotated[str, Form()] = "",
    read_on: Annotated[str, Form()] = "",
    test_signature: Annotated[str, Form()] = "",
    once: Annotated[str, Form()] = "",
) -> Response:
    """Keep a test as it was read and signed."""
    given = {
        "test": test, "result": result, "line": line, "applied_on": applied_on,
        "applied_at": applied_at, "read_on": read_on, "test_signature": test_signature,
    }  # fmt: skip
    said: dict[str, Any] = {key: value.strip() or None for key, value in given.items()}
    said["signature"] = said.pop("test_signature")
    said["client"] = head_today(room.store, client).client.name
    faults = Faults()
    applied = day(applied_on, "applied_on", faults, EARLIEST, room.today)
    day(read_on, "read_on", faults, applied or EARLIEST, room.today)
    if faults:
        return client_page(request, room, client, faults, given)
    try:
        deed = Deed(client, "test.signed", with_last_day(said))
        write_once(room.store, room.scribe, sent_form(once, given), [deed])
    except StrandlineError as error:
        where = "test_signature" if error.where.endswith(".signature") else ""
        faults.take(error, where or field_of(error, (*given, "once"), "result"))
        return client_page(request, room, client, faults, given)
    return _back(client, "tests")


@router.post("/clients/{client}/reactions")
def reaction(
    request: Request,
    room: InRoom,
    client: str,
    on: Annotated[str, Form()] = "",
    to: Annotated[str, Form()] = "",
    what: Annotated[str, Form()] = "",
    severity: Annotated[str, Form()] = "",
    once: Annotated[str, Form()] = "",
) -> Response:
    """Keep a reaction that was seen or told."""
    head_today(room.store, client)  # nothing is written of a client who is not here
    given = {"on": on, "to": to, "what": what, "severity": severity}
    said = {key: value.strip() or None for key, value in given.items()}
    faults = Faults()
    day(on, "on", faults, EARLIEST, room.today)
    if faults:
        return client_page(request, room, client, faults, given)
    try:
        deed = Deed(client, "reaction.seen", said)
        write_once(room.store, room.scribe, sent_form(once, given), [deed])
    except StrandlineError as error:
        faults.take(error, field_of(error, (*given, "once"), "what"))
        return client_page(request, room, client, faults, given)
    return _back(client, "tests")


@router.post("/clients/{client}/photos")
async def photo(
    request: Request,
    room: InRoom,
    client: str,
    picture: Annotated[UploadFile | None, File()] = None,
    view: Annotated[str, Form()] = "",
) -> Response:
    """Keep a photo, its place and device taken off."""
    from starlette.concurrency import run_in_threadpool  # noqa: PLC0415

    raw = await picture.read() if picture else b""
    try:
        await run_in_threadpool(
            take_photo, room.store, room.scribe, client, raw,
            where="photo", view=view.strip() or None,
        )  # fmt: skip
    except StrandlineError as error:
        faults = Faults()
        faults.take(error, field_of(error, ("view",), "picture"))
        given = {"view": view}
        return await run_in_threadpool(client_page, request, room, client, faults, given)
    return _back(client, "photos")


@router.get("/clients/{client}/photos/{digest}.jpg")
def picture_of(room: InRoom, client: str, digest: str) -> Response:
    """Give a photo of hers.

    Raises
    ------
    ReadError   she has no such photo
    """
    from strandline.salon.records.photos import path_of  # noqa: PLC0415  # slow

    _hers(room, client, digest)
    return Response(path_of(room.store.place.folder, digest).read_bytes(), media_type="image/jpeg")


def _hers(room: Room, client: str, digest: str) -> None:
    if digest not in head_today(room.store, client).client.photos:
        raise ReadError(_("She has no such photo."), _("Go back to her page."), "photo")


@router.post("/clients/{client}/photos/{digest}/remove")
def drop_photo(room: InRoom, client: str, digest: str) -> Response:
    """Remove a photo.

    Raises
    ------
    ReadError   she has no such photo
    """
    _hers(room, client, digest)
    remove_photo(room.store, room.scribe, client, digest)
    return _back(client, "photos")


@router.post("/clients/{client}/return")
def agree(
    request: Request,
    room: InRoom,
    client: str,
    foils_on: Annotated[str, Form()] = "",
    gloss_on: Annotated[str, Form()] = "",
) -> Response:
    """Keep the days that were agreed."""
    head_today(room.store, client)  # nothing is written of a client who is not here
    given = {"foils_on": foils_on.strip() or None, "gloss_on": gloss_on.strip() or None}
    faults = Faults()
    days = {
        name: day(text or "", name, faults, room.today, room.today + FARTHEST_RETURN)
        for name, text in given.items()
    }
    if faults:
        return client_page(request, room, client, faults, given)
    said = {name: found.isoformat() if found else None for name, found in days.items()}
    write(room.store, room.scribe, client, "client.return", said)
    return _back(client, "coming")


@router.get("/clients/{client}/export.zip")
def export(room: InRoom, client: str) -> Response:
    """Give all that is kept of her, as a page, as data and with her photos."""
    from strandline.salon.records.export import export_client  # noqa: PLC0415  # slow

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.zip"
        export_client(room.store, client, path)
        content = path.read_bytes()
    shown_as = {"content-disposition": 'attachment; filename="record.zip"'}
    return Response(content, media_type="application/zip", headers=shown_as)


@router.post("/clients/{client}/erase")
def erase_her(
    request: Request, room: InRoom, client: str, meant: Annotated[str, Form()] = ""
) -> Response:
    """Erase her, where her name was typed to say that it is meant."""
    from strandline.salon.records.erase import erase  # noqa: PLC0415  # slow

    name = head_today(room.store, client).client.name or ""
    if meant.strip().casefold() != name.casefold():
        faults = Faults()
        faults.add(
            "meant",
            _("It says '%(said)s', not her name.") % {"said": meant[:80]},
            _("Nothing was erased."),
        )
        return client_page(request, room, client, faults, {"meant": meant})
    return show(request, "erased.html", done=erase(room.store, room.scribe, client), name=name)


@router.get("/returns.ics")
def calendar_of(room: InRoom) -> Response:
    """Give the coming days of return as a calendar file, initials for names."""
    from strandline.salon.records.returns import calendar  # noqa: PLC0415

    days = returns(room.store, room.today.isoformat())
    shown_as = {"content-disposition": 'attachment; filename="returns.ics"'}
    return Response(calendar(days, room.clock()), media_type="text/calendar", headers=shown_as)


def _back(client: str, part: str) -> Response:
    return RedirectResponse(f"/clients/{client}#{part}", 303)
