"""A writer killed at any moment loses nothing that was acknowledged.

A killed process is not a power cut: the system's own memory survives it. That what is
acknowledged has left that memory for the disk rests on synchronous FULL and the server's fsync,
which a test below holds, and on a disk that does not lie.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.records import writer

from strandline.base.facts.fold import fold
from strandline.salon.records.append import append
from strandline.salon.records.look import visit_facts
from strandline.salon.records.store import open_store

KILLS = 100


def test_a_writer_killed_at_100_random_moments_loses_nothing(place):
    """In a process of its own, which has no threads when it forks."""
    words = [place.folder, place.file or "", place.url, KILLS, 20261203]
    ran = subprocess.run(
        [sys.executable, "-m", "tests.records.writer", *map(str, words)],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert ran.returncode == 0, ran.stderr[-2000:]
    facts, idle = map(int, ran.stdout.split())
    assert facts > KILLS
    assert idle < KILLS / 3
    with open_store(place) as store:
        append(store, [writer.fact(facts + 1)])  # the visit goes on where it was
        visit = fold(visit_facts(store, writer.STREAM))
    assert len(visit.notes) == facts + 1
    assert not visit.flagged
    assert not visit.conflicts


def test_what_is_acknowledged_is_on_the_disk(store, place):
    with store.reading() as connection:
        if place.is_sqlite:
            asked = ("journal_mode", "synchronous", "foreign_keys", "secure_delete")
            said = {one: connection.exec_driver_sql(f"PRAGMA {one}").scalar() for one in asked}
            assert said == {
                "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "secure_delete": 1,
            }  # fmt: skip
        else:
            for name in ("fsync", "synchronous_commit"):
                assert connection.exec_driver_sql(f"SHOW {name}").scalar() == "on"
