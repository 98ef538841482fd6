"""The grow-out of a plan as a page: the view, the bytes, the pictures, without a browser."""

from __future__ import annotations

import gzip
import hashlib
import re
import threading
import tomllib
from concurrent.futures import ThreadPoolExecutor
from xml.etree import ElementTree as ET

import pytest

from strandline.base.quantities import Range
from strandline.salon.web.charts import Chart, Curve, chart_svg, round_top, ticks
from strandline.salon.web.room import Once
from strandline.salon.web.show import STATIC
from strandline.service.growout.screen.telling import heard


def test_the_page_shows_when_a_line_is_seen_and_its_range(app, room, plan):
    text = app.get(f"/plans/{plan}/grow-out").text
    made = room.plans.of(plan)
    assert made.plan.growout.sentence in text.replace("&#39;", "'")
    assert text.count('<svg class="curves"') == 3
    assert 'data-strands="/plans/' in text
    assert "a strand test shows" in text
    passes = made.plan.growout.planned_passes_week
    if passes.middle is not None:
        assert re.search(rf"week {passes.middle:.0f}\b", text)


def test_the_view_stands_alone_for_a_page_that_holds_it(app, plan):
    text = app.get(f"/plans/{plan}/grow-out/view").text
    assert "<html" not in text
    assert text.count("data-strands=") == 1


def test_without_script_pictures_stand_in_their_place(app, plan):
    text = app.get(f"/plans/{plan}/grow-out").text
    without = re.search(r"<noscript>(.*?)</noscript>", text, re.DOTALL)[1]
    pictures = re.findall(r'<img src="([^"]+)" width="\d+" height="\d+" alt="([^"]+)"', without)
    assert len(pictures) == 10
    for src, alt in pictures:
        assert re.search(r"week (0|4|8|12|16)$", alt)
        answer = app.get(src)
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "image/png"
        assert answer.content[:4] == b"\x89PNG"
    assert len({app.get(src).content for src, _ in pictures}) > 6


def test_the_bytes_are_a_head_in_every_way_of_the_page(app, plan):
    answer = app.get(f"/plans/{plan}/grow-out/strands")
    assert answer.headers["content-encoding"] == "gzip"
    assert int(answer.headers["content-length"]) < 1_500_000
    head = heard(answer.content)
    assert len(head) >= 6000
    assert head.weeks == tuple(float(week) for week in range(27))
    page = app.get(f"/plans/{plan}/grow-out").text
    for way in head.ways:
        assert way.name in page
    plain = app.get(f"/plans/{plan}/grow-out/strands", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.content == answer.content
    again = app.get(
        f"/plans/{plan}/grow-out/strands", headers={"if-none-match": answer.headers["etag"]}
    )
    assert again.status_code == 304
    assert not again.content


@pytest.mark.parametrize(
    "address", ["planned/3.png", "other/4.png", "planned/-1.png", "planned/x.png"]
)
def test_a_picture_that_is_none_is_told(app, plan, address):
    answer = app.get(f"/plans/{plan}/grow-out/{address}")
    assert answer.status_code in (404, 422)


def test_a_plan_that_is_none_is_told(app):
    for part in ("", "/view", "/strands", "/planned/4.png"):
        assert app.get(f"/plans/plan-none/grow-out{part}").status_code == 404


def test_a_head_is_made_once_however_many_ask(room):
    made, gate = [], threading.Event()

    def make():
        gate.wait(5)
        made.append(1)
        return "a head"

    with ThreadPoolExecutor(4) as asking:
        answers = [asking.submit(room.once.of, "content", make) for _ in range(4)]
        gate.set()
        assert {one.result(5) for one in answers} == {"a head"}
    assert made == [1]


def test_what_failed_is_made_again():
    once = Once(ThreadPoolExecutor(1))
    with pytest.raises(ZeroDivisionError):
        once.of("content", lambda: 1 / 0)
    assert once.of("content", lambda: 7) == 7


def curves(*ranges, threshold=None, passes=()):
    weeks = tuple(float(k) for k in range(len(ranges[0])))
    of = tuple(
        Curve(f"way {n}", "planned", tuple(Range(*one) for one in each))
        for n, each in enumerate(ranges)
    )
    return Chart("Line", "dE00 cm", weeks, of, 40.0, threshold, passes)


def drawn(chart):
    """Give the paths of a chart by class."""
    root = ET.fromstring(chart_svg(chart, "said"))  # noqa: S314  # our own drawing
    out = {}
    for one in root.iter():
        if one.tag.endswith(("path", "circle")):
            out.setdefault(one.get("class"), []).append(one)
    return out


def test_a_band_holds_its_line_and_the_threshold_lies_at_its_height():
    chart = curves(
        [(0, 0, 0), (10, 20, 30), (20, 40, 60)],
        threshold=20.0,
        passes=(("planned", Range(0.5, 1.0, 1.5)),),
    )
    parts = drawn(chart)
    line = [tuple(map(float, p.split())) for p in parts["line planned"][0].get("d")[1:].split("L")]
    band = [
        tuple(map(float, p.split())) for p in parts["band planned"][0].get("d")[1:-1].split("L")
    ]
    for x, y in line:
        beside = [v for u, v in band if u == x]
        assert min(beside) <= y <= max(beside)
    across = float(parts["threshold"][0].get("d").split()[1].partition("H")[0])
    assert across == pytest.approx(line[1][1], abs=0.06)
    dot = parts["passes planned"][0]
    assert float(dot.get("cx")) == pytest.approx(line[1][0], abs=0.06)
    assert float(dot.get("cy")) == pytest.approx(across, abs=0.06)


def test_a_line_that_never_passes_has_no_mark():
    never = Range(float("inf"), float("inf"), float("inf"))
    parts = drawn(curves([(0, 0, 0), (1, 1, 1)], threshold=20.0, passes=(("planned", never),)))
    assert "passes planned" not in parts
    assert "span planned" not in parts


@pytest.mark.parametrize("top", [0.5, 1.0, 4.0, 17.0, 40.0, 88.0, 250.0])
def test_an_axis_has_a_few_round_marks(top):
    found = ticks(top)
    assert 2 <= len(found) <= 10
    assert found[-1] <= top + 1e-9
    assert round_top(top, 0.1) >= top


def test_what_was_not_written_here_is_what_it_was():
    """Every file served and not written here is in vendor.toml, with its hash and its licence."""
    vendor = STATIC / "vendor"
    listed = tomllib.loads((vendor / "vendor.toml").read_text("utf-8"))["file"]
    for one in listed:
        assert hashlib.sha256((vendor / one["name"]).read_bytes()).hexdigest() == one["sha256"]
        assert (vendor / one["licence_file"]).is_file()
        assert one["version"]
        assert one["licence"]
    served = {str(path.relative_to(vendor)) for path in vendor.rglob("*.js")}
    assert served == {one["name"] for one in listed}


def test_gzip_of_one_head_is_the_same_each_time(room, plan):
    from strandline.salon.web.growing import strand_bytes

    made = room.plans.of(plan)
    first, second = strand_bytes(made), strand_bytes(made)
    assert first == second
    assert gzip.decompress(first)[4:30].startswith(b'{"format":"strandline')


def test_the_plan_fetches_its_grow_out_and_has_a_link_without_script(app, plan):
    text = app.get(f"/plans/{plan}").text
    assert f'hx-get="/plans/{plan}/grow-out/view" hx-trigger="revealed"' in text
    assert f'<a class="way" href="/plans/{plan}/grow-out">' in text
    assert text.index('id="why"') < text.index('id="grow"') < text.index("Where the figures come")
    assert "js/strands/start.js" not in text, "what draws hair comes with the hair"


def test_other_ways_grow_beside_the_plan(app, room, plan):
    page = app.get(f"/plans/{plan}/grow-out").text
    assert f'data-table="/plans/{plan}/grow-out/others"' in page
    assert f'href="/plans/{plan}/grow-out?others=true"' in page
    beside = app.get(f"/plans/{plan}/grow-out/others").text
    names = re.findall(r'<th class="number" scope="col">([^<]+)</th>', beside)
    assert names[0] == "as planned"
    assert len(names) > 2
    rows = re.findall(r'<tr><th scope="row">Root line, week 8.*?</tr>', beside, re.DOTALL)
    lines = [int(one) for one in re.findall(r"<td[^>]*>(\d+)</td>", rows[0])]
    made = room.plans.of(plan)
    week = next(one for one in made.plan.growout.weeks if one.week == 8)
    assert lines[0] == pytest.approx(week.planned.line, abs=0.6)
    assert beside in app.get(f"/plans/{plan}/grow-out?others=true").text
    assert app.get("/plans/plan-none/grow-out/others").status_code == 404
