from __future__ import annotations

import json

import pytest

from strandline.base.draws import draws
from strandline.base.quantities import range_of
from strandline.salon.cli import main as command_line
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.service.care.cautions import for_lightener
from strandline.service.formulate.curves import ground_of, minutes_to_stage

BASE = ("--from-level", "6", "--aim-stage", "9", "--developer-vol", "20")
COVER = (
    *("--from-level", "5", "--past", "permanent:5", "--years", "6", "--gray", "70"),
    *("--aim-stage", "9", "--developer-vol", "20", "--powder-ratio", "2"),
    *("--label-max-min", "50"),
)
ENDS = ("low", "middle", "high")


@pytest.fixture(autouse=True)
def _known(monkeypatch):
    line = "how far and how fast hair lifts at a strength, with ranges"
    monkeypatch.setitem(command_line.COMMANDS, "lift", line)


def run(capsys, *words):
    code = command_line.main(["lift", *words])
    out, err = capsys.readouterr()
    return code, out, err


def asked(capsys, *words):
    code, out, _ = run(capsys, *words, "--json")
    assert code == 0
    return json.loads(out)


def told(document):
    return " ".join(f"{one['what']} {one['do']}" for one in document["cautions"])


@pytest.mark.parametrize("words", [BASE, COVER, (*BASE, "--fresh-bowl", "30", "--first-cm")])
def test_every_figure_has_its_range_at_every_minute(capsys, words):
    document = asked(capsys, *words)
    minutes = document["minutes"]
    assert minutes == [5.0 * i for i in range(13)]
    harm = document["harm"]
    columns = (document["stage"], document["level"], harm["dose"], harm["cystine_oxidised"])
    for figure in columns:
        assert figure["unit"]
        for low, middle, high in zip(*(figure[end] for end in ENDS), strict=True):
            assert low <= middle <= high
        assert len(figure["low"]) == len(minutes)
    for name in ("minutes_to_aim", "stall"):
        assert {*ENDS, "unit"} <= set(document[name])
    assert len(document["colour"]) == len(document["underlying"]) == len(minutes)
    assert all(len(colour) == 7 for colour in document["colour"])
    assert "never says that hair holds" in harm["note"]


def test_minutes_are_those_of_the_shared_draws(capsys):
    document = asked(capsys, *BASE, "--label-max-min", "50", "--minutes", "0:50:10")
    exact = minutes_to_stage(ground_of(None, 6, 0.0), 20.0, 9.0, draws(LIFT_DRAWS))
    expected = range_of(list(exact), "min")
    found = document["minutes_to_aim"]
    assert [found[end] for end in ENDS] == pytest.approx(
        [expected.low, expected.middle, expected.high], abs=0.06
    )
    assert document["chance"] == {
        "value": round(float((exact <= 50).mean()), 3),
        "before_min": 50,
        "before": "label's maximum",
    }


@pytest.mark.practice
def test_six_to_nine_takes_about_29_minutes_and_cover_5_stalls_near_8(capsys):
    """Common practice, no source."""
    assert asked(capsys, *BASE)["minutes_to_aim"]["middle"] == pytest.approx(29.0, abs=1.0)
    document = asked(capsys, *COVER)
    assert document["minutes_to_aim"] == {"low": None, "middle": None, "high": None, "unit": "min"}
    assert document["chance"]["value"] == 0
    assert document["harm"]["at_aim"] is None
    assert document["stall"]["middle"] == pytest.approx(8.0, abs=0.5)
    assert any("No bowl and no time pass stage 8.4" in note for note in document["notes"])


@pytest.mark.practice
@pytest.mark.parametrize(
    "words, minutes",
    [
        (BASE, 15),
        ((*BASE, "--gray", "90"), 10),
        ((*BASE, "--past", "permanent:4"), 20),
        ((*BASE, "--past", "permanent:4", "--gray", "90"), 20),
        ((*BASE, "--past", "permanent:5", "--gray", "90"), 10),
        ((*BASE, "--label-max-min", "8", "--minutes", "0:8:4"), 8),
    ],
)
def test_the_first_check_follows_the_bench(capsys, words, minutes):
    """Common practice, no source: 15; white or fine 10; dark old colour 20; never past a label."""
    document = asked(capsys, *words)
    assert document["first_check_min"] == minutes
    assert document["check_every_min"] == [5, 8]


def test_an_aim_that_may_come_before_the_first_check_is_said(capsys):
    quick = asked(capsys, *BASE, "--past", "lightened:8")
    assert "before the usual first check" in told(quick)
    slow = asked(capsys, "--from-level", "4", "--aim-stage", "9", "--developer-vol", "10")
    assert "before the usual first check" not in told(slow)


def test_hair_lightened_before_shows_its_dose_and_its_uptake(capsys):
    document = asked(capsys, *BASE, "--past", "lightened:8")
    before = document["harm"]["before"]
    assert before == {"dose": 40.0, "unit": "min at 6 %", "dye_enters_times_faster": 2.53}
    assert document["harm"]["dose"]["low"][0] == 40.0
    assert document["from"]["stage"] == pytest.approx(8.0, abs=0.01)
    assert "Stretch test first" in told(document)
    code, out, _ = run(capsys, *BASE, "--past", "lightened:8")
    assert code == 0
    assert "brings 40 min at 6 % with it" in out


def test_without_a_label_its_absence_is_said_where_the_foils_are(capsys):
    document = asked(capsys, *BASE, "--minutes", "0:40:20")
    first = document["cautions"][0]
    assert "has no default" in first["what"]
    assert first["step"] == "foils"
    assert document["chance"]["before"] == "last minute asked"
    assert document["chance"]["before_min"] == 40
    assert "label's 0" not in told(document)
    usual = {one.what for one in for_lightener(50.0, 20.0)}
    assert len(usual & {one["what"] for one in document["cautions"]}) == len(usual) - 1


def test_rows_past_the_label_are_marked(capsys):
    document = asked(capsys, *BASE, "--label-max-min", "35")
    assert document["past_label"] == [minute > 35 for minute in document["minutes"]]
    assert "run past the label's 35 min" in told(document)
    code, out, _ = run(capsys, *BASE, "--label-max-min", "35")
    assert code == 0
    assert out.count("PAST THE LABEL") == 5


@pytest.mark.parametrize(
    "vol, more, said, unsaid",
    [
        ("20", (), (), ("20 volume is over",)),
        ("25", (), ("Not for hair at the scalp: 25 volume is over 20",), ("goes with powder",)),
        ("25", ("--first-cm",), ("This is hair at the scalp: 25 volume",), ()),
        ("40", (), ("40 volume is over the 30 that goes with powder",), ()),
    ],
)
def test_strengths_over_those_of_practice_carry_their_caution(capsys, vol, more, said, unsaid):
    words = ("--from-level", "6", "--aim-stage", "9", "--developer-vol", vol, *more)
    document = asked(capsys, *words)
    for words in said:
        assert words in told(document)
    for words in unsaid:
        assert words not in told(document)
    assert all(one["source"] for one in document["cautions"])


def test_powder_leaves_its_share_in_the_bowl(capsys):
    """6 % at 1:2 is 4 %: arithmetic."""
    assert asked(capsys, *COVER)["bowl_percent"] == 4.0
    assert asked(capsys, *BASE)["bowl_percent"] is None


def test_a_fresh_bowl_takes_hair_farther_and_the_first_centimetre_goes_faster(capsys):
    slow = ("--from-level", "3", "--aim-stage", "9", "--developer-vol", "10")
    plain = asked(capsys, *slow)
    fresh = asked(capsys, *slow, "--fresh-bowl", "30")
    warm = asked(capsys, *slow, "--first-cm")
    assert fresh["stage"]["middle"][-1] > plain["stage"]["middle"][-1]
    assert fresh["stage"]["middle"][6] == plain["stage"]["middle"][6]
    assert fresh["stall"]["middle"] > plain["stall"]["middle"]
    assert warm["stage"]["middle"][6] > plain["stage"]["middle"][6]


def test_years_build_up_a_stall_and_none_said_is_built_up(capsys):
    def stall(*more):
        return asked(capsys, *BASE, "--past", "permanent:5", "--gray", "50", *more)

    plain, young, old = stall(), stall("--years", "0.5"), stall("--years", "9")
    assert young["stall"]["path_end"] > old["stall"]["path_end"] + 0.8
    assert plain["stall"]["path_end"] == pytest.approx(old["stall"]["path_end"], abs=0.05)
    assert any("taken as built up" in note for note in plain["notes"])


def test_regrowth_that_is_white_wants_none(capsys):
    notes = asked(capsys, *BASE, "--gray", "95")["notes"]
    assert any("wants no lightener: start 5 to 10 mm" in note for note in notes)


def test_direct_colour_starts_darker_and_leaves(capsys):
    document = asked(capsys, *BASE, "--past", "direct:4", "--gray", "50")
    assert document["from"]["stage"] < 4
    assert document["stall"]["path_end"] > 10


@pytest.mark.parametrize("words", [BASE, COVER, (*BASE, "--past", "lightened:7.5")])
def test_text_has_its_parts_and_fits_a_terminal(capsys, words):
    code, out, _ = run(capsys, *words)
    assert code == 0
    for word in ("LIFT", "BOWL", "AIM", "STALL", "MINUTES", "CHECK", "HARM", "from memory"):
        assert word in out
    assert max(map(len, out.splitlines())) <= 100
    assert "nan" not in out
    assert "inf " not in out


def test_cautions_stand_in_the_part_of_their_action(capsys):
    _, out, _ = run(capsys, *COVER)
    bowl, rest = out.split("\nAIM")
    assert "Persulfate powder" in bowl
    check, harm = rest.split("\nHARM")
    assert "No foil stays past the label's 50 min" in check
    assert "Lightening again the same day" in harm


@pytest.mark.parametrize("minutes, found", [("30", [30]), ("0:52:25", [0, 25, 50]), ("0:1:.25", 5)])
def test_minutes_are_a_grid_or_one(capsys, minutes, found):
    given = asked(capsys, *BASE, "--minutes", minutes)["minutes"]
    assert given == found if isinstance(found, list) else len(given) == found


@pytest.mark.parametrize(
    "words, said",
    [
        (("--minutes=-5:10:5",), "The minute asked is -5 min"),
        (("--minutes", "30:10:5"), "must rise"),
        (("--minutes", "0:10:0"), "must rise"),
        (("--minutes", "0:100:0.01"), "10000 steps"),
        (("--minutes", "0:60"), "not a grid"),
        (("--minutes", "0:sixty:5"), "'sixty' is no number"),
        (("--developer-vol", "41"), "Annex III entry 12"),
        (("--developer-vol", "0"), "must be above 0 and at most 40"),
        (("--developer-vol", "nan"), "must be above 0 and at most 40"),
        (("--aim-stage", "3"), "is darker than where it starts"),
        (("--gray", "100"), "is darker than where it starts"),
        (("--aim-stage", "11"), "must be 3-10.5"),
        (("--from-level", "0"), "must be 1-10"),
        (("--gray", "101"), "must be 0-100"),
        (("--gray", "-1"), "must be 0-100"),
        (("--past", "box:4"), "The past 'box:4' is not known"),
        (("--past", "virgin:3"), "is not known"),
        (("--past", "permanent"), "is not known"),
        (("--past", "permanent:11"), "must be 1-10"),
        (("--past", "lightened:2"), "must be 3-10.5"),
        (("--past", "lightened:3.5"), "before any lightener it reads as 4.2"),
        (("--years", "3"), "without --past permanent"),
        (("--past", "permanent:5", "--years", "80"), "must be 0-70"),
        (("--label-max-min", "0"), "must be above 0 and at most 120"),
        (("--powder-ratio", "0"), "must be 1-4"),
        (("--fresh-bowl", "0"), "must be above 0"),
        (("--fresh-bowl", "60"), "says nothing: the last minute asked is 60"),
        (("--fresh-bowl", "45", "--label-max-min", "40"), "the label's maximum is 40"),
    ],
)
def test_bad_input_is_two_sentences(capsys, words, said):
    code, out, err = run(capsys, *BASE, *words)
    assert (code, out) == (2, "")
    assert said in err
    code, out, err = run(capsys, *BASE, *words, "--json")
    assert (code, err) == (2, "")
    error = json.loads(out)["error"]
    assert error["what"].endswith(".")
    assert error["do"]
