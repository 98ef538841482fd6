"""What bears on a client's safety: as she signs it, and as a consultation takes it over."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from strandline.base.errors import OutOfRangeError
from strandline.salon.records.again import whole
from strandline.salon.records.folded import ClientRecord, Test, fold_client
from strandline.salon.records.keep import write_in
from strandline.salon.records.kinds import HEALTH
from strandline.salon.records.readings import facts_of
from strandline.salon.records.scribe import Scribe

if TYPE_CHECKING:
    from strandline.salon.records.store import Store

NEEDED = ("record", "health")
"""Purposes without which her answers are not kept."""
_READ = {
    "strand": ("clean", "heat", "fizz", "odd colour"),
    "stretch": ("holds", "stretches", "breaks"),
}
_NIGHT = dt.time(23, 59)


def health_table(record: ClientRecord) -> dict[str, Any]:
    """Give the table `health` of a consultation: her answers and the newest test of each kind.

    Notes
    -----
    An alert test without an hour counts from the end of its day. A result in other words than a
    consultation knows is not known there: it is read anew.
    """
    out: dict[str, Any] = {name: record.health[name] for name in HEALTH if name in record.health}
    newest = {test.said["test"]: test for test in record.tests}
    if "alert" in newest:
        out["alert_test"] = _alert(newest["alert"])
    for name, words in _READ.items():
        said = newest[name].said if name in newest else {}
        if said.get("result") in words:
            day = dt.date.fromisoformat(said["read_on"])
            out[f"{name}_test"] = {"date": day, "result": said["result"]}
    return out


def _alert(test: Test) -> dict[str, Any]:
    said = test.said
    day = dt.date.fromisoformat(said["applied_on"])
    try:
        hour = dt.time.fromisoformat(said.get("applied_at", ""))
    except ValueError:
        hour = _NIGHT
    result = said["result"] if said["result"] in ("clear", "reaction") else "unknown"
    out = {"date": dt.datetime.combine(day, hour), "result": result}
    return out | ({"line": said["line"]} if said.get("line") else {})


@whole
def answer_health(
    store: Store,
    scribe: Scribe,
    client: str,
    answers: Mapping[str, str],
    *,
    signature: str,
    agreed: Mapping[str, bool],
    told: str = "",
) -> None:
    """Keep what a client answered and what she agreed to, all of it or nothing.

    Parameters
    ----------
    answers : by question of `HEALTH`; what she left out is not said
    signature : as she signed
    agreed : by purpose, whether she agrees; only changes are written
    told : what she wrote beside it

    Raises
    ------
    OutOfRangeError   no signature, or no agreement that her answers are kept
    """
    if not signature.strip():
        raise OutOfRangeError("It is not signed.", "Write your name.", "signature")
    lacks = [purpose for purpose in NEEDED if not agreed.get(purpose)]
    if lacks:
        raise OutOfRangeError(
            "Without your agreement none of these answers is kept.",
            "Tick it, or hand the device back and say your answers aloud.",
            f"agree-{lacks[0]}",
        )
    said = {name: answers.get(name) or None for name in HEALTH}
    with store.writing() as connection:
        before = fold_client(facts_of(connection, client)).consents
        for purpose, given in agreed.items():
            if given and not before[purpose]:
                signed = {"purpose": purpose, "signature": signature.strip()}
                write_in(connection, scribe, client, "consent.given", signed)
            elif before[purpose] and not given:
                write_in(connection, scribe, client, "consent.withdrawn", {"purpose": purpose})
        payload = {**said, "told": told.strip() or None, "signature": signature.strip()}
        write_in(connection, scribe, client, "health.answered", payload)
