"""The chair over HTTP: facts kept once, what it is handed, the rest planned anew, chapters."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from strandline.base.facts.fold import fold
from strandline.salon.records.look import head_today, visit_facts


def fact(visit, number, kind, payload, minutes=0, device="phone"):
    begin = dt.datetime(2027, 5, 20, 9, 1, tzinfo=dt.UTC)
    time = begin + dt.timedelta(minutes=minutes)
    return {
        "id": f"{device}-{number}", "stream": visit, "kind": kind, "schema": 1,
        "payload": payload, "by": "Ada", "device": device, "device_seq": number,
        "device_time": time.isoformat().replace("+00:00", "Z"), "offset": 60,
    }  # fmt: skip


def placed(visit):
    nape = {"section": "nape hairline", "first_foil": 1}
    return [
        fact(visit, 1, "section.begun", nape),
        fact(visit, 2, "section.placed", {**nape, "last_foil": 2}, 3),
    ]


def post(app, facts):
    return app.post("/api/facts", json={"facts": facts})


def test_facts_are_kept_once_and_acknowledged(app, room, visit):
    first = post(app, placed(visit)).json()
    assert first == {"new": 2, "again": 0, "kept_aside": 0, "erased": 0, "up_to": {"phone": 2}}
    second = post(app, [*placed(visit), fact(visit, 4, "note", {"text": "later"})]).json()
    assert (second["new"], second["again"], second["up_to"]) == (1, 2, {"phone": 2})
    kept = app.get(f"/api/visits/{visit}/facts").json()["facts"]
    assert [one["kind"] for one in kept] == [
        "visit.started", "section.begun", "section.placed", "note",
    ]  # fmt: skip
    assert fold(visit_facts(room.store, visit)).foils_done == {1, 2}


@pytest.mark.parametrize(
    "record", [None, 3, [], {}, {"id": "x"}, "note", {"payload": float("nan")}]
)
def test_what_is_no_fact_is_kept_aside_and_acknowledged(app, visit, record):
    body = json.dumps({"facts": [record, *placed(visit)]})
    answer = app.post("/api/facts", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 200
    assert (answer.json()["new"], answer.json()["kept_aside"]) == (2, 1)


def test_a_fact_cannot_be_written_into_a_clients_own_stream(app, room, noor, visit):
    said = {"purpose": "publish", "signature": "forged"}
    answer = post(app, [fact(noor, 1, "consent.given", said)])
    assert answer.json()["kept_aside"] == 1
    assert head_today(room.store, noor).client.consents["publish"] is False


@pytest.mark.parametrize("body", ["{}", '{"facts": 3}', "[]", "nonsense", '{"facts": null}'])
def test_a_message_of_another_shape_is_answered_with_a_sentence(app, body):
    answer = app.post("/api/facts", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 422
    assert set(answer.json()["error"]) >= {"what", "do", "where"}


def test_more_facts_than_a_message_holds_are_refused_whole(app, room, visit):
    many = [fact(visit, n, "note", {"text": "x"}) for n in range(1, 1002)]
    assert post(app, many).status_code == 422
    assert len(visit_facts(room.store, visit)) == 1


def test_facts_of_another_place_are_refused(app, visit):
    answer = app.post(
        "/api/facts", json={"facts": placed(visit)}, headers={"origin": "http://elsewhere.example"}
    )
    assert answer.status_code == 403


def test_the_chair_is_handed_a_plan_without_gaps(app, visit):
    plan = app.get(f"/api/visits/{visit}/chair").json()
    foils = [n for s in plan["sections"] for n in range(s["first"], s["last"] + 1)]
    assert foils == list(range(1, plan["last_foil"] + 1))
    assert all(len(s["pace_min"]) == s["last"] - s["first"] + 1 for s in plan["sections"])
    assert all(s["lines"] for s in plan["sections"])
    assert {s["bowl"] for s in plan["sections"]} <= set(plan["waits"])
    assert all(wait["out_min"] <= wait["longest_min"] for wait in plan["waits"].values())
    stages = [one["stage"] for one in plan["stages"]]
    assert stages == [n / 2 for n in range(6, 22)]


def test_the_rest_is_planned_anew_from_what_was_tapped(app, visit):
    post(app, [*placed(visit), fact(visit, 3, "changed", {"what": "stop"}, 5)])
    anew = app.get(f"/api/visits/{visit}/anew", params={"now": "10:07"}).json()
    assert anew["placed"] == [1, 2]
    assert anew["dropped"]
    assert any("Leave out" in step["what"] for step in anew["steps"])


def test_burning_planned_anew_says_rinse_and_nothing_else(app, visit):
    post(app, [*placed(visit), fact(visit, 3, "felt", {"what": "burning"}, 5)])
    anew = app.get(f"/api/visits/{visit}/anew", params={"now": "10:07"}).json()
    assert "Rinse now" in anew["rinse_now"]
    assert anew["groups"] == []


@pytest.mark.parametrize("now", ["", "25:00", "noon", "10:7", "99:99"])
def test_a_time_that_is_none_is_answered_with_a_sentence(app, visit, now):
    answer = app.get(f"/api/visits/{visit}/anew", params={"now": now})
    assert answer.status_code == 422
    assert answer.json()["error"]["do"]


def test_chapter_marks_count_from_the_visit_or_the_film(app, visit):
    post(app, placed(visit))
    own = app.get(f"/visits/{visit}/chapters.txt")
    assert own.headers["content-disposition"].startswith("attachment")
    lines = own.text.splitlines()
    assert lines[0] == "00:00:00 The visit begins"
    assert "00:01:00 Foils from 1, nape hairline" in lines
    film = app.get(f"/visits/{visit}/chapters.txt", params={"from": "10:00"}).text
    assert film.splitlines()[0].startswith("00:00:00 ")
    late = app.get(f"/visits/{visit}/chapters.txt", params={"from": "10:01"}).text
    assert late.splitlines()[0] == "00:00:00 Foils from 1, nape hairline"
    assert app.get(f"/visits/{visit}/chapters.txt", params={"from": "x"}).status_code == 422
    assert "Noor" not in own.text


def test_the_worker_keeps_all_that_the_page_is_made_of(app, visit):
    code = app.get("/sw.js")
    assert code.headers["content-type"].startswith("text/javascript")
    kept = json.loads(code.text.splitlines()[0].removeprefix("self.KEPT = ").rstrip(";"))
    assert all(app.get(address).status_code == 200 for address in kept)
    page = app.get(f"/chair/{visit}").text
    for name in ("css/base.css", "css/chair.css", "js/chair/main.js"):
        asked = page.split(f"/static/{name}")[1].split('"')[0]
        assert f"/static/{name}{asked}" in kept


def test_no_word_of_the_page_can_end_its_script(app, visit):
    page = app.get(f"/chair/{visit}").text
    for part in page.split('type="application/json"')[1:]:
        assert "<" not in part.split(">", 1)[1].split("</script>")[0]
