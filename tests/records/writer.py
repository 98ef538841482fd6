"""A writer that is killed: it appends facts and says each number once it is acknowledged."""

from __future__ import annotations

import os
import random
import signal
import sys
import time

from sqlalchemy import select

from strandline.base.facts.fact import Fact
from strandline.salon.records.append import append
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.records.tables import FACT

STREAM = "visit-of-kills"
BATCH = 3


def fact(number):
    """Give the fact of a number."""
    payload = {"text": f"note {number} " + "x" * (number % 700)}
    when = "2026-12-03T09:00:00Z"
    return Fact(f"k-{number}", STREAM, "note", 1, payload, "Ada", "tablet", number, when, 60)


def write_until_killed(place: Place, start: int, out: int) -> None:
    """Append from a number on, one or three at a time; tell each on a pipe when it is kept."""
    with open_store(place) as store:
        number = start
        while True:
            facts = [fact(number + i) for i in range(1 + (number % 2) * (BATCH - 1))]
            append(store, facts)
            number += len(facts)
            os.write(out, b"%d\n" % (number - 1))


def kill_once(place: Place, start: int, wait_s: float, *, at_work: bool) -> int:
    """Let a writer begin, kill it after a while, and give the last number it was acknowledged.

    Parameters
    ----------
    wait_s : seconds before the kill
    at_work : counted from its first acknowledged fact, else from its birth
    """
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(read)
            write_until_killed(place, start, write)
        finally:
            os._exit(1)
    os.close(write)
    first = b""
    while at_work and not first.endswith(b"\n"):
        first += os.read(read, 1)
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(read, "rb") as told:
        lines = (first + told.read()).splitlines()
    if not os.WIFSIGNALED(status):
        raise RuntimeError("the writer ended by itself")
    return int(lines[-1]) if lines else start - 1


def kill_many(place: Place, times: int, seed: int) -> tuple[int, int]:
    """Kill a writer many times; each time open the record and look for every acknowledged fact.

    Returns
    -------
    how many facts were acknowledged in all, and how many kills came before the first of a writer
    """
    chance = random.Random(seed)  # noqa: S311  # moments, the same each time
    last, idle = 0, 0
    for turn in range(times):
        at_work = turn % 4 > 0
        wait_s = chance.uniform(0.0, 0.02 if at_work else 0.08)
        acknowledged = kill_once(place, last + 1, wait_s, at_work=at_work)
        idle += acknowledged == last
        with open_store(place) as store, store.reading() as connection:
            asked = select(FACT.c.device_seq).where(FACT.c.stream == STREAM)
            found = set(connection.scalars(asked))
            if place.is_sqlite and turn % 10 == 0:
                said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
                if said != ["ok"]:
                    raise AssertionError(said)
        missing = set(range(1, acknowledged + 1)) - found
        if missing:
            raise AssertionError(f"acknowledged and lost: {sorted(missing)}")
        last = max(found, default=0)  # what was kept but not told any more is kept too
        if found != set(range(1, last + 1)):
            raise AssertionError("a batch was kept in part")
    return last, idle


if __name__ == "__main__":
    from pathlib import Path

    folder, file, url, times, seed = sys.argv[1:]
    where = Path(folder)
    place = Place(where, Path(file) if file else None, url)
    print(*kill_many(place, int(times), int(seed)))  # noqa: T201  # told to the test
