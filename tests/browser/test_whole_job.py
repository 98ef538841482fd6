"""The whole job in a browser: from a name to the third visit's plan."""

from __future__ import annotations

import datetime as dt

import pytest
from playwright.sync_api import expect
from tests.browser.test_consultation import REST, SIX, chip, plan_it
from tests.served import Served

from strandline.salon.records.look import clients, head_today
from strandline.salon.web.room import Room

NAME = "Ottoline Reedbank"
WELL = ("none", "no", "sound")
"""What a client without a worry answers."""
TAPS = 160
"""More than a visit takes."""


@pytest.fixture
def moment(room):
    """Give a moment that the test moves: the record's, in a list."""
    return [room.clock()]


@pytest.fixture
def served(room, moment):
    running = Served(Room(room.store, "Ada", lambda: moment[0]))
    yield running
    running.stop()


@pytest.fixture
def page(browser, served, moment):
    context = browser.new_context(
        base_url=served.at, viewport={"width": 1024, "height": 768}, timezone_id="Europe/Lisbon"
    )
    made = context.new_page()
    made.set_default_timeout(20_000)
    made.clock.install(time=moment[0])
    told = []
    made.on("console", lambda one: told.append(one.text) if one.type == "error" else None)
    made.on("pageerror", lambda one: told.append(str(one)))
    yield made
    context.close()
    assert not told, told


def written(room):
    (row,) = clients(room.store, NAME)
    return head_today(room.store, row.client)


def test_from_a_name_to_the_third_visit(page, room, moment):
    page.goto("/clients")
    page.fill("#name", NAME)
    page.fill("#signature", NAME)
    page.get_by_role("button", name="Write her down").click()
    page.wait_for_url("**/clients/client-*")
    at = page.url
    _health(page, at)
    _alert_test(page, at, moment[0].date())
    page.goto(f"{at}/consultation")
    for key, value in (*SIX, *REST):
        chip(page, key, value)
    expect(page.locator("#saved")).to_have_text("Saved")
    plan_it(page)
    page.wait_for_url("**/plans/*")
    expect(page.locator("h1 + .word")).to_have_text("Go")
    foils = int(page.locator(".figures dd").first.inner_text().split()[0])
    page.get_by_role("button", name="To the chair").click()
    page.wait_for_url("**/chair/*")
    _at_the_chair(page)
    page.wait_for_timeout(400)
    page.get_by_role("link", name="After the visit").click()
    expect(page.locator("main")).to_contain_text(f"recorded {foils} foils")
    _over(page, written(room))
    first = written(room)
    assert len(first.visits) == 1
    assert len(first.visits[0].foils_done) == foils
    for number in (2, 3):
        agreed = dt.date.fromisoformat(written(room).client.foils_on)
        moment[0] = dt.datetime.combine(agreed, dt.time(9), moment[0].tzinfo)
        page.goto(at)
        expect(page.locator("#day")).to_have_value(agreed.isoformat())
        page.get_by_role("button", name="Plan it").click()
        page.wait_for_url("**/plans/*")
        expect(page.locator("header .quiet").first).to_contain_text(f"visit {number}")
        if number == 2:
            page.get_by_role("button", name="It is done: write it down").click()
            page.wait_for_url("**/after")
            _over(page, written(room))
    drawn = page.locator(".map svg")
    expect(drawn.locator("g.ghosts")).to_have_count(1)
    expect(drawn.locator("g.older")).to_have_count(1)
    record = written(room)
    assert [one.date for one in record.visits] == sorted(one.date for one in record.visits)
    assert len(record.visits) == 2
    assert len(record.plans) == 3


def _health(page, at):
    page.goto(f"{at}/health")
    for group in page.locator("form fieldset").all():
        for word in WELL:
            found = group.locator(f"input[value='{word}']")
            if found.count():
                found.first.check(force=True)
                break
    for box in ("agree-record", "agree-health"):
        page.locator(f"input[name='{box}']").check(force=True)
    page.fill("#signature", NAME)
    page.locator("button[type=submit]").click()
    page.wait_for_url("**/health?kept=true")


def _alert_test(page, at, day):
    page.goto(at)
    page.get_by_text("Write down a test or a reaction").click()
    page.fill("#result", "clear")
    put_on = day - dt.timedelta(days=4)
    page.fill("#applied_on", put_on.isoformat())
    page.fill("#applied_at", "10:00")
    page.fill("#read_on", (put_on + dt.timedelta(days=2)).isoformat())
    page.fill("#test_signature", NAME)
    page.get_by_role("button", name="Keep the test").click()
    expect(page.locator("#tests ~ .wide")).to_contain_text("alert test")


def _at_the_chair(page):
    page.wait_for_selector("#chair[data-ready]")
    for _ in range(TAPS):
        if page.get_attribute("#large", "data-do") == "ended":
            break
        page.clock.fast_forward(180_000)
        page.wait_for_timeout(40)
        page.click("#large")
        page.wait_for_timeout(40)
        if page.locator("#check").is_visible():
            page.locator("#stages .stage").nth(9).click()
    assert page.get_attribute("#large", "data-do") == "ended"


def _over(page, head):
    page.select_option("#even-whole", "even")
    page.fill("#stage-whole", "8")
    page.get_by_role("button", name="Write it down").click()
    page.wait_for_url(f"**/clients/{head.client.stream}")
