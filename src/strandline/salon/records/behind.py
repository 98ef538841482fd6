"""What a plan was made from: the consultation that stood, and the visit before it."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from strandline.base.errors import ReadError
from strandline.base.facts.jsonl import write_jsonl
from strandline.salon.records.look import Head, document, head_today, visit_facts
from strandline.salon.records.tables import FACT, STREAM

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from strandline.salon.records.store import Store
    from strandline.service.learning.kept import Record
    from strandline.service.plan.asked import Asked
    from strandline.service.plan.assemble import Made
    from strandline.service.plan.earlier import Earlier
    from strandline.service.plan.ways import ManyMade


@dataclass(frozen=True, slots=True)
class Behind:
    """What stands behind a visit.

    Parameters
    ----------
    consultation : TOML
    plan_before, facts_before : of the last visit before it, '' where there was none
    way : which of several ways was chosen, '' where none was
    """

    consultation: str
    plan_before: str = ""
    facts_before: str = ""
    way: str = ""


def behind_next(store: Store, client: str, day: dt.date) -> Behind:
    """Give what a visit on a day starts from: her newest consultation, her last visit before it.

    Raises
    ------
    ReadError   she has no consultation yet
    """
    head = head_today(store, client)
    if not head.consultations:
        raise ReadError(f"{head.client.name} has no consultation yet.", "Write one first.", client)
    return _behind(store, head, head.consultations[-1].text, day.isoformat())


def behind_plan(store: Store, plan: str) -> tuple[str, Behind]:
    """Give whose plan it is and what it was made from, as the record stood then.

    Raises
    ------
    ReadError   there is no such plan
    """
    found = document(store, plan)
    with store.reading() as connection:
        client = connection.scalar(select(STREAM.c.client).where(STREAM.c.name == plan))
        place = connection.scalar(
            select(FACT.c.place)
            .where(FACT.c.stream == plan, FACT.c.kind == "plan.made")
            .order_by(FACT.c.place.desc())
            .limit(1)
        )
        bodies = connection.scalars(
            select(FACT.c.body)
            .join(STREAM, STREAM.c.name == FACT.c.stream)
            .where(
                STREAM.c.client == client,
                FACT.c.kind == "consultation.written",
                FACT.c.place < place,
            )
            .order_by(FACT.c.place.desc())
            .limit(1)
        ).all()
    if client is None or not bodies:
        raise ReadError(
            "Nothing stands behind this plan.", "Plan the visit anew from a consultation.", plan
        )
    text = json.loads(bodies[0])["payload"]["text"]
    before = _behind(store, head_today(store, client), text, found.date or "")
    return client, replace(before, way=found.said.get("way", ""))


def _behind(store: Store, head: Head, text: str, day: str) -> Behind:
    done = [one for one in head.visits if one.plan and (one.date or "") < day]
    if not done:
        return Behind(text)
    last = done[-1]
    with store.reading() as connection:
        stream = connection.scalar(select(STREAM.c.name).where(STREAM.c.token == last.plan))
    before = next((one for one in head.plans if one.stream == stream), None)
    if before is None:
        return Behind(text)
    return Behind(text, before.text, write_jsonl(visit_facts(store, last.stream)))


def asked_of(
    store: Store, behind: Behind, day: dt.date, where: str, *, taught: Record | None = None
) -> Asked:
    """Give what a plan of a day is made from, with the practice as it stands.

    Parameters
    ----------
    where : name of the consultation, for errors
    taught : by visits before

    Raises
    ------
    StrandlineError   what is missing or contradicts, with its field
    """
    from strandline.salon.records.bench import read_kept  # noqa: PLC0415  # slow
    from strandline.service.plan.asked import Asked  # noqa: PLC0415

    consultation = read_kept(store, behind.consultation, where, on=day)
    pooled = taught.pooled() if taught is not None else None
    return Asked(consultation, day, earlier_of(behind), pooled)


def make_from(
    store: Store, behind: Behind, day: dt.date, where: str, *, taught: Record | None = None
) -> Made:
    """Make the plan of a day from what stands behind it, as `asked_of`.

    Raises
    ------
    StrandlineError   what is missing or contradicts, with its field
    """
    from strandline.service.plan.assemble import make_plan  # noqa: PLC0415  # slow

    if behind.way:
        many = ways_from(store, behind, day, where, taught=taught)
        return many.made.get(behind.way, many.stands)
    asked = asked_of(store, behind, day, where, taught=taught)
    return make_plan(asked.consultation, asked.day, earlier=asked.earlier, pooled=asked.pooled)


def ways_from(  # what a plan is made from, and who listens
    store: Store,
    behind: Behind,
    day: dt.date,
    where: str,
    *,
    taught: Record | None = None,
    stop: Callable[[], bool] = lambda: False,
    progress: Callable[[float], None] = lambda _: None,
) -> ManyMade:
    """Make the few ways of a day that differ in kind, from what `asked_of` gives.

    Parameters
    ----------
    stop, progress : as `make_ways`

    Raises
    ------
    StrandlineError   what is missing or contradicts, or that it was stopped
    """
    from strandline.service.plan.ways import make_ways  # noqa: PLC0415  # slow

    asked = asked_of(store, behind, day, where, taught=taught)
    return make_ways(
        asked.consultation, asked.day, earlier=asked.earlier, pooled=asked.pooled,
        stop=stop, progress=progress,
    )  # fmt: skip


def earlier_of(behind: Behind) -> Earlier | None:
    """Give the visit before, None where there was none."""
    if not behind.plan_before:
        return None
    from strandline.service.plan.earlier import read_earlier  # noqa: PLC0415  # slow

    return read_earlier(behind.plan_before.encode(), behind.facts_before.encode())
