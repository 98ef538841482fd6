"""The chair in a browser: a whole visit by the large way on, keys alone, double taps."""

from __future__ import annotations

from playwright.sync_api import expect


def test_a_section_goes_by_taps_and_its_clock_runs(chair):
    page = chair.page
    assert chair.title() == "Foils 1–2"
    chair.on()
    expect(page.locator("#large-clock")).to_contain_text("about foil 1")
    chair.on(3)
    expect(page.locator("#large .title")).not_to_have_text("Foils 1–2")
    clock = page.locator(".clock").first
    expect(clock).to_contain_text("label 10:52")
    chair.sent()
    assert [kind for kind, _ in chair.kept()][:2] == ["section.begun", "section.placed"]
