"""The invented practice of the examples, three visits deep: planned, visited, planned again."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strandline.salon.records.append import append_in
from strandline.salon.records.behind import behind_next, make_from
from strandline.salon.records.bench import put_costs
from strandline.salon.records.keep import (
    add_client,
    keep_plan,
    sign_test,
    write,
    write_consultation,
)
from strandline.salon.records.played import played
from strandline.salon.records.scribe import Scribe, token
from strandline.salon.records.shelf import needs_of, shelf, take, token_of
from strandline.salon.records.stock import put_shelf

if TYPE_CHECKING:
    from strandline.salon.records.store import Store
    from strandline.service.consultation.model import Consultation

HEADS = ("brona", "ilse", "junia", "lorna", "mirela", "noor", "perpetua", "tamsin")
WINTER = dt.timezone(dt.timedelta(hours=1))
OPENS = dt.time(9, 0)
VISITS = 3
TODAY = dt.date(2027, 5, 20)
"""The day that the demonstration stands on: what is on it or later is planned, not yet done."""
PACK_GRAMS = {"lightener": 500, "developer": 900, "gloss": 180, "other": 100}


class _Clock:
    """A clock that stands where it is set."""

    def __init__(self) -> None:
        self.at = dt.datetime(2026, 11, 30, 9, 0, tzinfo=WINTER)

    def __call__(self) -> dt.datetime:
        return self.at

    def set(self, day: dt.date, minutes: float = 0.0) -> None:
        """Set it to some minutes past the hour she opens."""
        start = dt.datetime.combine(day, OPENS, WINTER)
        self.at = start + dt.timedelta(minutes=minutes)


@dataclass(frozen=True, slots=True)
class Built:
    """A client of the demonstration: her stream, name, and the verdict of each plan."""

    client: str
    name: str
    verdicts: tuple[str, ...]


def examples() -> Path:
    """Give the folder of the examples, in a package or beside its sources."""
    inside = Path(__file__).parents[2] / "examples"
    return inside if inside.is_dir() else Path(__file__).parents[4] / "examples"


def build(
    store: Store,
    heads: Sequence[str] = HEADS,
    *,
    visits: int = VISITS,
    tell: Callable[[str], None] = lambda _: None,
) -> list[Built]:
    """Build the practice in an empty record.

    Parameters
    ----------
    heads : names of examples
    visits : how deep, 1-3
    tell : is told each step in words

    Raises
    ------
    StrandlineError   what a plan or the record cannot
    """
    from strandline.service.consultation.reader import read_consultation, read_toml  # noqa: PLC0415

    folder, clock = examples(), _Clock()
    scribe = Scribe("Ada", "desk", clock)
    practice = read_toml((folder / "practice.toml").read_bytes(), "practice.toml")
    put_shelf(store, scribe, practice["shelf"], "practice.toml")
    put_costs(store, scribe, practice["money"])
    said = {"region": "EU"}
    write(store, scribe, "practice", "practice.settled", said, sort="practice")
    built = []
    for head in heads:
        raw = (folder / f"{head}.toml").read_bytes()
        consultation = read_consultation(
            raw, f"{head}.toml", beside=lambda name: (folder / name).read_bytes()
        )
        built.append(_client(store, scribe, clock, consultation, raw.decode(), visits, tell))
    return built


def _client(  # what one client's years are built from
    store: Store,
    scribe: Scribe,
    clock: _Clock,
    c: Consultation,
    text: str,
    visits: int,
    tell: Callable[[str], None],
) -> Built:
    day: dt.date | None = c.visit.date or clock.at.date()
    client = _arrival(store, scribe, clock, c, text)
    verdicts: list[str] = []
    while day is not None and len(verdicts) < visits:
        clock.set(day, -30)
        plan = make_from(store, behind_next(store, client, day), day, c.client.name).plan
        document = plan.model_dump_json()
        stream, _ = keep_plan(store, scribe, client, document)
        verdicts.append(plan.verdict)
        tell(f"{c.client.name}, {day}: {plan.verdict}, {plan.technique_words}")
        if plan.verdict != "go" or day >= TODAY:
            break
        _visit(store, scribe, clock, client, stream, json.loads(document))
        day = plan.next_visit.foils_from or plan.next_visit.gloss_from
        if day is not None:
            agreed = {"foils_on": day.isoformat()}
            write(store, scribe, client, "client.return", agreed)
    return Built(client, c.client.name, tuple(verdicts))


def _arrival(store: Store, scribe: Scribe, clock: _Clock, c: Consultation, text: str) -> str:
    """Write a client down with her consents, her signed test and her consultation."""
    test = c.health.alert_test
    clock.set(test.date.date() if test else clock.at.date())
    client = add_client(store, scribe, c.client.name)
    for purpose in ("record", "health"):
        signed = {"purpose": purpose, "signature": c.client.name}
        write(store, scribe, client, "consent.given", signed)
    if test:
        read = test.date.date() + dt.timedelta(days=2)
        said: dict[str, Any] = {
            "client": c.client.name,
            "test": "alert",
            "result": test.result,
            "line": test.line or None,
            "applied_on": test.date.date().isoformat(),
            "applied_at": f"{test.date:%H:%M}",
            "read_on": read.isoformat(),
            "signature": c.client.name,
        }
        sign_test(store, scribe, client, said)
    write_consultation(store, scribe, client, text)
    return client


def _order(store: Store, scribe: Scribe, day: dt.date) -> None:
    """Let what runs low come in again, a pack of what stood there at first."""
    for row in shelf(store, day.isoformat()):
        if row.low:
            said = {"lot": f"{day:%y%j}", "grams": PACK_GRAMS[row.sort]}
            write(store, scribe, row.stream, "lot.received", said, sort="product")


def _visit(  # whose, when, and by which plan
    store: Store,
    scribe: Scribe,
    clock: _Clock,
    client: str,
    plan_stream: str,
    plan: dict[str, Any],
) -> None:
    """Play a visit into the record, take what it used, and order what runs low."""
    stream = f"visit-{token()}"
    day = dt.date.fromisoformat(plan["date"])
    with store.writing() as connection:
        of_plan = token_of(connection, plan_stream)
        for minutes, kind, payload in played(plan, plan["client"], of_plan):
            clock.set(day, minutes)
            fact = scribe.fact(connection, stream, kind, payload, sort="visit")
            append_in(connection, [fact], sort="visit", client=client)
    take(store, scribe, stream, needs_of(plan), plan=plan_stream)
    _order(store, scribe, day)
