"""One line of migrations: from an archive of every earlier schema, on both databases."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, text
from tests.conftest import EXAMPLES

from strandline.base.errors import ReadError
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_lines
from strandline.salon.records.doctor import examine
from strandline.salon.records.look import clients, head_today, the_client
from strandline.salon.records.migrate import bring_up
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.records.tables import HEAD, KNOWN, META
from strandline.salon.records.wall import LaterVersionError

ARCHIVE = Path(__file__).parent / "archive"
LORNA = read_lines((EXAMPLES / "lorna.visit.jsonl").read_text("utf-8")).facts


def test_there_is_an_archive_of_every_schema():
    assert sorted(path.stem for path in ARCHIVE.glob("*.sql")) == sorted(KNOWN)


def test_the_line_of_migrations_is_the_one_that_is_known():
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "strandline.salon.records:migrations")
    scripts = ScriptDirectory.from_config(config)
    line = [step.revision for step in scripts.walk_revisions()]
    assert line[::-1] == list(KNOWN)
    assert scripts.get_heads() == [HEAD]


@pytest.fixture(params=["sqlite", "postgresql"])
def from_archive(request, tmp_path):
    """Give a function from a schema to a place whose database stands at it, filled."""

    def make(schema):
        old = sqlite3.connect(tmp_path / f"{schema}.db")
        old.executescript((ARCHIVE / f"{schema}.sql").read_text("utf-8"))
        old.commit()
        if request.param == "sqlite":
            old.close()
            return Place(tmp_path, tmp_path / f"{schema}.db")
        url = request.getfixturevalue("postgres")(empty=True)
        engine = create_engine(url)
        with engine.begin() as connection:
            bring_up(connection, schema)
        with engine.begin() as connection:
            tables = inspect(connection).get_table_names()
            order = [
                "stream",
                *[name for name in tables if name not in ("stream", "alembic_version")],
            ]
            for name in order:
                found = old.execute(f'SELECT * FROM "{name}"')  # noqa: S608  # a table's own name
                names = [column[0] for column in found.description]
                marks = ", ".join(f":{one}" for one in names)
                put = text(f'INSERT INTO "{name}" ({", ".join(names)}) VALUES ({marks})')  # noqa: S608
                for row in found.fetchall():
                    connection.execute(put, dict(zip(names, row, strict=True)))
        engine.dispose()
        old.close()
        return Place(tmp_path, None, url)

    return make


@pytest.mark.parametrize("schema", KNOWN)
def test_an_archive_opens_with_every_fact(from_archive, schema):
    with open_store(from_archive(schema)) as store:
        assert [row.name for row in clients(store)] == ["Lorna Hexwillow", "Zoë Quillfeather"]
        head = head_today(store, the_client(store, "lorna"))
        assert [flag.code for flag in head.visits[0].flagged] == ["line"]
        read = fold(LORNA)
        assert head.visits[0].foils == read.foils
        assert head.visits[0].checks == read.checks
        assert head.client.consents["health"] is True
        assert len(head.consultations) == 1
        assert not [one for one in examine(store, "2026-12-10") if one.weight == "bad"]


def test_the_migrated_tables_are_those_that_queries_name(store):
    found = inspect(store.engine)
    assert set(found.get_table_names()) == {*META.tables, "alembic_version"}
    for name, table in META.tables.items():
        columns = {one["name"]: one["nullable"] for one in found.get_columns(name)}
        assert columns == {column.name: bool(column.nullable) for column in table.c}
        indices = {
            tuple(one["column_names"]) for one in found.get_indexes(name) if not one["unique"]
        }
        assert indices >= {tuple(column.name for column in one.columns) for one in table.indexes}


def test_a_database_of_a_later_version_is_left_alone(store, place):
    with store.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(LaterVersionError, match=r"schema 9999; .* knows up to .* newer Strandline"):
        open_store(place)
    with store.reading() as connection:
        assert connection.scalar(text("SELECT version_num FROM alembic_version")) == "9999"


def test_a_database_of_another_program_is_left_alone(tmp_path):
    file = tmp_path / "other.db"
    with sqlite3.connect(file) as other:
        other.execute("CREATE TABLE song (name TEXT)")
    with pytest.raises(ReadError, match="another program"):
        open_store(Place(tmp_path, file))
    with sqlite3.connect(file) as other:
        assert [row[0] for row in other.execute("SELECT name FROM sqlite_master")] == ["song"]
