"""What visits taught, kept with the client it was learned on, so that erasing her erases it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from sqlalchemy import select

from strandline.base.errors import OutOfRangeError
from strandline.salon.records.keep import write
from strandline.salon.records.look import visit_facts
from strandline.salon.records.shelf import token_of
from strandline.salon.records.tables import FACT

if TYPE_CHECKING:
    from strandline.salon.records.scribe import Scribe
    from strandline.salon.records.store import Store
    from strandline.service.learning.kept import Record
    from strandline.service.plan.assemble import Made


def learn(store: Store, scribe: Scribe, client: str, visit: str, made: Made) -> bool:
    """Keep what an ended visit taught.

    Parameters
    ----------
    client, visit : their streams
    made : the plan that was followed, as it was made

    Returns
    -------
    False where the visit teaches nothing: no check, no section, no lightener
    """
    from strandline.service.anew.taught import taught_of  # noqa: PLC0415  # slow
    from strandline.service.learning.kept import Record, record_json  # noqa: PLC0415

    try:
        name, taught = taught_of(made, visit_facts(store, visit))
    except OutOfRangeError:
        return False
    text = json.dumps(record_json(Record({name: taught})), ensure_ascii=False)
    with store.reading() as connection:
        payload = {"visit": token_of(connection, visit), "text": text}
    write(store, scribe, client, "client.taught", payload)
    return True


def learned(store: Store) -> Record | None:
    """Give what all visits taught, None where none did."""
    with store.reading() as connection:
        bodies = connection.scalars(
            select(FACT.c.body).where(FACT.c.kind == "client.taught").order_by(FACT.c.place)
        ).all()
    if not bodies:
        return None
    from strandline.service.learning.kept import Record, record_from  # noqa: PLC0415  # slow

    record = Record()
    for body in bodies:
        for name, taught in record_from(
            json.loads(json.loads(body)["payload"]["text"])
        ).visits.items():
            record = record.with_visit(name, taught)
    return record
