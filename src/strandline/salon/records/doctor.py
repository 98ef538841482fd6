"""What is wrong with a record, each finding with its mend; some mend themselves when told to."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from sqlalchemy import select

from strandline.base.errors import StrandlineError
from strandline.salon.records.again import whole
from strandline.salon.records.erase import drop_orphan_photos, photos_named, retire, tidy
from strandline.salon.records.migrate import schema_of
from strandline.salon.records.photos import kept_photos, path_of
from strandline.salon.records.readings import rebuild
from strandline.salon.records.retention import expired
from strandline.salon.records.rows import fact_is_whole
from strandline.salon.records.tables import (
    BACKUP,
    CLIENT,
    FACT,
    HEAD,
    PLAN,
    READINGS,
    STREAM,
    VISIT,
)
from strandline.salon.records.tombs import Tomb, joined, put_ledger, read_ledger, read_ledger_file
from strandline.salon.records.tombs import write_ledger_file as write_ledger

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

LITTLE_SPACE = 500_000_000
"""Bytes; a day's photos and a backup want more."""
Weight = Literal["good", "look", "bad"]


@dataclass(frozen=True, slots=True)
class Finding:
    """What was looked at.

    Parameters
    ----------
    weight : good, look (nothing is lost, but do something), bad
    about : what was looked at
    what : what was found
    mend : what to do, '' where nothing is
    mends_itself : whether `--mend` does it
    """

    weight: Weight
    about: str
    what: str
    mend: str = ""
    mends_itself: bool = False


def examine(store: Store, today: str) -> list[Finding]:
    """Look at everything; nothing is changed.

    Parameters
    ----------
    today : 2026-12-09, for what has expired
    """
    found = [*_schema(store)]
    if any(one.weight == "bad" for one in found):
        return found
    with store.reading() as connection:
        found += [*_integrity(connection), *_checksums(connection), *_orphans(connection)]
        found += _readings(connection)
        found += _photos(store, connection)
        found += _ledger(store, connection)
        found += _expired(connection, today)
        found += _backups(connection)
    return [*found, *_space(store)]


def mend(store: Store, today: str) -> list[str]:
    """Mend what mends itself, and say what was done."""
    done = [f"readings made again from {rebuild(store)} streams"]
    ledger = _join_ledgers(store)
    if ledger:
        write_ledger(store.place.folder, ledger)
        done.append("the ledger of erasures stands in the database and beside it")
    done.append(f"{drop_orphan_photos(store)} photos without a record removed")
    done.append(f"{retire(store, today)} facts erased that law kept until now")
    tidy(store)
    return [*done, "the database's files written anew"]


@whole
def _join_ledgers(store: Store) -> tuple[Tomb, ...]:
    with store.writing() as connection:
        ledger = joined(read_ledger(connection), _file_ledger(store))
        put_ledger(connection, ledger)
    return ledger


def _file_ledger(store: Store) -> Any:  # noqa: ANN401  # a ledger, or None
    try:
        return read_ledger_file(store.place.folder)
    except StrandlineError:
        return None


def _schema(store: Store) -> Iterator[Finding]:
    with store.reading() as connection:
        found = schema_of(connection)
    if found == HEAD:
        yield Finding("good", "schema", f"It is the newest, {HEAD}.")
    else:
        what = f"It is {found or 'not made yet'}; the newest is {HEAD}."
        yield Finding("bad", "schema", what, "Open it with any command that writes.")


def _integrity(connection: Connection) -> Iterator[Finding]:
    if connection.dialect.name != "sqlite":
        yield Finding("good", "integrity", "The server answers; its own files are its keeper's.")
        return
    said = connection.exec_driver_sql("PRAGMA integrity_check(5)").scalars().all()
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if said == ["ok"] and not broken:
        yield Finding("good", "integrity", "Every page and every reference is whole.")
    else:
        what = f"The database's file is damaged: {[*said, *broken][0]!s:.120}."
        do = "Restore the newest backup into a new file: strandline restore BACKUP.zip --db NEW.db"
        yield Finding("bad", "integrity", what, do)


def _checksums(connection: Connection) -> Iterator[Finding]:
    wrong = [
        row["id"]
        for row in connection.execution_options(yield_per=1000).execute(select(FACT)).mappings()
        if not fact_is_whole(dict(row))
    ]
    if wrong:
        what = f"{len(wrong)} facts are not as they were written, the first '{wrong[0]}'."
        do = "Restore a backup from before, and compare: strandline restore BACKUP.zip --db NEW.db"
        yield Finding("bad", "checksums", what, do)
    else:
        yield Finding("good", "checksums", "Every fact is as it was written.")


def _orphans(connection: Connection) -> Iterator[Finding]:
    lost = connection.scalars(
        select(STREAM.c.name).where(STREAM.c.client.is_(None), STREAM.c.sort == "visit")
    ).all()
    if lost:
        what = f"{len(lost)} visits belong to no client, the first '{lost[0]}'."
        do = "Write down the client they name, under that very name; then run it with --mend."
        yield Finding("look", "visits", what, do)
    else:
        yield Finding("good", "visits", "Every visit belongs to a client.")


def _readings(connection: Connection) -> Iterator[Finding]:
    clients = set(connection.scalars(select(STREAM.c.name).where(STREAM.c.sort == "client")))
    visits = set(connection.scalars(select(STREAM.c.name).where(STREAM.c.sort == "visit")))
    plans = set(connection.scalars(select(STREAM.c.name).where(STREAM.c.sort == "plan")))
    same = clients == set(connection.scalars(select(CLIENT.c.client)))
    same = same and plans == set(connection.scalars(select(PLAN.c.stream)))
    if same and visits == set(connection.scalars(select(VISIT.c.stream))):
        yield Finding("good", "lists", f"{len(READINGS)} lists hold what the facts say.")
    else:
        yield Finding(
            "look", "lists", "A list does not hold what the facts say.",
            "Make them again: strandline doctor --mend", mends_itself=True,
        )  # fmt: skip


def _photos(store: Store, connection: Connection) -> Iterator[Finding]:
    named, there = photos_named(connection), set(kept_photos(store.place.folder))
    spoilt = [
        one
        for one in sorted(named & there)
        if hashlib.sha256(path_of(store.place.folder, one).read_bytes()).hexdigest() != one
    ]
    removed = _removed(connection)
    missing = sorted(named - there - removed)
    if missing or spoilt:
        what = f"{len(missing)} photos are missing and {len(spoilt)} damaged."
        yield Finding("bad", "photos", what, "Restore the newest backup that has them.")
    if there - named:
        what = f"{len(there - named)} photos belong to no record."
        yield Finding(
            "look", "photos", what, "Remove them: strandline doctor --mend", mends_itself=True
        )
    if not missing and not spoilt and there <= named:
        yield Finding("good", "photos", f"All {len(there)} are there and whole.")


def _removed(connection: Connection) -> set[str]:
    bodies = connection.scalars(select(FACT.c.body).where(FACT.c.kind == "photo.removed"))
    return {str(json.loads(body)["payload"].get("photo")) for body in bodies}


def _ledger(store: Store, connection: Connection) -> Iterator[Finding]:
    do = "Write it again from both: strandline doctor --mend"
    own = read_ledger(connection)
    try:
        beside = read_ledger_file(store.place.folder) or ()
    except StrandlineError as error:
        yield Finding("look", "erasures", error.what, do, mends_itself=True)
        return
    if joined(own) == joined(beside):
        yield Finding("good", "erasures", f"{len(own)} streams, the same in both ledgers.")
    else:
        yield Finding("look", "erasures", "The two ledgers differ.", do, mends_itself=True)


def _expired(connection: Connection, today: str) -> Iterator[Finding]:
    over = expired(connection, today)
    if over:
        yield Finding(
            "look", "retention", f"{over} facts were kept by law until a day that has passed.",
            "Erase them: strandline doctor --mend", mends_itself=True,
        )  # fmt: skip


def _backups(connection: Connection) -> Iterator[Finding]:
    last = connection.scalar(select(BACKUP.c.made).order_by(BACKUP.c.made.desc()).limit(1))
    if last is None:
        do = "Take one, onto another disk: strandline backup FILE.zip"
        yield Finding("look", "backups", "None was ever taken.", do)
    else:
        yield Finding("good", "backups", f"The last was taken {last[:16].replace('T', ' ')} UTC.")


def _space(store: Store) -> Iterator[Finding]:
    free = shutil.disk_usage(store.place.folder).free if store.place.folder.exists() else 0
    what = f"{free / 1e9:.1f} GB are free."
    if free < LITTLE_SPACE:
        yield Finding("look", "space", what, "Make room before the next photos and backup.")
    else:
        yield Finding("good", "space", what)
