"""Gates when a visit starts, by the hour; overrides are signed, and never of law or a stop."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from strandline.base.errors import LegalLimitError, OutOfRangeError
from strandline.salon.records.gates import Gate, gates_of, override, set_region, table
from strandline.salon.records.keep import add_client, sign_test
from strandline.salon.records.look import head_today

START = dt.datetime(2026, 12, 3, 10, 0)
WAIT = Gate("health.allergies", "wait", "The client has allergies.", "Read the label.", "s")


def reason(about, weight="wait"):
    return {"about": about, "weight": weight, "what": "It waits.", "do": "Wait.", "source": "s"}


PLAN = {"reasons": [reason("health.allergies"), reason("bands", "note")]}


@pytest.fixture
def client(store, scribe):
    return add_client(store, scribe, "Noor Tamarsky")


def sign(store, scribe, client, on, at, result="clear", line="tideline"):
    said = {"client": "Noor Tamarsky", "test": "alert", "result": result, "line": line,
            "applied_on": on, "applied_at": at, "read_on": on, "signature": "N. T."}  # fmt: skip
    sign_test(store, scribe, client, said)


def gates_now(store, client, plan, start, line=None):
    """Give what holds her back, from her record as it stands."""
    return gates_of(plan, head_today(store, client).client, start, line=line)


def alert(store, client, start=START, line="tideline"):
    gates = gates_now(store, client, {"reasons": []}, start, line)
    return [gate.weight for gate in gates if gate.about == "health.alert_test"]


def test_a_test_counts_from_48_hours_on_to_the_minute(store, scribe, client):
    assert alert(store, client) == ["wait"]
    sign(store, scribe, client, "2026-12-01", "10:01")
    assert alert(store, client) == ["wait"]
    assert alert(store, client, START + dt.timedelta(minutes=1)) == []


def test_a_test_counts_six_months_to_the_day_and_of_its_line(store, scribe, client):
    sign(store, scribe, client, "2026-12-01", "09:00")
    assert alert(store, client, dt.datetime(2027, 6, 1, 9, 0)) == []
    assert alert(store, client, dt.datetime(2027, 6, 2, 9, 0)) == ["wait"]
    assert alert(store, client, line="another line") == ["wait"]


def test_a_reaction_stops_whatever_came_after(store, scribe, client):
    sign(store, scribe, client, "2026-11-01", "09:00", result="reaction")
    sign(store, scribe, client, "2026-11-20", "09:00")
    assert alert(store, client) == ["stop"]


def test_an_override_is_a_signed_fact_and_stands_for_its_visit_alone(store, scribe, client):
    set_region(store, scribe, "EU")
    override(
        store, scribe, client, WAIT,
        reason="Read against the label with her doctor", person="Ada Marrow", visit_on="2026-12-03",
    )  # fmt: skip
    gates = {gate.about: gate for gate in gates_now(store, client, PLAN, START)}
    assert gates["health.allergies"].weight == "overridden"
    assert gates["health.allergies"].by.startswith("Ada Marrow: Read against")
    later = gates_now(store, client, PLAN, START + dt.timedelta(days=1))
    assert {gate.weight for gate in later} == {"wait"}
    assert head_today(store, client).client.overrides[0]["person"] == "Ada Marrow"


@pytest.mark.parametrize(
    "gate",
    [
        replace(WAIT, about="client.age", weight="stop"),
        replace(WAIT, about="health.black_henna_tattoo"),
        replace(WAIT, about="shelf.ready_mix"),
        replace(WAIT, about="health.allergies", weight="stop"),
        replace(WAIT, about="what nobody knows"),
    ],
)
def test_a_stop_and_a_limit_of_law_are_never_overridden(store, scribe, client, gate):
    set_region(store, scribe, "EU")
    said = {"reason": "because she asked for it", "person": "Ada", "visit_on": "2026-12-03"}
    with pytest.raises(LegalLimitError):
        override(store, scribe, client, gate, **said)
    assert head_today(store, client).client.overrides == ()


def test_without_a_region_every_law_holds(store, scribe, client):
    gate = replace(WAIT, about="health.black_henna_tattoo")
    said = {"reason": "because she asked for it", "person": "Ada", "visit_on": "2026-12-03"}
    with pytest.raises(LegalLimitError):
        override(store, scribe, client, gate, **said)
    set_region(store, scribe, "US")
    override(store, scribe, client, gate, **said)


@pytest.mark.parametrize(
    ("words", "person", "field"),
    [("too short", "Ada", "reason"), ("long enough by far", " ", "person")],
)
def test_an_override_wants_a_name_and_a_reason(store, scribe, client, words, person, field):
    with pytest.raises(OutOfRangeError, check=lambda error: error.where == field):
        override(store, scribe, client, WAIT, reason=words, person=person, visit_on="2026-12-03")


def test_the_region_is_set_once(store, scribe):
    set_region(store, scribe, "EU")
    set_region(store, scribe, "EU")
    with pytest.raises(OutOfRangeError, match="EU already"):
        set_region(store, scribe, "US")


def test_every_gate_of_care_is_in_the_table_with_its_source():
    import re
    from pathlib import Path

    from strandline.service.care import gates

    text = Path(gates.__file__).read_text("utf-8")
    abouts = set(re.findall(r'about="([a-z_.]+)"', text)) | {"hair.condition", "bands"}
    assert abouts - {"hair.bonds", "health.pregnancy"} <= set(table())
    assert all(row["source"] for row in table().values())
