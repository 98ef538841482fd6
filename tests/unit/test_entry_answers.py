"""Answers at the chair: read, taken back, copied until touched, turned into a consultation."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.service.consultation.bands import lanes
from strandline.service.consultation.entry.answers import Answers, read_answers
from strandline.service.consultation.entry.into import consultation, document, strand_of
from strandline.service.consultation.entry.priors import turns, usual
from strandline.service.consultation.entry.questions import QUESTIONS, fields
from strandline.service.consultation.reader import from_document

DAY = dt.date(2026, 12, 3)
BASE = {"client": {"name": "Wren Halloway"}}
SIX = {
    "gray.front": 80,
    "level.front": 5,
    "regrowth.front": 2,
    "cover.kind": "salon",
    "cover.depth": 5,
    "light.where": "none",
    "strand": "medium",
}
EVERY = SIX | {
    "ponytail": "thick",
    "length": "bra",
    "fringe": "short",
    "parting": "left",
    "condition": "dry",
    "wish": "brighter",
    "tone": "beige",
    "stage": 9,
    "return": 12,
    "hours": 4,
}


def test_there_are_about_fourteen_questions():
    assert len(QUESTIONS) == 14


def test_crown_and_back_follow_the_front_until_they_are_said():
    one = Answers().with_({"gray.front": 75})
    assert [one.figure("gray", area) for area in ("front", "crown", "back")] == [75, 75, 75]
    two = one.with_({"gray.crown": 25})
    three = two.with_({"gray.front": 90})
    assert [three.figure("gray", area) for area in ("front", "crown", "back")] == [90, 25, 90]
    back = three.with_({"gray.crown": None})
    assert back.figure("gray", "crown") == 90


def test_a_zone_follows_nothing_and_is_said_alone():
    one = Answers().with_(SIX | {"gray.zone-temples": 100})
    assert one.figure("gray", "zone-nape") is None
    assert document(one, BASE)["zones"] == {"temples": {"gray": 100.0}}


def test_a_plan_stands_from_the_sixth_answer():
    said = list(SIX.items())
    five = Answers().with_(dict(said[:-1]))
    assert len(five.answered) == 5
    assert not five.stands
    assert five.lacking == ("more",)
    assert Answers().with_(SIX).stands
    assert Answers().with_({k: v for k, v in EVERY.items() if k != "level.front"}).lacking == (
        "level",
    )


def test_a_question_wants_only_what_is_open():
    one = Answers().with_({"cover.kind": "none"})
    assert "cover" in one.answered
    assert "cover" not in Answers().with_({"cover.kind": "box"}).answered
    assert "cover" in Answers().with_({"cover.kind": "box", "cover.depth": 4}).answered


@pytest.mark.parametrize(
    ("key", "given", "says"),
    [
        ("gray.front", "many", "no number"),
        ("gray.front", 140, "0 to 100 %"),
        ("gray.front", -1, "0 to 100 %"),
        ("gray.front", float("nan"), "no number"),
        ("gray.front", True, "no number"),
        ("level.front", "11", "1 to 10"),
        ("regrowth.front", "151", "0 to 150 cm"),
        ("cover.years", "99", "0 to 70 years"),
        ("strand", "wiry", "none of its answers"),
        ("strand", "<b>", "Fine, Medium, Coarse"),
        ("hours", "0", "0.5 to 10 h"),
        ("money", "1e9", "0 to 20000"),
        ("colour", "3", "no question"),
        ("bands", "red", "no list"),
        ("bands", [{"from_cm": 8, "to_cm": 3, "past": "virgin"}], "must end farther"),
        ("bands", [{"from_cm": 0, "to_cm": 3, "past": "permanent"}], "no depth"),
    ],
)
def test_nonsense_is_told_in_two_sentences_with_its_field(key, given, says):
    with pytest.raises(OutOfRangeError) as told:
        Answers().with_({key: given})
    assert says in str(told.value)
    assert told.value.do
    assert told.value.where.startswith(key)


def test_a_comma_is_a_point():
    assert Answers().with_({"regrowth.front": "2,5"}).figure("regrowth", "front") == 2.5


def test_what_is_written_reads_back():
    bands = [{"from_cm": 2, "to_cm": 20, "past": "permanent", "depth": 5}]
    one = Answers().with_(EVERY | {"bands": bands})
    assert read_answers(one.as_text()) == one
    assert (
        Answers().with_(dict(reversed(EVERY.items()))).as_text() == Answers().with_(EVERY).as_text()
    )


@pytest.mark.parametrize("text", ["", "[]", "{", '{"gray.front": 999}', "[" * 5000])
def test_answers_that_are_none_are_told(text):
    with pytest.raises(ReadError):
        read_answers(text)


def test_only_what_was_said_stands_in_the_document():
    found = document(Answers().with_({"gray.front": 50, "level.front": 6}), BASE)
    assert set(found) == {"client", "areas", "hair"}
    assert found["hair"] == {}


def test_all_answers_come_through_to_the_consultation():
    c = from_document(document(Answers().with_(EVERY), BASE), "x", on=DAY)
    assert (c.areas.back.gray, c.areas.back.level, c.hair.regrowth_cm) == (80, 5, 2)
    assert (c.cover.kind, c.cover.depth, c.hair.ponytail, c.hair.length) == (
        "salon",
        5,
        "thick",
        "bra",
    )
    assert (c.hair.fringe, c.hair.condition, c.aim.wish, c.aim.tone, c.aim.stage) == (
        "short",
        "dry",
        "brighter",
        "beige",
        9,
    )
    assert (c.aim.return_weeks, c.limits.hours) == (12, 4)


def test_an_earlier_consultation_stands_beneath():
    before = BASE | {"hair": {"circumference_cm": 57.0, "strand": "fine"}, "bands": [{"x": 1}]}
    found = document(Answers().with_(SIX), before)
    assert found["hair"]["circumference_cm"] == 57.0
    assert found["hair"]["strand"] == "medium"
    assert "bands" not in found
    assert before["hair"]["strand"] == "fine"


@pytest.mark.parametrize(
    ("said", "pasts"),
    [
        ({"cover.kind": "none"}, []),
        ({}, [("permanent", 2.0, 30.0, 100.0)]),
        ({"cover.kind": "unknown"}, [("unknown", 2.0, 30.0, 100.0)]),
        (
            {"light.where": "ends"},
            [("permanent", 2.0, 20.0, 100.0), ("lightened", 20.0, 30.0, 100.0)],
        ),
        (
            {"light.where": "strands"},
            [("lightened", 2.0, 30.0, 35.0), ("permanent", 2.0, 30.0, 65.0)],
        ),
        ({"light.where": "all"}, [("lightened", 2.0, 30.0, 100.0)]),
    ],
)
def test_the_strand_is_made_of_what_was_said(said, pasts):
    found = strand_of(Answers().with_(SIX | {"light.stage": 9} | said))
    assert [(b.past, b.from_cm, b.to_cm, b.share) for b in found] == pasts


def test_a_drawn_strand_stands_over_words():
    drawn = [{"from_cm": 3, "to_cm": 12, "past": "lightened", "stage": 9, "times": 2}]
    c = consultation(Answers().with_(EVERY | {"bands": drawn}), BASE, on=DAY)
    (lane,) = lanes(c)
    assert [(s.from_cm, s.to_cm, s.band and s.band.past) for s in lane.stretches] == [
        (0.0, 3.0, None),
        (3.0, 12.0, "lightened"),
        (12.0, 48.0, None),
    ]


def test_what_contradicts_is_told_of_the_answer():
    past_the_ends = [{"from_cm": 60, "to_cm": 70, "past": "henna"}]
    with pytest.raises(OutOfRangeError) as told:
        consultation(Answers().with_(EVERY | {"bands": past_the_ends}), BASE, on=DAY)
    assert told.value.where == "bands.1"


def test_the_usual_head_answers_every_question_but_gray_level_and_return():
    one = usual(Answers().with_({"gray.front": 50, "level.front": 6}))
    assert one.left == ("return",)
    assert one.figure("cover.depth") == 6
    assert one.said["gray.front"] == 50


@pytest.mark.parametrize("name", [one.name for one in QUESTIONS])
def test_what_a_question_may_turn_out_to_be_is_an_answer_and_not_the_usual(name):
    one = Answers().with_({"gray.front": 50, "level.front": 6})
    found = turns(name, one)
    assert sum(turn.chance for turn in found) < 1
    for turn in found:
        told = one.supposing(turn.said)
        assert told != one
        assert usual(told) != usual(one)


PLAIN = st.one_of(st.booleans(), st.integers(), st.floats(), st.text(max_size=30))


@given(st.dictionaries(st.sampled_from(sorted(fields())), PLAIN, max_size=6))
def test_any_answer_is_kept_or_told(changes):
    try:
        found = Answers().with_(changes)
    except OutOfRangeError as told:
        assert told.where in changes
    else:
        assert read_answers(found.as_text()) == found


JSON = st.recursive(
    st.one_of(st.none(), PLAIN),
    lambda inside: st.one_of(
        st.lists(inside, max_size=4), st.dictionaries(st.text(max_size=8), inside, max_size=4)
    ),
    max_leaves=12,
)
BANDS = st.lists(
    st.fixed_dictionaries(
        {
            "from_cm": PLAIN,
            "to_cm": PLAIN,
            "past": st.sampled_from(["virgin", "henna", "permanent"]),
        },
        optional={"depth": PLAIN, "share": PLAIN, "stage": PLAIN, "lab": JSON, "said": PLAIN},
    ),
    max_size=3,
)


@given(st.sampled_from([*sorted(fields()), "bands", "nothing"]), st.one_of(JSON, BANDS))
def test_whatever_is_sent_is_kept_or_told_with_its_field(key, given):
    try:
        found = Answers().with_({key: given})
    except OutOfRangeError as told:
        assert told.where.startswith(key)
        assert told.do
    else:
        assert read_answers(found.as_text()) == found
        try:
            consultation(found.supposing({"gray.front": 50, "level.front": 5}), BASE, on=DAY)
        except OutOfRangeError as told:
            assert told.where
