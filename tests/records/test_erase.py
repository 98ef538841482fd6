"""Export, erasure, return: equal; and of an erased client nothing is left but what is listed."""

from __future__ import annotations

import io
import json
import re
import zipfile

import pytest
from PIL import Image
from tests.conftest import EXAMPLES

from strandline.base.errors import ReadError
from strandline.base.facts.jsonl import read_lines
from strandline.salon.records.append import append
from strandline.salon.records.backup import back_up
from strandline.salon.records.doctor import examine, mend
from strandline.salon.records.erase import erase, retire
from strandline.salon.records.export import as_document, bring_back, export_client
from strandline.salon.records.keep import (
    add_client,
    keep_plan,
    sign_test,
    take_photo,
    write,
    write_consultation,
)
from strandline.salon.records.look import clients, head_today
from strandline.salon.records.photos import kept_photos
from strandline.salon.records.restore import restore
from strandline.salon.records.shelf import shelf
from strandline.salon.records.wall import ConsentError

LORNA = read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8"))
NAME, SIGNED = "Lorna Hexwillow", "L-Hexwillow-signed"


def photo():
    made, out = Image.new("RGB", (40, 30), (120, 90, 70)), io.BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "A maker of cameras"
    exif.get_ifd(0x8825)[1] = "N"
    exif[0x0112] = 6
    made.save(out, "JPEG", exif=exif)
    return out.getvalue()


@pytest.fixture
def lorna(store, scribe, made):
    client = add_client(store, scribe, NAME, contact="by letter to Hexwillow Lane")
    for purpose in ("record", "health", "photo"):
        write(store, scribe, client, "consent.given", {"purpose": purpose, "signature": NAME})
    said = {"client": NAME, "test": "alert", "result": "clear", "line": "tideline",
            "applied_on": "2026-11-30", "read_on": "2026-12-02", "signature": SIGNED}  # fmt: skip
    sign_test(store, scribe, client, said)
    reaction = {"on": "2019-05-01", "to": "a box colour", "what": "an itch of Hexwillow",
                "severity": "mild"}  # fmt: skip
    write(store, scribe, client, "reaction.seen", reaction)
    write_consultation(store, scribe, client, (EXAMPLES / "lorna.toml").read_text("utf-8"))
    powder = {"name": "white powder", "sort": "lightener", "low_grams": 100}
    write(store, scribe, "product-powder", "product.described", powder, sort="product")
    keep_plan(store, scribe, client, made("lorna").plan.model_dump_json())
    append(store, LORNA.facts, read_lines("a line of Hexwillow\n").unread)
    take_photo(store, scribe, client, photo(), view="back")
    return client


@pytest.fixture
def other(store, scribe):
    return add_client(store, scribe, "Noor Tamarsky")


def searched(folder, needle):
    """Give the files below a folder that hold some bytes, in either case of letters."""
    words = re.compile(re.escape(needle.encode()), re.IGNORECASE)
    files = [path for path in folder.rglob("*") if path.is_file()]
    return [path.name for path in files if words.search(path.read_bytes())]


def test_a_photo_wants_consent_and_leaves_its_place_behind(store, scribe, other, place):
    with pytest.raises(ConsentError):
        take_photo(store, scribe, other, photo())
    assert list(kept_photos(place.folder)) == []
    signed = {"purpose": "photo", "signature": "N. T."}
    write(store, scribe, other, "consent.given", signed)
    digest = take_photo(store, scribe, other, photo())
    kept = place.folder / "photos" / f"{digest}.jpg"
    assert kept.stat().st_mode & 0o077 == 0
    with Image.open(kept) as found:
        assert dict(found.getexif()) == {}
        assert found.size == (30, 40)
    assert b"maker" not in kept.read_bytes()


def test_export_holds_a_page_data_facts_and_photos(store, lorna, tmp_path):
    done = export_client(store, lorna, tmp_path / "lorna.zip")
    with zipfile.ZipFile(done.path) as found:
        names = set(found.namelist())
        page = found.read("client.html").decode()
        data = json.loads(found.read("client.json"))
    assert {"client.html", "client.json", "facts.jsonl", "manifest.json"} <= names
    assert (done.photos, len([name for name in names if name.startswith("photos/")])) == (1, 1)
    assert NAME in page
    assert SIGNED in page
    assert "<script" not in page
    assert data["visits"][0]["client"] == NAME


def test_of_an_erased_client_only_the_listed_items_are_left(store, scribe, lorna, other, place):
    done = erase(store, scribe, lorna)
    assert [(one.what, one.until) for one in done.kept] == [
        ("the signed record of a test: alert, read 2026-12-02", "2032-12-02")
    ]
    assert "6 years" in done.kept[0].reason
    assert (done.photos, done.mentions, done.backups) == (1, (), ())
    assert [row.name for row in clients(store)] == ["Noor Tamarsky"]
    if not place.is_sqlite:
        return
    # what is listed holds her name; beside it there is nothing
    with store.reading() as connection:
        from sqlalchemy import text

        left = connection.execute(text("SELECT body FROM fact WHERE body LIKE '%exwillow%'")).all()
    assert len(left) == 1
    assert SIGNED in left[0].body
    retire(store, "2033-01-01")
    for needle in ("exwillow", "Lorna", SIGNED, "v-2026-12-09-lorna", "the bus", lorna):
        assert searched(place.folder, needle) == []
    assert searched(place.folder, "Tamarsky") == ["record.db"]


def test_law_keeps_a_test_until_its_day_and_no_longer(store, scribe, lorna, place):
    erase(store, scribe, lorna)
    assert retire(store, "2032-12-02") == 0
    assert retire(store, "2032-12-03") == 1


def test_export_erase_import_is_equal(store, scribe, lorna, tmp_path):
    before = as_document(head_today(store, lorna))
    first = export_client(store, lorna, tmp_path / "one.zip")
    erase(store, scribe, lorna)
    with pytest.raises(ReadError):
        export_client(store, "client-nobody", tmp_path / "none.zip")
    bring_back(store, first.path)
    assert as_document(head_today(store, lorna)) == before
    again = export_client(store, lorna, tmp_path / "two.zip")
    with zipfile.ZipFile(first.path) as one, zipfile.ZipFile(again.path) as two:
        for name in one.namelist():
            if name != "manifest.json":
                assert one.read(name) == two.read(name), name
    assert bring_back(store, first.path) == 0


def test_a_device_that_comes_late_does_not_bring_an_erased_visit_back(store, scribe, lorna):
    erase(store, scribe, lorna)
    late = append(store, LORNA.facts)
    assert (late.new, late.erased) == (0, len(LORNA.facts))
    assert late.up_to["tablet"] >= LORNA.facts[0].device_seq


def test_a_backup_from_before_is_erased_again_when_it_is_restored(
    store, scribe, lorna, other, place, tmp_path
):
    taken = back_up(store, tmp_path / "before.zip")
    done = erase(store, scribe, lorna)
    assert done.backups == (str(taken.path.resolve()),)
    store.close()
    restored = restore(place, taken.path, replace=True)
    assert restored.erased >= 4
    assert [row.name for row in clients(store)] == ["Noor Tamarsky"]
    assert list(kept_photos(place.folder)) == []
    if place.is_sqlite:
        restored.before.unlink()
        assert searched(place.folder, "Hexwillow Lane") == []


def test_the_ledger_beside_the_database_is_enough(store, scribe, lorna, place, tmp_path):
    taken = back_up(store, tmp_path / "before.zip")
    erase(store, scribe, lorna)
    new = type(place)(place.folder, place.folder / "new.db")
    restored = restore(new, taken.path)
    assert restored.erased >= 4


def test_where_her_name_still_stands_is_told_and_what_she_taught_stays(store, scribe, lorna, other):
    write(store, scribe, other, "note", {"text": f"came with {NAME}"})
    taught = json.dumps({"visits": [{"client": NAME, "rate": 1.25}]})
    said = {"text": taught}
    write(store, scribe, "practice", "practice.learned", said, sort="practice")
    done = erase(store, scribe, lorna)
    assert done.mentions == (f"{other}: note",)
    with store.reading() as connection:
        from strandline.salon.records.folded import fold_practice
        from strandline.salon.records.readings import facts_of

        learned = fold_practice(facts_of(connection, "practice")).learned
    assert json.loads(learned) == {"visits": [{"client": "erased", "rate": 1.25}]}


def test_an_erased_plan_needs_nothing_of_the_shelf(store, scribe, lorna):
    assert [row.reserved > 0 for row in shelf(store, "2026-12-03")] == [True]
    erase(store, scribe, lorna)
    assert [row.reserved for row in shelf(store, "2026-12-03")] == [0]


def test_doctor_finds_and_mends(store, scribe, lorna, place):
    assert not [one for one in examine(store, "2026-12-03") if one.weight == "bad"]
    erase(store, scribe, lorna)
    (place.folder / "photos").mkdir(exist_ok=True)
    (place.folder / "photos" / ("a" * 64 + ".jpg")).write_bytes(b"stray")
    (place.folder / "erasures.json").write_text("{}")
    with store.writing() as connection:
        from sqlalchemy import delete

        from strandline.salon.records.tables import CLIENT

        connection.execute(delete(CLIENT))
    add_client(store, scribe, "Noor Tamarsky")
    looks = {one.about for one in examine(store, "2033-01-01") if one.mends_itself}
    assert looks >= {"photos", "erasures", "retention"}
    mend(store, "2033-01-01")
    assert not [one for one in examine(store, "2033-01-01") if one.mends_itself]


def test_doctor_sees_a_fact_that_was_changed_behind_its_back(store, scribe, other):
    with store.writing() as connection:
        from sqlalchemy import text

        connection.execute(text("UPDATE fact SET body = replace(body, 'Noor', 'Neer')"))
    bad = [one for one in examine(store, "2026-12-03") if one.weight == "bad"]
    assert [one.about for one in bad] == ["checksums"]
    assert "strandline restore" in bad[0].mend
