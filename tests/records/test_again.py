"""Transactions that the database breaks off: done again a few times, then told."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from sqlalchemy import text
from tests.records.test_together import tap

from strandline.salon.records import again
from strandline.salon.records.append import append, append_in
from strandline.salon.records.keep import add_client
from strandline.salon.records.look import visit_facts
from strandline.salon.records.once import Deed, is_new, sent_form, write_deeds, write_once
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.records.wall import ContendedError, StaleError, telling

WAITING = "SELECT count(*) FROM pg_locks WHERE NOT granted"
PATIENCE_S = 30


@pytest.fixture
def stores(tmp_path, postgres):
    """Give the record of two programs on one server, with a visit in it."""
    place = Place(tmp_path, None, postgres())
    with open_store(place) as one, open_store(place) as other:
        append(one, [tap("tablet", 1)])
        yield one, other


@pytest.fixture
def turns(monkeypatch):
    """Count how often a transaction waited for another turn."""
    waited = []
    monkeypatch.setattr(again.time, "sleep", waited.append)
    return waited


def until_one_waits(connection):
    """Wait until another transaction stands before a lock of this one."""
    end = time.monotonic() + PATIENCE_S
    while not connection.scalar(text(WAITING)):
        assert time.monotonic() < end, "nobody waits"


def in_visit(visit, number):
    return replace(tap("tablet", number), id=f"{visit}-{number}", stream=visit)


def deadlocked(first, second, deed):
    """Let a transaction hold a device's number and a deed a stream, that each wants of the other.

    As where one page takes a visit's products off the shelf while another counts one of them.
    """
    with ThreadPoolExecutor(1) as pool, first.writing() as connection:
        connection.execute(text("SET LOCAL deadlock_timeout = '60s'"))  # the other finds it first
        append_in(connection, [in_visit("visit-1", 2)], sort="visit")
        crossed = pool.submit(deed, second, [in_visit("visit-2", 3)])
        until_one_waits(connection)
        append_in(connection, [in_visit("visit-2", 4)], sort="visit")
    return crossed


def kept(store):
    return {(one.stream, one.device_seq) for visit in ("visit-1", "visit-2")
            for one in visit_facts(store, visit)}  # fmt: skip


def test_two_that_write_crosswise_deadlock_and_lose_nothing(stores, turns):
    taken = deadlocked(*stores, append).result()
    assert len(turns) == 1
    assert (taken.new, taken.up_to) == (1, {"tablet": 4})
    assert kept(stores[0]) == {("visit-1", 1), ("visit-1", 2), ("visit-2", 3), ("visit-2", 4)}


def test_what_is_not_done_again_is_told(stores):
    crossed = deadlocked(*stores, append.__wrapped__)
    with pytest.raises(ContendedError, match="Do this again in a moment"):
        crossed.result()
    assert kept(stores[0]) == {("visit-1", 1), ("visit-1", 2), ("visit-2", 4)}


def test_a_write_that_another_changed_underneath_is_done_again(stores, turns):
    """A serialization failure: a snapshot was taken, then its row was changed by another."""
    one, other = stores
    count = []

    @again.whole
    def moved():
        with telling("it"), one.engine.connect() as found:
            found.execution_options(isolation_level="REPEATABLE READ")
            found.execute(text("SELECT count(*) FROM stream")).scalar()
            if not count:
                append(other, [tap("tablet", 2)])
            count.append(1)
            found.execute(text("UPDATE stream SET version = version + 1"))
            found.commit()

    moved()
    assert (len(count), len(turns)) == (2, 1)


def test_its_turns_are_few_and_its_waits_short_and_drawn(turns):
    count = []

    @again.whole
    def never():
        count.append(1)
        raise ContendedError("Another was first.", "Do this again.", "it")

    with pytest.raises(ContendedError):
        never()
    assert len(count) == again.TURNS
    assert len(set(turns)) == again.TURNS - 1
    assert sum(turns) < again.FIRST_WAIT_S * 2**again.TURNS


def test_any_other_error_is_told_at_once(turns):
    @again.whole
    def broken():
        raise StaleError("Another was first.", "Open it again.", "it")

    with pytest.raises(StaleError):
        broken()
    assert turns == []


def test_one_form_sent_twice_at_the_same_time_is_written_once(stores, scribe):
    one, other = stores
    client = add_client(one, scribe, "Wenna Tarrowby")
    form = sent_form("0" * 32, {"grams": "180"})
    deed = Deed(client, "consent.given", {"purpose": "photo", "signature": "Wenna Tarrowby"})
    second = replace(scribe, device="phone")
    with ThreadPoolExecutor(1) as pool, one.writing() as first:
        assert is_new(first, form)
        waits = pool.submit(write_once, other, second, form, [deed])
        with other.reading() as watching:
            until_one_waits(watching)
        write_deeds(first, scribe, form, [deed])
    waits.result(timeout=PATIENCE_S)
    with one.reading() as found:
        given = found.scalar(text("SELECT count(*) FROM fact WHERE kind = 'consent.given'"))
    assert given == 1
