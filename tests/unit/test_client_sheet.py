"""The client sheet: at most two sides, without trade words, and nothing promised at a stop."""

from __future__ import annotations

import io

import pypdf
import pytest
from tests.conftest import HEADS
from tests.invented_plan import (
    fig,
    hand_made,
    pages,
    words,
)

from strandline.salon.report.client_growout import growout_words, seen_word
from strandline.salon.report.client_reasons import to_her
from strandline.salon.report.client_words import client_words
from strandline.salon.report.growout_pictures import heads
from strandline.salon.report.sheets import client_sheet_pdf
from strandline.salon.report.strands import LOOKS
from strandline.service.plan.model import Reason


@pytest.mark.parametrize("name", HEADS)
def test_client_sheet_of_every_head_is_two_sides_at_most_and_without_jargon(made, name):
    plan = made(name).plan
    pdf = client_sheet_pdf(plan)
    assert len(pages(pdf)) <= 2
    text = words(pdf)
    assert plan.client in text
    assert "it clears nothing" in text
    for jargon in ("dE00", "stage", "level", "demi", "lowlight", " vol", "The client"):
        assert jargon not in text


def test_client_is_spoken_to_and_unknown_reasons_stand_as_they_are():
    plain = Reason(what="It rains.", do="Wait.", source="-", weight="wait", about="sky")
    allergy = Reason(
        what="The client has allergies.",
        do="-",
        source="-",
        weight="wait",
        about="health.allergies",
    )
    said = to_her([plain, allergy, allergy])
    assert said[0] == ("It rains.", "Wait.")
    assert said[1][0] == "You told us about allergies."
    assert len(said) == 2


@pytest.mark.parametrize(
    "share, word",
    [(0.0, "not seen"), (0.49, "not seen"), (0.5, "begins to show"), (1.0, "shows"), (9, "shows")],
)
def test_a_line_is_said_against_her_threshold(share, word):
    assert seen_word(share) == word


def test_growout_bars_follow_the_line_and_say_when_they_are_full():
    given = growout_words(hand_made(), shown=True)
    kept = [week["looks"][0] for week in given["weeks"]]
    assert [one["bar"] for one in kept] == pytest.approx([0.0, 0.5, 1.0])
    assert [one["beyond"] for one in kept] == [False, False, True]
    assert given["chart"]["curves"][0]["words"] == "shows after about 2.7 weeks (2 to 3.4)"
    assert "not at all" in given["chart"]["curves"][1]["words"]
    assert growout_words(hand_made(), shown=False)["weeks"] == []


def test_client_sheet_tells_cost_dates_and_a_year_of_cover():
    text = words(client_sheet_pdf(hand_made()))
    for told in (
        "from 171 EUR, 43 of it as a deposit",
        "14 to 28 April 2026",
        "26 May to 9 June 2026",
        "735 EUR",
        "1017 EUR",
        "about 2 visits, 1 to 3",
        "begins to show",
    ):
        assert told in text


def test_one_visit_is_not_many():
    after = hand_made().next_visit.model_copy(update={"visits": fig(1.0, 1.0, 2.0, "visits")})
    assert "about 1 visit, 1 to 2" in client_words(hand_made(next_visit=after))["visits"][0]


def test_client_sheet_without_a_price_says_so():
    quote = hand_made().quote.model_copy(update={"floor": None, "deposit": None})
    text = words(client_sheet_pdf(hand_made(quote=quote)))
    assert "We tell you the price before we begin." in text


def test_client_sheet_of_a_stop_promises_nothing():
    stop = Reason(what="-", do="-", source="-", weight="stop", about="health.scalp")
    plan = hand_made(verdict="stop", reasons=[stop])
    text = words(client_sheet_pdf(plan))
    assert "We do not colour your hair today." in text
    assert "wait until it has healed" in text
    assert client_words(plan)["weeks"] == []
    for promise in ("EUR", "pearl", "weeks", "foils"):
        assert promise not in text


@pytest.mark.parametrize("name", ["tamsin", "brona"])
def test_heads_stand_over_the_strands_of_their_weeks_and_the_sheet_keeps_two_pages(made, name):
    one = made(name)
    weeks = [week.week for week in one.plan.growout.weeks]
    pictures = heads(one, weeks, 64)
    assert set(pictures) == {(look, n) for look in LOOKS for n in range(len(weeks))}
    with_heads = pypdf.PdfReader(io.BytesIO(client_sheet_pdf(one.plan, pictures)))
    without = pypdf.PdfReader(io.BytesIO(client_sheet_pdf(one.plan)))
    assert len(with_heads.pages) == len(without.pages) == 2
    assert len(with_heads.pages[0].images) == len(without.pages[0].images) + len(pictures)
