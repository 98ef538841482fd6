"""The consultation under a finger: from nothing to a plan, and nothing lost on the way."""

from __future__ import annotations

import re
import sqlite3
import sys

import pytest
from playwright.sync_api import expect
from tests.browser.hand import Hand

from strandline.salon.records.keep import add_client, write
from strandline.salon.records.look import head_today
from strandline.service.consultation.entry.questions import fields

PHONE = {"width": 390, "height": 844}
SIX = (
    ("gray.front", "75"),
    ("level.front", "5"),
    ("regrowth.front", "2"),
    ("cover.kind", "salon"),
    ("cover.depth", "5"),
    ("light.where", "none"),
    ("strand", "medium"),
)
REST = (
    ("ponytail", "medium"),
    ("length", "shoulder"),
    ("fringe", "none"),
    ("parting", "left"),
    ("condition", "sound"),
    ("wish", "soft"),
    ("aim", "smoky@8"),
    ("return", "12"),
    ("hours", "4"),
)


@pytest.fixture
def client(room):
    made = add_client(room.store, room.scribe, "Wren Halloway", born="1977-03-04")
    for purpose in ("record", "health"):
        signed = {"purpose": purpose, "signature": "Wren Halloway"}
        write(room.store, room.scribe, made, "consent.given", signed)
    return made


@pytest.fixture
def open_page(browser, served):
    """Give a function that opens a window; what its console says wrong fails the test."""
    contexts, told = [], []

    def make(path="/", *, context=None, quiet=(), **more):
        if context is None:
            context = browser.new_context(base_url=served.at, **{"viewport": PHONE, **more})
            contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda one: told.append(str(one)))
        page.on(
            "console",
            lambda one: (
                told.append(one.text)
                if one.type == "error" and not any(word in one.text for word in quiet)
                else None
            ),
        )
        page.goto(path)
        return page

    yield make
    for context in contexts:
        context.close()
    assert not told, told


def saved(page):
    expect(page.locator("#saved")).to_have_text("Saved")


def kept(page, client):
    return page.evaluate(
        "async (at) => (await (await fetch(at)).json()).answers",
        f"/api/clients/{client}/consultation",
    )


def chip(page, key, value):
    found = page.locator(f'label:has(input[name="{key}"][value="{value}"])').first
    found.evaluate("one => one.scrollIntoView({ block: 'center', behavior: 'instant' })")
    found.click()


def plan_it(page):
    button = page.locator("button:has-text('Keep and plan')")
    button.evaluate("one => one.scrollIntoView({ block: 'center', behavior: 'instant' })")
    button.click()


def test_from_nothing_to_a_plan_by_touch_in_under_three_minutes(open_page, room, capsys):
    page = open_page("/clients", has_touch=True)
    hand = Hand(page)
    hand.type("#name", "Wren Halloway")
    hand.type("#signature", "Wren Halloway")
    hand.tap("button:has-text('Write her down')")
    hand.tap("a:has-text('Consultation')")
    hand.chip("gray.front", "75")
    hand.tap('[data-open="gray.crown"]')
    hand.chip("gray.crown", "50")
    hand.tap('[data-open="gray.back"]')
    hand.chip("gray.back", "25")
    for key, value in SIX[1:]:
        hand.chip(key, value)
    page.wait_for_selector(".run-line .helps a[href='#q-wish']")
    at_six = hand.seconds
    early = page.locator(".run-line").inner_text()
    hand.chip("cover.years", "10")
    for key, value in REST:
        hand.chip(key, value)
    hand.type('input[name="own.money"]', "180")
    hand.tap("button:has-text('Keep and plan')")
    page.wait_for_url("**/plans/*")
    with capsys.disabled():
        sys.stdout.write(
            f"\nconsultation: {hand.taps} taps, {hand.swipes} swipes, {hand.letters} letters: "
            f"{hand.seconds:.0f} s; a plan stood after {at_six:.0f} s\n"
        )
    assert hand.seconds < 180
    assert at_six < 90
    assert re.search(r"\d+ \(\d+–\d+\) foils", early), early
    (client,) = [one for one in _clients(room) if one.name == "Wren Halloway"]
    head = head_today(room.store, client.client)
    assert len(head.plans) == len(head.consultations) == 1


def _clients(room):
    from strandline.salon.records.look import clients

    return clients(room.store)


def test_the_plan_narrows_with_answers_and_names_what_helps_most(open_page, client):
    page = open_page(f"/clients/{client}/consultation")
    for key, value in SIX:
        chip(page, key, value)
    expect(page.locator("#run-figures")).to_contain_text("plans worked out", timeout=60_000)
    expect(page.locator("#run-line")).not_to_have_attribute("aria-busy", "true", timeout=60_000)
    wide = _minutes(page)
    page.locator(".helps a").click()
    assert page.evaluate("location.hash") == "#q-wish"
    for key, value in REST:
        chip(page, key, value)
    saved(page)
    expect(page.locator("#run-figures")).to_contain_text("most of 1 plans", timeout=60_000)
    assert _minutes(page) == 0 < wide


def _minutes(page):
    """Give the width of the drawn range of minutes."""
    return page.evaluate(
        """() => [...document.querySelectorAll('#run-figures .range')]
        .filter((one) => one.getAttribute('aria-label').startsWith('minutes'))
        .map((one) => Number(one.querySelector('.span').getAttribute('width')))
        .map((wide) => (wide > 2 ? wide : 0))[0]"""
    )


def test_a_tap_on_the_drawn_head_opens_its_part(open_page, client):
    page = open_page(f"/clients/{client}/consultation")
    chip(page, "gray.front", "75")
    page.locator('#head path[data-zone="back_upper"]').click()
    assert page.locator('[data-open="gray.back"]').get_attribute("aria-pressed") == "true"
    assert page.locator('[data-shows="gray.back"]').inner_text() == "75 %"
    chip(page, "gray.back", "10")
    saved(page)
    assert kept(page, client) == {"gray.front": 75, "gray.back": 10}
    fills = page.eval_on_selector_all(
        "#head path", "all => all.map(one => one.getAttribute('fill'))"
    )
    assert len(set(fills)) > 1, "front and back are drawn apart"
    page.locator("#finer > summary").click()
    page.locator('#head path[data-zone="temples"]').first.click()
    page.keyboard.type("100")
    page.keyboard.press("Tab")
    saved(page)
    assert kept(page, client)["gray.zone-temples"] == 100


def test_a_band_is_dragged_on_the_strand(open_page, client):
    page = open_page(f"/clients/{client}/consultation", viewport={"width": 1280, "height": 900})
    for key, value in SIX:
        chip(page, key, value)
    saved(page)
    page.wait_for_selector("#strand .edge")
    page.locator("#strand").scroll_into_view_if_needed()
    edge = page.locator("#strand .edge").first.bounding_box()
    wide = page.locator("#strand").bounding_box()["width"]
    page.mouse.move(edge["x"] + 2, edge["y"] + 20)
    page.mouse.down()
    page.mouse.move(edge["x"] + 2 + wide / 10, edge["y"] + 20, steps=5)
    page.mouse.up()
    saved(page)
    expect(page.locator("#drawn")).to_be_checked()
    (band,) = kept(page, client)["bands"]
    assert band["from_cm"] == pytest.approx(2 + 30 / 10, abs=0.6)
    assert band["past"] == "permanent"
    page.locator('input[name="band.1.from_cm"]').fill("7")
    page.keyboard.press("Tab")
    saved(page)
    assert kept(page, client)["bands"][0]["from_cm"] == 7
    page.locator("#drawn").click()
    saved(page)
    assert "bands" not in kept(page, client), "the words stand again"


def test_nonsense_is_told_beside_the_field_and_stays(open_page, client):
    page = open_page(f"/clients/{client}/consultation")
    for shut in page.locator("details.differs").all():
        shut.evaluate("one => { one.open = true }")
    chip(page, "cover.kind", "salon")
    chip(page, "light.where", "ends")
    saved(page)
    numbers = [key for key, (_, field) in fields().items() if field.number and key != "stage"]
    for key in numbers:
        page.locator(f'input[name="own.{key}"]').evaluate(
            "one => { one.value = 'lots';"
            " one.dispatchEvent(new Event('change', { bubbles: true })) }"
        )
    for key in numbers:
        page.wait_for_selector(f'[id="fault-{key}"]', state="attached")
        assert page.locator(f'input[name="own.{key}"]').input_value() == "lots"
    page.wait_for_timeout(300)
    said = page.locator('[id="fault-hours"]').inner_text()
    assert said == "'lots' is no number. Write a figure from 0.5 to 10 h."
    page.locator('input[name="own.hours"]').fill("4,5")
    page.keyboard.press("Tab")
    page.wait_for_selector('[id="fault-hours"]', state="detached")
    assert kept(page, client)["hours"] == 4.5
    assert page.locator('[id="fault-money"]').count() == 1, "the others stay"


def test_a_reload_and_a_server_that_stops_lose_nothing(open_page, client, served):
    quiet = ("Failed to load resource", "ERR_CONNECTION_REFUSED", "net::ERR")
    page = open_page(f"/clients/{client}/consultation", quiet=quiet)
    chip(page, "gray.front", "75")
    saved(page)
    page.reload()
    assert page.locator('input[name="gray.front"][value="75"]').is_checked()
    served.stop()
    chip(page, "level.front", "6")
    chip(page, "strand", "fine")
    expect(page.locator("#saved")).to_contain_text("on this device")
    assert page.locator('input[name="strand"][value="fine"]').is_checked()
    plan_it(page)
    page.wait_for_timeout(300)
    assert page.url.endswith("/consultation"), "nothing is sent away unsaved"
    served.start()
    saved(page)
    assert kept(page, client) == {"gray.front": 75, "level.front": 6, "strand": "fine"}


def test_what_was_not_taken_outlives_the_page(open_page, client, served):
    quiet = ("Failed to load resource", "net::ERR")
    page = open_page(f"/clients/{client}/consultation", quiet=quiet)
    served.stop()
    chip(page, "gray.front", "90")
    expect(page.locator("#saved")).to_contain_text("on this device")
    served.start()
    page.goto("/clients")
    again = open_page(f"/clients/{client}/consultation", context=page.context)
    saved(again)
    assert kept(again, client) == {"gray.front": 90}
    assert again.locator('input[name="gray.front"][value="90"]').is_checked()


def test_a_server_stopped_in_the_midst_of_a_save(open_page, client, room):
    """The save is in the record, its answer never came: it is sent again and kept once."""
    page = open_page(f"/clients/{client}/consultation", quiet=("Failed to load", "net::ERR"))
    lost = []

    def lose(route):
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch())
            route.abort()
        else:
            route.continue_()

    page.route("**/api/clients/*/consultation", lose)
    chip(page, "gray.front", "75")
    saved(page)
    assert lost
    assert kept(page, client) == {"gray.front": 75}
    with sqlite3.connect(room.store.place.file) as db:
        (count,) = db.execute(
            "select count(*) from fact where kind = 'consultation.answered'"
        ).fetchone()
    assert count == 1


def test_two_windows_that_answer_different_questions_both_stand(open_page, client):
    one = open_page(f"/clients/{client}/consultation")
    two = open_page(f"/clients/{client}/consultation", quiet=("409",), context=one.context)
    chip(one, "gray.front", "75")
    saved(one)
    chip(two, "strand", "fine")
    saved(two)
    assert kept(two, client) == {"gray.front": 75, "strand": "fine"}
    assert two.locator('input[name="gray.front"][value="75"]').is_checked()


@pytest.mark.parametrize(("word", "stands"), [("Keep mine", 25), ("Take what is there", 75)])
def test_two_windows_that_answer_the_same_are_asked(open_page, client, word, stands):
    one = open_page(f"/clients/{client}/consultation")
    two = open_page(f"/clients/{client}/consultation", quiet=("409",), context=one.context)
    chip(one, "gray.front", "75")
    saved(one)
    chip(two, "gray.front", "25")
    two.wait_for_selector("#conflict:not([hidden])")
    assert "Another window answered the same question." in two.locator("#conflict").inner_text()
    assert kept(two, client) == {"gray.front": 75}
    two.locator(f"#conflict button:has-text('{word}')").click()
    saved(two)
    assert kept(two, client) == {"gray.front": stands}
    assert two.locator(f'input[name="gray.front"][value="{stands}"]').is_checked()


def test_back_after_the_plan_tells_that_it_was_planned(open_page, client, room):
    page = open_page(f"/clients/{client}/consultation", quiet=("409",))
    for key, value in (*SIX, *REST):
        chip(page, key, value)
    saved(page)
    plan_it(page)
    page.wait_for_url("**/plans/*")
    page.go_back()
    page.wait_for_url("**/consultation")
    page.wait_for_selector("#asked")
    chip(page, "wish", "brighter")
    saved(page)
    head = head_today(room.store, client)
    assert len(head.plans) == len(head.consultations) == 1
    assert 'wish = "soft"' in head.consultations[0].text


@pytest.mark.parametrize("width", [320, 390, 820, 1440])
def test_nothing_is_wider_than_the_screen_and_every_target_is_a_fingers(open_page, client, width):
    page = open_page(f"/clients/{client}/consultation", viewport={"width": width, "height": 800})
    for key, value in SIX:
        chip(page, key, value)
    for shut in page.locator("details").all():
        shut.evaluate("one => { one.open = true }")
    page.wait_for_timeout(200)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """() => [...document.querySelectorAll('main button, main .tap, main .cell:not(.none),'
        + ' main summary, main select, main .own input')]
        .filter((one) => one.checkVisibility())
        .map((one) => [one.textContent.trim().slice(0, 20), one.getBoundingClientRect()])
        .filter(([, box]) => box.width < 43.5 || box.height < 43.5)
        .map(([words, box]) => `${words} ${box.width}x${box.height}`)"""
    )
    assert not small, small


def test_by_keyboard_alone(open_page, client):
    page = open_page(f"/clients/{client}/consultation", viewport={"width": 1024, "height": 768})
    wanted = dict((*SIX, *REST))
    for _ in range(160):
        page.keyboard.press("Tab")
        name = page.evaluate("document.activeElement.name || ''")
        if name in wanted:
            _choose(page, name, wanted.pop(name))
        if page.evaluate("document.activeElement.value") == "plan":
            break
    assert not wanted, wanted
    saved(page)
    page.keyboard.press("Enter")
    page.wait_for_url("**/plans/*")


def _choose(page, name, value):
    """Walk a group of chips with the arrows, as a keyboard does, until the one is on."""
    page.keyboard.press("Space")
    for _ in range(30):
        on = page.evaluate(
            "name => document.querySelector(`input[name='${name}']:checked`)?.value", name
        )
        if on == value:
            return
        page.keyboard.press("ArrowRight")
    raise AssertionError(name)


def test_an_answer_is_taken_back(open_page, client):
    page = open_page(f"/clients/{client}/consultation")
    chip(page, "strand", "fine")
    chip(page, "curl", "wavy")
    saved(page)
    page.locator('[data-undo="strand"]').click()
    saved(page)
    assert kept(page, client) == {}
    assert not page.locator('input[name="strand"]:checked').count()


def test_the_plain_form_works_without_scripts(open_page, client, room):
    page = open_page(f"/clients/{client}/consultation", java_script_enabled=False)
    for key, value in (*SIX, *REST):
        chip(page, key, value)
    plan_it(page)
    page.wait_for_url("**/plans/*")
    assert len(head_today(room.store, client).plans) == 1
