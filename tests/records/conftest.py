"""A record on each database; a scribe whose clock moves a second with each look."""

from __future__ import annotations

import datetime as dt
import itertools
import os

import pytest
from tests.records.server import Server, binaries

from strandline.salon.records.migrate import bring_up
from strandline.salon.records.place import Place
from strandline.salon.records.scribe import Scribe
from strandline.salon.records.store import open_store

START = dt.datetime(2026, 12, 3, 9, 0, tzinfo=dt.timezone(dt.timedelta(hours=1)))
DATABASES = ("sqlite", "postgresql")


@pytest.fixture(scope="session")
def server():
    programs = binaries()
    if "postgresql" in os.environ.get("STRANDLINE_TESTS_WITHOUT", ""):
        pytest.skip("left out by --without-postgresql")
    if programs is None:
        if "CI" in os.environ:
            pytest.fail("PostgreSQL is missing; install it: apt-get install postgresql")
        pytest.skip("no PostgreSQL server here; install it: apt-get install postgresql")
    running = Server(programs)
    from sqlalchemy import create_engine

    engine = create_engine(running.url("template1"))
    with engine.begin() as connection:
        bring_up(connection)
    engine.dispose()
    yield running
    running.stop()


_count = itertools.count()


@pytest.fixture
def postgres(server):
    """Give a function that makes a database, with the newest schema or empty."""
    from sqlalchemy import create_engine, text

    made = []
    engine = create_engine(server.url("postgres"), isolation_level="AUTOCOMMIT")

    def make(*, empty=False):
        name = f"record_{next(_count)}"
        template = "template0" if empty else "template1"
        with engine.connect() as connection:
            connection.execute(text(f"CREATE DATABASE {name} TEMPLATE {template}"))
        made.append(name)
        return server.url(name)

    yield make
    with engine.connect() as connection:
        for name in made:
            connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    engine.dispose()


@pytest.fixture(params=DATABASES)
def place(request, tmp_path):
    folder = tmp_path / "data"
    if request.param == "sqlite":
        return Place(folder, folder / "record.db")
    folder.mkdir()
    return Place(folder, None, request.getfixturevalue("postgres")())


@pytest.fixture
def store(place):
    with open_store(place) as opened:
        yield opened


@pytest.fixture
def scribe():
    ticks = itertools.count()
    return Scribe("Ada", "desk", lambda: START + dt.timedelta(seconds=next(ticks)))
