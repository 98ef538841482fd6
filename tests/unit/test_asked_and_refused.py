"""What is asked and cannot be: told in two sentences, never changed in silence."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.main import main
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import Earlier

DOCS = EXAMPLES.parent / "docs"


def test_an_aim_darker_than_the_hair_is_refused(consultation):
    c = consultation("noor")
    darker = c.model_copy(update={"aim": c.aim.model_copy(update={"stage": 3.0})})
    with pytest.raises(OutOfRangeError, match=r"stage 3 .* darker than") as caught:
        make_plan(darker, c.visit.date)
    assert caught.value.do.endswith(".")
    assert caught.value.where == "aim.stage"


def test_another_clients_earlier_plan_is_refused(consultation, made):
    earlier = Earlier(made("noor").plan, None)
    with pytest.raises(OutOfRangeError, match="is of Noor"):
        make_plan(consultation("lorna"), dt.date(2027, 3, 1), earlier=earlier)


@pytest.mark.parametrize("minutes", ["0:60:inf", "0:inf:5", "0:60:0"])
def test_minutes_that_are_no_grid_are_refused(capsys, minutes):
    words = ["--from-level", "6", "--aim-stage", "9", "--developer-vol", "20"]
    assert main(["lift", *words, "--minutes", minutes]) != 0
    assert "nan" not in capsys.readouterr().err


def test_too_large_a_file_is_told_with_the_limit_that_holds(capsys, tmp_path):
    path = tmp_path / "large.toml"
    path.write_bytes(b"#" * 21_000_000)
    assert main(["plan", str(path)]) != 0
    told = capsys.readouterr().err
    assert "21 MB" in told
    assert "at most 1 MB" not in told


def test_powder_is_weighed_with_its_caution(capsys):
    words = ["--target-vol", "20", "--stock-vol", "20", "--grams", "60", "--powder-ratio", "2"]
    assert main(["mix", *words]) == 0
    assert "airways" in capsys.readouterr().out


def test_examples_of_the_guide_can_be_planned():
    """As they stand, with the practice that the guide says to put beside."""
    page = (DOCS / "consultation.md").read_text("utf-8")
    blocks = [part.split("```")[0] for part in page.split("```toml\n")[1:]]
    for block in (block for block in blocks if "[client]" in block):
        beside = (EXAMPLES / "practice.toml").read_bytes()
        c = read_consultation(block.encode(), "guide", beside=lambda _, own=beside: own)
        assert make_plan(c, c.visit.date or dt.date(2026, 12, 3)).plan.foil_count > 0


def test_little_gray_is_said_of_little_gray_alone(made):
    for name in ("noor", "ilse", "brona", "junia", "lorna"):
        one = made(name)
        said = "so little gray" in one.plan.growout.sentence
        assert not said or one.head.gray_mean < 0.25
