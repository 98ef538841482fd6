"""A backup: the whole record in one archive, taken while it is in use, and proven."""

from __future__ import annotations

import hashlib
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import func, insert, select

from strandline.base.errors import StoreError
from strandline.salon.records.again import whole
from strandline.salon.records.archive import Writer
from strandline.salon.records.photos import kept_photos, path_of
from strandline.salon.records.rows import MEMBERS, rows_of
from strandline.salon.records.scribe import now, utc
from strandline.salon.records.tables import BACKUP, FACT, HEAD
from strandline.salon.records.tombs import ledger_text, read_ledger
from strandline.salon.records.wall import telling, telling_disk

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

LEDGER = "erasures.json"


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that was taken and proven by restoring it.

    Parameters
    ----------
    path : of the archive
    facts, photos : how many it holds
    bytes : its size
    """

    path: Path
    facts: int
    photos: int
    bytes: int


def back_up(store: Store, path: Path) -> Backup:
    """Take a backup and prove it.

    Parameters
    ----------
    path : a new file

    Raises
    ------
    StoreError   a file of that name, no room, or a backup that does not restore to the same
    """
    if path.exists():
        raise StoreError(
            "There is a file of that name already.",
            "Give a new name; what is there is left as it is.",
            str(path),
        )
    made = utc(now())
    with telling(str(path)):
        about = _about("record", made)
        with store.reading() as connection, telling_disk(str(path)), Writer(path, about) as out:
            for member in MEMBERS:
                out.lines(member, rows_of(connection, member))
            out.put(LEDGER, ledger_text(read_ledger(connection)).encode())
            photos = list(kept_photos(store.place.folder))
            for digest in photos:
                out.put(f"photos/{digest}.jpg", path_of(store.place.folder, digest).read_bytes())
            facts, mark = sum_of_facts(connection)
        _prove(path, facts, mark)
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
        _list(store, {"digest": digest, "path": str(path.resolve()), "made": made})
        return Backup(path, facts, len(photos), path.stat().st_size)


@whole
def _list(store: Store, row: dict[str, str]) -> None:
    with store.writing() as connection:
        connection.execute(insert(BACKUP), row)


def _about(of: str, made: str) -> dict[str, str]:
    return {"of": of, "made": made, "schema": HEAD}


def sum_of_facts(connection: Connection) -> tuple[int, str]:
    """Count the facts of a record and give one checksum over all of them."""
    count = connection.scalar(select(func.count()).select_from(FACT)) or 0
    digest = hashlib.sha256()
    for one in connection.scalars(select(FACT.c.digest).order_by(FACT.c.digest, FACT.c.stream)):
        digest.update(one.encode())
    return int(count), digest.hexdigest()


def _prove(path: Path, facts: int, mark: str) -> None:
    """Restore into a scratch database beside it and compare every fact."""
    from strandline.salon.records.place import Place  # noqa: PLC0415
    from strandline.salon.records.restore import restore  # noqa: PLC0415  # it backs up too
    from strandline.salon.records.store import open_store  # noqa: PLC0415

    with tempfile.TemporaryDirectory(prefix=".proof-", dir=path.parent) as folder:
        place = Place(Path(folder), Path(folder) / "proof.db")
        restore(place, path)
        with open_store(place) as scratch, scratch.reading() as connection:
            found = sum_of_facts(connection)
    if found != (facts, mark):
        path.unlink()
        raise StoreError(
            "The backup did not restore to the same facts and was thrown away.",
            "Run strandline doctor, then take the backup again.",
            str(path),
        )
