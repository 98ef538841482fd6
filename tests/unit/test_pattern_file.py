"""A pattern of foils as a file: what it may say, what it is told, and that it reads back."""

from __future__ import annotations

import pytest

from strandline.base.errors import OutOfRangeError, StrandlineError
from strandline.salon.report.foil_words import take_words
from strandline.science.head.zones import cut_zones
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.pattern import Pattern, Row, pattern, pattern_names
from strandline.service.placement.pattern_file import ZONE_KEYS, default_reason, read_pattern
from strandline.service.placement.pattern_text import pattern_text
from strandline.service.placement.place import place
from strandline.service.placement.takes import TAKES, take_word, usual


def read(text: str, own=None) -> Pattern:
    return read_pattern(text.encode(), "mine.toml", own)


def row_of(lines: str, zone: str = "crown") -> Row:
    return read(f'name = "mine"\n[["{zone}"]]\n{lines}\n')[zone][0]


@pytest.mark.parametrize("name", pattern_names())
def test_a_pattern_of_our_own_reads_back_as_it_was(name):
    assert read(pattern_text(pattern(name))) == pattern(name)


def test_a_written_pattern_says_only_what_differs_from_the_usual():
    text = pattern_text(pattern("heavy"))
    assert '[[crown]]\ntake = "full slice"\npitch_mm = 6\nreason = ' in text
    assert "share_percent = 75" in text
    assert "thickness_mm" not in text
    assert "thickness_mm = 4.5" in pattern_text(pattern("return"))


def test_what_a_row_leaves_out_is_the_usual_of_its_take():
    made = read('name = "mine"\n[[crown]]\ntake = "medium weave"\npitch_mm = 9\n')
    (row,) = made["crown"]
    assert (row.kind, row.grade) == ("weave", "medium")
    assert (row.thickness_mm, row.pick_mm, row.left_mm) == (4, 5, 5)
    assert (row.pitch_mm, row.share, row.length_share, row.every) == (9, 1, 1, 0)
    assert row.reason == default_reason("mine")
    assert made.foils is None


def test_her_own_numbers_stand_for_what_a_row_leaves_out():
    text = 'name = "mine"\n[[crown]]\ntake = "fine weave"\npitch_mm = 9\n'
    assert read(text, {"weave_fine_mm": 2})["crown"][0].pick_mm == 2
    assert read(text + "pick_mm = 4\n", {"weave_fine_mm": 2})["crown"][0].pick_mm == 4


def test_every_key_reaches_its_row():
    row = row_of(
        'take = "ends only"\npitch_mm = 12\nthickness_mm = 2.5\npick_mm = 4\nleft_mm = 6\n'
        'share_percent = 40\nlength_percent = 30\ndiagonal = "left"\ndiagonal_deg = 20\n'
        'reason = "So."'
    )
    assert row == Row(
        "tip-out", "fine", 2.5, 12, 4, 6, "So.", 0.4, 0, 0.3, diagonal="left", diagonal_deg=20
    )
    assert row_of('take = "slice"\nback_to_back = true').back_to_back
    assert row_of('take = "slice"\nback_to_back = false\npitch_mm = 8').pitch_mm == 8
    assert row_of('take = "lowlight weave"\nevery = 3').every == 3
    assert (
        row_of('take = "slice"\npitch_mm = 9\ndiagonal = "back"', "sides left").diagonal_deg == 30
    )
    assert row_of('take = "fine weave"\npitch_mm = 9\npick_mm = 4').left_mm == 4
    assert read('name = "a"\nfoils = [50, 65]\n[[top]]\ntake="slice"\npitch_mm=9').foils == (50, 65)


def test_words_for_takes_are_those_of_the_sheets():
    """A foil of each take, laid, is called on the sheets as the file calls it."""
    zones = cut_zones()
    for word in TAKES:
        start = usual(word)
        assert take_word(start.kind, start.grade) == word
        foils: FoilMap = place(zones, {"top": start}, length_cm=30)
        assert {take_words(foil) for foil in foils} == {word}


def test_one_side_may_have_its_own_row():
    made = read(
        'name = "mine"\n[[sides]]\ntake = "slice"\npitch_mm = 12\n'
        '[["sides left"]]\ntake = "see-through slice"\npitch_mm = 20\n'
    )
    foils = place(cut_zones(), made)
    grades = {side: {f.grade for f in foils.in_zone(f"sides {side}")} for side in ("left", "right")}
    assert grades == {"left": {"see-through"}, "right": {"normal"}}
    assert len(foils.in_zone("sides left")) < len(foils.in_zone("sides right"))


def test_a_side_of_its_own_stays_its_own_when_kinds_are_left_out():
    made = read(
        'name = "mine"\n[[sides]]\ntake = "slice"\npitch_mm = 12\n'
        '[["sides left"]]\ntake = "lowlight weave"\npitch_mm = 20\n'
    ).without_kinds("lowlight weave")
    foils = place(cut_zones(), made)
    assert foils.in_zone("sides right")
    assert not foils.in_zone("sides left")


def test_a_side_of_its_own_is_woven_where_the_hair_of_its_zone_turns():
    made = read('name = "mine"\n[["temples left"]]\ntake = "slice"\npitch_mm = 12\n')
    assert [row.kind for row in made.woven(["temples"])["temples left"]] == ["weave"]
    assert made.woven(["sides"]) == made


def test_foils_of_a_pattern_stay_with_it():
    made = Pattern("mine", pattern("heavy").rows, (60, 70))
    for other in (made.only(["top"]), made.without_kinds("tip-out"), made.woven(["top"])):
        assert other.foils == (60, 70)
    assert made.mirrored().foils == (60, 70)


CROWN = 'name = "mine"\n[[crown]]\n'
SLICE = 'take = "slice"\npitch_mm = 9\n'


@pytest.mark.parametrize(
    ("text", "where", "said"),
    [
        ("name = mine\n", "mine.toml", "does not read as TOML"),
        ('name = "a"\nfoils = 1' + "0" * 5000, "mine.toml", "does not read as TOML"),
        ("", "mine.toml: name", "has no name"),
        ("name = 3\n", "mine.toml: name", "words on one line"),
        ('name = " "\n', "mine.toml: name", "words on one line"),
        ('name = "a\\nb"\n', "mine.toml: name", "words on one line"),
        (f'name = "{"a" * 41}"\n', "mine.toml: name", "at most 40"),
        ('name = "mine"\n', "mine.toml", "in no zone"),
        ('name = "mine"\n[[crwn]]\n' + SLICE, "mine.toml: crwn", "Did you mean 'crown'?"),
        ('name = "mine"\n[["crown left"]]\n' + SLICE, "mine.toml: crown left", "is no zone"),
        ('name = "mine"\nfoil = [1, 2]\n' + SLICE, "mine.toml: foil", "Did you mean 'foils'?"),
        ('name = "mine"\n[crown]\n' + SLICE, "mine.toml: crown", "[[crown]] in two brackets"),
        ('name = "mine"\n["sides left"]\n' + SLICE, "mine.toml: sides left", '[["sides left"]]'),
        ('name = "mine"\ncrown = []\n', "mine.toml: crown", "has 0 rows"),
        ('name = "mine"\ncrown = 3\n', "mine.toml: crown", "not a list of rows"),
        (CROWN + SLICE + 12 * ("[[crown]]\n" + SLICE), "mine.toml: crown", "has 13 rows"),
        (CROWN + "pitch_mm = 9", "mine.toml: crown.1.take", "has no take"),
        (CROWN + SLICE + "share_percent = 50\n[[crown]]\ntake = 'slise'\npitch_mm = 9",
         "mine.toml: crown.2.take", "Did you mean 'slice'?"),
        (CROWN + "take = 4\npitch_mm = 9", "mine.toml: crown.1.take", "Choose one of: see-through"),
        (CROWN + "take = 'full slise'\npitch_mm = 9", "mine.toml: crown.1.take", "'full slice'?"),
        (CROWN + SLICE + "pich_mm = 3", "mine.toml: crown.1.pich_mm", "Did you mean 'pitch_mm'"),
        (CROWN + SLICE + "foils = [1, 2]", "mine.toml: crown.1.foils", "above the first zone"),
        (CROWN + "take = 'slice'", "mine.toml: crown.1.pitch_mm", "does not say how far apart"),
        (CROWN + SLICE + "every = 3", "mine.toml: crown.1.every", "both pitch_mm and every"),
        (CROWN + SLICE + "back_to_back = true", "mine.toml: crown.1.back_to_back", "says both"),
        (CROWN + "take = 'slice'\nback_to_back = 'yes'", "mine.toml: crown.1.back_to_back", "true"),
        (CROWN + "take = 'slice'\npitch_mm = '9'", "mine.toml: crown.1.pitch_mm", "a number"),
        (CROWN + "take = 'slice'\npitch_mm = true", "mine.toml: crown.1.pitch_mm", "a number"),
        (CROWN + "take = 'slice'\npitch_mm = nan", "mine.toml: crown.1.pitch_mm", "0.5-100 mm"),
        (CROWN + "take = 'slice'\npitch_mm = 1" + 400 * "0", "mine.toml: crown.1.pitch_mm",
         "0.5-100 mm"),
        (CROWN + "take = 'slice'\npitch_mm = 101", "mine.toml: crown.1.pitch_mm", "0.5-100 mm"),
        (CROWN + "take = 'full slice'\npitch_mm = 2", "mine.toml: crown.1.pitch_mm",
         "less than the 3 mm that is taken"),
        (CROWN + SLICE + "thickness_mm = 21", "mine.toml: crown.1.thickness_mm", "0.5-20 mm"),
        (CROWN + SLICE + "pick_mm = 3", "mine.toml: crown.1.pick_mm", "is not woven"),
        (CROWN + SLICE + "left_mm = 3", "mine.toml: crown.1.left_mm", "is not woven"),
        (CROWN + "take = 'fine weave'\npitch_mm = 9\npick_mm = 0", "mine.toml: crown.1.pick_mm",
         "0.5-50 mm"),
        (CROWN + "take = 'fine weave'\npitch_mm = 9\nleft_mm = 60", "mine.toml: crown.1.left_mm",
         "0.5-50 mm"),
        (CROWN + "take = 'slice'\nevery = 0", "mine.toml: crown.1.every", "whole number, 1-10"),
        (CROWN + "take = 'slice'\nevery = 2.0", "mine.toml: crown.1.every", "whole number"),
        (CROWN + "take = 'slice'\nevery = true", "mine.toml: crown.1.every", "whole number"),
        (CROWN + "take = 'ends only'\nevery = 3", "mine.toml: crown.1.every", "no other foils"),
        (CROWN + "take = 'lowlight weave'\nevery = 3\nshare_percent = 50",
         "mine.toml: crown.1.share_percent", "says nothing beside 'every'"),
        (CROWN + SLICE + "share_percent = 0.5", "mine.toml: crown.1.share_percent", "1-100 %"),
        (CROWN + SLICE + "[[crown]]\n" + SLICE, "mine.toml: crown.1.share_percent",
         "take all of its height"),
        (CROWN + SLICE + "length_percent = 30", "mine.toml: crown.1.length_percent", "ends only"),
        (CROWN + "take = 'ends only'\npitch_mm = 9\nlength_percent = 1",
         "mine.toml: crown.1.length_percent", "5-100 %"),
        (CROWN + SLICE + "diagonal = 'back'", "mine.toml: crown.1.diagonal", "'left' or 'right'"),
        (CROWN + SLICE + "diagonal = 3", "mine.toml: crown.1.diagonal", "'left' or 'right'"),
        (CROWN + SLICE + "diagonal = ''", "mine.toml: crown.1.diagonal", "'left' or 'right'"),
        ('name = "a"\n[[sides]]\n' + SLICE + "diagonal = 'left'", "mine.toml: sides.1.diagonal",
         "'forward' or 'back'"),
        ('name = "a"\n[["side_hairlines left"]]\n' + SLICE + "diagonal = 'back'",
         "mine.toml: side_hairlines left.1.diagonal", "follow it"),
        (CROWN + SLICE + "diagonal_deg = 20", "mine.toml: crown.1.diagonal_deg", "without"),
        (CROWN + SLICE + "diagonal = 'left'\ndiagonal_deg = 70", "mine.toml: crown.1.diagonal_deg",
         "5-60 degrees"),
        (CROWN + SLICE + "share_percent = 50\ndiagonal = 'left'\n[[crown]]\n" + SLICE,
         "mine.toml: crown.2.diagonal", "would cross"),
        (CROWN + SLICE + "share_percent = 50\ndiagonal = 'left'\n[[crown]]\n" + SLICE
         + "diagonal = 'left'\ndiagonal_deg = 45", "mine.toml: crown.2.diagonal", "would cross"),
        (CROWN + SLICE + "reason = ''", "mine.toml: crown.1.reason", "words on one line"),
        (CROWN + SLICE + f"reason = '{'a' * 301}'", "mine.toml: crown.1.reason", "at most 300"),
        ('name = "a"\nfoils = [65, 50]\n[[crown]]\n' + SLICE, "mine.toml: foils", "must rise"),
        ('name = "a"\nfoils = [0, 50]\n[[crown]]\n' + SLICE, "mine.toml: foils", "1-300"),
        ('name = "a"\nfoils = [50, 301]\n[[crown]]\n' + SLICE, "mine.toml: foils", "1-300"),
        ('name = "a"\nfoils = [50]\n[[crown]]\n' + SLICE, "mine.toml: foils", "two whole numbers"),
        ('name = "a"\nfoils = 60\n[[crown]]\n' + SLICE, "mine.toml: foils", "two whole numbers"),
        ('name = "a"\nfoils = [5.0, 6]\n[[crown]]\n' + SLICE, "mine.toml: foils", "two whole"),
    ],
)  # fmt: skip
def test_a_slip_is_one_error_with_its_place(text, where, said):
    with pytest.raises(StrandlineError) as told:
        read(text)
    assert told.value.where == where
    assert said in f"{told.value.what} {told.value.do}"
    assert len(told.value.what) < 200
    assert told.value.do


def test_a_file_that_is_no_text_or_too_large_is_told():
    for raw, said in ((b"\xff\xfe\x00", "not text"), (b"#" * 100_001, "at most 0.1 MB")):
        with pytest.raises(StrandlineError, match=said) as told:
            read_pattern(raw, "mine.toml")
        assert told.value.where == "mine.toml"
        assert "pattern" in told.value.do


def test_a_row_without_a_word_is_not_written():
    odd = Pattern("odd", {"top": (Row("weave", "wild", 3, 9, 3, 3, "So."),)})
    with pytest.raises(OutOfRangeError, match="no word"):
        pattern_text(odd)


def test_zones_that_may_be_named_are_those_of_a_head():
    zones = cut_zones()
    assert {zone.key for zone in zones} | {zone.name for zone in zones} == set(ZONE_KEYS)
