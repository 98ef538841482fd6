"""A consultation under way: every answer kept as it is given, until it is written and planned."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from strandline.base.facts.fact import Fact
from strandline.salon.records.again import whole
from strandline.salon.records.append import edit_in
from strandline.salon.records.scribe import Scribe
from strandline.salon.records.tables import CLIENT, FACT, STREAM

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

ANSWERED, WRITTEN = "consultation.answered", "consultation.written"
NONE = "{}"


@dataclass(frozen=True, slots=True)
class Draft:
    """A consultation under way.

    Parameters
    ----------
    stream : where it is kept; the same for all who open it
    version : to be named by the next who saves, 0 before the first answer
    answers : JSON by question
    saved : when it was saved last, UTC as a fact has it; '' before the first answer
    by : who saved it last
    """

    stream: str
    version: int
    answers: str = NONE
    saved: str = ""
    by: str = ""


def draft_of(store: Store, client: str) -> Draft:
    """Give a client's consultation that is under way, or the empty one that would begin now.

    Notes
    -----
    Its stream is named by the client and by how many of hers are written: whoever opens it before
    its first answer means the same one, and of two that save the second is told.
    """
    with store.reading() as connection:
        return _draft(connection, client)


def _draft(connection: Connection, client: str) -> Draft:
    written = set(
        connection.scalars(
            select(FACT.c.stream)
            .join(STREAM, STREAM.c.name == FACT.c.stream)
            .where(STREAM.c.client == client, FACT.c.kind == WRITTEN)
            .distinct()
        )
    )
    open_now = connection.execute(
        select(FACT.c.stream, FACT.c.body, STREAM.c.version)
        .join(STREAM, STREAM.c.name == FACT.c.stream)
        .where(STREAM.c.client == client, FACT.c.kind == ANSWERED)
        .order_by(FACT.c.place.desc())
    ).all()
    for row in open_now:
        if row.stream not in written:
            fact = Fact(**json.loads(row.body))
            return Draft(
                row.stream, int(row.version), fact.payload["answers"], fact.device_time, fact.by
            )
    token = client.removeprefix("client-")[:40]
    return Draft(f"consultation-{token}-{len(written) + 1}", 0)


@whole
def save_draft(
    store: Store, scribe: Scribe, client: str, stream: str, answers: str, *, read: int
) -> int:
    """Keep all answers so far.

    Parameters
    ----------
    stream : of the draft
    answers : JSON by question
    read : its version as it was read

    Returns
    -------
    its version now

    Raises
    ------
    StaleError   another has answered, or it has been written since
    """
    with store.writing() as connection:
        fact = scribe.fact(connection, stream, ANSWERED, {"answers": answers}, sort="consultation")
        edit_in(connection, fact, read, sort="consultation", client=client)
    return read + 1


@dataclass(frozen=True, slots=True)
class Asking:
    """A client whose consultation is under way."""

    client: str
    name: str


def open_drafts(store: Store) -> list[Asking]:
    """Give the clients whose consultation is under way, by name."""
    written = select(FACT.c.stream).where(FACT.c.kind == WRITTEN)
    with store.reading() as connection:
        rows = connection.execute(
            select(CLIENT.c.client, CLIENT.c.name)
            .join(STREAM, STREAM.c.client == CLIENT.c.client)
            .join(FACT, FACT.c.stream == STREAM.c.name)
            .where(FACT.c.kind == ANSWERED, FACT.c.stream.not_in(written))
            .distinct()
            .order_by(CLIENT.c.name)
        ).all()
    return [Asking(row.client, row.name) for row in rows]
