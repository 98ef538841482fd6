"""A backup put back: whole or not at all, and what was erased since stays erased."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from strandline.base.errors import StoreError
from strandline.salon.records.again import whole
from strandline.salon.records.archive import Archive, opened
from strandline.salon.records.backup import LEDGER, back_up
from strandline.salon.records.erase import erase_streams_in, photos_named, tidy
from strandline.salon.records.photos import put_photo
from strandline.salon.records.place import Place
from strandline.salon.records.readings import rebuild_in
from strandline.salon.records.rows import MEMBERS, empty, put_rows
from strandline.salon.records.scribe import now, utc
from strandline.salon.records.store import Store, open_store
from strandline.salon.records.tables import FACT, STREAM
from strandline.salon.records.tombs import (
    dead,
    joined,
    ledger_of,
    put_ledger,
    read_ledger,
    read_ledger_file,
    write_ledger_file,
)
from strandline.salon.records.wall import telling

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.tombs import Tomb


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore did.

    Parameters
    ----------
    facts, photos : put back
    erased : streams of the backup that were erased since, and were erased again
    before : backup of what was there before, None where nothing was
    """

    facts: int
    photos: int
    erased: int
    before: Path | None


def restore(place: Place, path: Path, *, replace: bool = False) -> Restored:
    """Put a backup back.

    Parameters
    ----------
    place : where to; made where it is missing
    path : of the archive
    replace : True to put it in the place of a record that is there, which is backed up first

    Raises
    ------
    ReadError    the archive cannot be trusted; the record is left as it is
    StoreError   a record is there already, or the disk cannot
    """
    with telling(str(path)), opened(path, "record") as archive:
        file_ledger = read_ledger_file(place.folder)
        made = None if place.file is None or place.file.exists() else place.file
        with open_store(place) as store:
            before = _before(store, replace=replace)
            try:
                facts, photos, erased, ledger = _put(store, archive, file_ledger)
            except BaseException:
                store.close()
                if made is not None:
                    _remove(made)
                raise
            if ledger:
                write_ledger_file(place.folder, ledger)
            if erased or before:
                tidy(store)
    return Restored(facts, photos, erased, before)


def _remove(file: Path) -> None:
    """Remove a database that was made for what could not be put into it."""
    for end in ("", "-wal", "-shm"):
        file.with_name(file.name + end).unlink(missing_ok=True)


def _before(store: Store, *, replace: bool) -> Path | None:
    with store.reading() as connection:
        count = connection.scalar(select(func.count()).select_from(FACT))
    if not count:
        return None
    if not replace:
        raise StoreError(
            f"There is a record already, with {count} facts.",
            "Restore into a new one with --db, or say --replace: what is there is backed up first.",
            store.place.said,
        )
    name = f"before-restore-{utc(now()).replace(':', '').replace('.', '')}.zip"
    return back_up(store, store.place.folder / name).path


@whole
def _put(
    store: Store, archive: Archive, file_ledger: tuple[Tomb, ...] | None
) -> tuple[int, int, int, tuple[Tomb, ...]]:
    own = ledger_of(archive.read(LEDGER).decode("utf-8", "replace"), archive.where)
    with store.writing() as connection:
        ledger = joined(read_ledger(connection), file_ledger, own)
        empty(connection)
        for member in MEMBERS:
            put_rows(connection, archive, member)
        put_ledger(connection, ledger)
        gone = dead(ledger, _living(connection))
        erase_streams_in(connection, gone)
        rebuild_in(connection)
        wanted = photos_named(connection)
        photos = 0
        for digest in sorted(wanted):
            name = f"photos/{digest}.jpg"
            if archive.has(name):
                photos += put_photo(store.place.folder, archive.read(name)) == digest
        count = connection.scalar(select(func.count()).select_from(FACT)) or 0
    return int(count), photos, len(gone), ledger


def _living(connection: Connection) -> list[str]:
    """Give the streams that are not kept by law after an erasure."""
    return list(connection.scalars(select(STREAM.c.name).where(STREAM.c.sort != "kept")))
