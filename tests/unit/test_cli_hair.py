from __future__ import annotations

import json

import pytest

from strandline.base.sources import table
from strandline.salon.cli.main import main

FIGURES = ("level", "stage", "amount", "slope", "delta_e00")


def run(capsys, *words):
    code = main(["hair", *words])
    out, err = capsys.readouterr()
    return code, out, err


def asked(capsys, *words):
    code, out, _ = run(capsys, *words, "--json")
    assert code == 0
    return json.loads(out)


@pytest.fixture
def spectra(tmp_path):
    published = table("vrhel1994_hair_reflectance")
    path = tmp_path / "hair.csv"
    names = list(published.rows[0])
    lines = [",".join(names), *(",".join(row[name] for name in names) for row in published.rows)]
    path.write_text("\n".join(lines))
    return str(path)


@pytest.mark.parametrize(
    "words",
    [
        ("--level", "6"),
        ("--level", "6", "--gray", "40", "--clump-mm", ".3", "--light", "LED-B2"),
        ("--level", "5", "--stage", "9.5"),
        ("--fit-lab", "38.47,12.94,23.13", "--geometry", "45/0"),
        ("--fit-lab", "23.59,3.87,4.76", "--geometry", "sphere-included", "--wet"),
        ("--fit-lab", "64,4.8,24.5", "--on", "lightened"),
        ("--shade", "8AV", "--on", "lightened"),
    ],
)
def test_every_figure_has_its_range(capsys, words):
    document = asked(capsys, *words)
    for name in FIGURES:
        figure = document[name]
        assert figure["low"] <= figure["middle"] <= figure["high"]
        assert figure["unit"]
    for name in ("lab", "srgb", "reflectance"):
        assert {"low", "middle", "high"} <= set(document[name])
    assert document["words"]
    assert bool(document["names"]) != bool(document["shade"])


def test_a_spectrum_is_fitted_and_its_column_named(capsys, spectra):
    document = asked(capsys, "--fit-reflectance", spectra, "--column", "red90")
    assert document["delta_e00"]["middle"] < 2.0
    assert document["slope"]["middle"] == pytest.approx(0.013, abs=0.001)
    code, _, err = run(capsys, "--fit-reflectance", spectra)
    assert code == 2
    assert "Name one with --column: black83" in err


def test_a_light_moves_the_colour_and_says_which(capsys):
    day, car = asked(capsys, "--level", "6"), asked(capsys, "--level", "6", "--light", "a")
    assert car["light"]["name"] == "A"
    assert car["lab"]["middle"] != day["lab"]["middle"]
    assert car["level"] == day["level"]


def test_more_gray_is_lighter_and_clumps_lighter_still(capsys):
    def lightness(*more):
        return asked(capsys, "--level", "4", *more)["lab"]["middle"][0]

    salt, clumps = lightness("--gray", "40"), lightness("--gray", "40", "--clump-mm", "3")
    assert lightness() < salt < clumps < lightness("--gray", "100")


def test_text_shows_figures_lights_names_and_limits(capsys):
    code, out, _ = run(capsys, "--level", "6", "--gray", "30")
    assert code == 0
    for word in ("NATURAL LEVEL 6, 30 % white", "blond", "LED-B2", "SHADES", "from memory"):
        assert word in out
    assert max(map(len, out.splitlines())) <= 100


def test_a_shade_by_either_name_is_one_colour(capsys):
    letters, numbers = asked(capsys, "--shade", "8AV"), asked(capsys, "--shade", "8.12")
    assert letters["lab"] == numbers["lab"]
    assert letters["shade"]["in_other_lines"] == {"international": "8.12"}
    assert any("swatch" in caution for caution in letters["cautions"])
    code, out, _ = run(capsys, "--shade", "9V", "--on", "lightened", "--light", "LED-B2")
    assert code == 0
    assert "label comes first" in out


def test_a_line_of_her_own_stands_over_ours(capsys, tmp_path):
    from importlib.resources import files

    shipped = files("strandline.science.hair.naming").joinpath("numbering.toml")
    text = shipped.read_text("utf-8").split("[line.international]")[1].split("# ----")[0]
    hers = "[line.international]" + text
    hers = hers.replace("line.international", "line.hers").replace('code = "1"', 'code = "8"')
    path = tmp_path / "lines.toml"
    path.write_text(hers)
    document = asked(capsys, "--shade", "7.8", "--lines", str(path), "--numbering", "hers")
    shade = document["shade"]
    assert (shade["main"], shade["in_other_lines"]["letters"]) == ("ash", "7A")


@pytest.mark.parametrize(
    "words, said",
    [
        ((), "No hair is described"),
        (("--level", "5", "--shade", "6N"), "more than one way"),
        (("--level", "11"), "must be 1-10"),
        (("--level", "six"), "'six' is no number"),
        (("--level", "6", "--gray", "140"), "must be 0-100"),
        (("--level", "6", "--clump-mm", "2"), "without --gray"),
        (("--level", "6", "--gray", "0", "--clump-mm", "2"), "its share is 0"),
        (("--level", "6", "--gray", "100", "--clump-mm", "2"), "its share is 1"),
        (("--level", "9", "--stage", "5"), "before any lightening"),
        (("--fit-lab", "38,1,2", "--on", "dry"), "Say natural or lightened"),
        (("--level", "5", "--on", "lightened"), "--on says nothing beside --level"),
        (("--shade", "8B"), "does not know"),
        (("--level", "6", "--lines", ""), "cannot be read"),
        (("--level", "6", "--geometry", "45/0"), "--geometry says nothing beside --level"),
        (("--level", "6", "--light", "sun"), "'sun' is not known"),
        (("--level", "6", "--numbering", "other"), "no numbering 'other'"),
        (("--fit-lab", "38,12"), "holds 2 figures"),
        (("--fit-lab", ".38,.1,.2"), "hair reads 5-100"),
        (("--fit-lab", "38,1,2", "--geometry", "8/d"), "geometry '8/d'"),
        (("--shade", "8.9"), "does not know"),
        (("--shade", "8AV", "--numbering", "other"), "no numbering 'other'"),
        (("--fit-reflectance", "/nowhere.csv"), "cannot be read"),
    ],
)
def test_what_cannot_be_is_told_in_two_sentences(capsys, words, said):
    code, out, err = run(capsys, *words)
    assert code == 2
    assert out == ""
    assert said in err
    assert err.count(". ") >= 1


def test_a_picture_is_no_table(capsys, tmp_path):
    path = tmp_path / "hair.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe")
    code, _, err = run(capsys, "--fit-reflectance", str(path))
    assert code == 2
    assert "not a table in plain text" in err


def test_plain_words_for_lights_are_known(capsys):
    for word, name in (("warm", "LED-B2"), ("car by night", "HP1"), ("window", "D65")):
        assert asked(capsys, "--level", "6", "--light", word)["light"]["name"] == name


def test_one_answer_for_one_light(capsys):
    document = asked(capsys, "--level", "5", "--light", "LED-B2")
    row = next(one for one in document["lights"] if one["name"] == "LED-B2")
    assert row["lab"] == document["lab"]["middle"]


def test_a_reading_that_is_no_hair_says_so_first(capsys):
    _, out, _ = run(capsys, "--fit-lab", "65,0,3")
    assert out.splitlines()[2].startswith("!         This is no natural hair")


@pytest.mark.parametrize(
    "text, said",
    [
        ('nm,"r\n400,0.1\n', "does not read as a table"),
        ("nm\n400\n500\n", "a single column"),
        ("nm\tr\n400\t0,1\n500\t0,2\n700\t0,2\n", "Write decimals with a point"),
    ],
)
def test_a_table_that_is_none_is_told(capsys, tmp_path, text, said):
    path = tmp_path / "hair.csv"
    path.write_text(text)
    code, _, err = run(capsys, "--fit-reflectance", str(path))
    assert code == 2
    assert said in err


def test_a_numbering_with_a_slip_names_its_file(capsys, tmp_path):
    path = tmp_path / "lines.toml"
    path.write_text("[line.mine\n")
    code, _, err = run(capsys, "--level", "6", "--lines", str(path))
    assert code == 2
    assert err.startswith(str(path))
