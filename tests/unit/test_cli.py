"""The commands as a person runs them: what they write, what they refuse, with exit codes."""

from __future__ import annotations

import io
import json
import subprocess
import sys

import pypdf
import pytest
from tests.conftest import EXAMPLES

from strandline.salon.cli.main import main
from strandline.service.plan.model import ServicePlan


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    out = tmp_path_factory.mktemp("plans") / "noor"
    assert main(["plan", str(EXAMPLES / "noor.toml"), "--out", str(out)]) == 0
    return out


def test_mix_gives_exact_and_poured_parts(capsys):
    words = "mix --target-vol 12 --stock-vol 20,5 --grams 60 --powder-ratio 2 --json"
    assert main(words.split()) == 0
    mixed = json.loads(capsys.readouterr().out)
    assert {p["vol"]: p["grams"] for p in mixed["parts"]} == pytest.approx({20: 28, 5: 32})
    assert {p["vol"]: p["parts"] for p in mixed["poured"]} == {20: 1, 5: 1}
    assert mixed["poured_vol"] == 12.5
    assert mixed["percent_nominal"] == pytest.approx(3.6)
    assert mixed["percent_exact"] == pytest.approx(3.645, abs=0.005)
    assert mixed["powder_grams"] == 30
    assert mixed["bowl_percent"] == pytest.approx(2.5, abs=0.11)


def test_mix_imports_the_standard_library_alone():
    code = (
        "import sys; from strandline.salon.cli.main import main; "
        "main('mix --target-vol 12 --stock-vol 20,5 --grams 60'.split()); "
        "print({'numpy', 'pydantic', 'scipy'} & set(sys.modules))"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip().endswith("set()")


@pytest.mark.parametrize(
    "words",
    [
        "mix --target-vol 41 --stock-vol 50,5 --grams 60",
        "mix --target-vol 40 --stock-vol 20,5 --grams 60",
        "mix --target-vol 12 --stock-vol 20,5 --grams 0",
        "mix --target-vol twelve --stock-vol 20,5 --grams 60",
        "mix --target-vol 12 --stock-vol , --grams 60",
        "plan nowhere.toml",
        "plan .",
        "plan examples/noor.toml --on tomorrow",
        "brush",
    ],
)
def test_wrong_words_end_in_two_sentences_and_code_two(words, capsys):
    assert main(words.split()) == 2
    said = capsys.readouterr().err.strip()
    assert said
    assert "Traceback" not in said


def test_plan_writes_its_four_files_and_the_plan_reads_back(folder):
    assert sorted(path.name for path in folder.iterdir()) == [
        "client-sheet.pdf",
        "foil-map.svg",
        "plan.json",
        "worksheet.pdf",
    ]
    plan = ServicePlan.model_validate_json((folder / "plan.json").read_bytes())
    assert plan.verdict == "go"
    assert len(plan.foils) == plan.foil_count


def test_worksheet_is_one_side_with_the_bowls_on_it(folder):
    sheet = pypdf.PdfReader(folder / "worksheet.pdf")
    text = sheet.pages[0].extract_text()
    assert len(sheet.pages) == 1
    assert "25 g powder" in text
    assert "GO" in text


@pytest.mark.parametrize(
    "name", ["brona", "ilse", "junia", "lorna", "mirela", "perpetua", "tamsin"]
)
def test_every_head_has_a_worksheet_of_one_side_and_a_client_sheet(made, name):
    from strandline.salon.report.folder import render

    files = render(made(name))
    assert len(pypdf.PdfReader(io.BytesIO(files["worksheet.pdf"])).pages) == 1
    assert len(pypdf.PdfReader(io.BytesIO(files["client-sheet.pdf"])).pages) <= 2


def test_a_file_in_the_way_leaves_nothing_half_written(tmp_path, capsys):
    out = tmp_path / "taken"
    out.write_text("mine")
    assert main(["plan", str(EXAMPLES / "mirela.toml"), "--out", str(out)]) == 2
    assert "not a folder" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]
    assert out.read_text() == "mine"


def test_lightener_without_its_label_is_told(tmp_path, capsys):
    text = (EXAMPLES / "noor.toml").read_text().replace('uses = ["practice.toml"]', "")
    path = tmp_path / "noor.toml"
    path.write_text(text)
    assert main(["plan", str(path)]) == 2
    assert "shelf.lightener.label_max_min" in capsys.readouterr().err


def test_an_empty_shelf_and_one_too_strong_are_told(tmp_path, capsys):
    text = (EXAMPLES / "noor.toml").read_text().replace('uses = ["practice.toml"]', "")
    for bottles, said in (("[]", "no developer"), ("[40]", "pour to nothing of 20 volume or less")):
        path = tmp_path / "noor.toml"
        shelf = f"\n[shelf]\ndevelopers = {bottles}\nlightener = {{ label_max_min = 50 }}\n"
        path.write_text(text + shelf)
        assert main(["plan", str(path)]) == 2
        assert said in capsys.readouterr().err


def test_a_second_visit_starts_from_the_first(folder, capsys):
    words = ["plan", str(EXAMPLES / "noor.toml"), "--after", str(folder), "--on", "2027-02-25"]
    assert main([*words, "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    first = ServicePlan.model_validate_json((folder / "plan.json").read_bytes())
    assert plan["visit"] == 2
    shares = [lane["share"] for lane in plan["lanes"]]
    assert sum(shares) == pytest.approx(1, abs=1e-6)
    light = [lane for lane in plan["lanes"] if lane["bands"][0]["past"] == "lightened"]
    assert light[0]["bands"][0]["from_cm"] == pytest.approx(3.08, abs=0.01)
    after = first.next_visit.old_share_after.middle
    assert plan["next_visit"]["old_share_before"] == pytest.approx(after, abs=0.01)


def test_an_earlier_visit_after_this_one_is_told(folder, capsys):
    words = ["plan", str(EXAMPLES / "noor.toml"), "--after", str(folder), "--on", "2026-11-01"]
    assert main(words) == 2
    assert capsys.readouterr().err


def test_a_visit_file_cut_off_in_its_last_line_still_carries(folder):
    from strandline.service.plan.earlier import read_earlier

    record = {
        "id": "a", "stream": "v", "kind": "section.placed", "schema": 1,
        "payload": {"section": "nape hairline", "first_foil": 1, "last_foil": 2},
        "by": "she", "device": "tablet", "device_seq": 1,
        "device_time": "2026-12-03T09:00:00Z", "offset": 60,
    }  # fmt: skip
    cut_off = json.dumps(record) + '\n{"id": "b", "stre'
    earlier = read_earlier((folder / "plan.json").read_bytes(), cut_off.encode())
    assert [row.number for row in earlier.done()] == [1, 2]
    assert len(earlier.visit.flagged) == 1
