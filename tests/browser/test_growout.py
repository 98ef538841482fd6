"""Two heads in a browser: hair is drawn, grows by the slider alone, turns; else pictures stand."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from tests.browser.conftest import ARGS

AXE = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
BY_PROCESSOR = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
"""WebGL without a graphics card."""
GROUND = 149
"""sRGB of a neutral ground that reflects 30 %, IEC 61966-2-1: 255 (1.055 .3^(1/2.4) - .055)."""

READ = """() => {
  const canvas = document.querySelector(".grown-heads canvas");
  const copy = document.createElement("canvas");
  [copy.width, copy.height] = [320, 180];
  const drawing = copy.getContext("2d");
  drawing.drawImage(canvas, 0, 0, 320, 180);
  return [...drawing.getImageData(0, 0, 320, 180).data];
}"""


@pytest.fixture(scope="module")
def drawing(playing):
    """Give a browser that draws by the processor where there is no graphics card."""
    found = playing.chromium.launch(
        executable_path=shutil.which("chromium"), args=[*ARGS, *BY_PROCESSOR]
    )
    yield found
    found.close()


@pytest.fixture
def opened(drawing, served, plan):
    """Give a function that opens the grow-out; what a page complains of fails the test."""
    contexts, told = [], []

    def open_(*, ready="[data-drawn=rest]", init=None, **how):
        context = drawing.new_context(
            base_url=served.at, viewport={"width": 700, "height": 700}, **how
        )
        contexts.append(context)
        context.set_default_timeout(90_000)  # by the processor, on a machine that does other things
        page = context.new_page()
        page.on("console", lambda one: told.append(one.text) if one.type == "error" else None)
        page.on("pageerror", lambda one: told.append(str(one)))
        if init:
            page.add_init_script(init)
        page.goto(f"/plans/{plan}/grow-out", wait_until="domcontentloaded")
        if ready:
            page.wait_for_selector(
                ready,
            )
        return page

    yield open_
    for context in contexts:
        context.close()
    assert not told, told


def seen(page, do, *, wait="moving"):
    """Give the canvas after doing something, as it moves or at rest, shape (180, 320, 3)."""
    import numpy as np

    page.evaluate("document.querySelector('.grown-heads').dataset.drawn = ''")
    do()
    page.wait_for_selector(f"[data-drawn=rest], [data-drawn={wait}]")
    return np.array(page.evaluate(READ), dtype=float).reshape(180, 320, 4)[..., :3]


def ribbons(page):
    return page.locator("[data-heads]").get_attribute("data-ribbons")


def alike(page, first, second):
    """Give what is seen after each of two, with as much hair drawn in both."""
    for _ in range(4):
        found = [(seen(page, do, wait="rest"), ribbons(page)) for do in (first, second)]
        if found[0][1] == found[1][1]:
            break
    return found[0][0], found[1][0]


def set_week(page, week):
    page.locator("[data-week]").evaluate(
        "(one, week) => { one.value = week; one.dispatchEvent(new Event('input')) }", week
    )


def test_hair_is_drawn_grows_without_a_request_and_turns(opened):
    import numpy as np

    page = opened()
    asked = []
    page.on("request", lambda one: asked.append(one.url))
    kept = page.locator("[data-kept]")
    if kept.count():
        kept.select_option("0")
    # As it is kept, new growth shows above and the lengths stay.
    on_the_day, later = alike(page, lambda: set_week(page, 0), lambda: set_week(page, 12))
    changed = np.abs(later - on_the_day).max(axis=2)[:, :160]
    above, below = changed[10:70].mean(), changed[110:].mean()
    assert above > 3
    assert above > 2 * below
    # Not blank: neutral ground in the corners, hair and head on both sides of the middle.
    assert np.abs(on_the_day[2, 2] - GROUND).max() <= 2
    for half in (on_the_day[:, :160], on_the_day[:, 160:]):
        assert (np.abs(half - GROUND).max(axis=2) > 12).mean() > 0.2
    assert page.locator("[data-says]").inner_text().startswith("Week 12")
    assert page.locator("[data-week]").get_attribute("aria-valuetext") == "Week 12"
    # The keyboard turns it, and Home brings the front again.
    heads = page.locator("[data-heads]")
    heads.focus()
    front = seen(page, lambda: set_week(page, 12))
    turned = seen(page, lambda: [heads.press("ArrowRight") for _ in range(6)])
    assert page.locator("[data-view=front]").get_attribute("aria-pressed") == "false"
    again = seen(page, lambda: heads.press("Home"))
    assert page.locator("[data-view=front]").get_attribute("aria-pressed") == "true"
    assert np.abs(turned - front).mean() > 3 * np.abs(again - front).mean()
    # Buttons look from its sides; a drag turns it.
    for view in ("side", "back", "top"):
        looked = seen(page, lambda view=view: page.locator(f"[data-view={view}]").click())
        assert np.abs(looked - again).mean() > 3
        again = looked
    box = heads.bounding_box()
    page.mouse.move(box["x"] + 100, box["y"] + 100)
    page.mouse.down()
    dragged = seen(page, lambda: page.mouse.move(box["x"] + 220, box["y"] + 100, steps=3))
    page.mouse.up()
    assert np.abs(dragged - again).mean() > 3
    # The line of the week moves over the charts, from end to end.
    chart = page.locator("svg.curves").first
    for week, end in ((0, "data-left"), (26, "data-right")):
        set_week(page, week)
        at = chart.locator(".now").get_attribute("d").split()[0][1:]
        assert float(at) == float(chart.get_attribute(end))
    assert not asked, asked


def test_it_grows_by_itself_only_where_motion_is_wanted(opened):
    from playwright.sync_api import expect

    page = opened()
    grow = page.locator("[data-grow]")
    set_week(page, 24)
    grow.click()
    expect(page.locator("[data-week]")).to_have_value("26", timeout=60_000)
    expect(grow).to_have_text("Let it grow")
    still = opened(reduced_motion="reduce")
    assert not still.locator("[data-grow]").is_visible()
    set_week(still, 5)
    assert still.locator("[data-says]").inner_text().startswith("Week 5")


COVERED = """
addEventListener("DOMContentLoaded", () => {
  window.covered = [];
  const heads = document.querySelector("[data-heads]");
  new MutationObserver(() => window.covered.push([
    heads.dataset.drawn, Boolean(heads.querySelector("[data-first], [data-wait]")),
  ])).observe(heads, { attributeFilter: ["data-drawn"] });
});
"""


def test_pictures_stand_until_all_of_the_hair_is_drawn(opened):
    page = opened(init=COVERED)
    told = page.evaluate("window.covered")
    assert told[0] == ["moving", True]
    assert all(covered == (drawn == "moving") for drawn, covered in told)
    # Who takes the heads in hand before that sees them move.
    page = opened(ready=None)
    first = page.locator("[data-first]")
    assert first.locator("img").evaluate_all("all => Promise.all(all.map((one) => one.decode()))")
    assert first.is_visible()
    page.wait_for_selector("[data-drawn]")
    page.locator("[data-heads]").press("ArrowRight")
    assert first.count() == 0


NO_WEBGL = """
const given = HTMLCanvasElement.prototype.getContext;
HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
  return kind.startsWith("webgl") ? null : given.call(this, kind, ...rest);
};
"""


@pytest.mark.parametrize("how", ["no WebGL", "no script", "no strands"])
def test_where_hair_cannot_be_drawn_pictures_stand(opened, how):
    if how == "no WebGL":
        page = opened(ready=".grown-stills", init=NO_WEBGL)
    elif how == "no script":
        page = opened(ready=None, java_script_enabled=False)
    else:
        page = opened(ready=".grown-stills", init="window.fetch = () => Promise.reject(Error());")
    assert not page.locator("canvas").is_visible()
    shown = page.locator(".grown-stills img")
    assert shown.count() == 10
    for one in shown.all():
        one.scroll_into_view_if_needed()
        assert one.is_visible()
    if how != "no script":
        for one in shown.all():
            one.evaluate("(one) => one.decode()")
            assert one.evaluate("(one) => one.naturalWidth") == 320
        set_week(page, 4)
        assert page.locator("[data-says]").inner_text().startswith("Week 4")
    assert page.locator("svg.curves").count() == 3


def test_the_page_has_no_violation_and_keeps_to_its_width(opened):
    """By axe-core's rules of WCAG 2.2 A and AA and its best practices."""
    page = opened(bypass_csp=True)
    for closed in page.locator("details:not([open]) > summary").all():
        closed.click()
    page.evaluate(AXE.read_text("utf-8"))
    found = []
    for width, scheme in ((1440, "light"), (320, "dark"), (320, "light"), (1440, "dark")):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 800})
        over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert over <= 0
        told = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        found += [
            f"{one['id']} {one['nodes'][0]['target']} {one['nodes'][0]['failureSummary'][:200]}"
            for one in told["violations"]
        ]
    assert not found, found
