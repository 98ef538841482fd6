"""A shelf's file put into the record, and products found by name."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from strandline.base.errors import ReadError
from strandline.salon.records.again import whole
from strandline.salon.records.keep import write_in
from strandline.salon.records.scribe import Scribe, token
from strandline.salon.records.shelf import products

if TYPE_CHECKING:
    from strandline.salon.records.store import Store

LOW_SHARE = 0.25
"""Of what stands there at first: where less is free it is low; common practice, no source."""


@whole
def put_shelf(store: Store, scribe: Scribe, said: Mapping[str, Any], where: str) -> int:
    """Put a file's shelf into the record: what is new is described and counted, the rest left.

    Parameters
    ----------
    said : the table `shelf` of a consultation or a practice
    where : the file's name

    Returns
    -------
    how many products are new

    Raises
    ------
    StrandlineError   the table is not a shelf; nothing is put in
    """
    from pydantic import ValidationError  # noqa: PLC0415  # slow

    from strandline.service.consultation.shelf import Shelf  # noqa: PLC0415

    try:
        shelf = Shelf(**said)
    except (ValidationError, TypeError) as error:
        first = error.errors()[0] if isinstance(error, ValidationError) else None
        what = first["msg"].partition("|")[0] if first else "it is no table"
        place = ".".join(map(str, ("shelf", *first["loc"]))) if first else "shelf"
        raise ReadError(
            f"The shelf cannot be read: {what}.",
            "Mend it there; docs/consultation.md says what a shelf holds.",
            f"{where}: {place}",
        ) from None
    with store.writing() as connection:
        here = {product.said.get("name") for product in products(connection)}
        new = [one for one in _products(shelf) if one[0]["name"] not in here]
        for description, grams in new:
            stream = f"product-{token()}"
            for kind, payload in (
                ("product.described", description),
                ("stock.counted", {"grams": grams}),
            ):
                write_in(connection, scribe, stream, kind, payload, sort="product")
    return len(new)


def _products(shelf: Any) -> Iterator[tuple[dict[str, Any], float]]:  # noqa: ANN401  # a Shelf
    if shelf.lightener is not None:
        more = {
            "label_max_min": shelf.lightener.label_max_min,
            "label_max_vol": shelf.lightener.label_max_vol,
        }
        yield _product(shelf.lightener.name, "lightener", shelf.lightener, more)
    for bottle in shelf.developers:
        yield _product(f"developer {bottle.vol:g} volume", "developer", bottle, {})
    for shade in shelf.gloss:
        more = {"line": shelf.line, "label_max_min": shade.label_min}
        yield _product(shade.name, "gloss", shade, more)


def _product(
    name: str,
    sort: str,
    product: Any,  # noqa: ANN401  # any product of a shelf
    more: Mapping[str, Any],
) -> tuple[dict[str, Any], float]:
    shelved = product.model_dump(mode="json", exclude_defaults=True, exclude={"grams"})
    said = {
        "name": name,
        "sort": sort,
        "price_per_kg": product.price_per_kg,
        "low_grams": round(product.grams * LOW_SHARE),
        "shelved": json.dumps(shelved, ensure_ascii=False),
        **more,
    }
    return {key: value for key, value in said.items() if value is not None}, product.grams


def named_product(store: Store, name: str) -> str:
    """Give the stream of a product by its name on the shelf.

    Raises
    ------
    ReadError   there is none, with the names that there are
    """
    with store.reading() as connection:
        found = {product.said.get("name", ""): product.stream for product in products(connection)}
    if name not in found:
        raise ReadError(
            f"'{name:.60}' is not on the shelf.",
            f"Name one of: {', '.join(sorted(found)) or 'none; put one in with --from'}.",
        )
    return found[name]
