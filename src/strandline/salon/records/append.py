"""Facts appended: each one once, whatever is sent again; edits only of what was really read."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sqlalchemy import select, update

from strandline.base.facts.fact import Fact, canonical
from strandline.base.facts.jsonl import Unread
from strandline.base.facts.understand import Flag, understand
from strandline.salon.records.again import whole
from strandline.salon.records.kinds import RECORD_UPCASTERS, kinds_of
from strandline.salon.records.readings import FRAME, grow, refresh
from strandline.salon.records.scribe import now, token, utc
from strandline.salon.records.tables import DEVICE, FACT, STREAM, UNREAD
from strandline.salon.records.tombs import tombs
from strandline.salon.records.wall import StaleError

if TYPE_CHECKING:
    from sqlalchemy import Column, Connection, Table

    from strandline.salon.records.store import Store


STRETCH = 500
"""Numbers of a device that are looked at together."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of facts that were sent: all of them are acknowledged.

    Parameters
    ----------
    new : how many were not here yet
    again : how many were
    kept_aside : how many cannot be facts, and are kept as they stand
    erased : how many belong to a stream that was erased, and are not kept
    up_to : by device, the number up to which it need send nothing again
    """

    new: int = 0
    again: int = 0
    kept_aside: int = 0
    erased: int = 0
    up_to: dict[str, int] = field(default_factory=dict)


@whole
def append(
    store: Store,
    facts: Sequence[Fact],
    unread: Sequence[Unread] = (),
    *,
    sort: str = "visit",
    client: str | None = None,
) -> Taken:
    """Keep facts; when this returns they are on the disk.

    Parameters
    ----------
    facts : of one stream or many
    unread : lines that are no facts, kept beside the first fact's stream
    sort : of the streams that are new
    client : the client's stream that new streams belong to

    Raises
    ------
    StoreError   nothing of it was kept
    """
    with store.writing() as connection:
        return append_in(connection, facts, unread, sort=sort, client=client)


def append_in(
    connection: Connection,
    facts: Sequence[Fact],
    unread: Sequence[Unread] = (),
    *,
    sort: str,
    client: str | None = None,
) -> Taken:
    """Keep facts within a transaction that is under way."""
    good = [fact for fact in facts if not _misshapen(fact)]
    aside = [canonical(fact.as_json()) for fact in facts if _misshapen(fact)]
    aside += [one.text for one in unread]
    erased = tombs(connection, {fact.stream for fact in good})
    kept = [fact for fact in good if fact.stream not in erased]
    streams = sorted({fact.stream for fact in kept})
    if aside and not streams:
        streams = ["unread"]
    for name in streams:
        insert_missing(
            connection,
            STREAM,
            [{"name": name, "token": token(), "sort": sort, "client": client, "version": 0}],
        )
    received = utc(now())
    rows = [_row(fact, received) for fact in kept]
    new = _insert_facts(connection, rows)
    if aside:
        lines = [_aside(text, streams[0], received) for text in aside]
        insert_missing(connection, UNREAD, lines)
    marks = _advance(connection, good)
    frame = {fact.stream for fact in kept if fact.kind in FRAME}
    refresh(
        connection,
        [name for name in streams if name in frame or not grow(connection, name, new[name])],
    )
    return Taken(
        new=new.total(),
        again=len(kept) - new.total(),
        kept_aside=len(aside),
        erased=len(good) - len(kept),
        up_to=marks,
    )


def edit_in(connection: Connection, fact: Fact, expected: int, **of: Any) -> Taken:  # noqa: ANN401
    """Append an edit if nobody has changed its stream since it was read.

    Parameters
    ----------
    expected : version of the stream as it was read, 0 for one that is new
    of : `sort` and `client`, as for `append`

    Raises
    ------
    StaleError   another edit came first; the word says whose and when
    """
    row = connection.execute(
        select(STREAM.c.version).where(STREAM.c.name == fact.stream).with_for_update()
    ).first()
    version = row.version if row else 0
    if version != expected and not _is_here(connection, fact):
        raise _stale(connection, fact.stream, version, expected)
    return append_in(connection, [fact], **of)


def _stale(connection: Connection, stream: str, version: int, expected: int) -> StaleError:
    last = connection.scalar(
        select(FACT.c.body).where(FACT.c.stream == stream).order_by(FACT.c.place.desc()).limit(1)
    )
    said = json.loads(last) if last else {"by": "another", "device_time": "in the meantime"}
    return StaleError(
        f"{said['by']} has changed this since you opened it: it is at version {version} of "
        f"{said['device_time'][:16].replace('T', ' ')} UTC, yours was {expected}.",
        "Open it again, look at what changed, and put your change into that.",
        stream,
    )


def _is_here(connection: Connection, fact: Fact) -> bool:
    found = select(FACT.c.place).where(FACT.c.id == fact.id, FACT.c.digest == digest_of(fact))
    return connection.execute(found).first() is not None


def digest_of(fact: Fact) -> str:
    """Give the SHA-256 of a fact's canonical text."""
    return hashlib.sha256(canonical(fact.as_json()).encode("ascii")).hexdigest()


def _row(fact: Fact, received: str) -> dict[str, Any]:
    body = canonical(fact.as_json())
    return {
        "stream": fact.stream,
        "id": fact.id,
        "kind": canonical(fact.kind)[1:-1][:64],
        "body": body,
        "digest": hashlib.sha256(body.encode("ascii")).hexdigest(),
        "device": fact.device,
        "device_seq": fact.device_seq,
        "received": received,
    }


def _misshapen(fact: Fact) -> bool:
    """Tell whether a value that every fact has cannot be kept in its column."""
    found = understand(fact, RECORD_UPCASTERS, kinds_of("client"))
    return (
        isinstance(found, Flag)
        and found.code == "fact"
        and found.field in ("id", "stream", "device", "device_seq")
    )


def _aside(text: str, stream: str, received: str) -> dict[str, str]:
    line = json.dumps(text)
    digest = hashlib.sha256(line.encode("ascii")).hexdigest()
    return {"digest": digest, "stream": stream, "line": line, "received": received}


def insert_missing(connection: Connection, table: Table, rows: Sequence[dict[str, Any]]) -> int:
    """Insert rows that are not there yet and count them."""
    return len(_inserted(connection, table, next(iter(table.primary_key)), rows))


def _inserted(
    connection: Connection, table: Table, told: Column[Any], rows: Sequence[dict[str, Any]]
) -> Sequence[Any]:
    """Insert rows that are not there yet; give a column of each that was not."""
    from sqlalchemy.dialects import postgresql, sqlite  # noqa: PLC0415  # the one at hand

    if not rows:
        return ()
    dialect = sqlite if connection.dialect.name == "sqlite" else postgresql
    statement = dialect.insert(table).on_conflict_do_nothing().returning(told)
    return connection.execute(statement, list(rows)).scalars().all()


def _insert_facts(connection: Connection, rows: Sequence[dict[str, Any]]) -> Counter[str]:
    """Insert facts and count the new ones of each stream, whose version they move on."""
    new = Counter(_inserted(connection, FACT, FACT.c.stream, rows))
    for name in sorted(new):
        connection.execute(
            update(STREAM).where(STREAM.c.name == name).values(version=STREAM.c.version + new[name])
        )
    return new


def _advance(connection: Connection, facts: Sequence[Fact]) -> dict[str, int]:
    """Move each device's number on over all that follow without a gap."""
    sent: dict[str, set[int]] = {}
    for fact in facts:
        sent.setdefault(fact.device, set()).add(fact.device_seq)
    marks = {}
    for name in sorted(sent):
        insert_missing(connection, DEVICE, [{"name": name, "up_to": 0}])
        mark = connection.scalar(
            select(DEVICE.c.up_to).where(DEVICE.c.name == name).with_for_update()
        )
        start = mark = int(mark or 0)
        while (number := _next_gap(connection, name, mark, sent[name])) > mark:
            mark = number
        if mark != start:
            connection.execute(update(DEVICE).where(DEVICE.c.name == name).values(up_to=mark))
        marks[name] = mark
    return marks


def _next_gap(connection: Connection, device: str, mark: int, sent: set[int]) -> int:
    """Give the last number before the first gap, looking no further than a stretch at a time."""
    here = connection.scalars(
        select(FACT.c.device_seq)
        .where(
            FACT.c.device == device,
            FACT.c.device_seq > mark,
            FACT.c.device_seq <= mark + STRETCH,
        )
        .order_by(FACT.c.device_seq)
    )
    numbers = sent | set(here)
    while mark + 1 in numbers:
        mark += 1
    return mark
