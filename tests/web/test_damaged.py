"""A record that cannot be read is the house's fault, never a page that is not there."""

from __future__ import annotations

import sqlite3

import pytest

PAGE_BYTES = 4096


@pytest.fixture
def file(room):
    """Give the database's file with nobody in it."""
    with room.store.engine.connect() as found:
        found.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    room.store.close()
    return room.store.place.file


@pytest.fixture(params=["overwritten", "its middle", "no database"])
def damaged(request, file):
    raw = bytearray(file.read_bytes())
    if request.param == "its middle":  # the head is whole, what it points to is not
        raw[PAGE_BYTES:] = b"\xff" * (len(raw) - PAGE_BYTES)
    elif request.param == "overwritten":
        raw[:100] = b"\x00" * 100
    else:
        raw = bytearray(b"This is a letter, not a database. " * 400)
    file.write_bytes(raw)


@pytest.mark.parametrize("path", ["/", "/clients", "/shelf", "/clients/client-x"])
def test_a_damaged_record_is_not_served_and_its_mend_is_told(app, damaged, path):
    answer = app.get(path)
    assert answer.status_code == 503
    assert "damaged" in answer.text
    assert "strandline restore" in answer.text


def test_so_it_is_where_facts_are_sent(app, damaged):
    answer = app.post("/api/facts", json={"facts": []})
    assert answer.status_code == 503
    assert answer.json()["error"]["code"] == "damaged"


def test_a_client_who_is_not_there_is_still_not_found(app):
    assert app.get("/clients/client-x").status_code == 404


def test_a_record_that_a_newer_app_changed_meanwhile_is_told(app, file):
    """Brought up by a newer app while this one runs: a table is not as it was."""
    with sqlite3.connect(file) as direct:
        direct.execute("ALTER TABLE fact RENAME TO fact_of_later")
    direct.close()
    answer = app.get("/clients/client-x")
    assert answer.status_code == 503
    assert "strandline doctor" in answer.text
