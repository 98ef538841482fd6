"""The health page: handed over, answered one by one, signed, handed back."""

from __future__ import annotations

import pytest

from strandline.salon.records.keep import add_client
from strandline.salon.records.kinds import HEALTH
from strandline.salon.records.look import head_today

SAID = {name: words[0] for name, words in HEALTH.items()}
AGREED = {"agree-record": "on", "agree-health": "on", "signature": "Wren Halloway"}


@pytest.fixture
def client(room):
    return add_client(room.store, room.scribe, "Wren Halloway")


@pytest.fixture
def at(client):
    return f"/clients/{client}/health"


def test_the_page_for_the_client_leads_nowhere_else(app, at):
    page = app.get(at).text
    assert "<nav" not in page
    assert 'href="/clients"' not in page
    assert "checked" not in page, "nothing is assumed and nothing agreed beforehand"


def test_what_is_answered_and_signed_is_kept_and_comes_into_the_consultation(app, at, room, client):
    sent = app.post(at, data={**SAID, **AGREED, "told": "nickel"})
    assert sent.headers["location"] == f"{at}?kept=true"
    assert "hand it back" in app.get(sent.headers["location"]).text
    record = head_today(room.store, client).client
    assert record.health == SAID | {"told": "nickel"}
    assert record.consents["record"]
    assert not record.consents["photo"]


@pytest.mark.parametrize("name", sorted(HEALTH))
def test_each_question_wants_its_own_answer(app, at, room, client, name):
    for wrong in ({}, {name: "maybe"}):
        left = {key: value for key, value in SAID.items() if key != name}
        sent = app.post(at, data={**left, **wrong, **AGREED})
        assert sent.status_code == 422
        assert f'id="fault-{name}"' in sent.text
        assert sent.text.count(" checked") == len(left) + 2, "what was answered stands"
    assert head_today(room.store, client).client.health == {}


@pytest.mark.parametrize(
    ("lacks", "field"), [("signature", "signature"), ("agree-health", "agree-health")]
)
def test_unsigned_or_not_agreed_is_told_beside_it(app, at, room, client, lacks, field):
    agreed = {key: value for key, value in AGREED.items() if key != lacks}
    sent = app.post(at, data={**SAID, **agreed})
    assert sent.status_code == 422
    assert f'id="fault-{field}"' in sent.text
    assert head_today(room.store, client).client.health == {}


def test_a_skin_test_is_signed_with_it(app, at, room, client):
    test = {"applied_on": "2026-11-28", "applied_at": "10:00", "result": "clear"}
    assert app.post(at, data={**SAID, **AGREED, **test}).status_code == 303
    (kept,) = head_today(room.store, client).client.tests
    assert (kept.said["test"], kept.said["applied_at"], kept.said["line"]) == (
        "alert",
        "10:00",
        "tideline",
    )


@pytest.mark.parametrize(
    ("test", "field"),
    [
        ({"applied_on": "2026-11-28"}, "result"),
        ({"applied_on": "soon", "result": "clear"}, "applied_on"),
    ],
)
def test_a_skin_test_half_written_is_told_and_nothing_is_lost(app, at, test, field):
    sent = app.post(at, data={**SAID, **AGREED, **test})
    assert sent.status_code == 422
    assert f'id="fault-{field}"' in sent.text


def test_answers_hold_the_plan_back_where_they_must(app, room, client, at):
    """The label of hair colour in the EU: no colour on a broken scalp; see `care`."""
    app.post(at, data={**SAID, **AGREED, "scalp": "broken"})
    api = f"/api/clients/{client}/consultation"
    now = app.get(api).json()
    answers = {
        "gray.front": 75, "level.front": 5, "regrowth.front": 2, "cover.kind": "none",
        "light.where": "none", "strand": "fine",
    }  # fmt: skip
    sent = {"stream": now["stream"], "version": 0, "answers": answers}
    assert app.post(api, json=sent).json()["stands"]
    stream = app.get(f"{api}/outlook").text
    assert "The scalp is broken." in stream
    assert "no formula" in stream
