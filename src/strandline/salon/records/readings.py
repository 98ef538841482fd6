"""Read tables: what lists and search look at. Folds of facts, made again at will."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, func, insert, select, update

from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import fold
from strandline.salon.records.again import whole
from strandline.salon.records.folded import fold_client, standing
from strandline.salon.records.tables import CLIENT, FACT, PLAN, READINGS, STREAM, VISIT

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

PLANNED = ("plan.made", "taken.back")
"""The kinds of a plan that its reading stands on."""
DAYS = ("date", "foils_from", "foils_to", "gloss_from", "gloss_to")
FRAME = ("visit.started", "visit.ended", "taken.back")
"""The kinds of a visit that its reading stands on."""


def facts_of(connection: Connection, stream: str, kinds: tuple[str, ...] = ()) -> list[Fact]:
    """Give the facts of a stream in the order they came.

    Parameters
    ----------
    kinds : only of these, all where none is named
    """
    query = select(FACT.c.body).where(FACT.c.stream == stream).order_by(FACT.c.place)
    if kinds:
        query = query.where(FACT.c.kind.in_(kinds))
    return [Fact(**json.loads(body)) for body in connection.scalars(query)]


def searchable(name: str) -> str:
    """Give a name as it is searched: small letters, accents off."""
    parts = unicodedata.normalize("NFKD", name.casefold())
    return "".join(letter for letter in parts if letter.isprintable() and not _is_mark(letter))


def _is_mark(letter: str) -> bool:
    return unicodedata.combining(letter) != 0


def refresh(connection: Connection, streams: Iterable[str]) -> None:
    """Make the readings of some streams anew, and of the clients they belong to."""
    clients: set[str] = set()
    for name in streams:
        row = connection.execute(select(STREAM).where(STREAM.c.name == name)).one()
        if row.sort == "visit":
            clients.add(_visit(connection, name, row.client) or "")
        elif row.sort == "client":
            clients.add(name)
        elif row.sort == "plan":
            _plan(connection, name, row.client)
            clients.add(row.client or "")
    for client in sorted(clients - {""}):
        _client(connection, client)


def grow(connection: Connection, stream: str, more: int) -> bool:
    """Count facts that change nothing else of a visit's reading; False where there is none yet."""
    counted = update(VISIT).where(VISIT.c.stream == stream).values(facts=VISIT.c.facts + more)
    return connection.execute(counted).rowcount > 0


@whole
def rebuild(store: Store) -> int:
    """Throw every reading away and make it again from facts.

    Returns
    -------
    how many streams were read
    """
    with store.writing() as connection:
        return rebuild_in(connection)


def rebuild_in(connection: Connection) -> int:
    """Make every reading again within a transaction that is under way."""
    for table in READINGS:
        connection.execute(delete(table))
    ordered = select(STREAM.c.name).order_by(STREAM.c.sort != "client", STREAM.c.name)
    streams = list(connection.scalars(ordered))
    refresh(connection, streams)
    return len(streams)


def _visit(connection: Connection, stream: str, client: str | None) -> str | None:
    said = fold(facts_of(connection, stream, FRAME))
    if client is None and said.client:
        client = _named(connection, said.client)
        connection.execute(update(STREAM).where(STREAM.c.name == stream).values(client=client))
    count = select(func.count()).select_from(FACT).where(FACT.c.stream == stream)
    _put(
        connection,
        VISIT,
        "stream",
        {
            "stream": stream,
            "client": client,
            "date": said.date,
            "outcome": said.outcome,
            "facts": connection.scalar(count),
        },
    )
    return client


def _plan(connection: Connection, stream: str, client: str | None) -> None:
    made = standing(facts_of(connection, stream, PLANNED)).standing
    said = made[-1].payload if made else {}
    days = {name: said.get(name) for name in DAYS}
    _put(connection, PLAN, "stream", {"stream": stream, "client": client, **days})


def _named(connection: Connection, name: str) -> str | None:
    """Find the one client of a name; None where there is none or more than one."""
    clean = name.replace("\0", "")
    found = connection.scalars(select(CLIENT.c.client).where(CLIENT.c.name == clean).limit(2)).all()
    return found[0] if len(found) == 1 else None


def _client(connection: Connection, client: str) -> None:
    said = fold_client(facts_of(connection, client))
    visits = connection.execute(
        select(func.count(), func.max(VISIT.c.date)).where(VISIT.c.client == client)
    ).one()
    name = (said.name or "").replace("\0", "")
    _put(
        connection,
        CLIENT,
        "client",
        {
            "client": client,
            "name": name,
            "search": searchable(name),
            "visits": visits[0],
            "last_visit": visits[1],
            "next_visit": said.foils_on,
            "next_gloss": said.gloss_on,
            "alert_until": max(
                (test.said["expires_on"] for test in said.tests if test.said["test"] == "alert"),
                default=None,
            ),
        },
    )


def _put(connection: Connection, table: Any, key: str, row: dict[str, Any]) -> None:  # noqa: ANN401
    changed = connection.execute(update(table).where(table.c[key] == row[key]).values(**row))
    if not changed.rowcount:
        connection.execute(insert(table), row)
