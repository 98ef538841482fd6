"""The consultation without a browser: a plain form, saves with a version, streamed outlooks."""

from __future__ import annotations

import json
import re

import pytest

from strandline.salon.records.drafts import draft_of
from strandline.salon.records.keep import add_client, write
from strandline.salon.records.look import head_today
from strandline.salon.web.asking import words
from strandline.service.consultation.entry.questions import fields

EVERY = {
    "gray.front": "75", "gray.crown": "50", "own.gray.back": "33", "level.front": "5",
    "regrowth.front": "2", "cover.kind": "salon", "cover.depth": "5", "cover.years": "10",
    "light.where": "none", "strand": "medium", "ponytail": "medium", "length": "shoulder",
    "fringe": "none", "parting": "left", "condition": "sound", "wish": "soft",
    "aim": "smoky@8", "return": "12", "hours": "4", "own.money": "180",
}  # fmt: skip


@pytest.fixture
def client(room):
    made = add_client(room.store, room.scribe, "Wren Halloway", born="1977-03-04")
    for purpose in ("record", "health"):
        signed = {"purpose": purpose, "signature": "Wren Halloway"}
        write(room.store, room.scribe, made, "consent.given", signed)
    return made


@pytest.fixture
def at(client):
    return f"/clients/{client}/consultation"


def begun(app, at):
    return app.get(f"/api{at}").json()


def form_of(app, at, **more):
    now = begun(app, at)
    return {"stream": now["stream"], "version": str(now["version"]), **more}


def save(app, at, now, **answers):
    said = {"stream": now["stream"], "version": now["version"], "answers": answers}
    return app.post(f"/api{at}", json=said)


def test_a_plain_form_goes_from_nothing_to_a_kept_plan(app, at, room, client):
    sent = app.post(at, data=form_of(app, at, **EVERY, do="plan", day="2026-12-10"))
    assert sent.status_code == 303
    assert sent.headers["location"].startswith("/plans/plan-")
    head = head_today(room.store, client)
    (plan,), (consultation,) = head.plans, head.consultations
    assert json.loads(plan.text)["date"] == "2026-12-10"
    assert "gray = 33" in consultation.text
    assert 'tone = "smoky"' in consultation.text
    assert app.get(sent.headers["location"]).status_code == 200


def test_saving_without_a_plan_shows_the_same_answers_again(app, at):
    sent = app.post(at, data=form_of(app, at, **{"gray.front": "75", "own.regrowth.front": "1,7"}))
    assert sent.status_code == 303
    page = app.get(at).text
    assert re.search(r'name="gray.front" value="75" checked', page)
    assert 'value="1.7"' in page
    assert begun(app, at)["answers"] == {"gray.front": 75, "regrowth.front": 1.7}


def test_inches_are_written_as_inches_and_kept_as_centimetres(app, at):
    app.cookies.set("units", "us")
    app.post(at, data=form_of(app, at, **{"own.regrowth.front": "1"}))
    assert begun(app, at)["answers"] == {"regrowth.front": 2.54}
    assert 'name="own.regrowth.front"' in (page := app.get(at).text)
    assert re.search(r'name="own.regrowth.front"[^>]* value="1"', page)


@pytest.mark.parametrize("typed", ["-3e9", "<b>", "🙂" * 50])
def test_every_field_with_nonsense_is_told_beside_it_and_the_rest_is_kept(app, at, typed):
    wrong = {key: typed for key in fields() if key != "wish"}
    sent = app.post(at, data=form_of(app, at, wish="soft", **wrong))
    assert sent.status_code == 422
    missing = [key for key in wrong if f'id="fault-{key}"' not in sent.text]
    assert not missing
    assert begun(app, at)["answers"] == {"wish": "soft"}, "what is right is kept"
    alone = app.post(at, data=form_of(app, at, wish=typed))
    assert 'id="fault-wish"' in alone.text


def test_a_figure_that_cannot_be_stays_where_it_was_typed(app, at):
    page = app.post(at, data=form_of(app, at, **{"own.gray.front": "lots"})).text
    assert 'id="fault-gray.front"' in page
    assert re.search(r'name="own.gray.front"[^>]* value="lots"', page)
    assert "'lots' is no number." in page.replace("&#39;", "'")


def test_a_plan_that_lacks_what_no_default_stands_for_is_not_kept(app, at, room, client):
    some = {key: value for key, value in EVERY.items() if key != "condition"}
    sent = app.post(at, data=form_of(app, at, **some, do="plan"))
    assert sent.status_code == 422
    assert 'id="fault-condition"' in sent.text
    assert head_today(room.store, client).consultations == ()


def test_a_day_that_is_none_is_told_beside_it(app, at):
    sent = app.post(at, data=form_of(app, at, **EVERY, do="plan", day="soon"))
    assert sent.status_code == 422
    assert 'id="fault-day"' in sent.text


def test_without_consent_to_being_kept_no_plan_is_kept(app, at, room, client):
    write(room.store, room.scribe, client, "consent.withdrawn", {"purpose": "record"})
    sent = app.post(at, data=form_of(app, at, **EVERY, do="plan"))
    assert sent.status_code == 422
    assert "has not agreed" in sent.text
    assert begun(app, at)["answers"]["hours"] == 4, "the answers are there"


def test_one_that_is_under_way_stands_on_the_page_of_today(app, at):
    assert at not in app.get("/").text
    save(app, at, begun(app, at), **{"gray.front": 80})
    assert f'href="{at}"' in app.get("/").text
    app.post(at, data=form_of(app, at, **EVERY, do="plan"))
    assert at not in app.get("/").text


def test_each_answer_is_saved_with_the_version_it_was_given_on(app, at):
    now = begun(app, at)
    one = save(app, at, now, **{"gray.front": 80}).json()
    assert (one["version"], one["answered"], one["stands"]) == (1, ["gray"], False)
    two = save(app, at, one, hours="x", strand="fine").json()
    assert two["answers"] == {"gray.front": 80, "strand": "fine"}
    assert set(two["faults"]) == {"hours"}
    assert set(two["faults"]["hours"]) == {"code", "where", "what", "do"}


def test_the_second_of_two_windows_is_told_and_nothing_is_written_over(app, at):
    now = begun(app, at)
    save(app, at, now, **{"gray.front": 80})
    late = save(app, at, now, **{"gray.front": 25})
    assert late.status_code == 409
    said = late.json()
    assert set(said["error"]) == {"code", "where", "what", "do"}
    assert said["now"]["answers"] == {"gray.front": 80}
    assert begun(app, at)["answers"] == {"gray.front": 80}
    assert save(app, at, said["now"], **{"gray.front": 25}).json()["version"] == 2


def test_a_save_whose_answer_was_lost_may_be_sent_again(app, at):
    now = begun(app, at)
    first = save(app, at, now, **{"gray.front": 80})
    again = save(app, at, now, **{"gray.front": 80})
    assert again.status_code == 200
    assert again.json()["version"] == first.json()["version"] == 1


def test_a_stale_form_keeps_what_was_filled_in_and_says_what_differs(app, at):
    old = form_of(app, at, **{"gray.front": "25", "strand": "fine"})
    save(app, at, begun(app, at), **{"gray.front": 80})
    sent = app.post(at, data=old)
    assert sent.status_code == 409
    assert "in the record: 80" in sent.text
    assert re.search(r'name="gray.front" value="25" checked', sent.text)
    assert 'name="version" value="1"' in sent.text
    assert begun(app, at)["answers"] == {"gray.front": 80}
    assert app.post(at, data=old | {"version": "1"}).status_code == 303
    assert begun(app, at)["answers"] == {"gray.front": 25, "strand": "fine"}


def test_back_after_the_plan_says_so_and_plans_nothing_twice(app, at, room, client):
    old = form_of(app, at, **EVERY, do="plan")
    assert app.post(at, data=old).status_code == 303
    again = app.post(at, data=old)
    assert again.status_code == 409
    assert "planned already" in again.text
    head = head_today(room.store, client)
    assert (len(head.plans), len(head.consultations)) == (1, 1)
    late = save(app, at, {"stream": old["stream"], "version": 3}, hours=5)
    assert late.status_code == 409
    assert late.json()["now"]["version"] == 0


def test_a_returning_client_does_not_say_everything_twice(app, room, noor):
    now = begun(app, f"/clients/{noor}/consultation")
    assert now["answers"]["strand"] == "medium"
    assert {"regrowth", "cover", "light"} <= set(now["answered"]), "known from her last visit"
    assert "condition" not in now["answers"]
    assert draft_of(room.store, noor).version == 0, "looking writes nothing"


def events(app, at):
    found = app.get(f"/api{at}/outlook").text.strip().split("\n\n")
    return [
        (name.removeprefix("event: "), json.loads(data.removeprefix("data: ")))
        for name, data in (one.split("\n") for one in found if not one.startswith(":"))
    ]


def test_the_outlook_says_what_is_lacking_then_streams_the_plan(app, at):
    (name, said), (last, _) = events(app, at)
    assert (name, last) == ("lacking", "rest")
    assert "#q-gray" in said["line"]
    app.post(at, data=form_of(app, at, **{k: EVERY[k] for k in list(EVERY)[:10]}))
    found = events(app, at)
    names = [one for one, _ in found]
    assert names[-1] == "whole"
    assert set(names[:-1]) == {"running"}
    last = found[-1][1]
    assert "This would help most" in last["line"]
    assert 'href="#q-wish"' in last["line"]
    assert "plans worked out" in last["figures"]


def test_it_works_ahead_before_a_plan_is_due(app, at, room):
    save(app, at, begun(app, at), **{"gray.front": 75, "level.front": 5})
    text = app.get(f"/api{at}/outlook").text
    assert "4 more answers and a plan stands." in text
    assert ": at work" in text
    assert text.rstrip().endswith("event: rest\ndata: {}")
    assert "running" not in text


def test_answers_that_contradict_are_told_in_the_stream(app, at):
    now = begun(app, at)
    given = form_of(app, at, **EVERY)
    app.post(at, data=given)
    past_the_ends = [{"from_cm": 60, "to_cm": 70, "past": "henna"}]
    save(app, at, begun(app, at) | {"stream": now["stream"]}, bands=past_the_ends)
    ((name, said),) = events(app, at)
    assert name == "cannot"
    assert "hair is 30 cm long" in said["line"]


def test_without_scripts_the_ranges_are_worked_out_before_the_page(app, at):
    app.post(at, data=form_of(app, at, **EVERY))
    page = app.get(f"{at}?ranges=true").text
    assert "plans worked out" in page


def test_a_drawn_strand_comes_from_plain_rows(app, at):
    rows = {
        "drawn-open": "1", "drawn": "1",
        "band.1.past": "permanent", "band.1.from_cm": "2,5", "band.1.to_cm": "20",
        "band.1.depth": "4", "band.2.past": "lightened", "band.2.from_cm": "20",
        "band.2.to_cm": "30", "band.2.stage": "9", "band.2.times": "2", "band.3.past": "",
    }  # fmt: skip
    app.post(at, data=form_of(app, at, **rows))
    bands = begun(app, at)["answers"]["bands"]
    assert [(one["past"], one["from_cm"], one["to_cm"]) for one in bands] == [
        ("permanent", 2.5, 20),
        ("lightened", 20, 30),
    ]
    bad = app.post(at, data=form_of(app, at, **rows | {"band.2.to_cm": "x"}))
    assert bad.status_code == 422
    assert 'id="fault-bands.2"' in bad.text


def test_the_page_brings_no_markup_in_its_data(app, room, at, client):
    write(room.store, room.scribe, client, "client.named", {"name": "</script><script>alert(1)//"})
    page = app.get(at).text
    assert "<script>alert" not in page
    assert json.loads(page.split('id="words">')[1].split("</script>")[0]) == words()


def test_no_such_client_is_told(app):
    assert app.get("/clients/client-none/consultation").status_code == 404
    assert app.get("/api/clients/client-none/consultation").json()["error"]["code"] == "unreadable"
