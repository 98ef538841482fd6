"""The shelf: what is there, what coming plans need, what to order."""

from __future__ import annotations

import re
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from strandline.base.errors import ReadError, StrandlineError
from strandline.salon.records.once import Deed, sent_form, write_once
from strandline.salon.records.shelf import order_csv, shelf
from strandline.salon.records.stock import put_shelf
from strandline.salon.web.faults import Faults, field_of, number
from strandline.salon.web.room import InRoom, Room
from strandline.salon.web.show import show
from strandline.salon.web.words import _

router = APIRouter()
MOST_GRAMS = 100_000.0
SORTS = ("lightener", "developer", "gloss", "other")


@router.get("/shelf", response_class=HTMLResponse)
def shown(request: Request, room: InRoom) -> HTMLResponse:
    """Show the shelf."""
    return _page(request, room, Faults(), {})


def _page(
    request: Request, room: Room, faults: Faults, given: dict[str, str], status: int = 200
) -> HTMLResponse:
    rows = shelf(room.store, room.today.isoformat())
    in_order = sorted(rows, key=lambda row: _counted(row.name))
    groups = [(sort, [row for row in in_order if row.sort == sort]) for sort in SORTS]
    return show(
        request, "shelf.html", status=status, faults=faults, given=given, rows=rows,
        groups=[one for one in groups if one[1]], orders=[row for row in rows if row.order_grams],
    )  # fmt: skip


def _counted(name: str) -> list[tuple[int, float, str]]:
    """Give what sorts names as one counts: 5 volume before 10, words after figures."""
    parts = re.findall(r"[0-9.]+|[^0-9.]+", name)
    return [(0, float(one), "") if _is_figure(one) else (1, 0.0, one.casefold()) for one in parts]


def _is_figure(text: str) -> bool:
    return re.fullmatch(r"[0-9]+([.][0-9]+)?", text) is not None


@router.get("/shelf/order.csv")
def order(room: InRoom) -> Response:
    """Give what to order as CSV (RFC 4180)."""
    text = order_csv(shelf(room.store, room.today.isoformat()))
    shown_as = {"content-disposition": 'attachment; filename="order.csv"'}
    return Response(text, media_type="text/csv; charset=utf-8", headers=shown_as)


@router.post("/shelf/{product}/stock")
def stock(
    request: Request,
    room: InRoom,
    product: str,
    what: Annotated[str, Form()] = "counted",
    grams: Annotated[str, Form()] = "",
    lot: Annotated[str, Form()] = "",
    expires_on: Annotated[str, Form()] = "",
    once: Annotated[str, Form()] = "",
) -> Response:
    """Keep what came, or what is really there.

    Raises
    ------
    ReadError   there is no such product
    """
    if all(row.stream != product for row in shelf(room.store, room.today.isoformat())):
        raise ReadError(
            _("There is no such product on the shelf."), _("Look at the shelf."), "product"
        )
    faults = Faults()
    given = {"product": product, "what": what, "grams": grams, "lot": lot, "expires_on": expires_on}
    if what not in ("counted", "received"):
        faults.add("what", _("This is not one of them."), _("Choose one of those that are there."))
    weight = number(grams, "grams", faults, 0, MOST_GRAMS)
    if weight is not None and not faults:
        said: dict[str, Any] = {"grams": weight}
        if what == "received":
            said |= {"lot": lot.strip() or "not said", "expires_on": expires_on.strip() or None}
        kind = "lot.received" if what == "received" else "stock.counted"
        try:
            form = sent_form(once, given)
            write_once(room.store, room.scribe, form, [Deed(product, kind, said, sort="product")])
        except StrandlineError as error:
            faults.take(error, field_of(error, (*given, "once"), "grams"))
    if faults:
        return _page(request, room, faults, given, faults.status)
    room.plans.forget()
    return RedirectResponse("/shelf", 303)


@router.post("/shelf")
def add(
    request: Request,
    room: InRoom,
    sort: Annotated[str, Form()] = "gloss",
    name: Annotated[str, Form()] = "",
    grams: Annotated[str, Form()] = "",
    price: Annotated[str, Form()] = "",
    vol: Annotated[str, Form()] = "",
    depth: Annotated[str, Form()] = "",
    reflect: Annotated[str, Form()] = "neutral",
    label_max_min: Annotated[str, Form()] = "",
) -> Response:
    """Put a product on the shelf; it is read as a shelf's file would be."""
    given = {
        "sort": sort, "name": name, "new_grams": grams, "price": price, "vol": vol, "depth": depth,
        "reflect": reflect, "label_max_min": label_max_min,
    }  # fmt: skip
    faults = Faults()
    said = _product(given, faults)
    if not faults:
        try:
            if not put_shelf(room.store, room.scribe, said, "shelf"):
                faults.add(
                    "vol" if sort == "developer" else "name",
                    _("This is on the shelf already."),
                    _("Write down there what came, or give it a name of its own."),
                )
        except StrandlineError as error:
            faults.take(error, field_of(error, tuple(given), "name"))
    if faults:
        return _page(request, room, faults, given, faults.status)
    room.plans.forget()
    return RedirectResponse("/shelf", 303)


def _product(given: dict[str, str], faults: Faults) -> dict[str, Any]:
    """Give the shelf of one product, as a file has it."""
    row: dict[str, Any] = {"grams": number(given["new_grams"], "new_grams", faults, 0, MOST_GRAMS)}
    if given["price"].strip():
        row["price_per_kg"] = number(given["price"], "price", faults, 0, 10_000)
    shelf_of: dict[str, Any] = {"developers": [], "lightener": None, "gloss": []}
    if given["sort"] == "developer":
        shelf_of["developers"] = [row | {"vol": number(given["vol"], "vol", faults, 1, 100)}]
        return shelf_of
    if not given["name"].strip():
        faults.add("name", _("The name is empty."), _("Write what stands on it."))
    row["name"] = given["name"].strip()
    if given["sort"] == "lightener":
        most = number(given["label_max_min"], "label_max_min", faults, 1, 120)
        shelf_of["lightener"] = row | {"label_max_min": most}
        return shelf_of
    if given["depth"].strip():
        row["depth"] = number(given["depth"], "depth", faults, 1, 10.5)
        row["reflect"] = given["reflect"]
    shelf_of["gloss"] = [row]
    return shelf_of
