"""Health answers: handed to the client, one list in plain words, signed, handed back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import StrandlineError
from strandline.salon.records.bench import practice_tables
from strandline.salon.records.health import answer_health
from strandline.salon.records.keep import sign_test
from strandline.salon.records.kinds import HEALTH, PURPOSES
from strandline.salon.records.look import head_today
from strandline.salon.web.faults import Faults, field_of
from strandline.salon.web.pages.consultation import Form
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import _
from strandline.service.care.gates import limits

router = APIRouter()
TEST = ("applied_on", "applied_at", "result")


@router.get("/clients/{client}/health", response_class=HTMLResponse)
def shown(request: Request, room: InRoom, client: str, kept: bool = False) -> HTMLResponse:
    """Show the questions, or the thanks once they are kept."""
    return _page(request, room, client, kept=kept)


def _page(
    request: Request,
    room: Room,
    client: str,
    *,
    kept: bool = False,
    faults: Faults | None = None,
    given: Mapping[str, str] | None = None,
) -> HTMLResponse:
    head = head_today(room.store, client)
    return show(
        request,
        "health.html",
        status=faults.status if faults else 200,
        client=client,
        record=head.client,
        questions=HEALTH,
        purposes=PURPOSES,
        kept=kept,
        faults=faults or {},
        given=given or {},
        hours=limits()["alert_test_hours"].value,
        line=practice_tables(room.store).get("shelf", {}).get("line", ""),
    )


@router.post("/clients/{client}/health")
def signed(request: Request, room: InRoom, client: str, form: Form) -> Response:
    """Keep what she answered and signed; what is missing stands beside its question."""
    faults = Faults()
    for name, words in HEALTH.items():
        if form.get(name) not in words:
            faults.add(
                name,
                _("This is not answered."),
                _("Tap one of them; not knowing is an answer too."),
            )
    test = {name: form.get(name, "").strip() for name in TEST}
    said = any(test.values())
    if said and not all((test["applied_on"], test["result"])):
        faults.add(
            "result", _("The skin test is half written."), _("Give its day and what was seen.")
        )
    if not faults:
        try:
            answer_health(
                room.store,
                room.scribe,
                client,
                {name: form[name] for name in HEALTH},
                signature=form.get("signature", ""),
                agreed={purpose: f"agree-{purpose}" in form for purpose in PURPOSES},
                told=form.get("told", ""),
            )
            if said:
                sign_test(room.store, room.scribe, client, _test(room, client, test, form))
        except StrandlineError as error:
            faults.take(error, _beside(error))
        else:
            return RedirectResponse(f"/clients/{client}/health?kept=true", 303)
    return _page(request, room, client, faults=faults, given=form)


def _beside(error: StrandlineError) -> str:
    if error.where in ("signature", "agree-record", "agree-health"):
        return error.where
    return field_of(error, (*TEST, "told", "signature"), "signature")


def _test(
    room: Room, client: str, test: Mapping[str, str], form: Mapping[str, str]
) -> dict[str, Any]:
    line = practice_tables(room.store).get("shelf", {}).get("line")
    return {
        "client": head_today(room.store, client).client.name,
        "test": "alert",
        "result": test["result"],
        "line": line,
        "applied_on": test["applied_on"],
        "applied_at": test["applied_at"] or None,
        "read_on": room.today.isoformat(),
        "signature": form.get("signature", "").strip(),
    }
