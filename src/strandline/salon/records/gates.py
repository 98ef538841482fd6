"""What holds a plan back, looked at again when the visit starts; an override is a signed fact.

A stop is never overridden, nor what law says in her region. Whatever else waits or holds may be,
with a written reason by a named person; it then stands as a caution, never as nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from strandline.base.errors import LegalLimitError, OutOfRangeError
from strandline.base.sources import cite, toml_beside
from strandline.salon.records.again import whole
from strandline.salon.records.folded import ClientRecord, Test, fold_practice
from strandline.salon.records.keep import write_in
from strandline.salon.records.readings import facts_of
from strandline.salon.records.scribe import Scribe

if TYPE_CHECKING:
    from strandline.salon.records.store import Store

PRACTICE = "practice"
"""The stream of the practice."""
HOLDS = ("stop", "wait", "hold")
ALERT = "health.alert_test"


@dataclass(frozen=True, slots=True)
class Gate:
    """What holds a visit back.

    Parameters
    ----------
    about : its own name, what it is about
    weight : stop, wait or hold; 'overridden' where a named person answers for it
    what, do : a sentence each
    source : in words
    by : who overrode it, and why, '' where nobody did
    """

    about: str
    weight: Literal["stop", "wait", "hold", "overridden"]
    what: str
    do: str
    source: str
    by: str = ""


@cache
def table() -> Mapping[str, Mapping[str, Any]]:
    """Load the gates by what they are about, with their sources in words."""
    rows = toml_beside(__package__, "gates.toml")["gates"]
    return {about: {**row, "source": cite(row["source"])} for about, row in rows.items()}


def gates_of(
    plan: Mapping[str, Any], client: ClientRecord, start: dt.datetime, *, line: str | None = None
) -> list[Gate]:
    """Give what holds a visit back as it starts.

    Parameters
    ----------
    plan : plan.json, whose reasons were found on its own day
    client : her record, with signed tests and overrides
    start : local day and hour of the visit
    line : the product line on the shelf

    Notes
    -----
    What the plan found stands. The alert test is judged anew from the signed record by the hour:
    days may have passed, a test may have been read, or another line be on the shelf since.
    """
    found = [
        Gate(one["about"], one["weight"], one["what"], one["do"], one["source"])
        for one in plan["reasons"]
        if one["weight"] in HOLDS and one["about"] != ALERT
    ]
    found += _alert(plan, client.tests, start, line)
    return [_overridden(gate, client, start.date()) for gate in found]


def _alert(
    plan: Mapping[str, Any], tests: Sequence[Test], start: dt.datetime, line: str | None
) -> list[Gate]:
    said = [one for one in plan["reasons"] if one["about"] == ALERT and one["weight"] in HOLDS]
    stops = [one for one in said if one["weight"] == "stop"]
    source = table()[ALERT]["source"]
    alerts = [test for test in tests if test.said["test"] == "alert"]
    if stops or any(test.said["result"] == "reaction" for test in alerts):
        what = stops[0]["what"] if stops else "A signed alert test showed a reaction."
        return [Gate(ALERT, "stop", what, "Do not colour; a doctor comes first.", source)]
    day = start.date().isoformat()
    if any(test.counts_on(day, line) and _old_enough(test, start) for test in alerts):
        return []
    what = "No signed alert test counts at this hour."
    do = "It is put on at least 48 h before, of this line, and counts six months; never proof."
    return [Gate(ALERT, "wait", what, do, source)]


def _old_enough(test: Test, start: dt.datetime) -> bool:
    """Tell whether a clear test was put on 48 h before; without its hour the day's end counts."""
    if test.said["result"] != "clear":
        return False
    from strandline.service.care.gates import limits  # noqa: PLC0415  # slow

    text = f"{test.said['applied_on']}T{test.said.get('applied_at', '23:59')}"
    try:
        applied = dt.datetime.fromisoformat(text)
    except ValueError:
        return False
    age = start.replace(tzinfo=None) - applied
    return age >= dt.timedelta(hours=limits()["alert_test_hours"].value)


def _overridden(gate: Gate, client: ClientRecord, day: dt.date) -> Gate:
    if gate.weight == "stop":
        return gate
    for one in client.overrides:
        if one["gate"] == gate.about and one["visit_on"] == day.isoformat():
            by = f"{one['person']}: {one['reason']}"
            return Gate(gate.about, "overridden", gate.what, gate.do, gate.source, by)
    return gate


@whole
def override(
    store: Store,
    scribe: Scribe,
    client: str,
    gate: Gate,
    *,
    reason: str,
    person: str,
    visit_on: str,
) -> None:
    """Override what waits or holds, for one visit, in a named person's words.

    Raises
    ------
    LegalLimitError   a stop, or a limit of law in her region; without a region every law holds
    OutOfRangeError   no person, or a reason of less than ten characters
    """
    with store.writing() as connection:
        region = fold_practice(facts_of(connection, PRACTICE)).region
        row = table().get(gate.about)
        law = row is None or (region in row["law_in"] if region else bool(row["law_in"]))
        if gate.weight == "stop" or law:
            raise LegalLimitError(
                f"'{gate.what}' is a stop, or a limit of law or label in {region or 'a region'}.",
                gate.do,
                gate.about,
            )
        if not person.strip():
            raise OutOfRangeError("Nobody is named.", "Say who answers for it.", "person")
        if len(reason.strip()) < 10:
            raise OutOfRangeError(
                "A written reason of ten letters or more is wanted.", "Say why.", "reason"
            )
        payload = {
            "gate": gate.about,
            "reason": reason.strip(),
            "person": person.strip(),
            "visit_on": visit_on,
        }
        write_in(connection, scribe, client, "gate.overridden", payload)


@whole
def set_region(store: Store, scribe: Scribe, region: str) -> None:
    """Set the region whose rules hold, once.

    Raises
    ------
    OutOfRangeError   it is set to another already
    """
    with store.writing() as connection:
        had = fold_practice(facts_of(connection, PRACTICE)).region
        if had and had != region:
            raise OutOfRangeError(
                f"The region is {had} already.",
                "It is set once for a record; begin a new one for a practice elsewhere.",
                "region",
            )
        said = {"region": region}
        write_in(connection, scribe, PRACTICE, "practice.settled", said, sort="practice")
