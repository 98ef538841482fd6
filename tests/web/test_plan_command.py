"""`strandline plan --client` beside the app: one record, one plan."""

from __future__ import annotations

import json
import sqlite3

import pytest

from strandline.salon.cli.main import main
from strandline.salon.records.look import head_today
from strandline.salon.records.stock import named_product
from strandline.salon.records.tables import HEAD

DAY = "2027-08-26"


@pytest.fixture
def db(room):
    return str(room.store.place.file)


def test_the_command_plans_from_the_record_what_the_app_plans(app, room, noor, plan, db, capsys):
    """After a visit that taught, with a shelf that changed and a value of her own."""
    where = app.post(f"/plans/{plan}/done").headers["location"]
    app.post(where, data={"as_planned": "yes", "even-whole": "even", "stage-whole": "8"})
    powder = named_product(room.store, "white powder")
    app.post(f"/shelf/{powder}/stock", data={"what": "counted", "grams": "25"})
    app.post(f"/clients/{noor}/plans", data={"day": DAY})
    kept = max(head_today(room.store, noor).plans, key=lambda one: one.date)
    assert main(["plan", "--client", "noor", "--db", db, "--on", DAY, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told == json.loads(kept.text)
    assert told["leans_on"]
    assert told["carried"]


def test_its_day_is_the_one_agreed_unless_it_is_said(db, capsys):
    assert main(["plan", "--client", "noor", "--db", db, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["date"] == "2027-05-20"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("plan --client nobody", "No client's name holds"),
        ("plan --client r", "More than one client's name holds"),
        ("plan", "Name one of the two"),
        ("plan examples/noor.toml --client noor", "Name one of the two"),
        ("plan --client noor --after x", "Leave them out"),
        ("plan --client noor --learned x", "Leave them out"),
        ("growout --client nobody", "No client's name holds"),
        ("timing --client nobody", "No client's name holds"),
    ],
)
def test_what_cannot_be_planned_from_a_record_is_told(words, says, db, monkeypatch, capsys):
    monkeypatch.setenv("STRANDLINE_DB", db)
    assert main([*words.split(), "--on", "2027-08-26"]) == 2
    assert says in capsys.readouterr().err


def test_a_file_and_a_record_are_not_mixed(db, capsys):
    assert main(["plan", "examples/noor.toml", "--db", db]) == 2
    assert "--client NAME in place of the file" in capsys.readouterr().err


def test_a_record_of_a_later_version_or_held_by_another_is_told(room, db, monkeypatch, capsys):
    from strandline.salon.records import store

    words = ["plan", "--client", "noor", "--db", db]
    room.store.close()
    with sqlite3.connect(db) as direct:
        direct.execute("UPDATE alembic_version SET version_num = '0999'")
    direct.close()
    assert main(words) == 2
    assert "Install the newer Strandline" in capsys.readouterr().err
    monkeypatch.setattr(store, "PATIENCE_S", 0)
    monkeypatch.setattr(store, "PRAGMAS", ())
    with sqlite3.connect(db) as direct:
        direct.execute("UPDATE alembic_version SET version_num = ?", (HEAD,))
        direct.commit()
        direct.execute("PRAGMA locking_mode=EXCLUSIVE")
        direct.execute("BEGIN EXCLUSIVE")
        assert main(words) == 2
    direct.close()
    assert "Another program holds the record" in capsys.readouterr().err
