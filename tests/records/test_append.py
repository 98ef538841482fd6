"""Facts are kept once each, whatever is sent again; edits are of what was really read."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from sqlalchemy import select
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_lines
from strandline.salon.records.append import append
from strandline.salon.records.keep import add_client, write, write_consultation
from strandline.salon.records.look import clients, document, head_today, visit_facts
from strandline.salon.records.readings import rebuild
from strandline.salon.records.scribe import Scribe
from strandline.salon.records.tables import VISIT
from strandline.salon.records.wall import StaleError

LORNA = read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8")).facts


def fact(number, **over):
    one = Fact(
        f"n-{number}", "visit-1", "note", 1, {"text": f"note {number}"}, "Ada", "tablet", number,
        "2026-12-03T09:00:00Z", 60,
    )  # fmt: skip
    return replace(one, **over)


def test_a_visit_folds_from_the_record_as_from_its_file(store):
    append(store, LORNA)
    assert fold(visit_facts(store, LORNA[0].stream)) == fold(LORNA)


def test_what_is_sent_again_is_acknowledged_and_kept_once(store):
    first = append(store, LORNA)
    again = append(store, LORNA)
    assert (first.new, first.again) == (len(LORNA), 0)
    assert (again.new, again.again) == (0, len(LORNA))
    assert len(visit_facts(store, LORNA[0].stream)) == len(LORNA)


def test_two_devices_on_one_visit_in_any_order_lose_nothing(store):
    other = [
        replace(one, id=f"b-{one.id}", device="phone")
        for one in LORNA
        if one.kind in ("note", "check.seen")
    ]
    sent = [*LORNA, *other, *LORNA[:4]]
    random.Random(4).shuffle(sent)  # noqa: S311  # any order, the same each time
    for one in sent:
        append(store, [one])
    assert fold(visit_facts(store, LORNA[0].stream)) == fold([*LORNA, *other])


def test_a_device_is_acknowledged_up_to_the_first_gap(store):
    assert append(store, [fact(1), fact(2), fact(4)]).up_to == {"tablet": 2}
    assert append(store, [fact(5)]).up_to == {"tablet": 2}
    assert append(store, [fact(3)]).up_to == {"tablet": 5}


def test_one_name_with_two_contents_keeps_both_and_shows_it(store):
    append(store, [fact(1), fact(2)])
    append(store, [fact(2, payload={"text": "another"})])
    visit = fold(visit_facts(store, "visit-1"))
    assert [one.code for one in visit.conflicts] == ["same_id"]


def test_what_cannot_be_understood_is_kept_and_flagged(store):
    odd = [
        fact(1, kind="dance\0"),
        fact(2, schema=9),
        fact(3, id="x" * 80),
        fact(4, stream="no such\0stream"),
        fact(5, payload={"text": "half \ud800"}),
        fact(2**60),
    ]
    reading = read_lines('{"no": "fact"}\nnot even JSON \0\n')
    taken = append(store, [*odd, fact(6)], reading.unread)
    assert taken.new + taken.kept_aside == len(odd) + 3
    with store.reading() as connection:
        from strandline.salon.records.look import visit_in

        visit = visit_in(connection, "visit-1")
    assert len(visit.notes) == 1
    codes = sorted(flag.code for flag in visit.flagged)
    assert codes == ["kind", "line", "line", "line", "line", "line", "payload", "schema"]


def test_nothing_of_a_refused_append_is_kept(store, scribe):
    with pytest.raises(OutOfRangeError, match="name"):
        add_client(store, scribe, "")
    assert clients(store) == []


def test_the_second_of_two_editors_is_told_who_came_first(store, scribe):
    client = add_client(store, scribe, "Noor Tamarsky")
    first = write_consultation(store, scribe, client, "one")
    other = Scribe("Bea", "phone", scribe.clock)
    write_consultation(store, other, client, "two", over=first)
    with pytest.raises(StaleError, match=r"Bea has changed this .* at version 2 .* yours was 1"):
        write_consultation(store, scribe, client, "mine", over=first)
    now = document(store, first.stream)
    assert (now.text, now.version) == ("two", 2)
    write_consultation(store, scribe, client, "both", over=now)
    assert document(store, first.stream).text == "both"


def test_readings_made_again_are_the_same(store, scribe):
    client = add_client(store, scribe, "Lorna Hexwillow")
    add_client(store, scribe, "Zoë Quillfeather")
    append(store, LORNA)
    write(store, scribe, client, "client.return", {"foils_on": "2027-03-04"})
    before = clients(store)
    assert [row.name for row in before] == ["Lorna Hexwillow", "Zoë Quillfeather"]
    assert (before[0].visits, before[0].last_visit) == (1, "2026-12-09")
    assert before[0].next_visit == "2027-03-04"
    append(store, [fact(1, stream=LORNA[0].stream), *LORNA[:3]])
    with store.reading() as connection:
        visit = connection.execute(select(VISIT)).one()
    assert rebuild(store) == 3
    assert clients(store) == before
    with store.reading() as connection:
        assert connection.execute(select(VISIT)).one() == visit
    assert visit.facts == len(LORNA) + 1


def test_a_search_by_part_of_a_name_forgives_case_and_accents(store, scribe):
    add_client(store, scribe, "Zoë Quillfeather")
    add_client(store, scribe, "100 % Sure")
    assert [row.name for row in clients(store, "ZOE QUILL")] == ["Zoë Quillfeather"]
    assert [row.name for row in clients(store, "%")] == ["100 % Sure"]
    assert clients(store, "_") == []


def test_a_visit_belongs_to_the_client_it_names(store, scribe):
    client = add_client(store, scribe, "Lorna Hexwillow")
    append(store, LORNA)
    head = head_today(store, client)
    assert [visit.stream for visit in head.visits] == [LORNA[0].stream]


def test_a_slip_taken_back_and_a_consent_withdrawn_stand_so(store, scribe):
    client = add_client(store, scribe, "Noor Tamarsky")
    for kind in ("consent.given", "consent.withdrawn", "consent.given"):
        more = {"signature": "N. Tamarsky"} if kind == "consent.given" else {}
        write(store, scribe, client, kind, {"purpose": "photo", **more})
        assert head_today(store, client).client.consents["photo"] is (kind == "consent.given")
    assert head_today(store, client).client.consents["publish"] is False
