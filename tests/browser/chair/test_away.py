"""The chair without its server, after sleep, and looked at as it is used."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from playwright.sync_api import expect

AXE = Path(__file__).parents[3] / "node_modules" / "axe-core" / "axe.min.js"


def kept_by_worker(chair):
    chair.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    chair.page.wait_for_function("() => navigator.serviceWorker.controller !== null")


def test_with_the_server_lost_it_is_loaded_anew_and_nothing_is_lost(chair):
    page = chair.page
    kept_by_worker(chair)
    chair.on()
    chair.sent()
    chair.served.stop()
    chair.on(3)
    expect(page.locator("#kept")).to_contain_text("kept here")
    before = page.locator(".clock .when").all_text_contents()
    page.reload()
    chair.ready()
    assert page.locator(".clock .when").all_text_contents() == before
    expect(page.locator("#kept")).to_contain_text("kept here")
    chair.on(2)
    page.click("#things")
    page.get_by_role("button", name="Late by 10 min").click()
    expect(page.locator("#follows-words")).to_contain_text("when the server is there again")
    chair.served.start()
    chair.pass_minutes(1)
    expect(page.locator("#follows .steps li").first).to_be_visible(timeout=20_000)
    page.click("#follows [data-close]")
    chair.sent()
    kinds = [kind for kind, _ in chair.kept()]
    assert len(kinds) == len(set(page.evaluate(FACT_IDS))) - 1
    assert kinds[:3] == ["section.begun", "section.placed", "section.begun"]
    assert kinds[-1] == "changed"


FACT_IDS = """async () => {
  const open = indexedDB.open("strandline-chair");
  const done = (asked) => new Promise((give) => { asked.onsuccess = () => give(asked.result) });
  const database = await done(open);
  return done(database.transaction("facts").objectStore("facts").getAllKeys());
}"""


def test_after_sleep_clocks_are_right_and_what_is_overdue_rings(chair):
    page = chair.page
    chair.on()
    chair.on(3)
    page.evaluate(HIDE, "hidden")
    chair.pass_minutes(51)
    page.evaluate(HIDE, "visible")
    expect(page.locator("#alarm strong")).to_have_text(
        "Label's longest time past: take out foils 1–2 now"
    )
    first = page.locator(".clock").first
    expect(first).to_have_attribute("data-state", "label")
    expect(first.locator(".left")).to_have_text("4 min over")
    assert "Label" in page.title()


HIDE = """state => {
  Object.defineProperty(document, "visibilityState", { value: state, configurable: true });
  document.dispatchEvent(new Event("visibilitychange"));
}"""


def test_the_page_says_that_a_sleeping_phone_cannot_ring(chair):
    chair.page.get_by_text("Sound, screen, film").click()
    expect(chair.page.get_by_text("a phone sleeps, and cannot ring")).to_be_visible()


def test_two_tabs_of_one_device_number_as_one(chair, context):
    other = context.new_page()
    other.clock.install(time=dt.datetime(2027, 5, 20, 9, 30, tzinfo=dt.UTC))
    other.goto(chair.page.url)
    other.wait_for_selector("#chair[data-ready]")
    chair.on()
    other.click("#feels")
    other.click("[data-felt=itch]")
    other.wait_for_timeout(200)
    chair.sent()
    other.wait_for_selector('#kept[data-standing="sent"]')
    numbers = chair.page.evaluate(NUMBERS)
    assert sorted(numbers) == [1, 2]


NUMBERS = """async () => {
  const open = indexedDB.open("strandline-chair");
  const done = (asked) => new Promise((give) => { asked.onsuccess = () => give(asked.result) });
  const database = await done(open);
  const rows = await done(database.transaction("facts").objectStore("facts").getAll());
  return rows.map((row) => row.fact).filter((fact) => fact.device.startsWith("chair-"))
    .map((fact) => fact.device_seq);
}"""


LOOKS = [
    {"viewport": {"width": width, "height": height}, "color_scheme": scheme}
    for width, height in ((320, 568), (1024, 768))
    for scheme in ("light", "dark")
]


@pytest.mark.parametrize("look", LOOKS, ids=lambda one: f"{one['viewport']['width']}")
def test_nothing_sticks_out_is_too_small_or_fails_axe(chair, look):
    page = chair.page
    chair.on()
    chair.on(3)
    width = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert width[0] <= width[1]
    for opens in (None, "#things", "#feels", ".clock .way"):
        if opens:
            page.locator(opens).first.click()
        small = page.evaluate(SMALL)
        assert small == []
        page.evaluate(AXE.read_text("utf-8"))
        found = page.evaluate("() => axe.run().then(({ violations }) => violations)")
        assert [(one["id"], one["nodes"][0]["html"][:120]) for one in found] == []
        if opens:
            page.keyboard.press("Escape")


SMALL = """() => [...document.querySelectorAll("button, .how label")]
  .filter((one) => one.checkVisibility())
  .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 63.5 || box.width < 50)
  .map(([text, box]) => `${text}: ${box.width} x ${box.height}`)"""
