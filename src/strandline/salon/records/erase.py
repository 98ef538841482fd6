"""Erasure of a client by streams: what goes, what law keeps, and where her name still stands."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import delete, select, update

from strandline.base.errors import ReadError, StoreError
from strandline.base.facts.fact import canonical
from strandline.salon.records.again import whole
from strandline.salon.records.folded import fold_client
from strandline.salon.records.photos import kept_photos, path_of
from strandline.salon.records.readings import facts_of
from strandline.salon.records.retention import Kept, kept_by_law, retention
from strandline.salon.records.scribe import Scribe, utc
from strandline.salon.records.tables import BACKUP, CLIENT, FACT, PLAN, STREAM, UNREAD, VISIT
from strandline.salon.records.tombs import Tomb, put_ledger, read_ledger, tomb_of, write_ledger_file
from strandline.salon.records.wall import telling

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

TAUGHT = ("practice.learned", "product.calibrated")
"""Facts of the whole practice that may name a client; her name goes, what she taught stays."""


@dataclass(frozen=True, slots=True)
class Erased:
    """What an erasure did.

    Parameters
    ----------
    streams, facts, photos : how many are gone
    kept : what law keeps
    mentions : facts of others that hold her name, `stream: kind`; hers to look at
    backups : made before and still there; a restore of one erases her again
    """

    streams: int
    facts: int
    photos: int
    kept: tuple[Kept, ...]
    mentions: tuple[str, ...]
    backups: tuple[str, ...]


def erase(store: Store, scribe: Scribe, client: str) -> Erased:
    """Erase a client: every stream that is hers, but what law keeps.

    Raises
    ------
    ReadError    there is no such client
    StoreError   the disk cannot; then nothing is erased, or what is left to do is said
    """
    done, ledger = _take_out(store, scribe, client)
    with telling(str(store.place.folder)):
        write_ledger_file(store.place.folder, ledger)
        gone = drop_orphan_photos(store)
    tidy(store)
    return replace(done, photos=gone)


@whole
def _take_out(store: Store, scribe: Scribe, client: str) -> tuple[Erased, tuple[Tomb, ...]]:
    """Take a client out of the database; give what was done but for photos, and the ledger."""
    today = scribe.clock().date().isoformat()
    with store.writing() as connection:
        own = facts_of(connection, client)
        if not own:
            raise ReadError(
                "There is no such client in the record.", "Search for a part of her name.", client
            )
        name = fold_client(own).name or ""
        streams = list(connection.scalars(select(STREAM.c.name).where(STREAM.c.client == client)))
        kept = tuple(kept_by_law(own, today))
        _free_shelf(connection, scribe, streams)
        facts = erase_streams_in(connection, streams, {one.fact for one in kept})
        _forget_name(connection, name)
        mentions = _mentions(connection, name, client)
        moment = utc(scribe.clock())
        new = [tomb_of(one, moment, scribe.by) for one in streams]
        ledger = (*read_ledger(connection), *new)
        put_ledger(connection, ledger)
        backups = [row.path for row in connection.execute(select(BACKUP).order_by(BACKUP.c.made))]
    left = tuple(path for path in backups if Path(path).exists())
    return Erased(len(streams), facts, 0, kept, mentions, left), ledger


def erase_streams_in(
    connection: Connection, streams: Iterable[str], keep: Iterable[str] | None = None
) -> int:
    """Take streams out of the database within a transaction.

    Parameters
    ----------
    keep : ids of facts that stay, None for every fact of a kind that law keeps

    Returns
    -------
    how many facts are gone
    """
    gone = 0
    for name in sorted(streams):
        query = delete(FACT).where(FACT.c.stream == name)
        stays = FACT.c.kind.in_(list(retention())) if keep is None else FACT.c.id.in_(list(keep))
        gone += connection.execute(query.where(~stays)).rowcount
        connection.execute(delete(UNREAD).where(UNREAD.c.stream == name))
        connection.execute(delete(VISIT).where(VISIT.c.stream == name))
        connection.execute(delete(PLAN).where(PLAN.c.stream == name))
        connection.execute(delete(CLIENT).where(CLIENT.c.client == name))
        left = connection.scalar(select(FACT.c.place).where(FACT.c.stream == name).limit(1))
        if left is None:
            connection.execute(delete(STREAM).where(STREAM.c.name == name))
        else:
            kept = update(STREAM).where(STREAM.c.name == name)
            connection.execute(kept.values(sort="kept", client=None))
    return gone


def retire(store: Store, today: str) -> int:
    """Erase what law kept until a day that has passed.

    Returns
    -------
    how many facts are gone
    """
    gone = _let_go(store, today)
    if gone:
        tidy(store)
    return gone


@whole
def _let_go(store: Store, today: str) -> int:
    with store.writing() as connection:
        gone = 0
        for name in connection.scalars(select(STREAM.c.name).where(STREAM.c.sort == "kept")).all():
            stays = {one.fact for one in kept_by_law(facts_of(connection, name), today)}
            gone += erase_streams_in(connection, [name], stays)
    return gone


def _free_shelf(connection: Connection, scribe: Scribe, streams: Iterable[str]) -> None:
    from strandline.salon.records.shelf import reserve_in  # noqa: PLC0415  # only for plans

    plans = select(STREAM.c.name).where(STREAM.c.name.in_(list(streams)), STREAM.c.sort == "plan")
    for plan in connection.scalars(plans).all():
        reserve_in(connection, scribe, plan, {})


def _forget_name(connection: Connection, name: str) -> None:
    """Put a name that says nothing in the place of hers in what visits taught."""
    said = canonical(name)[1:-1]
    if not said:
        return
    inside = canonical(said)[1:-1]  # a JSON text within a JSON text
    rows = connection.execute(
        select(FACT.c.place, FACT.c.body).where(FACT.c.kind.in_(TAUGHT))
    ).all()
    for place, body in rows:
        new = body.replace(inside, "erased").replace(said, "erased")
        if new != body:
            json.loads(new)  # still a fact
            digest = hashlib.sha256(new.encode()).hexdigest()
            changed = update(FACT).where(FACT.c.place == place)
            connection.execute(changed.values(body=new, digest=digest))


def _mentions(connection: Connection, name: str, client: str) -> tuple[str, ...]:
    said = canonical(name)[1:-1]
    if not said:
        return ()
    facts = connection.execute(
        select(FACT.c.stream, FACT.c.kind)
        .where(FACT.c.body.contains(said, autoescape=True), FACT.c.stream != client)
        .order_by(FACT.c.place)
    )
    lines = connection.execute(
        select(UNREAD.c.stream).where(UNREAD.c.line.contains(said, autoescape=True))
    )
    return (*(f"{row.stream}: {row.kind}" for row in facts), *(f"{r.stream}: line" for r in lines))


def photos_named(connection: Connection) -> set[str]:
    """Give the digests of the photos that any client's record names."""
    bodies = connection.scalars(select(FACT.c.body).where(FACT.c.kind == "photo.added"))
    named = {json.loads(body)["payload"].get("photo") for body in bodies}
    return {one for one in named if isinstance(one, str)}


def drop_orphan_photos(store: Store) -> int:
    """Remove the files of photos that no record names, and count them."""
    with store.reading() as connection:
        named = photos_named(connection)
    orphans = [one for one in kept_photos(store.place.folder) if one not in named]
    for digest in orphans:
        path_of(store.place.folder, digest).unlink()
    return len(orphans)


def tidy(store: Store) -> None:
    """Leave no bytes of what was deleted in the database's files.

    Raises
    ------
    StoreError   another program reads the record meanwhile: what is left to do is said

    Notes
    -----
    SQLite: pages are zeroed as they are freed, the file is written anew and the write-ahead log
    cut to nothing. PostgreSQL: the tables are written anew; its own log is its keeper's to clear.
    The disk below may hold old blocks until it writes over them.
    """
    with telling(store.place.said), store.engine.connect() as found:
        if store.place.is_sqlite:
            raw = found.connection.cursor()
            raw.execute("ROLLBACK") if raw.connection.in_transaction else None
            raw.execute("VACUUM")
            busy = raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
            if busy:
                raise StoreError(
                    "It is erased, but another program reads the record, so that old bytes may "
                    "still stand in its log.",
                    "Close that program, then run: strandline doctor --mend",
                    store.place.said,
                )
        else:
            clean = found.execution_options(isolation_level="AUTOCOMMIT")
            for table in (FACT, UNREAD, STREAM, CLIENT, VISIT, PLAN):
                clean.exec_driver_sql(f"VACUUM FULL {table.name}")
