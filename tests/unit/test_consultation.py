"""Reading a consultation: what is right is kept, what is wrong is told with its field and range."""

from __future__ import annotations

import datetime as dt

import pytest

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.service.consultation.bands import lanes, regrowth_cm
from strandline.service.consultation.reader import read_consultation
from strandline.service.consultation.reading import read_head

SMALLEST = """
[client]
name = "Wren Halloway"
[areas]
front = { gray = 50 }
crown = { gray = 40 }
back = { gray = 30 }
[hair]
level = 5
"""


def read(text: str, **more):
    return read_consultation(text.encode(), "wren.toml", **more)


def test_smallest_file_stands_with_defaults():
    c = read(SMALLEST)
    assert c.hair.strand == "medium"
    assert c.health.allergies == "unknown"
    assert c.shelf.lightener.label_max_min is None


@pytest.mark.parametrize(
    ("old", "new", "field", "said"),
    [
        ("back = { gray = 30 }", "", "areas.back", "missing"),
        ("gray = 50", "gray = 140", "areas.front.gray", "at most 100"),
        ("gray = 50", "gray = -1", "areas.front.gray", "at least 0"),
        ("gray = 50", "gray = nan", "areas.front.gray", "nan"),
        ("level = 5", "level = 11", "hair.level", "at most 10"),
        ("level = 5", "", "wren.toml", "natural level of the front is missing"),
        ("level = 5", "level = 5\nstrand = 'wiry'", "hair.strand", "'fine', 'medium' or 'coarse'"),
        ("level = 5", "level = 5\ncolour = 3", "hair.colour", "not a field"),
        ("level = 5", "level = 5\ndiameter_um = 0.07", "hair.diameter_um", "at least 20"),
        ("[hair]", "[shelf]\ngloss = [{ name = 'x' }]\n[hair]", "shelf.gloss.1", "no depth"),
        ("[hair]", "[practice]\nseconds_slice = 'x'\n[hair]", "practice.seconds_slice", "'x'"),
    ],
)
def test_wrong_field_is_named_with_what_is_expected(old, new, field, said):
    with pytest.raises(OutOfRangeError) as told:
        read(SMALLEST.replace(old, new))
    assert field in told.value.where
    assert said in str(told.value)
    assert told.value.do


@pytest.mark.parametrize(
    ("bands", "said"),
    [
        ("from_cm = 8\nto_cm = 3\npast = 'virgin'", "must end farther"),
        ("from_cm = 2\nto_cm = 9\npast = 'permanent'", "no depth"),
        ("from_cm = 2\nto_cm = 9\npast = 'lightened'", "no stage"),
        ("from_cm = 80\nto_cm = 90\npast = 'henna'", "hair is 30 cm long"),
        (
            (
                "from_cm = 2\nto_cm = 9\npast = 'henna'\nshare = 70\n[[bands]]\n"
                "from_cm = 2\nto_cm = 9\npast = 'unknown'\nshare = 40"
            ),
            "110 %",
        ),
    ],
)
def test_wrong_band_is_told(bands, said):
    with pytest.raises(OutOfRangeError, match=r"band|hair") as told:
        read(SMALLEST + "[[bands]]\n" + bands)
    assert said in str(told.value)


def test_toml_slip_names_its_line():
    with pytest.raises(ReadError, match="line 4"):
        read("[client]\nname = 'Wren'\n[areas]\nfront = { gray = 50\n")


@pytest.mark.parametrize(
    ("raw", "said"),
    [(b"\x89PNG\r\n\x1a\n\xff\xd8", "not text"), (b"#" * 2_000_000, "at most 1 MB")],
)
def test_other_kinds_of_file_are_told_apart(raw, said):
    with pytest.raises(ReadError, match=said):
        read_consultation(raw, "picture.png")


def test_a_test_after_the_visit_is_told():
    late = "[health]\nstretch_test = { date = 2026-12-09, result = 'holds' }"
    with pytest.raises(OutOfRangeError, match="after the visit"):
        read(SMALLEST + late, on=dt.date(2026, 12, 1))


def test_a_visit_years_ahead_is_told():
    with pytest.raises(OutOfRangeError, match="Correct the year"):
        read(SMALLEST + "[visit]\ndate = 2062-12-01", today=dt.date(2026, 11, 25))


def test_uses_takes_another_files_tables_and_its_own_win():
    shared = b"[hair]\nlevel = 3\n[limits]\nhours = 2"
    c = read('uses = ["salon.toml"]\n' + SMALLEST, beside=lambda _: shared)
    assert c.hair.level == 5
    assert c.limits.hours == 2


def test_cover_in_one_line_makes_one_band_from_the_regrowth_to_the_ends():
    c = read(SMALLEST.replace("level = 5", "level = 5\nregrowth_cm = 2") + "[cover]\ndepth = 4")
    (lane,) = lanes(c)
    assert [(s.from_cm, s.to_cm, s.band and s.band.depth) for s in lane.stretches] == [
        (0, 2, None),
        (2, 30, 4),
    ]


def test_shares_split_the_head_into_lanes_that_sum_to_one(consultation):
    for name in ("junia", "noor", "tamsin", "mirela", "perpetua"):
        c = consultation(name)
        assert sum(lane.share for lane in lanes(c)) == pytest.approx(1)
        assert all(lane.stretches[0].from_cm == 0 for lane in lanes(c))


def test_regrowth_without_cover_is_nothing_and_with_it_the_default():
    assert regrowth_cm(read(SMALLEST)) == 0
    assert regrowth_cm(read(SMALLEST + "[cover]\ndepth = 4")) == 1.5


def test_areas_may_differ_in_level_and_regrowth():
    text = SMALLEST.replace(
        "back = { gray = 30 }", "back = { gray = 30, level = 4, regrowth_cm = 3 }"
    )
    head = read_head(read(text + "[cover]\ndepth = 4"))
    assert head.level["back"] == 4
    assert head.regrowth_cm["back"] == 3
    assert head.level["front"] == 5


def test_an_experts_zone_is_weighed_into_its_area():
    head = read_head(read(SMALLEST + "[zones.fringe]\ngray = 100\n"))
    assert 0.5 < head.gray["front"] < 1
    assert head.gray["back"] == pytest.approx(0.3)


def test_an_unknown_zone_is_told():
    with pytest.raises(OutOfRangeError, match="no zone"):
        read(SMALLEST + "[zones.chin]\ngray = 100\n")


def test_a_reading_of_lightened_hair_is_believed():
    from strandline.science.hair.levels import stage_of
    from strandline.service.consultation.fibres import banded_hair
    from strandline.service.consultation.model import Band

    band = Band(from_cm=0, to_cm=9, past="lightened", lab=(58.0, 6.0, 28.0))
    stage = stage_of(banded_hair(band, 6, white=False))[0]
    assert stage == pytest.approx(8, abs=0.05)
