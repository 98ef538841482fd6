"""The fold, rule by rule, in figures worked out by hand."""

from __future__ import annotations

from strandline.base.facts.fact import Fact, utc_text
from strandline.base.facts.fold import fold

NINE = 1_796_806_800_000
"""2026-12-09T09:00:00Z."""


def fact(minute, kind, **payload):
    """Make a fact of a kind at a minute past nine."""
    return Fact(
        f"{kind}-{minute:g}",
        "v1",
        kind,
        1,
        payload,
        "she",
        "tablet",
        int(minute * 10),
        utc_text(NINE + round(minute * 60_000)),
        60,
    )


def starts(visit):
    return {foil.number: foil.start[11:19] for foil in visit.foils if foil.start}


def test_nine_is_nine():
    assert utc_text(NINE) == "2026-12-09T09:00:00.000Z"


def test_foils_between_two_taps_are_interpolated():
    visit = fold(
        [
            fact(10, "section.begun", section="top", first_foil=31),
            fact(16, "section.placed", section="top", first_foil=31, last_foil=34),
        ]
    )
    assert starts(visit) == {31: "09:10:00", 32: "09:11:30", 33: "09:13:00", 34: "09:14:30"}


def test_a_dropped_foil_took_no_time():
    taps = [
        fact(10, "section.begun", section="top", first_foil=1),
        fact(16, "section.placed", section="top", first_foil=1, last_foil=4),
    ]
    visit = fold([*taps, fact(9, "foil.dropped", foils=[2])])
    assert starts(visit) == {1: "09:10:00", 3: "09:12:00", 4: "09:14:00"}
    assert visit.foils_done == {1, 3, 4}
    assert visit.dropped == (2,)


def test_the_last_word_on_a_foil_stands_over_its_section():
    placed = fact(20, "section.placed", section="top", first_foil=1, last_foil=2, took_min=4)
    dropped, added = (
        fact(25, "foil.dropped", foils=[1]),
        fact(30, "foil.added", foils=[1], section="fringe"),
    )
    assert fold([placed, dropped]).foils_done == {2}
    back = fold([placed, dropped, added])
    assert back.foils_done == {1, 2}
    assert starts(back)[1] == "09:30:00"
    assert fold([placed, added, fact(31, "foil.dropped", foils=[1])]).foils_done == {2}


def test_a_foil_is_out_at_the_first_wipe_or_rinse_that_is_of_it():
    visit = fold(
        [
            fact(10, "section.placed", section="top", first_foil=1, last_foil=2, took_min=10),
            fact(3, "wiped", foils=[2]),  # its clock starts at minute 5
            fact(30, "wiped", foils=[1]),
            fact(40, "wiped", section="sides"),
            fact(41, "rinsed", place="mids"),
            fact(45, "rinsed"),
        ]
    )
    assert [(foil.how, foil.in_min) for foil in visit.foils] == [("wiped", 30.0), ("rinsed", 40.0)]


def test_minutes_of_a_check_run_from_its_foil_or_its_sections_first():
    visit = fold(
        [
            fact(20, "section.placed", section="top", first_foil=1, last_foil=4, took_min=8),
            fact(32, "check.seen", foil=3, stage=8, sureness="sure"),
            fact(33, "check.seen", section="top", stage=7, sureness="fair"),
            fact(34, "check.seen", foil=9, stage=7, sureness="fair"),
        ]
    )
    assert [seen.minutes for seen in visit.checks] == [16.0, 21.0, None]


def test_burning_says_rinse_until_the_whole_head_is_rinsed_after_it():
    burning = fact(20, "felt", what="burning")
    assert fold([burning]).rinse_now
    assert fold([burning, fact(19, "rinsed")]).rinse_now
    assert fold([burning, fact(21, "rinsed", section="top")]).rinse_now
    assert not fold([burning, fact(21, "rinsed")]).rinse_now
    assert fold([burning, fact(21, "rinsed"), fact(22, "felt", what="pain")]).rinse_now
    assert not fold([fact(20, "felt", what="itch")]).rinse_now
    assert not fold([burning, fact(21, "taken.back", fact=burning.id)]).rinse_now


def test_two_sections_that_claim_a_foil_are_shown_and_the_later_has_it():
    visit = fold(
        [
            fact(10, "section.placed", section="top", first_foil=1, last_foil=5),
            fact(20, "section.placed", section="sides", first_foil=5, last_foil=7, took_min=3),
        ]
    )
    (conflict,) = visit.conflicts
    assert (conflict.code, conflict.foils) == ("two_sections", (5,))
    assert conflict.kept.payload["section"] == "sides"
    assert {foil.number: foil.section for foil in visit.foils}[5] == "sides"


def test_the_last_judgement_of_an_area_stands_beside_those_before():
    visit = fold(
        [
            fact(60, "result.seen", area="front", evenness="band warm", stage=8),
            fact(90, "result.seen", area="front", evenness="even", stage=9),
            fact(61, "result.seen", area="back", evenness="even"),
        ]
    )
    assert [(one.area, one.stage) for one in visit.results] == [("back", None), ("front", 9)]
    assert [one.stage for one in visit.results_before] == [8]


def test_a_stray_earlier_visit_does_not_push_this_one_out():
    stray = fact(0, "note", text="of another visit")
    other = Fact(**{**stray.as_json(), "stream": "a-visit-before"})
    here = [fact(1, "note", text="one"), fact(2, "note", text="two")]
    visit = fold([other, *here])
    assert visit.stream == "v1"
    assert [note.text for note in visit.notes] == ["one", "two"]
    assert [(flag.id, flag.code) for flag in visit.flagged] == [(other.id, "stream")]


def test_a_bowl_is_what_was_used_and_what_was_left():
    poured = {"developer_vol": 20, "developer_grams": 40.5, "powder_grams": 20}
    visit = fold(
        [
            fact(1, "bowl.mixed", bowl="weighed", colour_grams=3.5, **poured),
            fact(2, "bowl.left", bowl="weighed", grams=12),
            fact(3, "bowl.mixed", bowl="empty", **poured),
            fact(4, "bowl.left", bowl="empty", amount="none"),
            fact(5, "bowl.mixed", bowl="by eye", **poured),
            fact(6, "bowl.left", bowl="by eye", amount="half"),
            fact(7, "bowl.mixed", bowl="with its tare", **poured),
            fact(8, "bowl.left", bowl="with its tare", grams=300),
            fact(9, "bowl.mixed", bowl="not looked", **poured),
        ]
    )
    used = {bowl.bowl: (bowl.mixed_grams, bowl.used_grams) for bowl in visit.bowls}
    assert used == {
        "weighed": (64, 52),
        "empty": (60.5, 60.5),
        "by eye": (60.5, None),
        "with its tare": (60.5, None),
        "not looked": (60.5, None),
    }
