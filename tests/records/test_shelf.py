"""A plan reserves, a visit takes, what is low is ordered; days of return go to a calendar."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json

import pytest
from icalendar import Calendar
from tests.conftest import EXAMPLES

from strandline.base.errors import ReadError
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_lines
from strandline.salon.records.append import append
from strandline.salon.records.keep import add_client, keep_plan, sign_test, write
from strandline.salon.records.look import document
from strandline.salon.records.returns import calendar, returns
from strandline.salon.records.shelf import order_csv, shelf, take, taken_by
from strandline.salon.records.stock import named_product, put_shelf

LORNA = read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8")).facts
DAY = "2026-12-03"


def row(store, name):
    return next(one for one in shelf(store, DAY) if one.name == name)


@pytest.fixture
def powder(store, scribe):
    said = {"name": "white powder", "sort": "lightener", "low_grams": 200, "pack_grams": 500,
            "price_per_kg": 48, "label_max_min": 50}  # fmt: skip
    stream = "product-powder"
    write(store, scribe, stream, "product.described", said, sort="product")
    lot = {"lot": "A-17", "grams": 500, "price": 24, "expires_on": "2028-01-31"}
    write(store, scribe, stream, "lot.received", lot, sort="product")
    return stream


def test_a_plan_reserves_and_its_visit_takes_what_was_mixed(store, scribe, powder, made):
    plan = made("lorna").plan
    needs = next(line.grams for line in plan.quote.lines if line.what == "white powder")
    client = add_client(store, scribe, "Lorna Hexwillow")
    kept, _ = keep_plan(store, scribe, client, plan.model_dump_json())
    before = row(store, "white powder")
    assert (before.grams, before.reserved, before.free) == (500, needs, 500 - needs)
    append(store, LORNA, client=client)
    used = taken_by(fold(LORNA), "white powder", (5, 10, 20, 30))
    missing = take(store, scribe, LORNA[0].stream, used, plan=kept)
    after = row(store, "white powder")
    assert after.grams == 500 - used["white powder"]
    assert after.reserved == 0
    assert missing == sorted(set(used) - {"white powder"})
    take(store, scribe, LORNA[0].stream, used, plan=kept)
    assert row(store, "white powder") == after


def test_a_strength_that_no_bottle_has_is_shared_out_by_alligation():
    visit = fold(LORNA)
    used = taken_by(visit, "white powder", (5, 20))
    mixed = sum(bowl.developer_grams for bowl in visit.bowls if 5 < bowl.developer_vol < 20)
    pure = {5: 0.0, 20: 0.0}
    for bowl in visit.bowls:
        share = (bowl.developer_vol - 5) / 15
        pure[20] += share * bowl.developer_grams
        pure[5] += (1 - share) * bowl.developer_grams
    assert mixed > 0
    assert used["developer 5 volume"] == pytest.approx(pure[5])
    assert used["developer 20 volume"] == pytest.approx(pure[20])


def test_a_plan_made_anew_reserves_anew(store, scribe, powder, made):
    client = add_client(store, scribe, "Lorna Hexwillow")
    lorna = made("lorna").plan.model_dump_json()
    kept = keep_plan(store, scribe, client, lorna)
    assert row(store, "white powder").reserved > 0
    changed = json.loads(lorna)
    lines = changed["quote"]["lines"]
    changed["quote"]["lines"] = [line for line in lines if line["what"] != "white powder"]
    text = json.dumps(changed)
    keep_plan(store, scribe, client, text, over=kept)
    assert row(store, "white powder").reserved == 0
    assert document(store, kept.stream).text == text


def test_a_count_puts_an_end_to_what_came_and_went(store, scribe, powder):
    write(store, scribe, powder, "stock.counted", {"grams": 130}, sort="product")
    now = row(store, "white powder")
    assert (now.grams, now.low, now.order_grams) == (130, True, 500)
    assert now.price == pytest.approx(0.13 * 48)
    assert now.next_expiry == "2028-01-31"
    rows = list(csv.reader(io.StringIO(order_csv(shelf(store, DAY)))))
    assert rows == [
        ["product", "order_g", "free_g", "on_shelf_g", "reserved_g"],
        ["white powder", "500", "130", "130", "0"],
    ]


def test_a_name_that_a_sheet_would_reckon_with_is_quoted(store, scribe):
    said = {"name": "=1+1", "sort": "other", "low_grams": 5}
    write(store, scribe, "product-sum", "product.described", said, sort="product")
    assert "'=1+1," in order_csv(shelf(store, DAY))


def test_a_shelf_is_put_in_once(store, scribe):
    said = {"line": "tideline", "lightener": {"name": "white powder", "grams": 800}}
    new = put_shelf(store, scribe, said, "mine.toml")
    assert new == len(shelf(store, DAY)) > 10
    assert put_shelf(store, scribe, said, "mine.toml") == 0
    assert row(store, "white powder").grams == 800
    with pytest.raises(ReadError, match=r"mine.toml: shelf.lightener.grams"):
        put_shelf(store, scribe, {"lightener": {"grams": -1}}, "mine.toml")
    with pytest.raises(ReadError, match="is not on the shelf"):
        named_product(store, "chalk")


def test_days_of_return_with_the_test_before_are_a_calendar(store, scribe, made):
    client = add_client(store, scribe, "Noor Tamarsky")
    plan = made("lorna").plan
    keep_plan(store, scribe, client, plan.model_dump_json())
    days = {day.what: day for day in returns(store, DAY)}
    assert days["foils"].first == plan.next_visit.foils_from
    assert days["foils"].agreed is False
    assert days["gloss"].first < days["foils"].first
    assert days["gloss"].first - days["alert test"].first == dt.timedelta(days=3)
    moment = dt.datetime(2026, 12, 3, 14, 30, tzinfo=dt.UTC)
    raw = calendar(list(days.values()), moment)
    assert b"\r\n" in raw
    assert b"Noor" not in raw
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75
    events = {str(e["summary"]): e for e in Calendar.from_ical(raw).walk("VEVENT")}
    event = events["N. T. foils"]
    assert event.decoded("dtstart") == plan.next_visit.foils_from
    assert event.decoded("dtend") == plan.next_visit.foils_to + dt.timedelta(days=1)
    assert event.decoded("dtstamp") == moment
    assert calendar(list(days.values()), moment) == raw
    assert b"Noor Tamarsky foils" in calendar(list(days.values()), moment, names=True)


def test_an_agreed_day_stands_before_the_plans_and_a_test_that_counts_is_not_asked_again(
    store, scribe
):
    client = add_client(store, scribe, "Noor Tamarsky")
    write(store, scribe, client, "client.return", {"foils_on": "2027-03-01"})
    said = {"client": "Noor Tamarsky", "test": "alert", "result": "clear", "read_on": "2026-12-02",
            "applied_on": "2026-08-31", "signature": "N. T."}  # fmt: skip
    sign_test(store, scribe, client, said)
    assert [(d.what, d.agreed) for d in returns(store, DAY)] == [
        ("alert test", True), ("foils", True),
    ]  # fmt: skip
    sign_test(store, scribe, client, {**said, "applied_on": "2026-09-01"})
    assert [d.what for d in returns(store, DAY, client=client)] == ["foils"]
    assert returns(store, "2027-03-02") == []


def test_a_gloss_wants_the_test_too_and_one_counts_six_months(store, scribe):
    """As the trade's rule has it, a test is done again after six months, whatever the colour."""
    client = add_client(store, scribe, "Noor Tamarsky")

    def coming(gloss_on, foils_on):
        days = {"gloss_on": gloss_on, "foils_on": foils_on}
        write(store, scribe, client, "client.return", days)
        return [(day.what, day.first.isoformat()) for day in returns(store, DAY)]

    assert coming("2027-01-11", "2027-07-08") == [
        ("alert test", "2027-01-08"), ("gloss", "2027-01-11"), ("foils", "2027-07-08"),
    ]  # fmt: skip
    assert coming("2027-01-11", "2027-07-09") == [
        ("alert test", "2027-01-08"), ("gloss", "2027-01-11"),
        ("alert test", "2027-07-06"), ("foils", "2027-07-09"),
    ]  # fmt: skip
