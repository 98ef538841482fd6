"""A record opened: its engine, and transactions that read or write.

SQLite: WAL, foreign keys, secure_delete, synchronous FULL, so that what was acknowledged is on the
disk. A writer begins IMMEDIATE and waits for another up to 10 s.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Self

from strandline.salon.records.migrate import bring_up, later, schema_of
from strandline.salon.records.place import Place
from strandline.salon.records.tables import HEAD, KNOWN
from strandline.salon.records.wall import telling

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

PATIENCE_S = 10
PRAGMAS = (
    "PRAGMA journal_mode=WAL",
    "PRAGMA synchronous=FULL",
    "PRAGMA foreign_keys=ON",
    "PRAGMA secure_delete=ON",
    "PRAGMA temp_store=MEMORY",
    f"PRAGMA busy_timeout={PATIENCE_S * 1000}",
)


class Store:
    """An open record.

    Parameters
    ----------
    place : where it is
    engine : of SQLAlchemy
    """

    def __init__(self, place: Place, engine: Engine) -> None:
        self.place = place
        self.engine = engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one moment of the record.

        Raises
        ------
        StoreError, ReadError   what the database cannot
        """
        with telling(self.place.said), self._connection(write=False) as found:
            yield found

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection whose changes are kept together at the end, or not at all.

        Raises
        ------
        StoreError, ReadError   what the database cannot
        """
        with telling(self.place.said), self._connection(write=True) as found, found.begin():
            yield found

    @contextmanager
    def _connection(self, *, write: bool) -> Iterator[Connection]:
        engine = self.engine.execution_options(strandline_writes=write)
        if not self.place.is_sqlite and not write:
            engine = engine.execution_options(isolation_level="REPEATABLE READ")
        with engine.connect() as found:
            yield found

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def open_store(place: Place, *, create: bool = True, migrate: bool = True) -> Store:
    """Open the record, making it where it is missing and bringing an older one up.

    Parameters
    ----------
    create : False to look only at a record that is there
    migrate : False to leave an older schema as it is

    Raises
    ------
    ReadError           none there, damaged, or of another program
    LaterVersionError   made by a newer Strandline
    StoreError          it cannot be made there
    """
    with telling(place.said):
        if place.file is not None:
            _prepare(place, create=create)
        store = Store(place, _engine(place))
    try:
        with store.reading() as connection:
            found = schema_of(connection)
        if found is not None and found not in KNOWN:
            raise later(found)  # noqa: TRY301  # the engine is let go of below
        if found != HEAD and migrate:
            with store.writing() as connection:
                bring_up(connection)
    except BaseException:
        store.close()
        raise
    return store


def _prepare(place: Place, *, create: bool) -> None:
    from strandline.base.errors import ReadError  # noqa: PLC0415  # only where it is needed

    file = place.file
    if file is None or file.exists():
        return
    if not create:
        raise ReadError(
            "There is no record there yet.",
            "Name the right file with --db, or make one: strandline demo shows how it looks.",
            str(file),
        )
    for folder in (place.folder, file.parent):
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    file.touch(mode=0o600)


def _engine(place: Place) -> Engine:
    from sqlalchemy import create_engine, event  # noqa: PLC0415  # slow

    if place.file is None:
        return create_engine(place.url, pool_pre_ping=True)
    engine = create_engine(f"sqlite+pysqlite:///{place.file}", connect_args={"timeout": PATIENCE_S})

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, _: object) -> None:  # noqa: ANN401  # as the driver hands it
        connection.isolation_level = None
        for pragma in PRAGMAS:
            connection.execute(pragma)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("strandline_writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine
