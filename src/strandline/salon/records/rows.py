"""The rows of a record as an archive holds them, read from a database and put into one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, insert, select

from strandline.base.errors import ReadError
from strandline.salon.records.tables import DEVICE, FACT, STREAM, UNREAD

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

    from strandline.salon.records.archive import Archive

MEMBERS: Mapping[str, Table] = {
    "streams.jsonl": STREAM,
    "facts.jsonl": FACT,
    "unread.jsonl": UNREAD,
    "devices.jsonl": DEVICE,
}
"""What an archive holds of the tables, in the order they are put in. Readings are made anew."""
CLIENTS = ("streams.jsonl", "facts.jsonl", "unread.jsonl")
"""What is one client's."""
AT_ONCE = 500


def rows_of(
    connection: Connection, member: str, streams: Iterable[str] | None = None
) -> Iterator[dict[str, Any]]:
    """Give the rows of a member, all of them or those of some streams.

    Notes
    -----
    Of a whole record in the order they came; of one client in an order of their own, so that
    what was exported, erased and brought back is exported alike.
    """
    table = MEMBERS[member]
    columns = [column for column in table.c if column.name != "place"]
    query = select(*columns)
    if streams is None:
        query = query.order_by(*table.primary_key)
    else:
        name = table.c.name if table is STREAM else table.c.stream
        first = (FACT.c.device, FACT.c.device_seq) if table is FACT else ()
        query = query.where(name.in_(list(streams))).order_by(name, *first, *columns)
    options = connection.execution_options(yield_per=AT_ONCE)
    for row in options.execute(query).mappings():
        yield dict(row)


def put_rows(connection: Connection, archive: Archive, member: str) -> int:
    """Put the rows of an archive into an empty table.

    Raises
    ------
    ReadError   a row that is not one of that table
    """
    count, some = 0, []
    for row in checked_rows(archive, member):
        some.append(row)
        if len(some) == AT_ONCE:
            connection.execute(insert(MEMBERS[member]), some)
            count, some = count + len(some), []
    if some:
        connection.execute(insert(MEMBERS[member]), some)
    return count + len(some)


def checked_rows(archive: Archive, member: str) -> Iterator[dict[str, Any]]:
    """Give the rows of a member, each looked at.

    Raises
    ------
    ReadError   a row that is not one of that table, or a fact whose checksum is not its own
    """
    table = MEMBERS[member]
    kinds = {
        column.name: (column.type.python_type, column.nullable)
        for column in table.c
        if column.name != "place"
    }
    for number, row in enumerate(archive.rows(member), start=1):
        good = set(row) == set(kinds) and all(
            (value is None and kinds[name][1])
            or (isinstance(value, kinds[name][0]) and not isinstance(value, bool))
            for name, value in row.items()
        )
        if not good or (table is FACT and not fact_is_whole(row)):
            raise ReadError(
                f"Line {number} of {member} is not what a record keeps.",
                "Take another archive; the record is left as it is.",
                archive.where,
            )
        yield row


def fact_is_whole(row: Mapping[str, Any]) -> bool:
    """Tell whether a fact's text has its own checksum and says its own columns."""
    body = row["body"]
    if hashlib.sha256(body.encode()).hexdigest() != row["digest"]:
        return False
    try:
        said = json.loads(body)
    except (ValueError, RecursionError):
        return False
    names = ("stream", "id", "device", "device_seq")
    return isinstance(said, dict) and all(said.get(name) == row[name] for name in names)


def empty(connection: Connection) -> None:
    """Take everything out of the tables that an archive fills."""
    for table in reversed(tuple(MEMBERS.values())):
        connection.execute(delete(table))
