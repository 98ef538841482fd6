"""What pages read off the record beyond what a command asks."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from strandline.salon.records.look import document
from strandline.salon.records.tables import CLIENT, FACT, PLAN, STREAM

if TYPE_CHECKING:
    from strandline.salon.records.store import Store


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A plan in a list.

    Parameters
    ----------
    stream : the plan's
    client, name : whose
    date : of its visit
    verdict, words : go, wait or stop; what is done
    foils : how many
    minutes : in the chair
    """

    stream: str
    client: str
    name: str
    date: str
    verdict: str
    words: str
    foils: int
    minutes: float


def plans_on(store: Store, day: str) -> list[PlanRow]:
    """Give the plans of a day, by name."""
    with store.reading() as connection:
        rows = connection.execute(
            select(PLAN.c.stream, CLIENT.c.client, CLIENT.c.name)
            .join(CLIENT, CLIENT.c.client == PLAN.c.client)
            .where(PLAN.c.date == day)
            .order_by(CLIENT.c.search, PLAN.c.stream)
        ).all()
    return [
        row_of(row.stream, json.loads(document(store, row.stream).text), row.client, row.name)
        for row in rows
    ]


def row_of(stream: str, plan: dict, client: str, name: str) -> PlanRow:  # type: ignore[type-arg]
    """Give a plan's line from what it says."""
    return PlanRow(
        stream=stream,
        client=client,
        name=name,
        date=plan["date"],
        verdict=plan["verdict"],
        words=plan["technique"],
        foils=plan["foil_count"],
        minutes=plan["quote"]["minutes"],
    )


def visit_of(store: Store, plan: str) -> str | None:
    """Give the newest visit that follows a plan, None where none does."""
    with store.reading() as connection:
        token = connection.scalar(select(STREAM.c.token).where(STREAM.c.name == plan))
        said = f'"plan":"{token}"'
        return connection.scalar(
            select(FACT.c.stream)
            .where(FACT.c.kind == "visit.started", FACT.c.body.contains(said, autoescape=True))
            .order_by(FACT.c.place.desc())
            .limit(1)
        )


def client_of(store: Store, stream: str) -> str | None:
    """Give the client's stream that a stream belongs to."""
    with store.reading() as connection:
        return connection.scalar(select(STREAM.c.client).where(STREAM.c.name == stream))
