"""`strandline plan --alternatives` and `--choose`."""

from __future__ import annotations

import json

import jsonschema
from tests.conftest import EXAMPLES

from strandline.salon.cli.main import main

DOCS = EXAMPLES.parent / "docs"


def run(capsys, *words):
    code = main(["plan", *words])
    out, err = capsys.readouterr()
    return code, out, err


def test_json_is_the_published_shape(capsys):
    code, out, _ = run(capsys, str(EXAMPLES / "tamsin.toml"), "--alternatives", "--json")
    assert code == 0
    schema = json.loads((DOCS / "schemas" / "ways.schema.json").read_text("utf-8"))
    made = json.loads(out)
    jsonschema.validate(made, schema)
    assert [way["name"] for way in made["ways"]] == ["gloss alone"]


def test_a_chosen_plan_is_written_like_any_other_and_her_sheet_names_the_ways(capsys, tmp_path):
    folder = tmp_path / "lowlights"
    code, out, _ = run(
        capsys, str(EXAMPLES / "mirela.toml"), "--choose", "gentle", "--out", str(folder)
    )
    assert code == 0
    assert "lowlights" in out
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    assert 0 < plan["foil_count"] < 25
    import pypdf

    pages = pypdf.PdfReader(folder / "client-sheet.pdf").pages
    text = " ".join(page.extract_text() for page in pages)
    assert len(pages) <= 2
    assert "Ways to go" in text
    assert "A few darker strands where they show." in text


def test_a_kind_that_is_not_there_is_answered_with_those_that_are(capsys):
    code, out, err = run(capsys, str(EXAMPLES / "tamsin.toml"), "--choose", "thorough")
    assert code == 2
    assert out == ""
    assert "There is no plan 'thorough'" in err
    assert "gloss alone" in err


def test_it_goes_with_no_visit_under_way(capsys):
    code, _, err = run(
        capsys, str(EXAMPLES / "tamsin.toml"), "--alternatives", "--timed"
    )  # fmt: skip
    assert code == 2
    assert "neither --facts nor --timed" in err
