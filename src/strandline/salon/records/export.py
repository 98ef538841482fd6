"""One client's record: exported to be read and to be carried, and brought back from that."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import select, update

from strandline.base.errors import ReadError, StoreError
from strandline.salon.records.again import whole
from strandline.salon.records.append import insert_missing
from strandline.salon.records.archive import Archive, Writer, opened
from strandline.salon.records.look import Head, head_today
from strandline.salon.records.page import page
from strandline.salon.records.photos import path_of, put_photo
from strandline.salon.records.readings import refresh
from strandline.salon.records.rows import CLIENTS, checked_rows, rows_of
from strandline.salon.records.scribe import now, utc
from strandline.salon.records.tables import FACT, HEAD, STREAM, UNREAD
from strandline.salon.records.tombs import put_ledger, read_ledger, write_ledger_file
from strandline.salon.records.wall import telling, telling_disk

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store
    from strandline.salon.records.tombs import Tomb


@dataclass(frozen=True, slots=True)
class Exported:
    """An export that was written.

    Parameters
    ----------
    path : of the zip
    facts, photos : how many it holds
    missing : digests of photos that her record names and the folder has not
    """

    path: Path
    facts: int
    photos: int
    missing: tuple[str, ...]


def export_client(store: Store, client: str, path: Path) -> Exported:
    """Write all that is kept of a client: a page to read, JSON, her facts, her photos.

    Raises
    ------
    ReadError    there is no such client
    StoreError   a file of that name, or no room
    """
    if path.exists():
        raise StoreError(
            "There is a file of that name already.",
            "Give a new name; what is there is left as it is.",
            str(path),
        )
    head = head_today(store, client)
    about = {"of": "client", "made": utc(now()), "schema": HEAD, "client": client}
    where = str(path)
    with store.reading() as connection, telling_disk(where), Writer(path, about) as out:
        streams = connection.scalars(select(STREAM.c.name).where(STREAM.c.client == client)).all()
        counts = {member: out.lines(member, rows_of(connection, member, streams))
                  for member in CLIENTS}  # fmt: skip
        missing = []
        for digest in sorted(head.client.photos):
            file = path_of(store.place.folder, digest)
            if file.exists():
                out.put(f"photos/{digest}.jpg", file.read_bytes())
            else:
                missing.append(digest)
        document = as_document(head)
        text = json.dumps(document, ensure_ascii=False, indent=1)
        out.put("client.json", text.encode("utf-8", "replace"))
        out.put("client.html", page(document).encode("utf-8", "replace"))
    photos = len(head.client.photos) - len(missing)
    return Exported(path, counts["facts.jsonl"], photos, tuple(missing))


def as_document(head: Head) -> dict[str, Any]:
    """Give a head as plain JSON."""
    client = dataclasses.asdict(head.client)
    return {
        "client": {**client, "photos": list(client["photos"].values())},
        "consultations": [one.text for one in head.consultations],
        "plans": [_plan(one.text) for one in head.plans],
        "visits": [visit.as_json() for visit in head.visits],
    }


def _plan(text: str) -> Any:  # noqa: ANN401  # whatever plan.json holds
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return text


def bring_back(store: Store, path: Path) -> int:
    """Take a client's export into the record, after an erasure too: she has come back.

    Returns
    -------
    how many facts were not here

    Raises
    ------
    ReadError   the archive cannot be trusted, or is of a whole record; nothing is changed
    """
    with telling(str(path)), opened(path, "client") as archive:
        for name in archive.names("photos/"):
            raw = archive.read(name)
            if hashlib.sha256(raw).hexdigest() != Path(name).stem or raw[:2] != b"\xff\xd8":
                raise ReadError(
                    "A photo of the archive is not what its name says.",
                    "Take another export.",
                    str(path),
                )
            put_photo(store.place.folder, raw)
        new, ledger = _brought_in(store, archive)
        if ledger:
            write_ledger_file(store.place.folder, ledger)
    return new


@whole
def _brought_in(store: Store, archive: Archive) -> tuple[int, tuple[Tomb, ...]]:
    with store.writing() as connection:
        return _bring_in(connection, archive)


def _bring_in(connection: Connection, archive: Archive) -> tuple[int, tuple[Tomb, ...]]:
    streams = {row["name"]: row for row in checked_rows(archive, "streams.jsonl")}
    owners = {row["client"] for row in streams.values()}
    if len(owners) != 1 or owners.pop() not in streams:
        raise ReadError("The export is not of one client.", "Take another export.", archive.where)
    for name, row in sorted(streams.items()):
        _own(connection, name, row)
    new = 0
    for row in checked_rows(archive, "facts.jsonl"):
        new += insert_missing(connection, FACT, [_inside(row, streams, archive)])
    for row in checked_rows(archive, "unread.jsonl"):
        insert_missing(connection, UNREAD, [_inside(row, streams, archive)])
    moment = utc(now())
    ledger = tuple(
        dataclasses.replace(tomb, lifted=moment)
        if tomb.lifted is None and any(tomb.is_of(name) for name in streams)
        else tomb
        for tomb in read_ledger(connection)
    )
    put_ledger(connection, ledger)
    first = sorted(streams, key=lambda name: (streams[name]["sort"] != "client", name))
    refresh(connection, first)
    return new, ledger


def _own(connection: Connection, name: str, row: Mapping[str, Any]) -> None:
    """Make a stream hers; one that is another's is left alone and said."""
    here = connection.execute(select(STREAM).where(STREAM.c.name == name)).first()
    if here is None:
        insert_missing(connection, STREAM, [dict(row)])
    elif here.sort == "kept":
        connection.execute(update(STREAM).where(STREAM.c.name == name).values(**row))
    elif here.client != row["client"]:
        raise ReadError(
            "A part of this export is another client's in the record.",
            "Nothing was changed; look at both with strandline doctor.",
            name,
        )


def _inside(row: dict[str, Any], streams: Mapping[str, Any], archive: Archive) -> dict[str, Any]:
    if row["stream"] not in streams:
        raise ReadError("The export holds another's facts.", "Take another export.", archive.where)
    return row
