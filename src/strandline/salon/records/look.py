"""What is looked up: lists, a search by part of a name, a client with all that is hers."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from strandline.base.errors import ReadError
from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import Visit, fold
from strandline.base.facts.jsonl import Unread
from strandline.salon.records.folded import ClientRecord, fold_client, standing
from strandline.salon.records.readings import facts_of, searchable
from strandline.salon.records.tables import CLIENT, FACT, STREAM, UNREAD, VISIT

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

PAGE = 50


@dataclass(frozen=True, slots=True)
class ClientRow:
    """A client in a list."""

    client: str
    name: str
    visits: int
    last_visit: str | None
    next_visit: str | None


@dataclass(frozen=True, slots=True)
class Document:
    """A consultation or a plan as written last: its stream, version and text."""

    stream: str
    version: int
    date: str | None
    text: str
    said: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Head:
    """What a head is today: all that was said and done, the newest last.

    Parameters
    ----------
    client : her own record
    consultations, plans : as written last, each
    visits : folded, by date
    """

    client: ClientRecord
    consultations: tuple[Document, ...]
    plans: tuple[Document, ...]
    visits: tuple[Visit, ...]


def clients(store: Store, part: str = "", *, after: str = "", limit: int = PAGE) -> list[ClientRow]:
    """List clients by name, or those whose name holds a part, accents and case aside.

    Parameters
    ----------
    part : of a name, '' for all
    after : the name that the page before ended with
    limit : most rows
    """
    columns = (CLIENT.c.client, CLIENT.c.name, CLIENT.c.visits)
    query = select(*columns, CLIENT.c.last_visit, CLIENT.c.next_visit)
    if part:
        query = query.where(CLIENT.c.search.contains(searchable(part), autoescape=True))
    if after:
        query = query.where(CLIENT.c.search > searchable(after))
    with store.reading() as connection:
        rows = connection.execute(query.order_by(CLIENT.c.search, CLIENT.c.client).limit(limit))
        return [ClientRow(*row) for row in rows]


def the_client(store: Store, named: str) -> str:
    """Find the one client that is meant by her stream's name, her name or a part of it.

    Raises
    ------
    ReadError   none, or more than one
    """
    with store.reading() as connection:
        own = connection.scalar(select(CLIENT.c.client).where(CLIENT.c.client == named))
        same = connection.scalars(
            select(CLIENT.c.client).where(CLIENT.c.search == searchable(named))
        ).all()
    if own:
        return str(own)
    found = [str(one) for one in same] or [row.client for row in clients(store, named, limit=6)]
    if len(found) == 1:
        return found[0]
    if not found:
        raise ReadError(
            f"No client's name holds '{named:.60}'.", "Look at the spelling, or give less of it."
        )
    raise ReadError(
        f"More than one client's name holds '{named:.60}'.",
        "Give the whole name, or her own number: "
        + ", ".join(f"{row.name} ({row.client})" for row in clients(store, named, limit=6))
        + ".",
    )


def head_today(store: Store, client: str) -> Head:
    """Give all that is known of a client's head.

    Raises
    ------
    ReadError   there is no such client
    """
    with store.reading() as connection:
        own = facts_of(connection, client)
        if not own:
            raise ReadError(
                "There is no such client in the record.", "Search for a part of her name.", client
            )
        names = dict(_streams(connection, client))
        visits = [visit_in(connection, name) for name, sort in names.items() if sort == "visit"]
        return Head(
            client=fold_client(own),
            consultations=_documents(connection, client, "consultation"),
            plans=_documents(connection, client, "plan"),
            visits=tuple(sorted(visits, key=lambda one: (one.date or "", one.stream))),
        )


def visit_in(connection: Connection, stream: str) -> Visit:
    """Fold a visit, with the lines beside it that are no facts."""
    lines = select(UNREAD.c.line).where(UNREAD.c.stream == stream).order_by(UNREAD.c.digest)
    unread = [
        Unread(number, json.loads(line), "It could not be read as a fact.")
        for number, line in enumerate(connection.scalars(lines), start=1)
    ]
    return fold(facts_of(connection, stream), unread)


def visit_facts(store: Store, stream: str) -> list[Fact]:
    """Give the facts of a visit in the order they came, as `strandline plan --facts` reads them."""
    with store.reading() as connection:
        return facts_of(connection, stream)


def visits_on(store: Store, day: str) -> list[tuple[str, str | None]]:
    """Give the visits of a day: stream and client."""
    with store.reading() as connection:
        rows = connection.execute(
            select(VISIT.c.stream, VISIT.c.client)
            .where(VISIT.c.date == day)
            .order_by(VISIT.c.stream)
        )
        return [(row.stream, row.client) for row in rows]


def document(store: Store, stream: str) -> Document:
    """Give a consultation or a plan with the version that an edit must name.

    Raises
    ------
    ReadError   there is none
    """
    with store.reading() as connection:
        found = _document(connection, stream)
    if found is None:
        raise ReadError("There is no such document in the record.", "List the client's.", stream)
    return found


def _streams(connection: Connection, client: str) -> list[tuple[str, str]]:
    rows = connection.execute(select(STREAM.c.name, STREAM.c.sort).where(STREAM.c.client == client))
    return [(row.name, row.sort) for row in rows]


def _documents(connection: Connection, client: str, sort: str) -> tuple[Document, ...]:
    names = connection.scalars(
        select(STREAM.c.name)
        .join(FACT, FACT.c.stream == STREAM.c.name)
        .where(STREAM.c.client == client, STREAM.c.sort == sort)
        .group_by(STREAM.c.name)
        .order_by(func.min(FACT.c.place))
    ).all()
    found = (_document(connection, name) for name in names)
    return tuple(one for one in found if one is not None)


def _document(connection: Connection, stream: str) -> Document | None:
    facts = standing(facts_of(connection, stream)).standing
    written = [fact for fact in facts if "text" in fact.payload and fact.kind != "note"]
    if not written:
        return None
    version = connection.scalar(select(STREAM.c.version).where(STREAM.c.name == stream))
    said = written[-1].payload
    return Document(stream, int(version or 0), said.get("date"), said["text"], said)
