"""A consultation under way, and health answers, in the record."""

from __future__ import annotations

import datetime as dt

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.records.drafts import Asking, draft_of, open_drafts, save_draft
from strandline.salon.records.erase import erase
from strandline.salon.records.export import as_document
from strandline.salon.records.health import answer_health, health_table
from strandline.salon.records.keep import add_client, sign_test, write, write_consultation
from strandline.salon.records.look import head_today
from strandline.salon.records.page import page
from strandline.salon.records.readings import rebuild
from strandline.salon.records.wall import StaleError

SAID = {
    "allergies": "none",
    "past_reaction": "no",
    "black_henna_tattoo": "no",
    "scalp": "sound",
    "metallic_or_herbal_colour": "unknown",
    "pregnancy": "not said",
}
AGREED = {"record": True, "health": True}


@pytest.fixture
def client(store, scribe):
    return add_client(store, scribe, "Wren Halloway")


def test_a_draft_is_kept_with_each_answer(store, scribe, client):
    one = draft_of(store, client)
    assert (one.version, one.answers) == (0, "{}")
    assert save_draft(store, scribe, client, one.stream, '{"a":1}', read=0) == 1
    assert save_draft(store, scribe, client, one.stream, '{"a":2}', read=1) == 2
    two = draft_of(store, client)
    assert (two.stream, two.version, two.answers, two.by) == (one.stream, 2, '{"a":2}', "Ada")
    assert open_drafts(store) == [Asking(client, "Wren Halloway")]


def test_two_who_open_it_before_the_first_answer_mean_the_same(store, scribe, client):
    one, two = draft_of(store, client), draft_of(store, client)
    assert one.stream == two.stream
    save_draft(store, scribe, client, one.stream, '{"a":1}', read=0)
    with pytest.raises(StaleError) as told:
        save_draft(store, scribe, client, two.stream, '{"a":2}', read=0)
    assert "Ada" in told.value.what
    assert draft_of(store, client).answers == '{"a":1}'


def test_a_draft_is_no_consultation_until_it_is_written(store, scribe, client):
    draft = draft_of(store, client)
    save_draft(store, scribe, client, draft.stream, "{}", read=0)
    assert head_today(store, client).consultations == ()
    write_consultation(store, scribe, client, "[client]", over=draft_of(store, client))
    assert [one.text for one in head_today(store, client).consultations] == ["[client]"]
    after = draft_of(store, client)
    assert after.version == 0
    assert after.stream != draft.stream
    assert open_drafts(store) == []
    rebuild(store)
    assert draft_of(store, client) == after


def test_a_draft_goes_with_its_client(store, scribe, client):
    draft = draft_of(store, client)
    save_draft(store, scribe, client, draft.stream, '{"gray.front":37}', read=0)
    erase(store, scribe, client)
    assert open_drafts(store) == []


def test_health_answers_want_agreement_and_a_signature(store, scribe, client):
    for signature, agreed, where in (
        (" ", AGREED, "signature"),
        ("Wren", {"record": True}, "agree-health"),
        ("Wren", {"health": True}, "agree-record"),
    ):
        with pytest.raises(OutOfRangeError) as told:
            answer_health(store, scribe, client, SAID, signature=signature, agreed=agreed)
        assert told.value.where == where
    assert head_today(store, client).client.health == {}
    assert not any(head_today(store, client).client.consents.values())


def test_of_each_health_answer_the_last_stands(store, scribe, client):
    answer_health(store, scribe, client, SAID, signature="Wren", agreed=AGREED, told="nickel")
    answer_health(
        store, scribe, client, SAID | {"scalp": "irritated"}, signature="Wren", agreed=AGREED
    )
    record = head_today(store, client).client
    assert record.health == SAID | {"scalp": "irritated", "told": "nickel"}
    assert record.consents["health"]
    assert record.flagged == 0
    assert "nickel" in page(as_document(head_today(store, client)))


def test_an_answer_that_is_none_is_told_and_nothing_is_kept(store, scribe, client):
    with pytest.raises(OutOfRangeError):
        answer_health(
            store, scribe, client, SAID | {"scalp": "green"}, signature="Wren", agreed=AGREED
        )
    assert not any(head_today(store, client).client.consents.values())


def test_health_taken_back_is_used_no_more(store, scribe, client):
    answer_health(store, scribe, client, SAID, signature="Wren", agreed=AGREED)
    write(store, scribe, client, "consent.withdrawn", {"purpose": "health"})
    assert head_today(store, client).client.health == {}
    assert health_table(head_today(store, client).client) == {}


def test_agreements_are_written_where_they_change(store, scribe, client):
    for agreed in (AGREED | {"photo": True}, AGREED | {"photo": False}):
        answer_health(store, scribe, client, SAID, signature="Wren", agreed=agreed)
    consents = head_today(store, client).client.consents
    assert (consents["record"], consents["health"], consents["photo"]) == (True, True, False)


def test_a_consultation_takes_over_answers_and_tests(store, scribe, client):
    answer_health(store, scribe, client, SAID, signature="Wren", agreed=AGREED)
    for test, result in (("alert", "clear"), ("strand", "fizz"), ("stretch", "who knows")):
        said = {
            "client": "Wren Halloway",
            "test": test,
            "result": result,
            "line": "tideline",
            "applied_on": "2026-12-01",
            "read_on": "2026-12-03",
            "signature": "Wren",
        }
        sign_test(store, scribe, client, said)
    found = health_table(head_today(store, client).client)
    assert found == SAID | {
        "alert_test": {
            "date": dt.datetime(2026, 12, 1, 23, 59),
            "result": "clear",
            "line": "tideline",
        },
        "strand_test": {"date": dt.date(2026, 12, 3), "result": "fizz"},
    }
