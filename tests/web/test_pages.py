"""The pages: what they show, what a change brings, what is kept, what is told beside a field."""

from __future__ import annotations

import re

import pytest

from strandline.salon.records.look import head_today


def told_beside(text, field):
    found = re.search(rf'id="fault-{field}"[^>]*>([^<]*)<', text)
    return found[1] if found else None


def test_the_day_names_who_is_planned_and_what_is_low(app):
    text = app.get("/").text
    assert "Noor Tamarsky" in text
    assert "Open the plan" in text


def test_a_search_by_part_gives_lines_alone(app):
    text = app.get("/clients", params={"part": "tamar"}, headers={"hx-request": "true"}).text
    assert "<html" not in text
    assert "Noor Tamarsky" in text
    assert "Perpetua" not in text
    nothing = app.get("/clients", params={"part": "<b>"}, headers={"hx-request": "true"}).text
    assert "<b>" not in nothing
    assert "&lt;b&gt;" in nothing


def test_a_client_is_kept_only_with_her_consent_and_nothing_typed_is_lost(app, room):
    answer = app.post("/clients", data={"name": "Ottoline Reedbank", "contact": "by the mill"})
    assert answer.status_code == 422
    assert told_beside(answer.text, "signature")
    assert 'value="by the mill"' in answer.text
    sent = {"name": "Ottoline Reedbank", "signature": "O. Reedbank"}
    where = app.post("/clients", data=sent).headers["location"]
    head = head_today(room.store, where.rpartition("/")[2])
    assert head.client.name == "Ottoline Reedbank"
    assert head.client.consents["health"]
    assert not head.client.consents["photo"]


def test_her_head_now_counts_from_the_last_visit_that_ended(app, noor, plan):
    assert "12 weeks" in app.get(f"/clients/{noor}").text
    where = app.post(f"/plans/{plan}/done").headers["location"]
    assert "12 weeks" in app.get(f"/clients/{noor}").text
    app.post(where, data={"as_planned": "yes"})
    assert "0 weeks" in app.get(f"/clients/{noor}").text


def test_a_plan_shows_what_is_in_it(app, room, plan):
    from strandline.salon.web.pages.plan import read_plan

    said = read_plan(room, plan)
    text = app.get(f"/plans/{plan}").text
    assert said.technique in text
    assert text.count('class="weigh"') >= len(said.bowls)
    for bowl in said.bowls:
        for part in bowl.poured:
            assert f"{part.grams:.4g} g" in text
    for caution in said.cautions:
        assert caution.do.split(";")[0][:20] in text.replace("&#39;", "'")
    assert "<svg" in text


def test_a_kept_map_is_the_map_that_was_made(room, plan):
    from strandline.salon.report.drawing import draw_kept_map, draw_plan_map
    from strandline.salon.web.pages.plan import read_plan

    made = room.plans.of(plan)
    kept = read_plan(room, plan)
    assert [one.number for one in made.plan.foils] == [one.number for one in kept.foils]
    drawn, again = draw_plan_map(made), draw_kept_map(kept)
    count = r"<path"
    assert abs(len(re.findall(count, drawn)) - len(re.findall(count, again))) <= 2


def test_a_change_shows_what_follows_and_is_kept_only_when_asked(app, room, noor, plan):
    before = head_today(room.store, noor)
    query = {"wish": "tone only", "tone": "pearl", "hours": "2.5"}
    text = app.get(f"/plans/{plan}/if", params=query).text
    assert "Foils" in text
    assert "<b>0</b>" in text
    assert head_today(room.store, noor).plans == before.plans
    assert app.post(f"/plans/{plan}/if", data=query).status_code == 303
    after = head_today(room.store, noor)
    assert len(after.plans) == len(before.plans)
    changed = next(one for one in after.plans if one.stream == plan)
    assert '"foil_count":0' in changed.text
    assert 'wish = "tone only"' in after.consultations[-1].text


@pytest.mark.parametrize("hours", ["", "many", "99", "-1", "nan"])
def test_hours_that_are_none_are_told_and_nothing_is_kept(app, room, noor, plan, hours):
    before = head_today(room.store, noor)
    answer = app.get(f"/plans/{plan}/if", params={"hours": hours})
    assert answer.status_code == 200
    assert 'role="alert"' in answer.text
    assert app.post(f"/plans/{plan}/if", data={"hours": hours}).status_code == 422
    assert head_today(room.store, noor).plans == before.plans


def test_a_plan_that_stops_offers_no_chair_and_no_formula(app, room):
    from strandline.salon.records.look import the_client

    client = the_client(room.store, "Perpetua")
    stopped = head_today(room.store, client).plans[0].stream
    text = app.get(f"/plans/{stopped}").text
    assert "No formula today" in text
    assert "To the chair" not in text
    assert 'class="weigh"' not in text


def test_the_sheets_are_pdfs_of_the_right_length(app, plan):
    import io

    from pypdf import PdfReader

    for name, pages in (("worksheet", (1,)), ("client-sheet", (1, 2))):
        answer = app.get(f"/plans/{plan}/{name}.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        assert len(PdfReader(io.BytesIO(answer.content)).pages) in pages


def test_as_planned_then_the_exceptions(app, room, noor, plan):
    from strandline.salon.records.shelf import shelf

    before = {row.name: row.grams for row in shelf(room.store, "2027-05-20")}
    where = app.post(f"/plans/{plan}/done").headers["location"]
    assert app.post(f"/plans/{plan}/done").headers["location"] == where
    assert "As planned" in app.get(where).text
    sent = {
        "as_planned": "yes", "dropped": "3, 5-6", "even-whole": "even", "stage-whole": "8,5",
        "left-main": "some", "outcome": "finished", "foils_on": "2027-08-26", "note": "left early",
    }  # fmt: skip
    answer = app.post(where, data=sent)
    assert answer.status_code in (200, 303)
    head = head_today(room.store, noor)
    visit = head.visits[-1]
    assert visit.ended
    assert set(visit.dropped) == {3, 5, 6}
    assert not {3, 5, 6} & visit.foils_done
    assert visit.results[0].stage == 8.5
    assert head.client.foils_on == "2027-08-26"
    after = {row.name: row.grams for row in shelf(room.store, "2027-05-20")}
    assert after["white powder"] < before["white powder"]
    assert "27 May" not in app.get("/").text


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("dropped", "three"),
        ("dropped", "9-3"),
        ("added", "0"),
        ("foils_on", "soon"),
        ("foils_on", "2020-01-01"),
        ("stage-whole", "dark"),
        ("stage-whole", "12"),
        ("even-whole", "wavy"),
    ],
)
def test_nonsense_after_a_visit_is_told_beside_its_field_and_nothing_is_written(
    app, room, noor, plan, field, value
):
    where = app.post(f"/plans/{plan}/done").headers["location"]
    before = head_today(room.store, noor)
    sent = {"even-whole": "even", "note": "kept in the form", field: value}
    answer = app.post(where, data=sent)
    assert answer.status_code == 422
    assert told_beside(answer.text, field), field
    assert "kept in the form" in answer.text
    assert head_today(room.store, noor) == before


def test_what_was_weighed_back_is_told_after_the_visit(app, room, plan):
    from strandline.salon.records.keep import write

    where = app.post(f"/plans/{plan}/done").headers["location"]
    visit = where.split("/")[2]
    mixed = {"bowl": "main", "developer_vol": 20, "developer_grams": 40, "powder_grams": 22.5}
    for kind, said in (("bowl.mixed", mixed), ("bowl.left", {"bowl": "main", "grams": 12})):
        write(room.store, room.scribe, visit, kind, said, sort="visit")
    assert "main bowl: 62.5 g mixed, 50.5 g used" in app.get(where).text


def test_what_a_visit_taught_starts_the_next_plan(app, room, noor, plan):
    from strandline.salon.records.learned import learned

    assert learned(room.store) is None
    where = app.post(f"/plans/{plan}/done").headers["location"]
    app.post(where, data={"as_planned": "yes", "even-whole": "even", "stage-whole": "8"})
    assert learned(room.store) is not None
    app.post(f"/clients/{noor}/plans", data={"day": "2027-08-26"})
    newest = max(head_today(room.store, noor).plans, key=lambda one: one.date)
    assert '"leans_on":[{' in newest.text
    assert "1 visit" in app.get("/practice").text


def test_the_shelf_takes_what_came_and_what_was_weighed(app, room):
    from strandline.salon.records.shelf import shelf

    def grams(name):
        return next(row for row in shelf(room.store, "2027-05-20") if row.name == name)

    row = grams("9 violet")
    app.post(f"/shelf/{row.stream}/stock", data={"what": "counted", "grams": "61,5"})
    assert grams("9 violet").grams == 61.5
    app.post(f"/shelf/{row.stream}/stock", data={"what": "received", "grams": "180", "lot": "A7"})
    assert grams("9 violet").grams == 241.5
    for wrong in ("", "lots", "-5", "1e9"):
        answer = app.post(f"/shelf/{row.stream}/stock", data={"what": "counted", "grams": wrong})
        assert answer.status_code == 422
        assert told_beside(answer.text, "grams")
    assert grams("9 violet").grams == 241.5
    sent = {"sort": "gloss", "name": "8.12", "grams": "60", "price": "110"}
    assert app.post("/shelf", data=sent).status_code == 303
    assert grams("8.12").grams == 60
    answer = app.post("/shelf", data={"sort": "gloss", "name": "moonlight", "grams": "60"})
    assert answer.status_code == 422
    assert "depth" in answer.text
    assert app.get("/shelf/order.csv").headers["content-type"].startswith("text/csv")


def test_her_own_values_stand_over_the_starting_ones(app, room, noor):
    from strandline.salon.records.bench import practice_tables

    assert (
        app.post("/practice/values", data={"name": "seconds_slice", "value": "55"}).status_code
        == 303
    )
    assert practice_tables(room.store)["practice"] == {"seconds_slice": 55.0}
    for name, value in (("seconds_slice", "5"), ("seconds_slice", "fast"), ("nothing", "1")):
        answer = app.post("/practice/values", data={"name": name, "value": value})
        assert answer.status_code == 422
    costs = {"currency": "euro", "rent": "620"}
    answer = app.post("/practice/costs", data=costs)
    assert answer.status_code == 422
    assert told_beside(answer.text, "currency")
    assert told_beside(answer.text, "take_home")
    assert 'value="620"' in answer.text


def test_units_and_hours_are_this_devices(app, plan):
    app.post("/practice/manner", data={"units": "us", "hours": "12"})
    assert " oz)" in app.get(f"/plans/{plan}").text
    told = app.post("/practice/manner", data={"units": "cubits", "hours": "7"})
    assert told.status_code == 422
    assert told_beside(told.text, "units")
    assert told_beside(told.text, "hours")
    assert " oz)" in app.get(f"/plans/{plan}").text, "as it was"
    app.post("/practice/manner", data={"units": "metric", "hours": "24"})
    assert " oz)" not in app.get(f"/plans/{plan}").text


def test_a_record_is_exported_and_erased_by_name(app, room, noor):
    import io
    import zipfile

    whole = zipfile.ZipFile(io.BytesIO(app.get(f"/clients/{noor}/export.zip").content))
    assert {"client.html", "client.json"} <= set(whole.namelist())
    answer = app.post(f"/clients/{noor}/erase", data={"meant": "noor"})
    assert answer.status_code == 422
    assert told_beside(answer.text, "meant")
    answer = app.post(f"/clients/{noor}/erase", data={"meant": "Noor Tamarsky"})
    assert answer.status_code == 200
    assert app.get(f"/clients/{noor}").status_code == 404
    assert b"Tamarsky" not in app.get("/clients").content


def test_a_photo_wants_consent_and_must_be_one(app, noor, tmp_path):
    import io

    from PIL import Image

    raw = io.BytesIO()
    Image.new("RGB", (40, 30), "gray").save(raw, "JPEG")
    sent = {"picture": ("a.jpg", raw.getvalue(), "image/jpeg")}
    where = f"/clients/{noor}/photos"
    assert "not consented" in app.post(where, files=sent).text
    app.post(f"/clients/{noor}/consents", data={"purpose": "photo", "signature": "Noor"})
    assert app.post(where, files=sent, data={"view": "crown"}).status_code == 303
    page = app.get(f"/clients/{noor}").text
    shown = re.search(rf"/clients/{noor}/photos/\w+\.jpg", page)[0]
    assert app.get(shown).headers["content-type"] == "image/jpeg"
    large = {"picture": ("b.jpg", raw.getvalue() + bytes(30_000_000), "image/jpeg")}
    assert app.post(where, files=large, data={"view": "back"}).status_code == 303
    wrong = {"picture": ("a.jpg", b"not one", "image/jpeg")}
    assert 'id="fault-picture"' in app.post(where, files=wrong).text


@pytest.mark.parametrize(
    ("path", "sent", "field"),
    [
        ("tests", {"test": "alert", "result": "clear", "read_on": "2027-05-20"}, "applied_on"),
        ("tests", {"test": "smell", "applied_on": "2027-05-01"}, "test"),
        ("reactions", {"on": "yesterday", "to": "x", "what": "y", "severity": "mild"}, "on"),
        ("reactions", {"on": "2027-05-01", "to": "x", "what": "", "severity": "mild"}, "what"),
        ("return", {"foils_on": "2001-01-01"}, "foils_on"),
        ("return", {"foils_on": "spring"}, "foils_on"),
        ("consents", {"purpose": "photo", "signature": " "}, "sign-photo"),
    ],
)
def test_nonsense_on_a_clients_page_is_told_beside_its_field(app, room, noor, path, sent, field):
    before = head_today(room.store, noor)
    answer = app.post(f"/clients/{noor}/{path}", data=sent)
    assert answer.status_code == 422
    assert told_beside(answer.text, field), field
    assert head_today(room.store, noor) == before


def test_two_editors_of_one_plan_are_told(app, room, noor, plan):
    """The second of two changes made from the same page is answered so, and nothing is lost."""
    from strandline.salon.records.keep import keep_plan
    from strandline.salon.records.look import document
    from strandline.salon.records.wall import StaleError

    read = document(room.store, plan)
    keep_plan(room.store, room.scribe, noor, read.text, over=read)
    with pytest.raises(StaleError):
        keep_plan(room.store, room.scribe, noor, read.text, over=read)


def test_evidence_comes_as_it_is_computed(app):
    with app.stream("GET", "/evidence/run") as answer:
        assert answer.headers["content-type"].startswith("text/event-stream")
        first = next(line for line in answer.iter_lines() if line.startswith("data:"))
    assert '"computed"' in first


def test_ways_are_planned_with_progress_and_one_is_kept(app, room, noor, plan):
    from strandline.salon.records.look import document

    with app.stream("GET", f"/plans/{plan}/ways/run") as answer:
        lines = [line for line in answer.iter_lines() if line]
    assert "event: progress" in lines
    assert lines[-2:] == ["event: done", "data: {}"]
    text = app.get(f"/plans/{plan}/ways/table").text
    assert text.count("Take this one") >= 2
    assert app.post(f"/plans/{plan}/ways", data={"way": "gloss alone"}).status_code == 303
    kept = document(room.store, plan)
    assert kept.said["way"] == "gloss alone"
    assert '"foil_count":0' in kept.text
    assert room.plans.of(plan).plan.foil_count == 0
    assert "of your wish" in sheet_words(app, plan), "the ways stand on it as from the command line"
    assert app.post(f"/plans/{plan}/ways", data={"way": "by moonlight"}).status_code == 422
    assert app.post(f"/plans/{plan}/ways", data={"way": ""}).status_code == 303
    assert "way" not in document(room.store, plan).said
    assert "of your wish" not in sheet_words(app, plan)


def sheet_words(app, plan):
    import io

    from pypdf import PdfReader

    pages = PdfReader(io.BytesIO(app.get(f"/plans/{plan}/client-sheet.pdf").content)).pages
    return " ".join(" ".join(one.extract_text() for one in pages).split())


@pytest.mark.parametrize(
    ("path", "sent"),
    [
        ("/clients/client-none/consents", {"purpose": "photo", "signature": "Nobody"}),
        ("/clients/client-none/consents", {"purpose": "photo", "withdraw": "true"}),
        ("/clients/client-none/reactions",
         {"on": "2027-05-01", "to": "x", "what": "y", "severity": "mild"}),
        ("/clients/client-none/return", {"foils_on": "2027-08-01"}),
        ("/clients/client-none/tests",
         {"test": "alert", "result": "clear", "applied_on": "2027-05-01", "read_on": "2027-05-03",
          "test_signature": "Nobody"}),
        ("/shelf/product-none/stock", {"what": "counted", "grams": "60"}),
        ("/shelf/product-none/stock", {"what": "counted", "grams": "abc"}),
    ],
)  # fmt: skip
def test_nothing_is_written_of_what_is_not_there(app, room, path, sent):
    from strandline.salon.records.tables import STREAM

    def streams():
        with room.store.reading() as connection:
            return set(connection.scalars(STREAM.select().with_only_columns(STREAM.c.name)))

    before = streams()
    assert app.post(path, data=sent).status_code == 404
    assert streams() == before


def test_a_plan_asked_for_twice_at_once_is_made_once(room, plan, monkeypatch):
    import threading

    from strandline.salon.web import room as rooms

    made, make = [], rooms.make_from
    monkeypatch.setattr(rooms, "make_from", lambda *a, **k: made.append(1) or make(*a, **k))
    found = []
    both = [threading.Thread(target=lambda: found.append(room.plans.of(plan))) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join(60)
    assert len(made) == 1
    assert found[0] is found[1]
