"""The shelf: what is there, what plans need, what visits took, what to order."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from strandline.base.facts.fold import Visit
from strandline.salon.records.again import whole
from strandline.salon.records.folded import ProductRecord, fold_product
from strandline.salon.records.keep import write_in
from strandline.salon.records.readings import facts_of
from strandline.salon.records.scribe import Scribe
from strandline.salon.records.tables import STREAM

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """A product on the shelf; grams.

    Parameters
    ----------
    grams, reserved, free : what is there, what coming plans need, the rest
    low : where less is free than she wants to have
    order_grams : what to order, 0 where enough is free
    next_expiry : of its lots that are not over, None where none says
    """

    stream: str
    name: str
    sort: str
    grams: float
    reserved: float
    free: float
    low: bool
    order_grams: float
    price: float | None
    next_expiry: str | None


def needs_of(plan: Mapping[str, Any]) -> dict[str, float]:
    """Give what a plan needs, grams by the names its quote uses.

    Raises
    ------
    KeyError, TypeError   it is no plan
    """
    lines = plan["quote"]["lines"]
    return {line["what"]: float(line["grams"]) for line in lines if line["grams"]}


def reserve_in(
    connection: Connection, scribe: Scribe, plan: str, needs: Mapping[str, float]
) -> None:
    """Reserve what a plan needs; what an earlier version needed and this does not is freed."""
    name = token_of(connection, plan)
    for product in products(connection):
        wanted = needs.get(product.said.get("name", ""), 0.0)
        if wanted != product.reserved.get(name, 0.0):
            payload = {"plan": name, "grams": wanted}
            write_in(connection, scribe, product.stream, "stock.reserved", payload, sort="product")


def taken_by(visit: Visit, lightener: str, bottles: Sequence[float]) -> dict[str, float]:
    """Give what a visit mixed, grams by product.

    Parameters
    ----------
    lightener : the name of the powder on the shelf
    bottles : strengths of developer on the shelf, volume

    Notes
    -----
    A fact tells the strength that was mixed. One that no bottle has is shared out between the
    nearest weaker and stronger bottle by alligation, in grams as developer is weighed.
    """
    out: dict[str, float] = {}

    def book(name: str, grams: float) -> None:
        if grams:
            out[name] = out.get(name, 0.0) + grams

    for bowl in visit.bowls:
        book(lightener, bowl.powder_grams)
        vol = bowl.developer_vol
        weaker = max((one for one in bottles if one <= vol), default=vol)
        stronger = min((one for one in bottles if one >= vol), default=vol)
        if stronger in bottles and weaker in bottles and stronger > weaker:
            share = (vol - weaker) / (stronger - weaker)
            book(f"developer {weaker:g} volume", bowl.developer_grams * (1 - share))
            book(f"developer {stronger:g} volume", bowl.developer_grams * share)
        else:
            book(f"developer {vol:g} volume", bowl.developer_grams)
    return out


def glossed_by(visit: Visit, plan: Mapping[str, Any]) -> dict[str, float]:
    """Give what the glosses of a visit took, grams by product, by the recipes of its plan.

    Parameters
    ----------
    visit : whose glosses say where they were laid
    plan : plan.json
    """
    laid = {one.place for one in visit.glosses}
    out: dict[str, float] = {}
    for step in plan["gloss"]:
        if step["place"] not in laid:
            continue
        poured = [(part["shade"], part["grams"]) for part in step["parts"]]
        poured.append((f"developer {step['developer_vol']:g} volume", step["developer_grams"]))
        for name, grams in poured:
            if grams:
                out[name] = out.get(name, 0.0) + grams
    return out


@whole
def take(
    store: Store,
    scribe: Scribe,
    visit: str,
    grams: Mapping[str, float],
    *,
    plan: str | None = None,
) -> list[str]:
    """Take what a visit used off the shelf, and free what its plan had reserved.

    Parameters
    ----------
    visit, plan : their streams
    grams : by product's name

    Returns
    -------
    names that are not on the shelf, for her to see
    """
    with store.writing() as connection:
        own = token_of(connection, visit)
        of_plan = token_of(connection, plan) if plan else None
        missing = set(grams)
        for product in products(connection):
            name = product.said.get("name", "")
            missing.discard(name)
            if name in grams or (of_plan and of_plan in product.reserved):
                payload = {"visit": own, "grams": grams.get(name, 0.0), "plan": of_plan}
                write_in(connection, scribe, product.stream, "stock.taken", payload, sort="product")
    return sorted(missing)


def token_of(connection: Connection, stream: str) -> str:
    """Give the name of a stream that says nothing of whose it is."""
    return connection.scalar(select(STREAM.c.token).where(STREAM.c.name == stream)) or ""


def shelf(store: Store, today: str) -> list[ShelfRow]:
    """Give every product on the shelf by name.

    Parameters
    ----------
    today : a lot's day of expiry before it is over
    """
    with store.reading() as connection:
        found = [_row(product, today) for product in products(connection)]
    return sorted(found, key=lambda row: (row.sort, row.name))


def order_csv(rows: list[ShelfRow]) -> str:
    """Give the order list as CSV (RFC 4180): what is low, whole packs where a pack is known."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["product", "order_g", "free_g", "on_shelf_g", "reserved_g"])
    for row in rows:
        if row.order_grams:
            figures = (row.order_grams, row.free, row.grams, row.reserved)
            writer.writerow([_plain(row.name), *(f"{value:.0f}" for value in figures)])
    return out.getvalue()


def _plain(name: str) -> str:
    """Keep a name from being taken for a formula by a sheet."""
    return f"'{name}" if name[:1] in "=+-@\t\r" else name


def products(connection: Connection) -> list[ProductRecord]:
    """Give every product on the shelf, folded."""
    names = connection.scalars(
        select(STREAM.c.name).where(STREAM.c.sort == "product").order_by(STREAM.c.name)
    ).all()
    return [fold_product(facts_of(connection, name)) for name in names]


def _row(product: ProductRecord, today: str) -> ShelfRow:
    said = product.said
    floor = said.get("low_grams", 0.0)
    low = product.free < floor
    pack = said.get("pack_grams")
    missing = max(0.0, floor - product.free)
    order = missing if not pack else pack * -(-missing // pack)
    dates = [lot["expires_on"] for lot in product.lots if "expires_on" in lot]
    price = said.get("price_per_kg")
    return ShelfRow(
        stream=product.stream,
        name=said.get("name", ""),
        sort=said.get("sort", "other"),
        grams=product.grams,
        reserved=sum(product.reserved.values()),
        free=product.free,
        low=low,
        order_grams=order if low else 0.0,
        price=None if price is None else price * product.grams / 1000,
        next_expiry=min((day for day in dates if day >= today), default=None),
    )
