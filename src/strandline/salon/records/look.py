"""What is looked up: lists, a search by part of a name, a client with all that is hers."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from strandline.base.errors import ReadError
from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import Visit, fold
from strandline.base.facts.jsonl import Unread
from strandline.salon.records.folded import ClientRecord, fold_client, standing
from strandline.salon.records.readings import facts_of, searchable
from strandline.salon.records.tables import CLIENT, FACT, STREAM, UNREAD

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

    def plan_of(self, day: dt.date) -> Document | None:
        """Give her newest plan of a day, None where there is none."""
        same = [one for one in self.plans if one.date == day.isoformat()]
        return same[-1] if same else None


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
        streams = connection.execute(
            select(STREAM.c.name, STREAM.c.sort, STREAM.c.version).where(STREAM.c.client == client)
        ).all()
        names = [row.name for row in streams]
        facts = _facts_by_stream(connection, names)
        lines = _lines_by_stream(connection, names)
    if not facts.get(client):
        raise ReadError(
            "There is no such client in the record.", "Search for a part of her name.", client
        )
    visits = [
        fold(facts.get(row.name, ()), lines.get(row.name, ()))
        for row in streams
        if row.sort == "visit"
    ]

    def written(sort: str) -> tuple[Document, ...]:
        versions = {row.name: row.version for row in streams if row.sort == sort}
        found = (_read(facts[name], versions[name]) for name in facts if name in versions)
        return tuple(one for one in found if one is not None)

    return Head(
        client=fold_client(facts[client]),
        consultations=written("consultation"),
        plans=written("plan"),
        visits=tuple(sorted(visits, key=lambda one: (one.date or "", one.stream))),
    )


def _facts_by_stream(connection: Connection, names: Sequence[str]) -> dict[str, list[Fact]]:
    """Give the facts of some streams at once; streams in the order of their first fact."""
    query = select(FACT.c.stream, FACT.c.body).where(FACT.c.stream.in_(names))
    out: dict[str, list[Fact]] = {}
    for stream, body in connection.execute(query.order_by(FACT.c.place)):
        out.setdefault(stream, []).append(Fact(**json.loads(body)))
    return out


def _lines_by_stream(connection: Connection, names: Sequence[str]) -> dict[str, list[Unread]]:
    """Give the lines that are no facts, numbered within their stream."""
    query = select(UNREAD.c.stream, UNREAD.c.line).where(UNREAD.c.stream.in_(names))
    out: dict[str, list[Unread]] = {}
    for stream, line in connection.execute(query.order_by(UNREAD.c.stream, UNREAD.c.digest)):
        some = out.setdefault(stream, [])
        some.append(Unread(len(some) + 1, json.loads(line), "It could not be read as a fact."))
    return out


def visit_in(connection: Connection, stream: str) -> Visit:
    """Fold a visit, with the lines beside it that are no facts."""
    lines = _lines_by_stream(connection, [stream]).get(stream, ())
    return fold(facts_of(connection, stream), lines)


def visit_facts(store: Store, stream: str) -> list[Fact]:
    """Give the facts of a visit in the order they came, as `strandline plan --facts` reads them."""
    with store.reading() as connection:
        return facts_of(connection, stream)


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


def _document(connection: Connection, stream: str) -> Document | None:
    version = connection.scalar(select(STREAM.c.version).where(STREAM.c.name == stream))
    return _read(facts_of(connection, stream), version)


def _read(facts: Sequence[Fact], version: int | None) -> Document | None:
    """Give what was written last in a stream; None where nothing was."""
    found = standing(facts)
    written = [one for one in found.standing if "text" in one.payload and one.kind != "note"]
    if not written:
        return None
    said = written[-1].payload
    return Document(found.stream, int(version or 0), said.get("date"), said["text"], said)
