"""Patterns on heads: counts, order, grams, ghosts."""

from __future__ import annotations

import pytest

from strandline.base.errors import OutOfRangeError, UnreachableError
from strandline.science.head.mass import linear_mass_mg_per_cm
from strandline.science.head.zones import Zones, cut_zones
from strandline.service.placement.fit import fit_pitch
from strandline.service.placement.foil import SECTIONS, FoilMap, grown_out, left_by_all
from strandline.service.placement.pattern import (
    Pattern,
    Row,
    pattern,
    pattern_names,
    pattern_numbers,
)
from strandline.service.placement.place import place


@pytest.fixture(scope="module")
def zones() -> Zones:
    return cut_zones()


@pytest.fixture(scope="module")
def heavy(zones: Zones) -> FoilMap:
    return place(zones, pattern("heavy"))


@pytest.mark.parametrize(
    ("name", "fewest", "most"),
    [
        ("heavy", 70, 85),
        ("soft", 50, 65),
        ("return", 40, 50),
        ("partial", 25, 35),
        ("lowlights", 25, 35),
    ],
)
def test_pattern_counts_come_from_the_geometry(
    zones: Zones, name: str, fewest: int, most: int
) -> None:
    """The counts and pitches are common practice, no source; the head joins them."""
    assert fewest <= len(place(zones, pattern(name))) <= most


def test_foils_are_numbered_in_the_order_of_work(heavy: FoilMap) -> None:
    assert [foil.number for foil in heavy] == list(range(1, len(heavy) + 1))
    places = [SECTIONS.index(foil.section) for foil in heavy]
    assert places == sorted(places)
    assert heavy.order == SECTIONS
    strip = heavy.section("centre strip")
    heights = [foil.line[0][1] for foil in strip]
    assert heights == sorted(heights, reverse=True), "from the nape up"
    sides = [foil for foil in heavy.section("sides") if foil.key == "sides left"]
    assert [abs(f.line[0][0]) for f in sides] == sorted(
        (abs(f.line[0][0]) for f in sides), reverse=True
    )


def test_foils_are_no_wider_than_a_foil(zones: Zones, heavy: FoilMap) -> None:
    assert max(foil.length_cm for foil in heavy) <= 11.0
    narrow = place(zones, pattern("heavy"), max_parting_cm=6.0)
    assert max(foil.length_cm for foil in narrow) <= 6.0 + 1e-9
    assert len(narrow) > len(heavy)
    assert narrow.hair_grams == pytest.approx(heavy.hair_grams, rel=0.01)


def test_foil_grams_are_roots_by_length_by_mass(heavy: FoilMap) -> None:
    for foil in heavy:
        treated = 30.0 - foil.from_cm
        assert foil.hair_grams == pytest.approx(
            foil.roots * treated * linear_mass_mg_per_cm(70) / 1000
        )
        assert foil.lightener_grams == pytest.approx(4.0 * foil.hair_grams)
    assert heavy.lightener_grams == pytest.approx(4.0 * sum(f.hair_grams for f in heavy))


def test_foil_roots_and_shares_agree(zones: Zones, heavy: FoilMap) -> None:
    for foil in heavy:
        share = foil.hair_share * zones[foil.key].area_cm2 * 223
        assert abs(foil.roots - share) <= 0.5 + 1e-9
    for zone in zones:
        taken = sum(foil.hair_share for foil in heavy.in_zone(zone.key))
        assert heavy.left_out[zone.key] == pytest.approx(1 - taken)
    assert 0 < heavy.taken_share("tip-out") < heavy.taken_share() < 1


def test_twice_the_hair_is_twice_the_grams(zones: Zones) -> None:
    thin = place(zones, pattern("soft"), density_per_cm2=150, length_cm=20)
    thick = place(zones, pattern("soft"), density_per_cm2=300, length_cm=20)
    assert thick.lightener_grams == pytest.approx(2 * thin.lightener_grams, rel=0.01)


def test_lowlights_take_colour_and_no_lightener(zones: Zones) -> None:
    foils = place(zones, pattern("lowlights"))
    assert foils.lightener_grams == 0
    assert foils.colour_grams > 0
    assert {foil.kind for foil in foils} == {"lowlight weave"}


def test_nothing_aimed_at_lays_nothing(zones: Zones) -> None:
    for nothing in (Pattern("", {}), pattern("heavy").only([])):
        foils = place(zones, nothing, foil_budget=(50, 65))
        assert len(foils) == 0
        assert foils.lightener_grams == foils.colour_grams == foils.hair_grams == 0
        assert set(foils.left_out.values()) == {1.0}
        assert foils.order == ()


def test_skipped_zones_have_no_foils(zones: Zones) -> None:
    foils = place(zones, pattern("heavy"), skip={"sides", "temples left"})
    assert not foils.in_zone("sides left")
    assert not foils.in_zone("sides right")
    assert not foils.in_zone("temples left")
    assert foils.in_zone("temples right")


def test_tip_outs_need_length(zones: Zones) -> None:
    long = place(zones, pattern("heavy"), length_cm=20.0)
    short = place(zones, pattern("heavy"), length_cm=11.0)
    assert long.section("tip-outs")
    assert not short.section("tip-outs")
    assert all(foil.from_cm > 0 for foil in long.section("tip-outs"))
    assert all(foil.zone != "fringe" for foil in long.section("tip-outs"))


@pytest.mark.parametrize("budget", [(50, 65), (70, 85), (25, 35), (90, 110)])
def test_fit_meets_the_budget_the_same_way_each_time(zones: Zones, budget: tuple[int, int]) -> None:
    first = place(zones, pattern("heavy"), foil_budget=budget)
    again = place(zones, pattern("heavy"), foil_budget=budget)
    assert budget[0] <= len(first) <= budget[1]
    assert abs(len(first) - sum(budget) / 2) <= 3
    assert first.pitch_scale == again.pitch_scale


def test_fit_aims_at_a_target(zones: Zones) -> None:
    assert abs(len(place(zones, pattern("soft"), foil_budget=(50, 65), target=64)) - 64) <= 1


def test_fit_says_when_no_spacing_will_do(zones: Zones) -> None:
    with pytest.raises(UnreachableError, match="50-65"):
        fit_pitch(zones, pattern("soft").only(["nape"]), budget=(50, 65))
    with pytest.raises(OutOfRangeError, match="rise"):
        fit_pitch(zones, pattern("soft"), budget=(65, 50))


def test_grown_out_foils_start_farther_from_the_scalp(heavy: FoilMap) -> None:
    later = grown_out(grown_out(heavy, 2.0), 1.3)
    assert later.grown_cm == pytest.approx(3.3)
    for old, new in zip(heavy, later, strict=True):
        assert new.from_cm == pytest.approx(old.from_cm + 3.3)
        assert new.outline == old.outline
    with pytest.raises(OutOfRangeError):
        grown_out(heavy, -1.0)


def test_second_visit_goes_between_the_first(zones: Zones) -> None:
    first = place(zones, pattern("soft"))
    second = place(zones, pattern("return"), ghosts=grown_out(first, 3.0))
    old = sorted((f.up_cm, f.up_cm + f.thickness_mm / 10) for f in first.in_zone("top"))
    new = [f for f in second.in_zone("top") if f.kind == "slice"]
    assert new
    for foil in new:
        low, high = foil.up_cm, foil.up_cm + foil.thickness_mm / 10
        assert all(high <= start + 1e-9 or low >= end - 1e-9 for start, end in old)
    rest = left_by_all(first, second)
    for zone in zones:
        assert 0 <= rest[zone.key] <= first.left_out[zone.key] + 1e-12
    assert rest["top"] < first.left_out["top"]


def test_second_visit_lays_lowlights_over_old_light(zones: Zones) -> None:
    first = place(zones, pattern("heavy"))
    second = place(zones, pattern("return"), ghosts=first)
    old = [(f.up_cm, f.up_cm + f.thickness_mm / 10) for f in first.in_zone("top")]
    dark = [f for f in second.in_zone("top") if f.kind == "lowlight weave"]
    assert dark
    for foil in dark:
        middle = foil.up_cm + foil.thickness_mm / 20
        assert any(start <= middle <= end for start, end in old)


def test_every_number_of_the_patterns_says_what_it_is() -> None:
    for name, number in pattern_numbers().items():
        assert number.unit, name
        guessed = name.startswith(("whirl_", "parting_off", "strip_to"))
        said = "from memory" if guessed else "common practice, no source"
        assert number.source == said, name
        assert number.low is not None, name
        assert number.high is not None, name
        assert number.low <= number.value <= number.high, name
        assert number.note, name


def test_every_row_gives_its_reason() -> None:
    for name in pattern_names():
        for rows in pattern(name).values():
            assert all(row.reason.endswith(".") for row in rows)


def test_fringe_of_a_heavy_head_is_woven_but_for_its_last_quarter(heavy: FoilMap) -> None:
    fringe = heavy.section("fringe")
    woven = [foil for foil in fringe if foil.kind == "weave"]
    sliced = [foil for foil in fringe if foil.kind == "slice"]
    assert len(woven) > len(sliced) > 0
    assert max(f.line[0][1] for f in woven) < min(f.line[0][1] for f in sliced)


def test_her_own_number_changes_a_pattern(zones: Zones) -> None:
    close = place(zones, pattern("heavy", {"pitch_top_heavy_mm": 4.0}))
    assert len(close) > len(place(zones, pattern("heavy")))
    with pytest.raises(OutOfRangeError, match="pitch_top_heavy_mm"):
        pattern("heavy", {"pitch_top_heavy_mm": 0.8})
    with pytest.raises(OutOfRangeError, match="pitch_topp"):
        pattern("heavy", {"pitch_topp": 5})


def test_one_side_may_have_a_row_of_its_own(zones: Zones) -> None:
    row = Row("slice", "normal", 2.0, 12.0)
    foils = place(zones, {"sides left": row, "top": (row,)})
    assert foils.in_zone("sides left")
    assert not foils.in_zone("sides right")
    assert Pattern("own", {"sides left": (row,)}).mirrored().rows == {"sides right": (row,)}
    assert pattern("heavy").without_kinds("tip-out")["top"] == pattern("heavy")["top"][:1]


@pytest.mark.parametrize(
    "wrong",
    [
        {"thickness_mm": 0.1},
        {"pitch_mm": 1.0},
        {"pick_mm": -1.0},
        {"left_mm": 3.0},
        {"share": 1.5},
        {"length_share": -0.1},
        {"kind": "foilayage"},
    ],
)
def test_row_that_no_comb_takes_is_refused(wrong: dict[str, object]) -> None:
    right: dict[str, object] = {
        "kind": "slice",
        "grade": "normal",
        "thickness_mm": 2.0,
        "pitch_mm": 6.0,
    }
    with pytest.raises(OutOfRangeError):
        Row(**{**right, **wrong})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "wrong",
    [
        {"pitch_scale": 0.0},
        {"density_per_cm2": 5.0},
        {"length_cm": 0.0},
        {"grams_factor": -1.0},
        {"max_parting_cm": 50.0},
        {"diameter_um": 0.07},
    ],
)
def test_hair_and_scales_out_of_range_are_refused(zones: Zones, wrong: dict[str, float]) -> None:
    with pytest.raises(OutOfRangeError):
        place(zones, pattern("soft"), **wrong)  # type: ignore[arg-type]


def test_unknown_zone_or_pattern_is_refused(zones: Zones) -> None:
    with pytest.raises(OutOfRangeError, match="chin"):
        place(zones, {"chin": Row("slice", "normal", 2.0, 6.0)})
    with pytest.raises(OutOfRangeError, match="heavy"):
        pattern("enormous")


@pytest.mark.parametrize("zone", ["top", "back_upper"])
def test_a_wide_space_where_foils_were_skipped_takes_more_than_one(zones: Zones, zone: str):
    """Rows of a zone that were not done leave a space: it takes as many as the pitch has room."""
    soft = place(zones, pattern("soft"))
    rows = sorted({round(foil.up_cm, 6) for foil in soft.in_zone(zone)})
    gone = rows[1:-1]
    kept = tuple(f for f in soft if f.zone != zone or round(f.up_cm, 6) not in gone)
    done = FoilMap(kept, zones, soft.left_out, soft.order)
    again = place(zones, pattern("return"), ghosts=done).in_zone(zone)
    inside = {foil.up_cm for foil in again if rows[0] < foil.up_cm < rows[-1]}
    pitch = pattern("return")[zone][0].pitch_mm / 10
    assert len(gone) >= 2
    assert len(inside) >= int((rows[-1] - rows[0]) / pitch) - 1 >= 2
