"""The grow-out of a plan: two heads that turn, a week, and the curves beneath."""

from __future__ import annotations

import gzip
import hashlib
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from strandline.salon.records.behind import behind_plan
from strandline.salon.web import growing
from strandline.salon.web.growing_ways import WEEKS, Beside, beside
from strandline.salon.web.pages.plan import read_plan
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import Manner, manner_of
from strandline.service.plan.growing import trims_words

router = APIRouter()


def growing_of(room: Room, stream: str, manner: Manner) -> dict[str, Any]:
    """Give what the view of a plan's grow-out shows; a page that holds it hands this on.

    Parameters
    ----------
    stream : of the plan
    manner : how figures are written

    Raises
    ------
    ReadError   there is no such plan, or nothing stands behind it
    """
    plan = read_plan(room, stream)
    if not plan.growout.weeks or not plan.growout.strands:
        return {"stream": stream, "plan": plan, "ways": ()}
    made = room.plans.of(stream)
    ways = room.once.of(("curves", growing.content_of(made)), lambda: growing.curves(made))
    shown = growing.shown_ways(ways)
    return {
        "stream": stream,
        "plan": plan,
        "ways": ways,
        "kept": shown[0],
        "planned": shown[1],
        "charts": growing.charts(ways, plan.growout.threshold, manner),
        "figures": growing.told_weeks(ways, manner),
        "picture_weeks": growing.PICTURE_WEEKS,
        "picture_px": growing.PICTURE_PX,
        "first_week": growing.FIRST_WEEK,
        "passes_words": growing.passes_words,
        "trims": trims_words(made),
        "cut": made.looks.trims is not None,
        "style": growing.style,
    }


@router.get("/plans/{stream}/grow-out", response_class=HTMLResponse)
def shown(request: Request, room: InRoom, stream: str, others: bool = False) -> HTMLResponse:
    """Show how a plan grows out; the other ways beside it at once where that is asked."""
    client, _ = behind_plan(room.store, stream)
    said = growing_of(room, stream, manner_of(request.cookies))
    found = others_of(room, stream) if others and said["ways"] else None
    return show(request, "growout.html", client=client, beside=found, weeks=WEEKS, **said)


def others_of(room: Room, stream: str) -> list[Beside]:
    """Give the plan and the other ways of its visit as they grow, made or as they were made."""
    made = room.plans.of(stream)
    _, behind = behind_plan(room.store, stream)
    return room.once.of(
        ("others", growing.content_of(made)),
        lambda: beside(made, room.plans.ways(behind, made.plan.date), behind.way),
    )


@router.get("/plans/{stream}/grow-out/others", response_class=HTMLResponse)
def others_alone(request: Request, room: InRoom, stream: str) -> HTMLResponse:
    """Give the other ways alone, once they are planned."""
    return show(
        request, "growout-others.html", stream=stream, beside=others_of(room, stream), weeks=WEEKS
    )


@router.get("/plans/{stream}/grow-out/view", response_class=HTMLResponse)
def view(request: Request, room: InRoom, stream: str) -> HTMLResponse:
    """Give the view alone, for a page that holds it."""
    said = growing_of(room, stream, manner_of(request.cookies))
    return show(request, "growout-view.html", **said)


@router.get("/plans/{stream}/grow-out/strands")
def strands(request: Request, room: InRoom, stream: str) -> Response:
    """Give the head as bytes: strands, classes and colours for half a year."""
    made = room.plans.of(stream)
    content = growing.content_of(made)
    packed = room.once.of(("strands", content), lambda: growing.strand_bytes(made))
    headers = {
        "etag": f'"{hashlib.sha256(packed).hexdigest()[:24]}"',
        "cache-control": "private, no-cache",
        "vary": "accept-encoding",
    }
    if request.headers.get("if-none-match") == headers["etag"]:
        return Response(status_code=304, headers=headers)
    if "gzip" in request.headers.get("accept-encoding", ""):
        headers["content-encoding"] = "gzip"
    else:
        packed = gzip.decompress(packed)
    return Response(packed, media_type="application/octet-stream", headers=headers)


@router.get("/plans/{stream}/grow-out/{look}/{week}.png")
def picture(room: InRoom, stream: str, look: str, week: int) -> Response:
    """Give the head from the front in a week, 'kept' as today or 'planned'."""
    made = room.plans.of(stream)
    content = growing.content_of(made)
    growing.check_picture(look, week)
    found = room.once.of(("pictures", content, week), lambda: growing.pictures(made, week))
    headers = {"cache-control": "private, max-age=60"}
    return Response(found[look], media_type="image/png", headers=headers)
