"""Inches, ounces and a clock of twelve hours on every page, where a device wants them."""

from __future__ import annotations

import html
import json
import re

import pytest
from tests.web.test_nonsense import Trial

from strandline.salon.records.look import document
from strandline.salon.web.words import Manner


@pytest.fixture
def texts(room, plan):
    """Give the words of every page with a device's cookies, those of scripts among them."""

    def of(**cookies):
        trial = Trial(room)
        trial.app.cookies.update(cookies)
        after = trial.app.post(f"/plans/{plan}/done").headers["location"]
        visit = after.split("/")[2]
        pages = {at: page.text for at, page in trial.walk(["/", after]).items()}
        del pages["/evidence"], pages["/practice"]  # sources and settings, in their own units
        pages["grow-out"] = trial.app.get(f"/plans/{plan}/grow-out").text
        pages["chair"] = trial.app.get(f"/api/visits/{visit}/chair").text
        said = sorted(sentences_of(json.loads(document(room.store, plan).text)), key=len)[::-1]
        return {at: without(words_of(text), said) for at, text in pages.items()}

    return of


def sentences_of(said):
    """Give the sentences of a plan: they are kept as they were made, in centimetres."""
    if isinstance(said, str):
        return {said} if " " in said else set()
    parts = said.values() if isinstance(said, dict) else said if isinstance(said, list) else ()
    return {one for part in parts for one in sentences_of(part)}


def without(text, said):
    for one in (*said, "dE00 cm"):
        text = text.replace(one, " ")
    return text


def words_of(text):
    """Give what is read of a page."""
    text = re.sub(r"<svg\b.*?</svg>|<details><summary>Where the figures.*?</details>", " ", text)
    return html.unescape(re.sub(r"<[^>]*>", " ", text))


def bare(text, unit, other):
    """Give figures in a unit that the other does not stand beside."""
    return re.findall(rf".{{30}}(?<!dE)\d[\d.,]* {unit}\b(?! \(\d)(?!\w)(?! {other})", text)


def test_every_weight_and_length_has_its_us_unit(texts):
    pages = texts(units="us", hours="12")
    wrong = {at: bare(text, "g", "oz") for at, text in pages.items()}
    wrong |= {f"{at} length": bare(text, "cm", "in") for at, text in pages.items()}
    wrong = {at: some for at, some in wrong.items() if some}
    assert not wrong
    assert any(" oz)" in text for text in pages.values())
    assert any(re.search(r"\d in\b", text) for text in pages.values())


def test_nothing_us_is_on_a_metric_page(texts):
    pages = texts(units="metric", hours="24")
    wrong = {
        at: re.findall(r".{30}\d[\d.]* (?:oz|in)\)?(?= |$)", text) for at, text in pages.items()
    }
    assert not {at: some for at, some in wrong.items() if some}


def test_weights_and_lengths_by_the_tables():
    """NIST Handbook 44, appendix C: 1 oz = 28.349523125 g, 1 in = 2.54 cm, both exact."""
    us, metric = Manner("us", 12), Manner()
    assert us.grams(28.349523125) == "28.35 g (1.00 oz)"
    assert us.length(25.4) == "10\xa0in"
    assert us.thickness(25.4) == "25 mm (1.00 in)"
    assert metric.grams(12_345) == "12345 g"
    assert metric.grams(0.5) == "0.5 g"
