"""The chair in a browser: a whole visit by the large way on, by keys alone, with double taps."""

from __future__ import annotations

from playwright.sync_api import expect

from strandline.base.facts.fold import fold
from strandline.salon.records.look import visit_facts


def read_back(chair):
    return fold(visit_facts(chair.served.room.store, chair.visit))


def test_a_section_goes_by_taps_and_its_clock_runs(chair):
    page = chair.page
    assert chair.title() == "Foils 1–2"
    chair.on()
    expect(page.locator("#large-clock")).to_contain_text("about foil 1")
    chair.on(3)
    expect(page.locator("#large .title")).not_to_have_text("Foils 1–2")
    expect(page.locator(".clock").first).to_contain_text("label 10:52")
    chair.sent()
    kinds = [kind for kind, _ in chair.kept()]
    assert kinds == ["section.begun", "section.placed", "section.begun"]


def test_a_whole_visit_goes_by_the_large_area_alone(chair):
    page = chair.page
    seen = []
    for _ in range(120):
        way = page.get_attribute("#large", "data-do")
        if way not in seen:
            seen.append(way)
        if way == "ended":
            break
        chair.on(3)
        if page.locator("#check").is_visible():
            page.locator("#stages .stage").nth(9).click()
    assert seen[-1] == "ended"
    assert {"begin", "place", "out", "gloss", "turning", "finish"} <= set(seen)
    chair.sent()
    visit = read_back(chair)
    plan = page.evaluate(
        "visit => fetch(`/api/visits/${visit}/chair`).then(answer => answer.json())", chair.visit
    )
    assert len(visit.foils_done) == plan["last_foil"]
    assert all(foil.out is not None for foil in visit.foils)
    assert all(gloss.rinsed is not None for gloss in visit.glosses)
    assert visit.outcome == "finished"
    assert visit.conflicts == ()
    assert visit.flagged == ()


def test_keys_and_a_pedal_do_all_that_taps_do(chair):
    page = chair.page
    chair.pass_minutes(2)
    page.keyboard.press("PageDown")
    expect(page.locator("#large")).to_have_attribute("data-do", "place")
    chair.pass_minutes(3)
    page.keyboard.press("ArrowRight")
    expect(page.locator("#large .title")).not_to_have_text("Foils 1–2")
    chair.pass_minutes(1)
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#large .title")).to_have_text("Foils 1–2")
    chair.pass_minutes(1)
    page.keyboard.press(" ")
    expect(page.locator("#large .title")).not_to_have_text("Foils 1–2")
    chair.pass_minutes(1)
    page.focus("#feels")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#felt")).to_be_visible()
    page.focus("[data-felt=itch]")
    page.keyboard.press("Enter")
    expect(page.locator("#felt-told li")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(page.locator("#felt")).to_be_hidden()
    chair.sent()
    visit = read_back(chair)
    assert [one.what for one in visit.feelings] == ["itch"]
    assert visit.sections[0].last_foil == 2
    assert len(visit.taken_back) == 2


def test_a_bounce_of_the_hand_is_one_tap(chair):
    page = chair.page
    chair.pass_minutes(2)
    page.dblclick("#large")
    page.wait_for_timeout(80)
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(80)
    expect(page.locator("#large")).to_have_attribute("data-do", "place")
    chair.sent()
    assert [kind for kind, _ in chair.kept()] == ["section.begun"]


def test_the_count_is_corrected_by_the_way(chair):
    page = chair.page
    chair.on()
    page.click("#count-less")
    expect(page.locator("#count-words")).to_have_text("1 foil in this section")
    expect(page.locator("#count-less")).to_be_disabled()
    chair.on(3)
    chair.sent()
    visit = read_back(chair)
    assert visit.foils_done == {1}
    assert visit.dropped == (2,)


def test_a_check_is_one_tap_on_the_stage_seen_and_teaches(chair):
    page = chair.page
    chair.on()
    chair.on(3)
    chair.pass_minutes(14)
    expect(page.locator(".clock").first).to_have_attribute("data-state", "check")
    before = page.locator(".clock .left").first.text_content()
    page.locator(".clock").first.get_by_role("button", name="Look").click()
    page.get_by_role("button", name="8 deep yellow").click()
    expect(page.locator("#check")).to_be_hidden()
    expect(page.locator(".clock .left").first).not_to_have_text(before)
    chair.sent()
    assert chair.kept()[-1] == (
        "check.seen", {"foil": 1, "stage": 8, "sureness": "fair", "dried": True},
    )  # fmt: skip


def test_burning_is_two_taps_away_and_stands_above_all(chair):
    page = chair.page
    chair.on()
    page.click("#feels")
    page.click("[data-felt=burning]")
    page.keyboard.press("Escape")
    expect(page.locator("#alarm strong")).to_have_text("Rinse at once, whatever any clock says")
    assert chair.title() == "Rinse at once"
    size = page.evaluate(
        "parseFloat(getComputedStyle(document.querySelector('#large .title')).fontSize)"
    )
    assert size >= 40
    chair.on(1)
    expect(page.locator("#alarm")).to_be_hidden()
    chair.sent()
    kinds = [kind for kind, _ in chair.kept()]
    assert kinds == ["section.begun", "felt", "section.placed", "rinsed"]
    assert all(foil.out is not None for foil in read_back(chair).foils)


def test_things_changed_in_two_taps_shows_what_follows(chair):
    page = chair.page
    chair.on()
    page.click("#things")
    page.get_by_role("button", name="Late by 30 min").click()
    expect(page.locator("#follows .steps li").first).to_be_visible()
    assert chair.kept()[-1] == ("changed", {"what": "late", "minutes": 30})
    leave = page.locator("#follows-words button")
    if leave.count():
        leave.click()
        expect(leave).to_have_text("They are left out.")
        chair.sent()
        assert chair.kept()[-1][0] == "foil.dropped"


def test_a_brighter_front_adds_a_section_that_is_placed_like_the_others(chair):
    page = chair.page
    chair.on()
    page.click("#things")
    page.get_by_role("button", name="Brighter at the front").click()
    expect(page.locator("#follows .steps li").first).to_be_visible()
    page.click("#follows [data-close]")
    page.get_by_text("Order of the sections").click()
    expect(page.locator("#sections li").last).to_contain_text("front, brighter")
    page.reload()
    chair.ready()
    expect(page.locator("#large .lead")).to_contain_text("of 7")
