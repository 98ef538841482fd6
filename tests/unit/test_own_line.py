"""A line of her own beside the shelf: its depths, its codes, its dyes; and a tone in words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import StrandlineError
from strandline.salon.cli.main import main
from strandline.service.consultation.reader import read_consultation, read_shelf
from strandline.service.formulate.solver import shade_dyes

DOCS = Path(__file__).parent.parent.parent / "docs"
SHELF = str(EXAMPLES / "practice.toml")
GUIDE = next(
    part.split("```")[0]
    for part in (DOCS / "consultation.md").read_text("utf-8").split("```toml\n")
    if "[line.saltmarsh]" in part
)


def shelf(text):
    return {shade.name: shade for shade in read_shelf(text.encode(), "mine.toml").gloss}


def refused(text):
    with pytest.raises(StrandlineError) as told:
        read_shelf(text.encode(), "mine.toml")
    return str(told.value)


class TestLine:
    def test_codes_are_those_of_the_line_and_not_the_shared_ones(self):
        """7 is violet here and no reflect of the shared numbering; 2 is ash, there violet."""
        found = shelf(GUIDE)
        assert (found["9/7"].reflect, found["9/7"].second) == ("violet", None)
        assert (found["8/72"].reflect, found["8/72"].second) == ("violet", "ash")

    def test_depths_lie_where_its_step_says(self):
        assert shelf(GUIDE)["9/7"].depth == 8.5

    def test_dyes_are_those_of_the_line_on_either_ground(self):
        shade = shelf(GUIDE)["8/72"]
        assert shade.dyes.on("stage")["violet"] == 2.4
        assert shade.dyes.on("stage")["blue"] == pytest.approx(0.8)
        assert shade.dyes.on("level")["violet"] == 0.8

    def test_the_solver_mixes_by_them(self):
        """Share of the depth's absorption at 550 nm: two peaks stand as the line says."""
        found = shelf(GUIDE)
        depth, violet, *_ = shade_dyes(found["9/7"], "stage")
        assert violet / depth == pytest.approx(2.4)
        plain = found["9/7"].model_copy(update={"dyes": None})
        assert shade_dyes(plain, "stage") != shade_dyes(found["9/7"], "stage")

    def test_what_the_file_says_itself_stands_over_the_name(self):
        text = GUIDE.replace('{ name = "8/72" }', '{ name = "8/72", depth = 8, reflect = "ash" }')
        shade = shelf(text)["8/72"]
        assert (shade.depth, shade.reflect, shade.second) == (8, "ash", None)
        assert shade.dyes.on("stage")["blue"] == 1.6

    def test_a_name_in_words_keeps_its_depth_and_takes_the_lines_dyes(self):
        text = GUIDE.replace('"8/72" }', '"fog", depth = 9, reflect = "violet" }')
        shade = shelf(text)["fog"]
        assert shade.depth == 9
        assert shade.dyes.on("stage")["violet"] == 2.4

    def test_a_consultation_reads_its_shelf_so_too(self):
        noor = (EXAMPLES / "noor.toml").read_text("utf-8").replace('uses = ["practice.toml"]', "")
        c = read_consultation((noor + GUIDE).encode(), "noor.toml")
        assert {shade.name: shade.depth for shade in c.shelf.gloss}["9/7"] == 8.5
        assert "saltmarsh" in c.shelf.line

    def test_letters_are_read_as_well(self):
        text = GUIDE.replace('"digits"', '"letters"').replace('divider = "/"', 'divider = ""')
        for digit, letter in (("0", "N"), ("2", "K"), ("7", "L")):
            text = text.replace(f'code = "{digit}"', f'code = "{letter}"')
        text = text.replace("9/7", "9L").replace("8/72", "8LK")
        assert (shelf(text)["8LK"].reflect, shelf(text)["8LK"].second) == ("violet", "ash")

    @pytest.mark.parametrize(
        ("old", "new", "said"),
        [
            ('line = "saltmarsh"\n', 'line = "other"\n', 'line = "saltmarsh"'),
            ('"8/72"', '"8/79"', "does not know"),
            ('source = "arithmetic"', 'source = ""', "source"),
            ("violet = 2.4", "violet = -1", "0-20"),
            ('code = "7"', 'code = "2"', "stands for two reflects"),
            ("value = -0.5", "value = -5", "depth_step"),
        ],
    )
    def test_a_slip_is_told_with_its_place(self, old, new, said):
        told = refused(GUIDE.replace(old, new))
        assert said in told
        assert "mine.toml" in told

    def test_dyes_of_a_single_shade_are_given_by_hand(self):
        text = '[shelf]\ngloss = [{ name = "fog", depth = 9, dyes = { stage = { violet = 3 } } }]\n'
        assert shelf(text)["fog"].dyes.on("stage")["violet"] == 3
        assert "violet" in refused(text.replace("violet = 3", "violet = -3"))


class TestTone:
    def ask(self, capsys, *more):
        code = main(["gloss", "--on-lab", "71.2,1.9,18", "--shelf", SHELF, *more])
        return code, capsys.readouterr()

    def test_a_tone_is_the_colour_of_its_family_on_that_ground(self, capsys):
        code, told = self.ask(capsys, "--tone", "pearl", "--json")
        assert code == 0
        assert json.loads(told.out)["aim_lab"] == pytest.approx([67.2, 0.8, 8.0], abs=0.05)

    def test_her_word_for_it_is_the_same(self, capsys):
        said = [self.ask(capsys, "--tone", word)[1].out for word in ("icy", "silver")]
        assert said[0] == said[1]

    def test_a_depth_gives_its_lightness(self, capsys):
        from strandline.science.hair.stages import lightness_of_stage

        told = self.ask(capsys, "--tone", "beige", "--depth", "9", "--json")[1]
        found = json.loads(told.out)["aim_lab"]
        assert found[0] == pytest.approx(float(lightness_of_stage(9.0)), abs=0.05)

    def test_a_root_takes_a_natural_level(self, capsys):
        told = self.ask(capsys, "--place", "roots", "--depth", "7", "--json")[1]
        assert json.loads(told.out)["aim_lab"][0] == pytest.approx(37.6, abs=0.1)

    def test_a_tone_the_lift_does_not_carry_is_refused_with_the_one_below(self, capsys):
        code = main(["gloss", "--on-lab", "60,7,28", "--tone", "pearl", "--shelf", SHELF])
        err = capsys.readouterr().err
        assert code == 2
        assert "pearl, honest from stage 9" in err
        assert "smoky beige" in err
        assert "best that can be done" in err

    @pytest.mark.parametrize(
        ("more", "said"),
        [
            ((), "one of the two"),
            (("--tone", "pearl", "--aim-lab", "66,0,6"), "one of the two"),
            (("--tone", "teal"), "Choose among silver"),
            (("--tone", "pearl", "--depth", "14"), "3-10.5"),
            (("--tone", "pearl", "--depth", "nan"), "--depth"),
            (("--place", "roots", "--tone", "neutral"), "natural level"),
            (("--place", "roots", "--depth", "0"), "natural level"),
        ],
    )
    def test_what_is_no_aim_is_told(self, capsys, more, said):
        code, told = self.ask(capsys, *more)
        assert code == 2
        assert said in told.err
