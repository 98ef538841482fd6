"""The fold of any facts: arrival and repetition change nothing, and nothing is lost."""

from __future__ import annotations

import json

import jsonschema
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from strandline.base.facts.fact import Fact, canonical, fact_of, milliseconds, utc_text
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_jsonl, read_lines, write_jsonl
from strandline.base.facts.kinds import KINDS
from strandline.base.facts.schema import json_schema
from strandline.base.facts.understand import Flag, understand

SECTIONS = ("top", "sides", "fringe")
PLACES = ("mids", "ends")
VALIDATOR = jsonschema.Draft202012Validator(json_schema())
CHARACTERS = st.characters(exclude_categories=("Cs",))


SHARED = {"section": SECTIONS, "bowl": PLACES, "place": PLACES}


def value_of(name, field):
    """Values a field understands, few enough that facts meet."""
    if name in SHARED:
        return st.sampled_from(SHARED[name])
    numbers = st.integers(int(field.low * 2), int(field.high * 2)).map(lambda half: half / 2)
    return {
        "yes": st.booleans(),
        "word": st.sampled_from(field.words or ("",)),
        "date": st.dates().map(lambda day: day.isoformat()),
        "name": st.integers(0, 6).map("f{}".format),
        "text": st.text(CHARACTERS, min_size=1, max_size=4),
        "wholes": st.lists(st.integers(1, 9), min_size=1, max_size=4, unique=True),
        "whole": st.integers(1, 9),
        "number": numbers,
    }[field.type]


@st.composite
def payloads(draw, kind):
    """Draw a payload that its kind understands."""
    out = {}
    for name, field in kind.fields.items():
        if name not in kind.one_of and (field.needed or draw(st.booleans())):
            out[name] = draw(value_of(name, field))
    if kind.one_of:
        name = draw(st.sampled_from(kind.one_of))
        out[name] = draw(value_of(name, kind.fields[name]))
    if kind.rising:
        out.update(zip(kind.rising, sorted(out[name] for name in kind.rising), strict=True))
    return out


@st.composite
def understood(draw):
    """Draw a fact that is understood; ids, times and devices few, so that facts clash."""
    kind = draw(st.sampled_from(sorted(KINDS)))
    seconds = draw(st.integers(0, 40)) * 30
    return Fact(
        id=f"f{draw(st.integers(0, 6))}",
        stream=draw(st.sampled_from(("v1", "v1", "v1", "v2"))),
        kind=kind,
        schema=KINDS[kind].schema,
        payload=draw(payloads(KINDS[kind])),
        by="she",
        device=draw(st.sampled_from(("tablet", "phone"))),
        device_seq=draw(st.integers(0, 3)),
        device_time=utc_text(1_796_800_000_000 + seconds * 1000),
        offset=60,
    )


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 500) | st.floats(-5, 500) | st.text(max_size=4),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.text(max_size=4), inside),
    max_leaves=4,
)


@st.composite
def odd(draw):
    """Draw a fact with one thing in it changed at will, mostly not understood."""
    record = draw(understood()).as_json()
    target = draw(st.sampled_from(("field", "payload", "schema", "kind")))
    if target == "schema":
        record["schema"] = draw(st.integers(-1, 3))
    elif target == "kind":
        record["kind"] = draw(st.sampled_from(("tea.poured", "", *sorted(KINDS))))
    elif target == "field":
        name = draw(st.sampled_from(("id", "stream", "by", "device", "device_time")))
        record[name] = draw(st.text(max_size=5))
    else:
        names = st.sampled_from((*KINDS[record["kind"]].fields, "odd"))
        record["payload"] = {**record["payload"], draw(names): draw(JSON_VALUES)}
    return fact_of(record)


FACTS = st.lists(understood() | odd(), max_size=14)


@given(FACTS, st.randoms(use_true_random=False))
@settings(max_examples=200, deadline=None)
def test_fold_does_not_know_the_order_of_arrival(facts, shuffler):
    moved = list(facts)
    shuffler.shuffle(moved)
    assert fold(moved) == fold(facts)


@given(FACTS, st.data())
@settings(max_examples=200, deadline=None)
def test_fold_does_not_know_how_often_a_fact_came(facts, data):
    again = data.draw(st.lists(st.sampled_from(facts), max_size=8)) if facts else []
    assert fold([*facts, *again]) == fold(facts)


@given(FACTS)
@settings(max_examples=150, deadline=None)
def test_fold_does_not_know_that_facts_went_through_a_file(facts):
    text = write_jsonl(facts)
    assert read_jsonl(text) == facts
    assert fold(read_jsonl(text)) == fold(facts)


@given(FACTS)
@settings(max_examples=200, deadline=None)
def test_every_fact_that_is_not_understood_is_flagged(facts):
    flagged = {flag.id for flag in fold(facts).flagged}
    assert flagged >= {fact.id for fact in facts if isinstance(understand(fact, ()), Flag)}


@given(FACTS)
@settings(max_examples=200, deadline=None)
def test_foils_are_those_placed_or_added_and_not_dropped(facts):
    visit = fold(facts)
    ranges = {
        number
        for section in visit.sections
        if section.last_foil is not None
        for number in range(section.first_foil, section.last_foil + 1)
    }
    assert visit.foils_done == (ranges - set(visit.dropped)) | set(visit.added)
    assert not set(visit.dropped) & set(visit.added)


@given(FACTS)
@settings(max_examples=200, deadline=None)
def test_no_foil_comes_out_before_it_went_in(facts):
    for foil in fold(facts).foils:
        if foil.start is not None and foil.out is not None:
            assert foil.start <= foil.out
            assert foil.in_min is not None
            assert foil.in_min >= 0


@given(st.lists(understood().filter(lambda fact: fact.kind != "taken.back"), max_size=10))
@settings(max_examples=150, deadline=None)
def test_burning_is_never_lost(facts):
    """Whatever else is tapped with it, even under the same id, burning shows."""
    burning = Fact(
        "f0",
        "v1",
        "felt",
        1,
        {"what": "burning"},
        "she",
        "tablet",
        9,
        utc_text(1_796_900_000_000),
        60,
    )
    here = [fact for fact in facts if fact.stream == "v1"]
    assert fold([*here, burning]).rinse_now


@given(understood())
@settings(max_examples=200, deadline=None)
def test_what_is_understood_fits_the_schema(fact):
    assert not isinstance(understand(fact, ()), Flag)
    VALIDATOR.validate(fact.as_json())


@given(odd())
@settings(max_examples=400, deadline=None)
def test_the_schema_refuses_what_is_flagged(fact):
    """Except where the schema says less: a last foil below the first, the calendar."""
    flag = understand(fact, ())
    fits = VALIDATOR.is_valid(fact.as_json())
    assume(not (isinstance(flag, Flag) and flag.field in ("last_foil", "date", "device_time")))
    assume("\n" not in fact.id + fact.stream + fact.device)  # Python's $ allows one at the end
    assert fits == (not isinstance(flag, Flag))


@given(st.text(max_size=60) | st.lists(JSON_VALUES, max_size=3).map(json.dumps))
@settings(max_examples=300, deadline=None)
def test_no_text_is_refused_or_lost(text):
    reading = read_lines(text)
    lines = [line for line in text.removeprefix("\ufeff").split("\n") if line.strip()]
    assert len(reading.facts) + len(reading.unread) == len(lines)
    assert len(fold(reading.facts, reading.unread).flagged) == len(lines)
    again = read_lines(write_jsonl(reading.facts, reading.unread))
    assert [one.text for one in again.unread] == [one.text for one in reading.unread]


@given(st.integers(0, 253_402_300_799_999))
def test_times_go_to_text_and_back(count):
    assert milliseconds(utc_text(count)) == count


@given(JSON_VALUES)
def test_canonical_text_is_json_of_the_same_value(value):
    assert json.loads(canonical(value)) == value
    assert canonical(json.loads(json.dumps(value))) == canonical(value)
