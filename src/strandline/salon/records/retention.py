"""What outlasts an erasure, why, and until when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from strandline.base.facts.fact import Fact
from strandline.base.sources import cite, toml_beside
from strandline.salon.records.readings import facts_of
from strandline.salon.records.tables import STREAM

if TYPE_CHECKING:
    from sqlalchemy import Connection


@dataclass(frozen=True, slots=True)
class Kept:
    """A fact that outlasts the erasure.

    Parameters
    ----------
    fact : its id
    what, reason, source : in words
    until : last day it is kept
    """

    fact: str
    what: str
    reason: str
    source: str
    until: str


@cache
def retention() -> Mapping[str, Mapping[str, Any]]:
    """Load what outlasts an erasure, by kind of fact."""
    rows = toml_beside(__package__, "retention.toml")["kept"]
    return {row["kind"]: {**row, "source": cite(row["source"])} for row in rows}


def kept_by_law(facts: Iterable[Fact], today: str) -> Iterable[Kept]:
    """Give the facts that outlast an erasure on a day."""
    for fact in facts:
        rule = retention().get(fact.kind)
        if rule is None:
            continue
        until = _until(fact, rule["years"])
        if until >= today:
            what = f"{rule['what']}: {fact.payload.get('test')}, read {fact.payload.get('read_on')}"
            yield Kept(fact.id, what, rule["reason"], rule["source"], until)


def _until(fact: Fact, years: int) -> str:
    """Give the last day a fact is kept, counted from the day it was read or written."""
    said = str(fact.payload.get("read_on", fact.device_time[:10]))
    try:
        day = dt.date.fromisoformat(said)
    except ValueError:
        day = dt.date.fromisoformat(fact.device_time[:10])
    last = 28 if (day.month, day.day) == (2, 29) else day.day
    return day.replace(year=day.year + years, day=last).isoformat()


def expired(connection: Connection, today: str) -> int:
    """Count the facts that law kept until a day that has passed."""
    count = 0
    for name in connection.scalars(select(STREAM.c.name).where(STREAM.c.sort == "kept")).all():
        facts = facts_of(connection, name)
        count += len(facts) - sum(1 for _ in kept_by_law(facts, today))
    return count
