"""`strandline pattern`, and plans with a pattern of her own: what is laid, left out and told."""

from __future__ import annotations

import json
import shutil
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import StrandlineError
from strandline.salon.cli.main import main
from strandline.salon.cli.planned import read_beside
from strandline.service.consultation.model import PATTERNS, Consultation
from strandline.service.consultation.reader import from_document, read_consultation
from strandline.service.placement.pattern import pattern, pattern_names
from strandline.service.placement.pattern_file import read_pattern
from strandline.service.placement.pattern_text import pattern_text
from strandline.service.plan.assemble import make_plan

QUIET = "pattern-quiet-top.toml"


@pytest.fixture
def folder(tmp_path):
    """Give a folder with the examples' files that a consultation may name."""
    for name in ("practice.toml", QUIET):
        shutil.copy(EXAMPLES / name, tmp_path)
    return tmp_path


def consulted(folder, named, head="noor", **changed) -> Consultation:
    """Read a copy of an example that names a pattern, a file's or one with a name."""
    path = folder / "head.toml"
    text = (EXAMPLES / f"{head}.toml").read_text()
    for old, new in changed.get("swap", ()):
        assert old in text
        text = text.replace(old, new)
    path.write_text(f'pattern = "{named}"\n{text}')
    return read_consultation(
        path.read_bytes(), path.name, beside=lambda name: read_beside(path, name)
    )


def planned(folder, named, head="noor", **changed):
    c = consulted(folder, named, head, **changed)
    return make_plan(c, c.visit.date)


def mine(folder, *rows, top="", name="mine"):
    (folder / "mine.toml").write_text(f'name = "{name}"\n{top}\n' + "\n".join(rows) + "\n")
    return "mine.toml"


def said(made):
    return [one.what for one in made.plan.cautions if one.about == "pattern"]


TIGHT = '[[crown]]\ntake = "full slice"\npitch_mm = 6'
LOW = '[[top]]\ntake = "lowlight weave"\npitch_mm = 15'
ENDS = '[[crown]]\ntake = "ends only"\nevery = 3'


def test_names_without_a_file_are_the_patterns_that_are_there():
    assert set(PATTERNS) == set(pattern_names())


@pytest.mark.parametrize("name", pattern_names())
def test_a_pattern_is_printed_as_the_file_that_it_is(name, capsys):
    assert main(["pattern", name]) == 0
    out = capsys.readouterr()
    assert read_pattern(out.out.encode(), name) == pattern(name)
    assert not out.err


def test_the_patterns_are_listed_with_a_line_each(capsys):
    assert main(["pattern"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(pattern_names())
    assert main(["pattern", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)["patterns"]
    counts = {one["name"]: one["foils_on_average_head"] for one in listed}
    for line in lines:
        assert f"; {counts[line.split()[0]]} foils on the average head" in line


def test_a_saved_pattern_is_checked_drawn_and_planned_with(folder, capsys):
    out, drawing = folder / "mine.toml", folder / "mine.svg"
    assert main(["pattern", "soft", "--out", str(out), "--map", str(drawing)]) == 0
    printed = capsys.readouterr().out
    assert out.read_text() == printed == pattern_text(pattern("soft"))
    root = ET.fromstring(drawing.read_text())  # noqa: S314 - our own drawing
    words = "".join(root.itertext())
    assert "A pattern of 56 foils on the average head" in words
    assert main(["pattern", str(out), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["foils_on_average_head"] == 56
    assert told["zones"]["crown"][0]["take"] == "full slice"
    assert told["zones"]["crown"][0]["pitch_mm"] == 9
    made = planned(folder, "mine.toml")
    assert made.plan.pattern.words == "own pattern 'soft'"


def test_what_is_there_is_not_written_over_and_nothing_is_half_written(tmp_path, capsys):
    kept, new = tmp_path / "kept.toml", tmp_path / "new.toml"
    kept.write_text("hers")
    for words in (
        ["--out", str(kept)],
        ["--out", str(new), "--map", str(kept)],
        ["--map", str(new), "--out", str(kept)],
    ):
        assert main(["pattern", "heavy", *words]) == 2
        told = capsys.readouterr()
        assert "a file of that name already" in told.err
        assert "kept.toml" in told.err
        assert not told.out
    assert kept.read_text() == "hers"
    assert [path.name for path in tmp_path.iterdir()] == ["kept.toml"]
    assert main(["pattern", "heavy", "--out", str(tmp_path / "no" / "where.toml")]) == 2
    assert "cannot be written" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["hevy"], "Did you mean 'heavy'?"),
        (["a" * 5000], "neither a pattern nor a file"),
        (["nowhere.toml"], "cannot be read"),
        (["."], "a folder"),
        (["--out", "x.toml"], "No pattern is named"),
        (["soft", "--out", "x", "--map", "x"], "name the same file"),
        ([str(EXAMPLES / "noor.toml")], "noor.toml: name"),
    ],
)
def test_what_is_no_pattern_is_told(words, message, capsys):
    assert main(["pattern", *words]) == 2
    assert message in capsys.readouterr().err
    assert main(["pattern", *words, "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["error"]["do"]


def test_a_number_of_foils_that_no_spacing_meets_is_told_of_the_file(folder, capsys):
    mine(folder, '[[crown]]\ntake = "slice"\nback_to_back = true', top="foils = [1, 2]")
    assert main(["pattern", str(folder / "mine.toml")]) == 2
    assert "mine.toml: foils: This pattern comes to" in capsys.readouterr().err
    with pytest.raises(StrandlineError) as told:
        planned(folder, "mine.toml")
    assert told.value.where == "mine.toml: foils"


def test_the_example_is_planned_as_it_is_written(folder):
    made = planned(folder, QUIET)
    plan = made.plan
    assert 50 <= plan.foil_count <= 62
    assert plan.pattern.name == "quiet top"
    assert plan.technique == "highlights, first soft visit"
    assert plan.technique_words == "highlights, first soft visit, own pattern 'quiet top'"
    assert {f.kind for f in made.foils if f.zone == "crown"} == {"weave"}
    assert {f.grade for f in made.foils if f.zone == "top" and f.kind == "slice"} == {"see-through"}
    temples = {side: made.foils.in_zone(f"temples {side}")[0].grade for side in ("left", "right")}
    assert temples == {"left": "medium", "right": "fine"}
    assert said(made) == []
    assert not made.foils.in_zone("nape")


def test_the_plan_needs_the_file_no_more(folder):
    c = consulted(folder, QUIET)
    (folder / QUIET).unlink()
    again = from_document(json.loads(c.model_dump_json(exclude_none=True)), "kept")
    assert again.pattern == c.pattern
    one, other = (make_plan(x, c.visit.date).plan for x in (c, again))
    assert one.foils == other.foils


def test_sheets_name_the_pattern(folder):
    import io

    import pypdf

    from strandline.salon.report.folder import render
    from strandline.salon.report.summary import summary

    made = planned(folder, QUIET)
    files = render(made)
    sheet = pypdf.PdfReader(io.BytesIO(files["worksheet.pdf"]))
    assert len(sheet.pages) == 1
    assert "own pattern 'quiet top'" in sheet.pages[0].extract_text().replace("\u2019", "'")
    drawn = ET.fromstring(files["foil-map.svg"])  # noqa: S314 - our own drawing
    assert "own pattern 'quiet top'" in "".join(drawn.itertext())
    assert "own pattern 'quiet top'" in summary(made.plan)
    assert "spaces scaled to its 50-62" in summary(made.plan)
    client = "".join(
        p.extract_text() for p in pypdf.PdfReader(io.BytesIO(files["client-sheet.pdf"])).pages
    )
    assert "pattern" not in client


def test_her_spaces_stand_as_written(folder):
    rows = [
        f'[[{zone}]]\ntake = "slice"\npitch_mm = {pitch}'
        for zone, pitch in (("top", 14), ("crown", 7))
    ]
    made = planned(folder, mine(folder, *rows))
    for zone, pitch in (("top", 14), ("crown", 7)):
        ups = sorted({foil.up_cm for foil in made.foils if foil.zone == zone})
        steps = [10 * (b - a) for a, b in pairwise(ups)]
        assert steps == pytest.approx([pitch] * len(steps))
    assert made.foils.pitch_scale == 1
    (told,) = said(made)
    assert f"comes to {made.plan.foil_count} foils; 50-65 are usual" in told


def test_a_pattern_named_without_a_file_takes_her_own_numbers(folder):
    usual = planned(folder, "heavy")
    assert usual.plan.pattern.words == "pattern 'heavy'"
    assert usual.plan.technique == "highlights, first soft visit"
    assert "comes to 75 foils; 50-65 are usual" in said(usual)[0]
    own = planned(
        folder, "heavy", swap=[("[health]", "[placement]\npitch_top_heavy_mm = 8\n[health]")]
    )
    assert own.plan.foil_count < usual.plan.foil_count


def test_her_own_numbers_reach_what_her_file_leaves_out(folder):
    text = mine(folder, TIGHT, '[[fringe]]\ntake = "fine weave"\npitch_mm = 9')
    made = planned(folder, text, swap=[("[health]", "[placement]\nweave_fine_mm = 2.5\n[health]")])
    assert {foil.pick_mm for foil in made.foils if foil.zone == "fringe"} == {2.5}


@pytest.mark.parametrize(("head", "kind"), [("tamsin", "gloss"), ("perpetua", "none")])
def test_no_pattern_turns_a_plan_without_foils_into_one(folder, head, kind):
    made = planned(folder, "heavy", head)
    assert made.plan.technique_kind == kind
    assert made.plan.foils == []
    assert made.plan.bowls == []
    assert made.plan.pattern is None
    if kind == "gloss":
        assert "is not laid: today is gloss alone, without foils." in said(made)[0]


def test_a_visit_of_light_leaves_lowlights_out_unless_it_is_too_light(folder):
    text = mine(folder, TIGHT, LOW)
    made = planned(folder, text)
    assert {foil.kind for foil in made.foils} == {"slice"}
    assert any("lowlights are left out" in one for one in said(made))
    swap = [("[aim]", "[aim]\ntoo_light_now = true")]
    both = planned(folder, text, swap=swap)
    assert {foil.kind for foil in both.foils} == {"slice", "lowlight weave"}
    assert not any("left out" in one for one in said(both))
    assert any(step.place == "lowlights" for step in both.plan.gloss)
    back = planned(folder, text, "junia")
    assert back.consultation.aim.too_light_now
    assert "lowlight weave" in {foil.kind for foil in back.foils}


def test_a_visit_of_lowlights_takes_lowlights_alone(folder):
    made = planned(folder, mine(folder, TIGHT, LOW), "mirela")
    assert made.plan.technique_kind == "lowlights"
    assert {(foil.kind, foil.zone) for foil in made.foils} == {("lowlight weave", "top")}
    assert any("foils of lightener are left out" in one for one in said(made))


@pytest.mark.parametrize(
    ("head", "rows"),
    [
        ("mirela", [TIGHT]),
        ("mirela", ['[[top]]\ntake = "lowlight weave"\nevery = 2']),
        ("noor", [LOW]),
    ],
)
def test_where_hers_lays_nothing_of_today_the_usual_pattern_lies_and_it_is_told(folder, head, rows):
    usual = make_plan(
        consulted(folder, "soft", head).model_copy(update={"pattern": None}), made_on()
    )
    made = planned(folder, mine(folder, *rows), head)
    assert [foil.outline for foil in made.foils] == [foil.outline for foil in usual.foils]
    assert made.plan.pattern is None
    (told,) = said(made)
    assert "on this head today" in told


def made_on():
    import datetime as dt

    return dt.date(2026, 12, 3)


def test_ends_stay_out_of_a_head_with_a_short_fringe_or_short_hair(folder):
    text = mine(folder, TIGHT, ENDS)
    assert "tip-out" in {foil.kind for foil in planned(folder, text).foils}
    for line, why in (('fringe = "short"', "the fringe is short"), ("length_cm = 10", "too short")):
        made = planned(folder, text, swap=[("[hair]", f"[hair]\n{line}")])
        assert "tip-out" not in {foil.kind for foil in made.foils}
        assert any("ends only are left out" in one and why in one for one in said(made))


def test_slices_of_hers_are_woven_where_hair_turns(folder):
    swap = [("[hair]", '[hair]\ncowlicks = ["swirl at the crown"]')]
    made = planned(folder, mine(folder, TIGHT), swap=swap)
    assert {foil.kind for foil in made.foils} == {"weave"}


def test_a_hairline_in_slices_is_not_called_a_weave(folder):
    rows = ['[[nape_hairline]]\ntake = "slice"\npitch_mm = 6', TIGHT]
    made = planned(folder, mine(folder, *rows))
    assert made.plan.order[0] == "nape hairline, slice"
    assert planned(folder, "soft").plan.order[0] == "nape hairline, fine weave"


def test_a_later_visit_lays_her_pattern_in_the_hair_left_out(folder, capsys):
    path = folder / "head.toml"
    consulted(folder, QUIET)
    first = folder / "first"
    assert main(["plan", str(path), "--out", str(first)]) == 0
    capsys.readouterr()
    words = ["plan", str(path), "--after", str(first), "--on", "2027-02-25", "--json"]
    assert main(words) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["visit"] == 2
    assert plan["pattern"] == {"name": "quiet top", "own": True, "scaled_to": [50, 62]}
    assert plan["foil_count"]


@pytest.mark.parametrize(
    ("named", "where", "message"),
    [
        ("hevy", "head.toml: pattern", "Did you mean 'heavy'?"),
        ("", "head.toml: pattern", "no pattern that is known"),
        ("../mine.toml", "head.toml: pattern", "leaves the folder"),
        ("nowhere.toml", "head.toml: pattern", "is not beside"),
        ("a" * 400 + ".toml", "head.toml: pattern", "is not beside"),
    ],
)
def test_a_name_that_is_neither_is_told_of_the_consultation(folder, named, where, message):
    with pytest.raises(StrandlineError) as told:
        consulted(folder, named)
    assert told.value.where == where
    assert message in f"{told.value.what} {told.value.do}"


@pytest.mark.parametrize("value", [3, True, [], ["soft"], {"name": "mine"}, {"file": "a"}])
def test_a_pattern_of_another_kind_is_told(value):
    shortest = {"client": {"name": "Wren"}, "hair": {"level": 5}}
    areas = {name: {"gray": 40} for name in ("front", "crown", "back")}
    with pytest.raises(
        StrandlineError, match="neither the name of a pattern nor of a file"
    ) as told:
        from_document({**shortest, "areas": areas, "pattern": value}, "head.toml")
    assert told.value.where == "head.toml: pattern"


def test_a_file_that_cannot_be_read_here_is_told():
    with pytest.raises(StrandlineError, match="no file can be read here") as told:
        read_consultation(b'pattern = "mine.toml"', "head.toml")
    assert told.value.where == "head.toml: pattern"


def test_uses_is_told_of_its_own_field(folder):
    path = folder / "head.toml"
    for name, message in (("../practice.toml", "leaves the folder"), ("no.toml", "not beside")):
        with pytest.raises(StrandlineError, match=message) as told:
            read_consultation(
                f'uses = ["{name}"]'.encode(), path.name, beside=lambda n: read_beside(path, n)
            )
        assert told.value.where == "head.toml: uses"


@pytest.mark.parametrize("head", ["noor", "tamsin", "perpetua"])
def test_a_slip_in_the_file_is_told_before_anything_is_planned(folder, head, capsys):
    mine(folder, '[[crown]]\ntake = "slise"\npitch_mm = 9')
    consulted(folder, "mine.toml", head)
    assert main(["plan", str(folder / "head.toml"), "--out", str(folder / "out")]) == 2
    assert "mine.toml: crown.1.take" in capsys.readouterr().err
    assert not (folder / "out").exists()
    (folder / "mine.toml").write_text("name = mine")
    assert main(["plan", str(folder / "head.toml")]) == 2
    assert "mine.toml: The file does not read as TOML" in capsys.readouterr().err
