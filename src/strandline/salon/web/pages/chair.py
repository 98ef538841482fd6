"""The chair: its page, what it runs from, the rest of the visit planned anew, chapter marks."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from strandline.salon.records.look import document, visit_facts, visit_in
from strandline.salon.web.chair.beginning import followed
from strandline.salon.web.chair.chapters import chapters
from strandline.salon.web.chair.made import chair_json
from strandline.salon.web.chair.words import chair_words
from strandline.salon.web.room import InRoom
from strandline.salon.web.show import STATIC, show, static
from strandline.salon.web.words import manner_of

if TYPE_CHECKING:
    from pathlib import Path

router = APIRouter()
WORKER = "js/worker/chair.js"
KEPT_FOLDERS = ("js/facts", "js/chair", "css", "fonts")
"""What a chair without its server is made of."""


@router.get("/chair/{visit}", response_class=HTMLResponse)
def chair(request: Request, room: InRoom, visit: str) -> HTMLResponse:
    """Show the chair of a visit."""
    plan = followed(room, visit)
    name = json.loads(document(room.store, plan).text)["client"]
    manner = manner_of(request.cookies)
    page = {"visit": visit, "by": room.by, "now": room.clock().isoformat(), "hours": manner.hours}
    words = chair_words()
    return show(
        request,
        "chair.html",
        visit=visit,
        plan=plan,
        name=name,
        page=embedded(page),
        texts=embedded(words),
        texts_of=words,
    )


def embedded(value: object) -> Markup:
    """Write JSON into a page: nothing in it can end the element that holds it."""
    text = json.dumps(value)
    for letter in "<>&":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return Markup(text)  # noqa: S704  # escaped above


@router.get("/api/visits/{visit}/chair")
def handed(request: Request, room: InRoom, visit: str) -> Response:
    """Give what the chair runs from."""
    return _json(chair_json(room.plans.of(followed(room, visit)), manner_of(request.cookies)))


@router.get("/api/visits/{visit}/anew")
def anew(room: InRoom, visit: str, now: Annotated[str, Query(pattern=r"^\d\d:\d\d$")]) -> Response:
    """Plan the rest of the visit from its facts and the local time, HH:MM."""
    from strandline.service.anew.assemble import plan_anew  # noqa: PLC0415  # slow

    made = room.plans.of(followed(room, visit))
    return _json(plan_anew(made, visit_facts(room.store, visit), now).model_dump_json())


@router.get("/visits/{visit}/chapters.txt")
def chapter_marks(
    room: InRoom, visit: str, begins: Annotated[str, Query(alias="from")] = ""
) -> Response:
    """Give the chapter marks of a visit, for whoever films it."""
    followed(room, visit)
    with room.store.reading() as connection:
        text = chapters(visit_in(connection, visit), begins)
    kept = {"content-disposition": 'attachment; filename="chapters.txt"'}
    return Response(text, media_type="text/plain; charset=utf-8", headers=kept)


@router.get("/sw.js")
def worker() -> Response:
    """Give the service worker of the chair, with what it keeps and the mark of that."""
    return Response(worker_text(), media_type="text/javascript; charset=utf-8")


@cache
def worker_text() -> str:
    """Give the worker's text: the files it keeps, a name that changes with them, then its code."""
    files = [path for folder in KEPT_FOLDERS for path in _files(STATIC / folder)]
    files.append(STATIC / "mark.svg")
    mark = hashlib.sha256()
    for path in files:
        mark.update(path.read_bytes())
    names = [path.relative_to(STATIC).as_posix() for path in files]
    addresses = sorted({f"/static/{name}" for name in names} | {static(name) for name in names})
    code = (STATIC / WORKER).read_text("utf-8")
    return (
        f"self.KEPT = {json.dumps(addresses)};\n"
        f'self.MARK = "chair-{mark.hexdigest()[:12]}";\n{code}'
    )


def _files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file() and path.suffix != ".txt")


def _json(text: str) -> Response:
    return Response(text, media_type="application/json")
