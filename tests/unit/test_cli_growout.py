"""`strandline growout`: figures, pictures, a film; what cannot be is said, nothing half written."""

from __future__ import annotations

import io
import json

import numpy as np
import pytest
from PIL import Image
from tests.conftest import EXAMPLES

from strandline.base.quantities import Range
from strandline.salon.cli.main import main
from strandline.science.seeing.contrast import Contrast
from strandline.service.consultation.model import AimPicture
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.picture import Reach, picture_words

NOOR = str(EXAMPLES / "noor.toml")
FOILS = Reach(0.3, Range(1, 2, 3, "visits", "test"), 8.0)


def test_figures_stand_in_a_table_that_lines_up(capsys):
    assert main(["growout", NOOR, "--weeks", "0,8"]) == 0
    out = capsys.readouterr().out
    assert "Noor Tamarsky, grow-out from 2026-12-03" in out
    rows = [line for line in out.splitlines() if line.startswith(("  ", "Week", "Grown"))]
    assert len({len(line) for line in rows}) == 1
    assert "As planned: a line is seen after about" in out
    assert "gloss again" in out


def test_json_holds_every_way_and_week(capsys):
    assert main(["growout", NOOR, "--weeks", "0,4,12", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [way["name"] for way in found["ways"]] == [
        "colour stopped",
        "covered every 4 weeks",
        "as planned",
    ]
    for way in found["ways"]:
        assert [week["week"] for week in way["weeks"]] == [0, 4, 12]
        assert all(0 <= week["light_share"] <= 1 for week in way["weeks"])
    planned = found["ways"][2]["line_seen_week"]
    assert planned["low"] <= planned["middle"] <= planned["high"]


def test_pictures_and_film_are_written_whole(capsys, tmp_path):
    folder, film = tmp_path / "pictures", tmp_path / "noor.webp"
    words = ["--pictures", str(folder), "--film", str(film), "--size", "64", "--weeks", "0,16"]
    assert main(["growout", NOOR, *words]) == 0
    out = capsys.readouterr().out
    assert "White and light hair of all that is seen" in out
    assert sorted(one.name for one in folder.iterdir()) == [
        "back.png", "front.png", "side.png", "top.png",
    ]  # fmt: skip
    sheet = np.asarray(Image.open(folder / "top.png").convert("RGB")).astype(int)
    assert sheet.shape[1] == 2 * 64
    row = sheet.shape[0] // 3
    kept_day, kept_later = sheet[:64, :64], sheet[:64, 64:]
    assert np.abs(kept_day - kept_later).max() > 60, "white has grown into the cover"
    assert np.abs(kept_day - sheet[2 * row : 2 * row + 64, :64]).mean() > 2, "a plan is to be seen"
    moving = Image.open(io.BytesIO(film.read_bytes()))
    assert (moving.format, moving.n_frames) == ("WEBP", 27)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--weeks=-4,0"], "must be 0-104, counted from the visit"),
        (["--weeks", "soon"], "are no numbers"),
        (["--weeks", "8,4"], "do not rise"),
        (["--weeks", "nan"], "0-104"),
        (["--pictures", "OUT", "--size", "0"], "0 pixels wide"),
        (["--pictures", "OUT", "--size", "40000"], "40000 pixels wide"),
        (["--film", "OUT/none/film.webp"], "lies in a folder that is not there"),
        (["--film", "OUT"], "is a folder"),
        (["--film", "OUT/film.gif"], "does not end in .webp"),
        (["--pictures", "OUT/taken"], "is a file, not a folder"),
    ],
)
def test_what_cannot_be_drawn_is_said_and_nothing_is_written(capsys, tmp_path, words, said):
    (tmp_path / "taken").write_text("a file")
    before = sorted(tmp_path.rglob("*"))
    told = [word.replace("OUT", str(tmp_path)) for word in words]
    if "--size" not in told:
        told += ["--size", "64"]
    assert main(["growout", NOOR, *told]) == 2
    assert said in capsys.readouterr().err
    assert sorted(tmp_path.rglob("*")) == before


def contrast(light, light_level=8.0, dark_level=5.0, *, even=False):
    return Contrast(light, light_level, 1 - light, dark_level, even)


@pytest.mark.parametrize(
    ("picture", "today", "reach", "said"),
    [
        ((35, 8, 5), contrast(0.35), FOILS, "reached today"),
        ((70, 8, 5), contrast(0.35), FOILS, "reached at visit 3"),
        ((20, 8, 5), contrast(0.5), FOILS, "less light comes only by lowlights"),
        ((35, 8, 3), contrast(0.35), FOILS, "Its depth comes only by lowlights"),
        ((35, 8, 7), contrast(0.35), FOILS, "not by one visit"),
        ((35, 10, 5), contrast(0.35), FOILS, "for visit 2, if the hair holds"),
        (
            (35, 10, 5),
            contrast(0.35),
            Reach(0.3, Range(1, 1, 1, "visits", "test"), 8.0),
            "ask for a lighter stage",
        ),
        (
            (60, 9, 5),
            contrast(0.0, even=True),
            Reach(0.0, Range(1, 1, 1, "visits", "test"), 0.0),
            "needs foils, and none are planned",
        ),
    ],
)
def test_a_picture_is_reached_or_it_is_said_how(picture, today, reach, said):
    share, light, dark = picture
    wanted = AimPicture(light_percent=share, light_level=light, dark_level=dark)
    assert said in picture_words(wanted, today, reach)


def test_a_picture_in_the_consultation_is_told_beside_the_plan(capsys, tmp_path):
    text = (
        (EXAMPLES / "noor.toml")
        .read_text()
        .replace(
            "lighter_front = false",
            "lighter_front = false\n"
            "picture = { light_percent = 90, light_level = 9, dark_level = 4 }",
        )
    )
    path = tmp_path / "noor.toml"
    path.write_text(text)
    (tmp_path / "practice.toml").write_bytes((EXAMPLES / "practice.toml").read_bytes())
    assert main(["growout", str(path), "--weeks", "0"]) == 0
    assert "The picture has 90 % light at level 9 on level 4" in capsys.readouterr().out


def test_a_picture_darker_in_its_light_than_in_its_dark_is_refused():
    text = (EXAMPLES / "noor.toml").read_text()
    turned = text.replace(
        "[limits]", "[aim.picture]\nlight_percent = 40\nlight_level = 5\ndark_level = 8\n[limits]"
    )
    with pytest.raises(Exception, match="the light must be the lighter"):
        read_consultation(
            turned.encode(), "noor.toml", beside=lambda name: (EXAMPLES / name).read_bytes()
        )


def test_other_ways_are_measured_beside_the_plan(capsys):
    assert main(["growout", NOOR, "--weeks", "0,8", "--alternatives", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert main(["plan", NOOR, "--alternatives", "--json"]) == 0
    ways = json.loads(capsys.readouterr().out)["ways"]
    others = [way for way in found["ways"] if way["alternative"]]
    assert [way["name"] for way in others] == [way["name"] for way in ways]
    for grown, way in zip(others, ways, strict=True):
        assert grown["weeks"][1]["line_of_growth"] == pytest.approx(way["line_week_8"], abs=0.06)
    assert [way["name"] for way in found["ways"] if way["planned"]] == ["as planned"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--weeks", "-4,0"], "--weeks=-4"),
        (["--size", "many"], "'many'; it must be a whole number"),
        (["--film", "/proc/film.webp"], "'/proc/film.webp' cannot be written"),
        (["--pictures", "/proc/none"], "'/proc/none' cannot be written"),
        (["--weeks=-4"], "--weeks: The weeks to look at are -4"),
    ],
)
def test_what_is_wrong_is_told_before_the_consultation_is_read(capsys, words, said):
    assert main(["growout", "none.toml", *words]) == 2
    assert said in capsys.readouterr().err
