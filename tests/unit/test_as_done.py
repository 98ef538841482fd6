"""Foils as they were done: skipped, moved and added, each in its place, and how they carry."""

from __future__ import annotations

import datetime as dt
import json
from functools import cache

import numpy as np
import pytest
from tests.conftest import EXAMPLES

from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.consultation.reader import read_consultation
from strandline.service.placement.foil import SECTIONS
from strandline.service.placement.places import SECTION_OF, ZONE_WORDS, zones_named
from strandline.service.placement.sight import in_foils, lies_in
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import read_earlier
from strandline.service.plan.placing import LIGHTENER_KINDS, map_of_rows, zones_of

ZONES = cut_zones()
DAYS = (dt.date(2026, 12, 9), dt.date(2027, 3, 3), dt.date(2027, 5, 26))


@cache
def read(day, name="noor"):
    path = EXAMPLES / f"{name}.toml"
    return read_consultation(
        path.read_bytes(),
        path.name,
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=day,
        today=DAYS[0],
    )


@cache
def first(name="noor"):
    return make_plan(read(DAYS[0], name), DAYS[0]).plan


@cache
def strands():
    zones = zones_of(first().scalp)
    return derive(zones, {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}, key_of("a head"))


def facts_of(plan, lines):
    """Write a visit's facts as JSON Lines, a minute apart."""
    day = plan.date.isoformat()
    started = ("visit.started", {"date": day, "client": plan.client})
    out = []
    for n, (kind, payload) in enumerate([started, *lines]):
        fact = {"id": f"n-{n}", "stream": "v", "kind": kind, "schema": 1, "payload": payload}
        at = f"{day}T{9 + n // 60:02}:{n % 60:02}:00Z"
        out.append(
            {**fact, "by": "her", "device": "tablet", "device_seq": n, "device_time": at}
            | {"offset": 60}
        )
    return "\n".join(json.dumps(one) for one in out).encode()


def sections(plan):
    """Give the taps of a visit that goes as planned."""
    for name in dict.fromkeys(row.section for row in plan.foils):
        numbers = [row.number for row in plan.foils if row.section == name]
        ends = {"first_foil": numbers[0], "last_foil": numbers[-1]}
        yield ("section.placed", {"section": name, **ends, "took_min": 1})


def after(plan, *more, planned=True):
    """Give a visit as it was done: as planned, and what more was tapped."""
    taps = [*(sections(plan) if planned else ()), *more, ("visit.ended", {"outcome": "changed"})]
    return read_earlier(plan.model_dump_json().encode(), facts_of(plan, taps))


def dropped(*foils):
    return ("foil.dropped", {"foils": list(foils)})


def added(section, *foils, **more):
    return ("foil.added", {"foils": list(foils), "section": section, **more})


def row_of(earlier, number):
    return next(row for row in earlier.done() if row.number == number)


def free_of_others(earlier, *numbers):
    """Tell whether foils share no strand with any other foil of their visit."""
    zones = zones_of(earlier.plan.scalp)
    rows = earlier.done()
    for number in numbers:
        (own,) = map_of_rows([row_of(earlier, number)], zones)
        others = map_of_rows([row for row in rows if row.number != number], zones)
        taken = lies_in(own, zones, strands())
        both = taken & in_foils(others, strands(), (*LIGHTENER_KINDS, "lowlight weave"))
        if not taken.any() or both.any():
            return False
    return True


@pytest.mark.parametrize("section", dict.fromkeys(SECTION_OF.values()))
def test_each_section_of_the_order_of_work_names_its_zones(section):
    found = zones_named(section, ZONES)
    wanted = {zone.key for zone in ZONES if SECTION_OF[zone.name] == section}
    assert set(found) == wanted
    assert section in SECTIONS


@pytest.mark.parametrize(
    ("said", "keys"),
    [
        ("crown", {"crown"}),
        ("Left temple", {"temples left"}),
        ("sides, right", {"sides right", "temples right"}),
        ("left side", {"sides left", "temples left"}),
        ("right", {"sides right", "temples right"}),
        ("side hairline right", {"side_hairlines right"}),
        ("nape_hairline", {"nape_hairline"}),
        ("fringe left", {"fringe"}),
        ("front", {"fringe"}),
        ("front, brighter", {"fringe"}),
        ("back", {"nape", "back_lower", "back_upper"}),
        ("the shop window", set()),
        ("", set()),
    ],
)
def test_words_of_the_chair_name_zones(said, keys):
    assert set(zones_named(said, ZONES)) == keys


def test_every_zone_goes_by_what_sheets_call_it():
    for name, word in ZONE_WORDS.items():
        assert name in {ZONES[key].name for key in zones_named(word, ZONES)}


def test_a_visit_that_goes_as_planned_is_its_plan():
    earlier = after(first())
    assert earlier.done() == first().foils
    assert earlier.told() == []


def test_an_added_foil_takes_the_place_that_was_skipped_in_its_section():
    fringe = [row for row in first().foils if row.section == "fringe"]
    earlier = after(first(), dropped(fringe[1].number, fringe[-1].number), added("fringe", 90, 91))
    for number, place in ((90, fringe[-1]), (91, fringe[1])):
        found = row_of(earlier, number)
        assert (found.zone, found.outline, found.roots) == (place.zone, place.outline, place.roots)
        assert "fringe" in found.reason


@pytest.mark.parametrize(
    "section", ["fringe", "crown", "top", "left temple", "sides", "lower back", "side hairlines"]
)
def test_an_added_foil_takes_hair_that_no_other_foil_takes(section):
    earlier = after(first(), added(section, 90, 91, 92))
    assert not [one for one in earlier.told() if "are not on its map" in one]
    keys = zones_named(section, zones_of(first().scalp))
    for number in (90, 91, 92):
        row = row_of(earlier, number)
        assert (row.zone if row.side == "centre" else f"{row.zone} {row.side}") in keys
        assert row.length_cm >= 3
    assert free_of_others(earlier, 90, 91, 92)


def test_hair_and_product_of_an_added_foil_go_with_the_scalp_it_takes():
    earlier = after(first(), added("crown", 90))
    zones = zones_of(first().scalp)
    own = row_of(earlier, 90)
    other = next(row for row in first().foils if row.zone == "crown")
    assert own.hair_share * zones["crown"].area_cm2 == pytest.approx(
        other.hair_share * zones["crown"].area_cm2 * own.roots / other.roots, rel=0.02
    )
    for name in ("hair_grams", "lightener_grams"):
        assert getattr(own, name) / own.roots == pytest.approx(
            getattr(other, name) / other.roots, rel=0.03
        )


def test_the_bowl_of_an_added_foil_is_the_one_that_was_tapped():
    earlier = after(first(), added("crown", 90, bowl="main"), added("crown", 91))
    assert row_of(earlier, 90).bowl == "main"
    assert row_of(earlier, 91).bowl in {row.bowl for row in first().foils}


def test_a_section_without_foils_takes_fine_weaves():
    plan = first()
    bare = plan.model_copy(update={"foils": [f for f in plan.foils if f.zone != "fringe"]})
    earlier = after(bare, added("fringe", 90))
    row = row_of(earlier, 90)
    assert (row.zone, row.kind, row.grade) == ("fringe", "weave", "fine")
    assert row.lightener_grams > 0
    assert free_of_others(earlier, 90)


def test_a_foil_of_the_plan_that_was_placed_elsewhere_lies_there():
    side = next(row for row in first().foils if row.section == "sides")
    moved = {"section": "fringe", "first_foil": side.number, "last_foil": side.number}
    earlier = after(first(), ("section.placed", {**moved, "took_min": 1}))
    row = row_of(earlier, side.number)
    assert row.zone == "fringe"
    assert row.kind == side.kind
    assert free_of_others(earlier, side.number)
    assert any(f"fringe {side.number}" in one and "elsewhere" in one for one in earlier.told())


def test_a_head_tapped_as_one_section_moves_nothing():
    """From the first foil to the last in one tap: the run reaches into the place it names."""
    last = first().foils[-1].number
    run = {"section": "centre strip", "first_foil": 1, "last_foil": last, "took_min": 90}
    earlier = after(first(), ("section.placed", run), planned=False)
    assert earlier.done() == first().foils
    assert earlier.told() == []


def test_a_section_in_her_own_words_for_the_same_place_moves_nothing():
    top = [row.number for row in first().foils if row.zone == "top"]
    words = {"section": "top", "first_foil": top[0], "last_foil": top[-1], "took_min": 1}
    own = {**words, "section": "my favourite spot"}
    for said in (words, own):
        earlier = after(first(), ("section.placed", said))
        assert earlier.done() == first().foils
        assert earlier.told() == []


def test_a_place_that_is_none_is_told_and_nothing_else_is_lost():
    earlier = after(first(), added("the shop window", 90), added("crown", 91))
    assert len(earlier.done()) == len(first().foils) + 1
    told = earlier.told()
    assert any("the shop window 90" in one and "no place of the head" in one for one in told)
    assert any("crown 91" in one and "next free place" in one for one in told)


def test_a_zone_that_is_full_says_so():
    """Forty more foils do not fit into a fringe; those that do share no hair."""
    numbers = range(90, 130)
    earlier = after(first(), added("fringe", *numbers))
    found = [row.number for row in earlier.done() if row.number >= 90]
    assert 0 < len(found) < len(numbers)
    assert free_of_others(earlier, *found)
    assert any("no room" in one for one in earlier.told())


def test_what_was_really_done_carries_over_three_visits():
    """Skipped, moved and added at the first: the second leaves it alone, the third shows it."""
    plan = first()
    skipped = [row.number for row in plan.foils if row.zone == "back_upper"][:3]
    done = after(plan, dropped(*skipped), added("crown", 90, 91), added("left temple", 92))
    second = make_plan(read(DAYS[1]), DAYS[1], earlier=done)
    zones = zones_of(plan.scalp)
    kept = {row.number: row for row in second.plan.carried.visits[0].foils}
    assert {90, 91, 92} <= set(kept)
    assert not set(skipped) & set(kept)
    told = [one.what for one in second.plan.cautions if one.about == "--after"]
    assert any("crown 90, 91" in one and "left temple 92" in one for one in told)
    head = strands()
    today = in_foils(second.foils, head, LIGHTENER_KINDS)
    new = map_of_rows([kept[number] for number in (90, 91, 92)], zones)
    both = in_foils(new, head, LIGHTENER_KINDS) & today
    assert np.count_nonzero(both) < 0.05 * np.count_nonzero(in_foils(new, head, LIGHTENER_KINDS))
    open_now = [row for row in plan.foils if row.number in skipped]
    low, high = min(row.up_cm for row in open_now) - 0.5, max(row.up_cm for row in open_now) + 0.9
    into = [row for row in second.plan.foils if row.zone == "back_upper" and low < row.up_cm < high]
    assert len(into) >= 3
    third = make_plan(
        read(DAYS[2]),
        DAYS[2],
        earlier=after(second.plan, added("fringe", 90), planned=True),
    )
    by_visit = [
        {row.number for row in visit.foils} - {row.number for row in made.foils}
        for visit, made in zip(third.plan.carried.visits, (plan, second.plan), strict=True)
    ]
    assert by_visit == [{90, 91, 92}, {90}]
    shown = {foil.number for foil in third.older[0]}
    assert {90, 91, 92} <= shown
    assert not set(skipped) & shown
    assert 90 in {foil.number for foil in third.ghosts}
    left = [one.percent.middle for one in third.plan.carried.old_colour]
    assert left == sorted(left, reverse=True)


def test_foils_added_are_old_colour_less():
    """Ten foils more at the first visit leave so much less old colour after it."""
    plain = make_plan(read(DAYS[1]), DAYS[1], earlier=after(first())).plan.carried
    more = after(first(), added("crown", *range(90, 95)), added("top", *range(95, 100)))
    shares = zones_of(first().scalp).shares()
    lit = sum(row.hair_share * shares[row.zone] for row in more.done() if row.number >= 90)
    with_more = make_plan(read(DAYS[1]), DAYS[1], earlier=more).plan.carried
    fell = plain.old_colour[0].percent.middle - with_more.old_colour[0].percent.middle
    assert fell == pytest.approx(100 * lit, abs=1)
