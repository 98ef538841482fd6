"""A visit begun from a plan: what holds it back, who may answer for it, and only once."""

from __future__ import annotations

import datetime as dt
import json

import pytest
from tests.web.chair.ready import sign_alert

from strandline.base.facts.fold import fold
from strandline.salon.records.gates import set_region
from strandline.salon.records.keep import write
from strandline.salon.records.look import document, head_today, visit_facts


def begins(app, plan):
    return app.post(f"/plans/{plan}/visits")


def streams(room, client):
    return {visit.stream for visit in head_today(room.store, client).visits}


bare = pytest.mark.parametrize("which", ["bare"])


def test_a_free_plan_begins_its_visit_once(app, room, noor, plan):
    answer = begins(app, plan)
    assert answer.status_code == 303
    stream = answer.headers["location"].removeprefix("/chair/")
    visit = fold(visit_facts(room.store, stream))
    assert (visit.client, visit.date) == ("Noor Tamarsky", room.today.isoformat())
    assert begins(app, plan).headers["location"] == answer.headers["location"]
    assert len(streams(room, noor)) == len({*streams(room, noor), stream})
    assert app.get(f"/chair/{stream}").status_code == 200


@bare
def test_without_a_region_a_visit_waits_for_it(app, room, noor, plan):
    sign_alert(room)
    before = streams(room, noor)
    answer = begins(app, plan)
    assert answer.status_code == 409
    assert "The region whose rules hold here is not set." in answer.text
    assert streams(room, noor) == before


@bare
def test_without_a_counting_alert_test_a_visit_waits(app, room, plan):
    set_region(room.store, room.scribe, "EU")
    answer = begins(app, plan)
    assert answer.status_code == 409
    assert "No signed alert test counts at this hour." in answer.text


def test_without_her_consent_a_visit_waits(app, room, noor, plan):
    write(room.store, room.scribe, noor, "consent.withdrawn", {"purpose": "health"})
    answer = begins(app, plan)
    assert answer.status_code == 409
    assert "that her health is kept" in answer.text


def test_a_plan_of_another_day_does_not_begin(app, room, noor, plan):
    earlier = min(head_today(room.store, noor).plans, key=lambda one: one.date)
    answer = begins(app, earlier.stream)
    assert answer.status_code == 409
    assert "not for today" in answer.text


@bare
def test_a_named_person_answers_for_a_wait_and_it_stays_a_caution(app, room, noor, plan):
    set_region(room.store, room.scribe, "EU")
    said = {"gate": "health.alert_test", "person": "Ada Marrow", "reason": "Her doctor read it"}
    answer = app.post(f"/plans/{plan}/answers", data=said)
    assert answer.status_code == 303
    page = app.get(f"/plans/{plan}/visits").text
    assert "Answered for by Ada Marrow: Her doctor read it" in page
    assert begins(app, plan).status_code == 303
    kept = head_today(room.store, noor).client.overrides[-1]
    assert (kept["person"], kept["visit_on"]) == ("Ada Marrow", room.today.isoformat())


@bare
@pytest.mark.parametrize(
    ("person", "reason", "field"),
    [
        ("", "long enough by far", "person"),
        ("Ada", "short", "reason"),
        ("A" * 61, "long enough", "person"),
    ],
)
def test_an_answer_without_name_or_reason_says_so_beside_its_field(
    app, room, plan, person, reason, field
):
    set_region(room.store, room.scribe, "EU")
    said = {"gate": "health.alert_test", "person": person, "reason": reason}
    answer = app.post(f"/plans/{plan}/answers", data=said)
    assert answer.status_code == 422
    assert f'aria-describedby="fault-{field}"' in answer.text
    assert f'id="fault-{field}"' in answer.text
    assert reason in answer.text


def test_a_reaction_is_a_stop_that_nobody_answers_for(app, room, noor, plan):
    from strandline.salon.records.keep import sign_test

    on = (room.today - dt.timedelta(days=3)).isoformat()
    said = {"client": "Noor Tamarsky", "test": "alert", "result": "reaction", "applied_on": on,
            "read_on": on, "signature": "N. T."}  # fmt: skip
    sign_test(room.store, room.scribe, noor, said)
    answer = begins(app, plan)
    assert answer.status_code == 409
    assert "A stop is answered for by nobody" in answer.text
    tried = {"gate": "health.alert_test", "person": "Ada Marrow", "reason": "because she asked"}
    assert app.post(f"/plans/{plan}/answers", data=tried).status_code == 422
    assert begins(app, plan).status_code == 409


def test_a_plan_that_the_shelf_has_left_behind_is_planned_anew(app, room, noor, plan):
    kept = json.loads(document(room.store, plan).text)
    kept["bowls"][0]["developer_grams"] += 1
    from strandline.salon.records.keep import keep_plan

    read = document(room.store, plan)
    keep_plan(room.store, room.scribe, noor, json.dumps(kept), over=read)
    answer = begins(app, plan)
    assert answer.status_code == 409
    assert "have changed since this was planned" in answer.text


def test_a_plan_that_is_not_there_is_said_so(app):
    assert begins(app, "plan-none").status_code == 404
    assert app.get("/chair/visit-none").status_code == 404
