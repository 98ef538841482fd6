"""The chair without its server, after sleep, and looked at as it is used."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from playwright.sync_api import expect
from tests.browser.chair.conftest import MOMENT

from strandline.salon.records.look import visit_facts

AXE = Path(__file__).parents[3] / "node_modules" / "axe-core" / "axe.min.js"


def kept_by_worker(chair):
    chair.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    chair.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    chair.page.wait_for_function("() => caches.match(location.href).then(Boolean)")


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


def test_a_clock_that_is_off_the_records_is_said(context, served, begun):
    page = context.new_page()
    page.clock.install(time=MOMENT + dt.timedelta(minutes=10))
    page.goto(f"{served.at}/chair/{begun[1]}")
    expect(page.locator("#notice")).to_contain_text("clock is 10 min off")


def test_a_record_shown_as_on_another_day_keeps_its_day(context, served, begun):
    """The day is the record's; the hour is this device's, whatever day it is here."""
    page = context.new_page()
    page.goto(f"{served.at}/chair/{begun[1]}")
    page.wait_for_selector("#chair[data-ready]")
    page.click("#large")
    expect(page.locator("#large")).to_have_attribute("data-do", "place")
    page.wait_for_selector('#kept[data-standing="sent"]')
    page.wait_for_timeout(300)
    last = visit_facts(served.room.store, begun[1])[-1]
    assert last.kind == "section.begun"
    apart = dt.datetime.fromisoformat(last.device_time) - MOMENT
    assert abs(apart) <= dt.timedelta(hours=13)


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
    {"viewport": {"width": width, "height": height}, "color_scheme": scheme, "bypass_csp": True}
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


SENSES = """
globalThis.asked = { screen: 0, tones: 0 };
Object.defineProperty(navigator, "wakeLock", { value: { request: async () => {
  asked.screen += 1;
  return Object.assign(new EventTarget(), { release: async () => {} });
} } });
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (...when) {
  asked.tones += 1;
  return start.apply(this, when);
};
"""


def test_the_screen_stays_on_while_foils_are_in_and_alarms_sound(chair):
    page = chair.page
    page.add_init_script(SENSES)
    page.reload()
    chair.ready()
    assert page.evaluate("asked") == {"screen": 0, "tones": 0}
    chair.on()
    page.wait_for_function("() => asked.screen === 1")
    page.wait_for_timeout(50)
    assert page.evaluate("asked.tones") == 0
    chair.pass_minutes(16)
    page.wait_for_function("() => asked.tones > 0")
    rung = page.evaluate("asked.tones")
    page.click("#hush")
    chair.pass_minutes(5)
    page.wait_for_timeout(700)
    assert page.evaluate("asked.tones") == rung
    chair.pass_minutes(30)
    page.wait_for_function("rung => asked.tones > rung", arg=rung)


def test_on_hurt_skin_the_gloss_says_to_look_first(chair):
    page = chair.page
    chair.on()
    chair.on(3)
    page.click("#feels")
    page.click("[data-felt=pain]")
    page.click("#felt-rinsed")
    expect(page.locator("#felt")).to_be_hidden()
    expect(page.locator("#large")).to_have_attribute("data-do", "gloss")
    expect(page.locator("#large")).to_contain_text("look at the skin first")
