"""What a plan takes from the record beside a consultation: the shelf, her own values, her costs."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from strandline.salon.records.folded import PracticeRecord, ProductRecord, fold_practice
from strandline.salon.records.gates import PRACTICE
from strandline.salon.records.keep import write
from strandline.salon.records.readings import facts_of
from strandline.salon.records.shelf import products

if TYPE_CHECKING:
    import datetime as dt

    from strandline.salon.records.scribe import Scribe
    from strandline.salon.records.store import Store
    from strandline.service.consultation.model import Consultation


def practice(store: Store) -> PracticeRecord:
    """Give the practice as its own stream says."""
    with store.reading() as connection:
        return fold_practice(facts_of(connection, PRACTICE))


def put_costs(store: Store, scribe: Scribe, said: Mapping[str, Any]) -> None:
    """Put a file's table `money` into the record; what is left out of it stays as it is.

    Raises
    ------
    OutOfRangeError   a figure outside its range; nothing is put in
    """
    write(store, scribe, PRACTICE, "practice.costed", said, sort="practice")


def practice_tables(store: Store) -> dict[str, Any]:
    """Give the tables that every consultation of this practice shares.

    Returns
    -------
    dict   `shelf`, `practice` and `money` as a consultation's file has them; each only where the
           record says something of it
    """
    with store.reading() as connection:
        here = products(connection)
        said = fold_practice(facts_of(connection, PRACTICE))
    out: dict[str, Any] = {}
    if here:
        out["shelf"] = _shelf(here)
    if said.values:
        out["practice"] = dict(said.values)
    if said.costs:
        out["money"] = dict(said.costs)
    return out


def _shelf(here: list[ProductRecord]) -> dict[str, Any]:
    """Give the shelf as it stands; what is used up holds 0 g, and a plan says that it lacks."""
    shelf: dict[str, Any] = {"developers": [], "lightener": None, "gloss": []}
    for product in sorted(here, key=lambda one: str(one.said.get("name"))):
        said = product.said
        row = {**json.loads(said.get("shelved") or "{}"), "grams": max(0.0, product.grams)}
        if "price_per_kg" in said:
            row["price_per_kg"] = said["price_per_kg"]
        if not said.get("shelved"):
            continue
        if said["sort"] == "developer":
            shelf["developers"].append(row)
        elif said["sort"] == "lightener":
            shelf["lightener"] = row
        elif said["sort"] == "gloss":
            shelf["gloss"].append(row)
            shelf["line"] = said.get("line", "neutral line")
    return shelf


def read_kept(store: Store, text: str, where: str, *, on: dt.date | None = None) -> Consultation:
    """Read a consultation of the record, with the practice as it stands.

    Parameters
    ----------
    text : TOML, as it was written; a file it names beside it is the record itself
    where : its name, for errors
    on : the day of the visit, over the one it says

    Raises
    ------
    StrandlineError   what is wrong with it, with its field
    """
    from strandline.service.consultation.reader import from_document, read_toml  # noqa: PLC0415

    own = read_toml(text.encode(), where)
    own.pop("uses", None)
    shared = practice_tables(store)
    values = {**shared.get("practice", {}), **own.get("practice", {})}
    document: Mapping[str, Any] = {**shared, **own, **({"practice": values} if values else {})}
    return from_document(document, where, on=on)
