"""Records from which a visit can begin, built once: bare, and with all that it needs."""

from __future__ import annotations

import datetime as dt
import shutil
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import delete
from tests.web.chair.ready import make_ready, plan_today

from strandline.salon.records.demo import TODAY
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.records.tables import FACT
from strandline.salon.web.room import Room

MOMENT = dt.datetime.combine(TODAY, dt.time(10), ZoneInfo("Europe/Lisbon"))


def room_on(store, kept):
    """Give a room that shares the plans made by others of this session."""
    room = Room(store, "Ada", lambda: MOMENT)
    room.plans._kept = kept
    return room


@pytest.fixture(scope="session")
def prepared(practice_file, tmp_path_factory):
    """Give the files 'bare' and 'ready', Noor's plan of today in both, and the plans made."""
    folder = tmp_path_factory.mktemp("chair")
    files = {name: folder / f"{name}.db" for name in ("bare", "ready")}
    shutil.copy(practice_file, files["bare"])
    with open_store(Place(folder, files["bare"])) as store:
        room = Room(store, "Ada", lambda: MOMENT)
        plan = plan_today(room)
        room.plans.of(plan)
        kept = room.plans._kept
        with store.writing() as connection:  # the demonstration signs and settles these
            unsaid = FACT.c.kind.in_(("practice.settled", "test.signed"))
            connection.execute(delete(FACT).where(unsaid))
    shutil.copy(files["bare"], files["ready"])
    with open_store(Place(folder, files["ready"])) as store:
        make_ready(room_on(store, kept))
    return files, plan, kept


@pytest.fixture
def which():
    """Name the record a test begins from."""
    return "ready"


@pytest.fixture
def room(prepared, which, tmp_path):
    files, _, kept = prepared
    file = tmp_path / "record.db"
    shutil.copy(files[which], file)
    with open_store(Place(tmp_path, file)) as store:
        yield room_on(store, kept)


@pytest.fixture
def plan(prepared):
    return prepared[1]


@pytest.fixture
def visit(app, plan):
    """Begin Noor's visit and give its stream."""
    return app.post(f"/plans/{plan}/visits").headers["location"].removeprefix("/chair/")
