"""A toner that missed, at the chair: one tap says how, the steps back stand there at once."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.browser.chair.test_away import AXE

from strandline.service.formulate.misses import misses

BOX = "found => { const box = found.getBoundingClientRect(); return [box.width, box.height] }"


def say(chair, kind, payload):
    """Say a fact as another device does, and open the page anew."""
    chair.page.evaluate(
        """async ([kind, payload]) => {
          const visit = location.pathname.split("/").at(-1);
          const fact = {
            id: `other-${kind}`, stream: visit, kind, schema: 1, payload, by: "Ada",
            device: "other", device_seq: 1, offset: 60,
            device_time: new Date(Date.now() - 60000).toISOString(),
          };
          await fetch("/api/facts", {
            method: "POST", headers: { "content-type": "application/json" },
            body: JSON.stringify({ facts: [fact] }),
          });
        }""",
        [kind, payload],
    )
    chair.page.reload()
    chair.ready()


def test_a_miss_is_one_tap_and_its_steps_stand_without_the_server(chair):
    page = chair.page
    page.set_viewport_size({"width": 320, "height": 640})
    say(chair, "gloss.applied", {"place": "mids", "recipe": "a bowl"})
    missed = page.get_by_role("button", name="It missed: mids")
    expect(missed).to_be_visible()
    plan = page.evaluate(
        "visit => fetch(`/api/visits/${visit}/chair`).then(answer => answer.json())", chair.visit
    )
    page.context.route("**/api/**", lambda asked: asked.abort("connectionrefused"))
    missed.click()
    chips = page.locator("#misses button")
    assert [chip.get_attribute("data-miss") for chip in chips.all()] == [
        one.said for one in misses().values()
    ]
    targets = "#missed :is(button, input:not([type=radio]), label:has(input))"
    for target in page.locator(targets).all():
        width, height = target.evaluate(BOX)
        assert min(width, height) >= 44
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    said = list(chair.said)
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("() => axe.run().then(({ violations }) => violations)")
    assert [(one["id"], one["nodes"][0]["html"][:120]) for one in found] == []
    chair.said[:] = said  # the policy blocks a style that axe itself wants to set
    chips.filter(has_text="too deep").click()
    steps = page.locator("#follows .steps li")
    deep = next(one for one in plan["misses"] if one["said"] == "too deep")
    assert deep["back"]["mids"]
    expect(steps).to_have_count(len(deep["back"]["mids"]))
    assert [step.get_attribute("data-step") for step in steps.all()] == [
        one["name"] for one in deep["back"]["mids"]
    ]
    expect(page.locator("#follows-words")).to_contain_text("Rinse mids now.")
    page.click("#follows [data-close]")
    page.context.unroute("**/api/**")
    page.evaluate("dispatchEvent(new Event('online'))")
    chair.sent()
    assert chair.kept()[-1] == (
        "gloss.seen", {"place": "mids", "turned": "past", "tone": "too deep"},
    )  # fmt: skip


def test_her_own_words_for_a_miss_are_kept_and_read(chair):
    page = chair.page
    say(chair, "gloss.applied", {"place": "mids", "recipe": "a bowl"})
    page.click("#things")
    page.click("#missed-open")
    page.fill("#missed-words", "rather brassy at the crown")
    page.click("#missed-other button")
    told = page.locator("#follows .steps li").filter(has_text="Mids, too warm: ")
    expect(told.first).to_be_visible()
    chair.sent()
    assert chair.kept()[-1] == (
        "gloss.seen", {"place": "mids", "turned": "there", "tone": "rather brassy at the crown"},
    )  # fmt: skip
