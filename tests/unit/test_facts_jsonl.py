"""A visit's file: what is read, what is kept unread, and what the page and the words say."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from strandline.base.errors import ReadError
from strandline.base.facts.fact import Fact, canonical, milliseconds, utc_text
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_jsonl, read_lines, write_jsonl
from strandline.base.facts.kinds import KINDS
from strandline.base.facts.schema import json_schema
from strandline.base.facts.understand import Flag, understand
from strandline.base.facts.upcast import UPCASTERS, Upcaster, upcast

PAGE = Path(__file__).parents[2] / "docs" / "facts.md"
NOTE = Fact(
    "n1", "v1", "note", 1, {"text": "té, “soft”"}, "she", "tablet", 1, "2026-12-09T09:00:00Z", 60
)
LINE = json.dumps(NOTE.as_json())


def with_(**changes):
    return json.dumps({**NOTE.as_json(), **changes})


def without(name):
    return json.dumps({key: value for key, value in NOTE.as_json().items() if key != name})


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("{", "not JSON"),
        ("[]", "not an object"),
        ("3", "not an object"),
        (without("offset"), "no offset"),
        (with_(mood="good"), "'mood'"),
        (with_(schema="1"), "schema is not a whole number"),
        (with_(device_seq=True), "device_seq is not a whole number"),
        (with_(device_seq=1.5), "device_seq is not a whole number"),
        (with_(payload=[]), "payload is not an object"),
        (with_(by=None), "by is not text"),
        ('{"id": NaN}', "number without end"),
        ('{"id": 1e999}', "number without end"),
        ("[" * 50_000, "too many brackets"),
        (with_(payload={"text": "a" * 100_000}), "characters long"),
    ],
)
def test_a_line_that_is_no_fact_is_refused_with_its_number_or_kept(line, why):
    text = f"{LINE}\n\n{line}\n"
    with pytest.raises(ReadError) as found:
        read_jsonl(text, "kept.jsonl")
    assert found.value.where == "kept.jsonl, line 3"
    assert "Line 3 is not a fact: it" in found.value.what
    reading = read_lines(text)
    assert reading.facts == (NOTE,)
    (unread,) = reading.unread
    assert (unread.line, unread.text) == (3, line)
    assert why in unread.why
    visit = fold(reading.facts, reading.unread)
    assert [(flag.code, flag.line) for flag in visit.flagged] == [("line", 3)]
    assert visit.notes[0].text == "té, “soft”"
    assert write_jsonl(reading.facts, reading.unread).split("\n")[1] == line


def test_a_file_cut_off_in_its_last_line_keeps_the_rest():
    text = (LINE + "\n") * 2 + LINE[: len(LINE) // 2]
    assert len(read_lines(text).facts) == 2
    assert read_lines(text).unread[0].line == 3


@pytest.mark.parametrize("text", ["", "\n\n", "\ufeff", " \r\n"])
def test_a_file_of_nothing_is_a_visit_of_nothing(text):
    assert read_jsonl(text) == []
    visit = fold([])
    assert visit.stream == ""
    assert visit.foils_done == frozenset()
    assert not visit.rinse_now


def test_line_ends_of_every_system_and_separators_inside_text_are_read():
    fact = json.loads(with_(payload={"text": "one\u2028two"}))
    text = "\ufeff" + "\r\n".join([LINE, json.dumps(fact, ensure_ascii=False)]) + "\r\n"
    assert [one.payload["text"] for one in read_jsonl(text)] == ["té, “soft”", "one\u2028two"]


def test_a_whole_number_may_be_written_with_a_point():
    (fact,) = read_jsonl(with_(device_seq=1.0, offset=60.0))
    assert fact == NOTE


def test_half_a_character_is_kept_flagged_and_written_back():
    (fact,) = read_jsonl(LINE.replace("soft", "\\ud83d"))
    assert isinstance(understand(fact, ()), Flag)
    text = write_jsonl([fact])
    text.encode("utf-8")
    assert read_jsonl(text) == [fact]


def test_a_written_file_reads_as_it_was_said():
    assert "té, “soft”" in write_jsonl([NOTE])
    assert read_jsonl(write_jsonl([NOTE, NOTE])) == [NOTE, NOTE]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("1970-01-01T00:00:00Z", 0),
        ("1970-01-01T00:00:01.5Z", 1500),
        ("2000-02-29T23:59:59.999Z", 951_868_799_999),  # 11017 days of 86400 s, less 1 ms
        ("1969-12-31T23:59:59Z", None),
        ("2026-02-29T00:00:00Z", None),
        ("2026-12-09T24:00:00Z", None),
        ("2026-12-09T23:59:60Z", None),
        ("2026-12-09T10:00:00+00:00", None),
        ("2026-12-09T10:00:00.1234Z", None),
        ("2026-12-09T10:00:00Z\n", None),
    ],
)
def test_times_are_whole_milliseconds(text, count):
    assert milliseconds(text) == count
    if count is not None:
        assert milliseconds(utc_text(count)) == count


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1.0, "1"),
        (-0.0, "0"),
        (0.1, "0.1"),
        (0.00001, "0.00001"),
        (1e-7, "1e-7"),
        (1.5e-10, "1.5e-10"),
        (12.25, "12.25"),
        (True, "true"),
        ({"b": 1, "a": [None, "é\u007f"]}, '{"a":[null,"\\u00e9\\u007f"],"b":1}'),
    ],
)
def test_canonical_text_is_what_ecmascript_prints(value, text):
    """ECMA-262, Number::toString; the same values run in a browser's console."""
    assert canonical(value) == text


def test_steps_from_older_schemas_chain_and_a_ring_ends():
    first = Upcaster("seen", 1, "seen", 2, rename={"level": "stage"}, drop=("mood",))
    second = Upcaster("seen", 2, "check.seen", 1, fill={"sureness": "fair", "stage": 5})
    ring = Upcaster("ring", 1, "ring", 1)
    kind, schema, payload = upcast("seen", 1, {"level": 8, "mood": 1}, (first, second, ring))
    assert (kind, schema) == ("check.seen", 1)
    assert payload == {"stage": 8, "sureness": "fair"}
    assert upcast("ring", 1, {}, (ring,))[:2] == ("ring", 1)


def test_every_step_leads_to_a_kind_as_it_now_is():
    for step in UPCASTERS:
        kind, schema, _ = upcast(step.kind, step.schema, {}, UPCASTERS)
        assert KINDS[kind].schema == schema


def test_a_flag_says_in_a_sentence_what_is_wrong():
    (fact,) = read_jsonl(with_(kind="check.seen", payload={"foil": 3, "stage": 12}))
    flag = understand(fact, ())
    assert isinstance(flag, Flag)
    assert flag.why == "In check.seen, 'stage' is 12, which cannot be understood."


def test_the_page_names_every_kind_field_and_word():
    page = PAGE.read_text("utf-8")
    rows = {line.split("|")[1].strip(): line for line in page.splitlines() if line.startswith("|")}
    for name, kind in KINDS.items():
        row = rows[f"`{name}`"]
        for field, shape in kind.fields.items():
            assert re.search(rf"\b{field}\b", row), (name, field)
            for word in shape.words:
                assert word in row, (name, word)
    for name in NOTE.as_json():
        assert f"`{name}`" in rows


def test_the_schema_knows_every_kind_and_names_no_host_but_its_dialect():
    schema = json_schema()
    assert set(schema["$defs"]) == set(KINDS) == set(schema["properties"]["kind"]["enum"])
    assert json.dumps(schema).count("http") == 1
