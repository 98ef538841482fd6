"""Hair cut between visits: length, bands, product and old colour follow."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import growth_cm
from strandline.science.head.history import Lane
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import read_earlier
from strandline.service.plan.trimming import worn_on

DAYS = (dt.date(2026, 12, 9), dt.date(2027, 3, 3), dt.date(2027, 5, 26))
RATE = 367.0


def read(trims="", on=None, name="noor"):
    text = (EXAMPLES / f"{name}.toml").read_text() + trims
    return read_consultation(
        text.encode(),
        f"{name}.toml",
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=on or DAYS[1],
        today=DAYS[0],
    )


def trim(**fields):
    said = "\n".join(f"{name} = {value}" for name, value in fields.items())
    return f"\n[[trims]]\n{said}\n"


@cache
def first():
    return make_plan(read(on=DAYS[0]), DAYS[0]).plan


def after(plan, trims, day=DAYS[1]):
    earlier = read_earlier(plan.model_dump_json().encode(), b"")
    return make_plan(read(trims, on=day), day, earlier=earlier)


@cache
def usual():
    return after(first(), "")


def grown(days):
    return growth_cm(usual().bench["growth_um_per_day"], days)


@pytest.mark.parametrize("cuts", [[(10, 2.0)], [(10, 2.0), (40, 3.0)], [(10, 2.0), (10, 1.0)]])
def test_cuts_take_off_what_they_say_and_growth_goes_on(cuts):
    lane = Lane()
    for day, off in cuts:
        lane = lane.cut(day, off, (30.0, 0.0), RATE)
    expected = 30 + growth_cm(RATE, 84) - sum(off for _, off in cuts)
    assert lane.length_cm(30.0, 0.0, 84, RATE) == pytest.approx(expected)


@pytest.mark.parametrize("off", [30.5, -1.0])
def test_a_cut_of_more_than_there_is_is_told(off):
    with pytest.raises(OutOfRangeError, match=r"off hair of 30\.4 cm"):
        Lane().cut(10, off, (30.0, 0.0), RATE)


def test_no_trim_said_leaves_hair_kept_at_its_length():
    assert worn_on([], DAYS[0], 30.0, DAYS[1], RATE) is None
    assert usual().head.length_cm == first().length_cm == 30


def test_length_bands_and_product_follow_a_cut():
    made = after(first(), trim(date="2027-01-20", cut_cm=10))
    length = 30 + grown(84) - 10
    assert made.head.length_cm == pytest.approx(length, abs=0.01)
    assert made.plan.length_cm == pytest.approx(length, abs=0.01)
    ends = [band.to_cm for lane in made.plan.lanes for band in lane.bands]
    assert max(ends) == pytest.approx(length, abs=0.01)
    starts = [min(band.from_cm for band in lane.bands) for lane in made.plan.lanes if lane.bands]
    plain = [min(b.from_cm for b in lane.bands) for lane in usual().plan.lanes if lane.bands]
    assert starts == pytest.approx(plain)  # what a cut takes off is the ends
    for cut, whole in zip(made.plan.foils, usual().plan.foils, strict=True):
        share = length / 30 if not cut.from_cm else None
        if share:
            assert cut.hair_grams == pytest.approx(share * whole.hair_grams, rel=0.01, abs=0.002)
    notes = [one.what for one in made.plan.reasons if one.about == "trims"]
    assert len(notes) == 1
    assert "30.0 cm at the last visit" in notes[0]
    assert "10.0 cm cut" in notes[0]


def test_light_lengths_under_lightener_are_shorter_by_the_cut():
    made = after(first(), trim(date="2027-01-20", cut_cm=10))
    shorter = usual().plan.carried.overlap_cm.middle - made.plan.carried.overlap_cm.middle
    assert shorter == pytest.approx(30 - made.head.length_cm, abs=0.15)


def test_what_was_left_says_the_same_as_what_was_cut():
    at = (dt.date(2027, 1, 20) - DAYS[0]).days
    left = 30 + grown(at) - 10
    by_left = after(first(), trim(date="2027-01-20", left_cm=round(left, 3)))
    by_cut = after(first(), trim(date="2027-01-20", cut_cm=10))
    assert by_left.head.length_cm == pytest.approx(by_cut.head.length_cm, abs=0.02)


def test_a_trim_without_a_day_is_of_this_visit_before_the_foils():
    assert after(first(), trim(left_cm=12)).head.length_cm == pytest.approx(12)


def test_a_trim_of_before_the_last_visit_was_counted_then():
    made = after(first(), trim(date="2026-11-01", cut_cm=10))
    assert made.head.length_cm == pytest.approx(30 + grown(84), abs=0.01)


def test_a_third_visit_goes_on_from_the_length_that_was_cut():
    cut = trim(date="2027-01-20", cut_cm=10)
    second = after(first(), cut).plan
    third = after(second, cut, DAYS[2])
    assert third.head.length_cm == pytest.approx(second.length_cm + grown(84), abs=0.02)
    assert [one.length_cm for one in third.plan.carried.visits] == [30, second.length_cm]


def test_old_colour_that_is_cut_off_is_gone_and_stays_gone():
    """Five centimetres are left; the old line lies more than 5.3 cm out."""
    cut = trim(left_cm=5)
    second = after(first(), cut)
    assert second.head.old_line_cm is None
    shares = {one.visit: one.percent.middle for one in second.plan.carried.old_colour}
    assert shares[1] > 50
    assert shares[2] == pytest.approx(0, abs=2)  # strands grow by their own rates
    third = after(second.plan, cut.replace("left_cm", "date = 2027-03-03\nleft_cm"), DAYS[2])
    left = {one.visit: one.percent.middle for one in third.plan.carried.old_colour}
    assert left[2] <= 2
    assert left[3] <= left[2]


def test_ends_that_were_light_are_cut_off_too():
    second = after(first(), trim(left_cm=2.5))
    assert second.plan.carried.overlap_percent.middle < usual().plan.carried.overlap_percent.middle


@pytest.mark.parametrize(
    ("trims", "said", "where"),
    [
        (trim(date="2027-01-20"), "one of the two", "trims.1"),
        (trim(cut_cm=2, left_cm=20), "one of the two", "trims.1"),
        (trim(date="2027-04-01", cut_cm=2), "after the visit on 2027-03-03", "trims.1.date"),
        (trim(cut_cm=-2), "must be more than 0", "trims.1.cut_cm"),
        (trim(cut_in=2), "cut_in", "trims.1"),
    ],
)
def test_slips_in_a_trim_are_told(trims, said, where):
    with pytest.raises(OutOfRangeError) as caught:
        read(trims)
    assert said in f"{caught.value.what} {caught.value.do}"
    assert where in caught.value.where


def test_a_trim_of_more_than_there_is_is_told_with_its_field():
    with pytest.raises(OutOfRangeError, match="off hair of") as caught:
        after(first(), trim(date="2027-01-20", cut_cm=1) + trim(date="2027-01-10", cut_cm=40))
    assert caught.value.where == "trims.2.cut_cm"


def test_trims_before_a_first_visit_are_told_and_change_nothing():
    c = read(trim(date="2026-12-01", cut_cm=10), on=DAYS[0])
    plan = make_plan(c, DAYS[0]).plan
    assert plan.length_cm == first().length_cm
    assert len([one for one in plan.reasons if one.about == "trims"]) == 1
