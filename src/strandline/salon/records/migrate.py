"""The schema of a database brought to the newest, or a clear word that it is newer still."""

from __future__ import annotations

from typing import TYPE_CHECKING

from strandline.base.errors import ReadError
from strandline.salon.records.tables import HEAD, KNOWN
from strandline.salon.records.wall import LaterVersionError

if TYPE_CHECKING:
    from sqlalchemy import Connection

LOCK = 0x57A2D
"""Of PostgreSQL's advisory locks: two programs that open an empty database wait in turn."""


def schema_of(connection: Connection) -> str | None:
    """Give the schema a database stands at, None where it is empty.

    Raises
    ------
    ReadError   a database of another program
    """
    from sqlalchemy import inspect, text  # noqa: PLC0415  # slow

    names = set(inspect(connection).get_table_names())
    if "alembic_version" in names:
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if names:
        raise ReadError(
            "This is a database of another program.",
            "Name a file or database of its own for the record.",
            "--db",
        )
    return None


def bring_up(connection: Connection, to: str = HEAD) -> None:
    """Migrate within the transaction of a connection, so that it is whole or untouched.

    Parameters
    ----------
    to : the schema wanted; an earlier one only for making archives

    Raises
    ------
    LaterVersionError   the database is newer than this program
    """
    from sqlalchemy import text  # noqa: PLC0415  # slow

    if connection.dialect.name == "postgresql":
        connection.execute(text(f"SELECT pg_advisory_xact_lock({LOCK})"))
    found = schema_of(connection)
    if found == to:
        return
    if found is not None and found not in KNOWN:
        raise later(found)
    from alembic import command  # noqa: PLC0415  # slow
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", "strandline.salon.records:migrations")
    config.attributes["connection"] = connection
    command.upgrade(config, to)
    if found is not None and to == HEAD:
        from strandline.salon.records.readings import rebuild_in  # noqa: PLC0415  # only here

        rebuild_in(connection)


def later(found: str, what: str = "database", where: str = "--db") -> LaterVersionError:
    """Give the error for a schema that is not known, of a database or an archive."""
    return LaterVersionError(
        f"The {what} has schema {found:.20}; this Strandline knows up to {HEAD}.",
        "Install the newer Strandline that made it; nothing was changed.",
        where,
    )
