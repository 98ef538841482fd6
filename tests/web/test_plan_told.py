"""What the pages tell in words: stretches of time and length, foils by runs, what comes first."""

from __future__ import annotations

import re

import pytest

from strandline.salon.records.look import head_today, the_client
from strandline.salon.web.words import NO_BREAK, Manner, between, minutes


@pytest.mark.parametrize(
    ("value", "said"), [(45, "45 min"), (60, "1 h"), (206, "3 h 26 min"), (0, "0 min")]
)
def test_a_stretch_of_time_has_its_units_and_no_line_breaks_it(value, said):
    assert minutes(value) == said.replace(" ", NO_BREAK)


def test_a_stretch_of_length_has_its_unit_once():
    assert Manner().stretch(0, 1.2) == f"0–1.2{NO_BREAK}cm"
    assert Manner("us").stretch(0, 2.54) == f"0–1{NO_BREAK}in"
    assert between(10, 10) == "10"


def test_foils_in_words_are_runs_that_hold_each_foil_once(app, room, plan):
    text = app.get(f"/plans/{plan}").text
    told = re.search(r'<ul class="said">(.*?)</ul>', text, re.DOTALL)[1]
    runs = [
        [int(one) for one in numbers.split("–")]
        for numbers in re.findall(r"<b>([0-9–]+)</b>", told)
    ]
    held = [number for run in runs for number in range(run[0], run[-1] + 1)]
    count = int(re.search(r"<dt>Foils</dt><dd>(\d+)", text)[1])
    assert held == list(range(1, count + 1))
    assert len(runs) < count / 2


def test_a_plan_that_stops_leads_to_what_is_asked_first(app, room):
    client = the_client(room.store, "Perpetua")
    (kept,) = head_today(room.store, client).plans
    text = app.get(f"/plans/{kept.stream}").text
    assert "To the chair" not in text
    (go,) = re.findall(r'<a class="go" href="([^"]+)"', text)
    assert go == f"/clients/{client}/health"


def test_the_shelf_counts_as_one_counts(app):
    text = app.get("/shelf").text
    named = [int(one) for one in re.findall(r"developer (\d+) volume", text)]
    assert named == sorted(named)
    assert 5 in named
    assert 10 in named


def test_sheets_are_set_on_the_paper_that_units_go_with(app, plan):
    import io

    from pypdf import PdfReader

    def size(units):
        app.cookies.set("units", units)
        made = app.get(f"/plans/{plan}/worksheet.pdf").content
        (page,) = PdfReader(io.BytesIO(made)).pages
        return [round(float(x)) for x in page.mediabox[2:]]

    assert size("metric") == [595, 842], "A4: ISO 216, 210 x 297 mm"
    assert size("us") == [612, 792], "Letter: ANSI/ASME Y14.1, 8.5 x 11 in"
