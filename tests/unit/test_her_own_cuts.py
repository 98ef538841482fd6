"""Her own cut lines, partings and hair that turns: what the file says reaches the foils."""

from __future__ import annotations

import datetime as dt
import shutil

import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.main import main
from strandline.salon.report.drawing import draw_plan_map
from strandline.science.head.zones import cut_zones
from strandline.service.consultation.bands import length_cm
from strandline.service.consultation.reader import read_consultation
from strandline.service.placement.pattern import WHIRL, pattern
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import read_earlier
from strandline.service.plan.placing import scalp_of, zones_of
from strandline.service.plan.rounds import strands_of
from strandline.service.plan.turning import turns_at, whirl_zones


def read(tmp_path, *lines, more=""):
    """Read Noor with lines added to her hair."""
    text = (EXAMPLES / "noor.toml").read_text()
    text = text.replace("[hair]\n", "[hair]\n" + "".join(f"{line}\n" for line in lines)) + more
    shutil.copy(EXAMPLES / "practice.toml", tmp_path)
    path = tmp_path / "head.toml"
    path.write_text(text)
    return path, read_consultation(
        path.read_bytes(), path.name, beside=lambda name: (tmp_path / name).read_bytes()
    )


def planned(tmp_path, *lines, more=""):
    c = read(tmp_path, *lines, more=more)[1]
    return make_plan(c, c.visit.date)


def test_where_she_cuts_is_where_the_zones_are(tmp_path):
    _, c = read(
        tmp_path,
        "centre_strip_cm = 8",
        "fringe_depth_cm = 3",
        "hairline_depth_cm = 2",
        "side_end_percent = 80",
        "front_to_nape_cm = 35",
    )
    zones = zones_of(scalp_of(c))
    assert zones.cuts.side_end_share == pytest.approx(0.8)
    assert zones.cuts.hairline_depth_cm == 2
    assert zones.scalp.front_to_nape_cm == 35
    assert zones.area_cm2 == pytest.approx(zones.scalp.area_cm2, rel=0.005)
    usual = cut_zones()
    assert zones["side_hairlines left"].area_cm2 > usual["side_hairlines left"].area_cm2
    assert zones["fringe"].area_cm2 < usual["fringe"].area_cm2


def test_hair_that_turns_is_woven_with_its_reason(tmp_path):
    made = planned(
        tmp_path, 'cowlicks = ["double swirl at the crown", "widow\'s peak", "nape on the left"]'
    )
    assert set(whirl_zones(made.consultation)) == {"crown", "fringe", "nape_hairline", "nape"}
    for foil in made.foils:
        if foil.zone in ("crown", "fringe", "nape"):
            assert foil.kind == "weave"
        if foil.zone == "crown":
            assert foil.reason == WHIRL
    assert any(foil.kind == "slice" and foil.zone == "top" for foil in made.foils)
    said = [one.what for one in made.plan.cautions]
    assert "Cowlick or swirl: double swirl at the crown." in said


def test_partings_turn_round_the_places_she_names(tmp_path):
    made = planned(tmp_path, 'cowlicks = ["double swirl at the crown", "swirl, nape on the left"]')
    zones = zones_of(made.plan.scalp)
    assert set(zones.whirls) == {"crown", "nape"}  # a hairline is too narrow to turn in
    left, right = zones.whirls["crown"]
    assert left.u == -right.u < 0
    assert left.angle_deg == -right.angle_deg
    (nape,) = zones.whirls["nape"]
    assert nape.u < -1.5
    turned = {foil.zone for foil in made.foils if foil.turned}
    assert turned == {"crown", "nape"}
    for foil in made.foils:
        assert foil.length_cm <= 11.01


def test_two_swirls_named_apart_both_turn_and_one_named_twice_turns_once(tmp_path):
    said = '"swirl at the crown on the left", "swirl at the crown on the right"'
    _, c = read(tmp_path, f"cowlicks = [{said}, {said}]")
    left, right = zones_of(scalp_of(c)).whirls["crown"]
    assert left.u < 0 < right.u


def test_a_widows_peak_draws_the_partings_to_the_face(tmp_path):
    made = planned(tmp_path, 'cowlicks = ["widow\'s peak"]')
    for foil in made.foils.in_zone("fringe"):
        middle = min(foil.line, key=lambda point: abs(point[0]))
        assert middle[1] <= foil.line[0][1]
        assert middle[1] <= foil.line[-1][1]
    bend = max(
        foil.line[0][1] - min(foil.line, key=lambda p: abs(p[0]))[1]
        for foil in made.foils.in_zone("fringe")
    )
    assert bend > 0.4


def test_a_swirl_is_remembered_by_the_plan_and_lies_under_the_next(tmp_path):
    first = planned(tmp_path, 'cowlicks = ["swirl at the crown"]')
    earlier = read_earlier(first.plan.model_dump_json().encode(), b"")
    _, c = read(tmp_path, 'cowlicks = ["swirl at the crown"]')
    again = make_plan(c, first.plan.date + dt.timedelta(weeks=12), earlier=earlier)
    assert again.ghosts.zones.whirls == zones_of(first.plan.scalp).whirls
    assert [f.line for f in again.ghosts.in_zone("crown")] == [
        tuple(row.line) for row in first.plan.foils if row.zone == "crown"
    ]
    assert all(foil.turned for foil in again.foils.in_zone("crown"))


@pytest.mark.parametrize(
    ("word", "off"), [("left", -4.0), ("right", 4.0), ("centre", 0.0), ("wandering", None)]
)
def test_the_close_foils_lie_on_both_sides_of_the_parting(tmp_path, word, off):
    """A strip moved towards a side parting, 4 cm from the middle, holds both its sides well."""
    _, c = read(tmp_path)
    hair = c.hair.model_copy(update={"parting": word})
    c = c.model_copy(update={"hair": hair, "placement": {"strip_to_parting_cm": 1.5}})
    kept = scalp_of(c)
    assert kept.parting_cm == off
    zones = zones_of(kept)
    us = [zones.scalp.arc_of_u(u) for u, _ in zones["top"].outline]
    assert min(us) < (off or 0) - 1.5
    assert max(us) > (off or 0) + 1.5
    if not off:
        assert min(us) == pytest.approx(-max(us))
    made = make_plan(c, c.visit.date)
    assert (">parting<" in draw_plan_map(made)) is (off is not None)


@pytest.mark.parametrize(
    ("said", "sense"),
    [("swirl at the crown", 1), ("anticlockwise swirl at the crown", -1)],
)
def test_hair_turns_clockwise_unless_she_says_otherwise(tmp_path, said, sense):
    _, c = read(tmp_path, f'cowlicks = ["{said}"]')
    (found,) = zones_of(scalp_of(c)).whirls["crown"]
    assert found.angle_deg == 35 * sense


@pytest.mark.parametrize(
    ("said", "zones"),
    [
        ("swirl on the crown", ("crown",)),
        ("stopped growing back after a burn", ("back_upper",)),
        ("sideways at the temples", ("temples",)),
        ("backward whorl", ()),
        ("not at the crown, at the nape", ()),
    ],
)
def test_a_place_is_read_from_whole_words(said, zones):
    assert turns_at(said) == zones


def test_no_place_where_nothing_turns_and_a_word_where_none_is_known(tmp_path):
    made = planned(
        tmp_path, 'cowlicks = ["none", "no swirl at the crown", "whorl", "no crown, but the nape"]'
    )
    assert whirl_zones(made.consultation) == ()
    told = {one.what: one.do for one in made.plan.cautions if one.about == "hair.cowlicks"}
    assert set(told) == {
        "Cowlick or swirl: whorl.",
        "Cowlick or swirl: no crown, but the nape.",
    }
    assert all("place is not known" in do for do in told.values())


def test_a_woven_pattern_leaves_other_zones_and_kinds_alone():
    usual = pattern("heavy")
    woven = usual.woven(["top"])
    assert woven["crown"] == usual["crown"]
    assert [row.kind for row in woven["top"]] == ["weave", "tip-out"]
    assert usual.woven([]).rows == usual.rows


def test_her_own_partings_replace_the_pattern_s(tmp_path):
    usual = planned(tmp_path)
    own = planned(tmp_path, more="\n[placement]\nweave_fine_mm = 2\nslice_full_mm = 2.5\n")
    picks = {foil.pick_mm for foil in own.foils if foil.grade == "fine"}
    assert picks == {2}
    assert {round(f.thickness_mm, 6) for f in own.foils if f.grade == "full"} == {2.5}
    assert {round(f.thickness_mm, 6) for f in usual.foils if f.grade == "full"} == {3}


@pytest.mark.parametrize(
    ("curl", "factor"), [("straight", 1.0), ("wavy", 1.1), ("curly", 1.35), ("tight", 1.8)]
)
def test_curl_stretches_longer_than_it_is_worn(tmp_path, curl, factor):
    assert length_cm(read(tmp_path, f'curl = "{curl}"')[1]) == pytest.approx(30 * factor)
    assert length_cm(read(tmp_path, f'curl = "{curl}"', "length_cm = 40")[1]) == 40


def test_tight_curl_takes_more_lightener_at_the_length_it_is_worn(tmp_path):
    straight, tight = (
        sum(foil.lightener_grams for foil in planned(tmp_path, f'curl = "{curl}"').foils)
        for curl in ("straight", "tight")
    )
    assert tight == pytest.approx(1.8 * straight, rel=0.1)


@pytest.mark.parametrize(
    ("lines", "more", "said"),
    [
        (("fringe_depth_cm = 40",), "", "at most 10"),
        (("front_to_nape_cm = 28", "circumference_cm = 51"), "", "front_to_nape_cm: The scalp"),
        (
            ("centre_strip_cm = 12", "hairline_depth_cm = 3", "circumference_cm = 51"),
            "",
            "hair.hairline_depth_cm: The cut lines leave no hair",
        ),
        (("side_end_percent = 20",), "", "at least 75"),
        (("density_per_cm2 = 0",), "", "at least 30"),
        ((), "\n[placement]\npitch_topp_mm = 9\n", "no number of placement called"),
        ((), "\n[placement]\npitch_sides_mm = 900\n", "must be 6-25"),
        (('curl = "coiled"',), "", "none of the words"),
    ],
)
def test_what_no_head_has_is_two_sentences(tmp_path, capsys, lines, more, said):
    text = (EXAMPLES / "noor.toml").read_text()
    text = text.replace("[hair]\n", "[hair]\n" + "".join(f"{line}\n" for line in lines)) + more
    shutil.copy(EXAMPLES / "practice.toml", tmp_path)
    path = tmp_path / "head.toml"
    path.write_text(text)
    assert main(["plan", str(path)]) == 2
    assert said in capsys.readouterr().err


def test_a_thin_crown_has_less_hair_there_and_nowhere_else(tmp_path):
    usual = planned(tmp_path)
    path, _ = read(tmp_path)
    text = path.read_text().replace("crown = { gray = 70", 'crown = { density = "thin", gray = 70')
    assert "density" in text
    path.write_text(text)
    c = read_consultation(
        path.read_bytes(), path.name, beside=lambda name: (tmp_path / name).read_bytes()
    )
    thin = make_plan(c, c.visit.date)

    def grams(made, zone):
        return sum(foil.hair_grams for foil in made.foils if foil.zone == zone)

    assert len(thin.foils) == len(usual.foils)
    thick = [next(f for f in made.foils if f.zone == "crown") for made in (thin, usual)]
    less = thick[0].thickness_mm / thick[1].thickness_mm
    assert (thick[0].grade, thick[1].grade, less) == ("normal", "full", pytest.approx(2 / 3))
    assert "thin" in thick[0].reason
    assert grams(thin, "crown") == pytest.approx(less * 0.75 * grams(usual, "crown"), rel=0.01)
    assert grams(thin, "top") == pytest.approx(0.875 * grams(usual, "top"), rel=0.01)
    assert grams(thin, "fringe") == grams(usual, "fringe")
    said = [one for one in thin.plan.cautions if "thin at the crown" in one.what]
    assert len(said) == 1
    assert "scalp" in said[0].do
    assert not [one for one in usual.plan.cautions if "thin at the" in one.what]


def test_strands_of_a_thin_crown_stand_for_its_hairs(tmp_path):
    _, c = read(tmp_path)
    answer = c.areas.crown.model_copy(update={"density": "thin"})
    c = c.model_copy(update={"areas": c.areas.model_copy(update={"crown": answer})})
    made = make_plan(c, c.visit.date)
    head = strands_of(c, made.head, made.foils.zones, made.bench)
    for key, factor in (("crown", 0.75), ("top", 0.875), ("nape", 1.0)):
        hairs = head.weight[head.in_zone(key)].sum()
        whole = made.bench["density_per_cm2"] * made.foils.zones[key].area_cm2
        assert hairs == pytest.approx(whole * factor, rel=0.001)


def test_no_hair_at_all_is_told(tmp_path):
    with pytest.raises(OutOfRangeError, match=r"density_per_cm2' is 0; it must be at least 30"):
        read(tmp_path, "density_per_cm2 = 0")
    with pytest.raises(OutOfRangeError, match="fringe_depth_cm' is 40"):
        read(tmp_path, "fringe_depth_cm = 40")
