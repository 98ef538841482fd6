"""A small practice in a record, on the demonstration's day."""

from __future__ import annotations

import datetime as dt
import shutil
from zoneinfo import ZoneInfo

import pytest

from strandline.salon.records.demo import TODAY, build
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.web.room import Room


@pytest.fixture(scope="session")
def practice_file(tmp_path_factory):
    """Build Noor, three visits deep, and Perpetua, whose plan must stop."""
    file = tmp_path_factory.mktemp("web") / "record.db"
    with open_store(Place(file.parent, file)) as store:
        build(store, ("noor", "perpetua"))
    return file


@pytest.fixture
def room(practice_file, tmp_path):
    """Give a room over a copy of it, on the demonstration's day at ten."""
    file = tmp_path / "record.db"
    shutil.copy(practice_file, file)
    moment = dt.datetime.combine(TODAY, dt.time(10), ZoneInfo("Europe/Lisbon"))
    with open_store(Place(tmp_path, file)) as store:
        yield Room(store, "Ada", lambda: moment)


@pytest.fixture
def noor(room):
    from strandline.salon.records.look import the_client

    return the_client(room.store, "Noor")


@pytest.fixture
def plan(room, noor):
    """Give the stream of Noor's newest plan."""
    from strandline.salon.records.look import head_today

    return max(head_today(room.store, noor).plans, key=lambda one: one.date).stream
