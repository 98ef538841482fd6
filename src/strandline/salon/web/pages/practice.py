"""The practice: the region, what she lives from, her own values over the starting ones."""

from __future__ import annotations

from itertools import groupby
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import StrandlineError
from strandline.salon.records.bench import practice
from strandline.salon.records.gates import PRACTICE, set_region
from strandline.salon.records.keep import write
from strandline.salon.records.learned import learned
from strandline.salon.web.faults import Faults, number
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import N_, _
from strandline.service.practice.bench import default_bench

router = APIRouter()
COSTS = {
    "rent": (0, 100_000),
    "expenses": (0, 100_000),
    "take_home": (0, 1_000_000),
    "tax_percent": (0, 89),
    "hours_per_week": (0.5, 80),
    "helper_per_hour": (0, 1000),
}
"""Fields of what she lives from, with their ranges."""
GROUPS = (
    ("foils", N_("Hands and foils")),
    ("lightener", N_("Lightener and bowls")),
    ("checks", N_("Checks")),
    ("gloss", N_("Gloss and shadow")),
    ("return", N_("Coming back")),
    ("other", N_("Everything else")),
)
ORDER = [name for name, _title in GROUPS]


@router.get("/practice", response_class=HTMLResponse)
def shown(request: Request, room: InRoom) -> HTMLResponse:
    """Show the practice."""
    return _page(request, room, Faults(), {})


def _page(
    request: Request, room: Room, faults: Faults, given: dict[str, str], status: int = 200
) -> HTMLResponse:
    from strandline.salon.report.learned_words import learned_text  # noqa: PLC0415  # slow

    said = practice(room.store)
    taught = learned(room.store)
    text = learned_text(taught, taught.pooled(), None, "", 0) if taught else ""
    numbers = sorted(default_bench().numbers.items(), key=lambda one: ORDER.index(_group(one[0])))
    groups = [
        (name, [(key, one) for key, one in some])
        for name, some in groupby(numbers, key=lambda one: _group(one[0]))
    ]
    return show(
        request, "practice.html", status=status, said=said, groups=groups,
        titles={name: _(title) for name, title in GROUPS},
        faults=faults, given=given, taught=text,
    )  # fmt: skip


def _group(name: str) -> str:
    words = {
        "foils": (
            "seconds",
            "minutes",
            "foil",
            "parting",
            "hit_rate",
            "overlap",
            "helper",
            "pitch",
        ),
        "return": ("interval", "gloss_return"),
        "lightener": ("gram", "bowl", "weak", "main", "scalp", "dark", "powder", "white_needs"),
        "checks": ("check", "wet", "bias"),
        "gloss": ("shadow", "gloss", "toner", "violet", "demi", "lowlight"),
    }
    return next((group for group, some in words.items() if name.startswith(some)), "other")


@router.post("/practice/region")
def region(request: Request, room: InRoom, region: Annotated[str, Form()] = "") -> Response:
    """Set the region whose rules hold, once."""
    try:
        set_region(room.store, room.scribe, region)
    except StrandlineError as error:
        faults = Faults()
        faults.take(error, "region")
        return _page(request, room, faults, {}, 422)
    return RedirectResponse("/practice", 303)


@router.post("/practice/costs")
async def costs(request: Request, room: InRoom) -> Response:
    """Keep what she lives from."""
    from starlette.concurrency import run_in_threadpool  # noqa: PLC0415

    sent = await request.form()
    given = {name: value for name, value in sent.items() if isinstance(value, str)}
    return await run_in_threadpool(_costs, request, room, given)


def _costs(request: Request, room: Room, given: dict[str, str]) -> Response:
    faults = Faults()
    said: dict[str, Any] = {"currency": given.get("currency", "").strip().upper()}
    if len(said["currency"]) != 3 or not said["currency"].isalpha():
        faults.add(
            "currency", _("The currency is not three letters."), _("Write it as EUR or USD.")
        )
    for name, (low, high) in COSTS.items():
        text = given.get(name, "")
        if name == "helper_per_hour" and not text.strip():
            continue
        said[name] = number(text, name, faults, low, high)
    if faults:
        return _page(request, room, faults, given, 422)
    write(room.store, room.scribe, PRACTICE, "practice.costed", said, sort="practice")
    room.plans.forget()
    return RedirectResponse("/practice#costs", 303)


@router.post("/practice/values")
def value(
    request: Request,
    room: InRoom,
    name: Annotated[str, Form()] = "",
    value: Annotated[str, Form()] = "",
) -> Response:
    """Keep her own value of a number of practice."""
    faults = Faults()
    figure = number(value, name, faults, -1e9, 1e9)
    if figure is not None:
        try:
            default_bench().with_own({name: figure})
            said = {"name": name, "value": figure}
            write(room.store, room.scribe, PRACTICE, "practice.valued", said, sort="practice")
        except StrandlineError as error:
            faults.take(error, name)
    if faults:
        return _page(request, room, faults, {"value": value, "name": name}, 422)
    room.plans.forget()
    return RedirectResponse(f"/practice#{name}", 303)


@router.post("/practice/manner")
def manner(
    request: Request,
    room: InRoom,
    units: Annotated[str, Form()] = "",
    hours: Annotated[str, Form()] = "",
) -> Response:
    """Keep on this device how figures are written."""
    faults = Faults()
    answer = RedirectResponse("/practice", 303)
    year = 365 * 24 * 3600
    for name, word, known in (("units", units, ("metric", "us")), ("hours", hours, ("24", "12"))):
        if word not in known:
            faults.add(
                name, _("This is not one of them."), _("Choose one of those that are there.")
            )
            continue
        answer.set_cookie(name, word, max_age=year, samesite="strict", httponly=True)
    return _page(request, room, faults, {}, 422) if faults else answer
