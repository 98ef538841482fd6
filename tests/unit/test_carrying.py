"""Visits carried one under the other, strand by strand, on an invented head."""

from __future__ import annotations

import datetime as dt
import json
from functools import cache

import numpy as np
import pytest
from tests.conftest import EXAMPLES

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.salon.report.drawing import draw_plan_map
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.choose.technique import choose_technique
from strandline.service.consultation.reader import read_consultation
from strandline.service.placement.foil import takes
from strandline.service.placement.pattern import pattern
from strandline.service.placement.place import place
from strandline.service.placement.sight import by_sight, in_foils, lies_in
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.earlier import read_earlier
from strandline.service.plan.glossing import gloss_today
from strandline.service.plan.old_line import old_line
from strandline.service.plan.placing import LIGHTENER_KINDS

ZONES = cut_zones()
DAYS = (dt.date(2026, 12, 9), dt.date(2027, 3, 3), dt.date(2027, 5, 26))


@cache
def strands(count=20_000):
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in ZONES}
    return derive(ZONES, grown, key_of("a head"), count)


def planned_from(name, on=DAYS[0]):
    """Read one of the examples for a day."""
    path = EXAMPLES / f"{name}.toml"
    return read_consultation(
        path.read_bytes(),
        path.name,
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=on,
        today=DAYS[0],
    )


@cache
def visits(name="noor"):
    """Give three visits in a row, each on the one before."""
    out = []
    for day in DAYS:
        read = planned_from(name, day)
        earlier = read_earlier(out[-1].plan.model_dump_json().encode(), b"") if out else None
        out.append(make_plan(read, day, earlier=earlier))
    return out


@pytest.mark.parametrize("name", ["heavy", "soft", "lowlights"])
def test_strands_lie_in_the_foils_that_take_their_roots(name):
    foils, head = place(ZONES, pattern(name)), strands(2_000)
    for foil in list(foils)[::5]:
        found = lies_in(foil, ZONES, head)
        for i in np.flatnonzero(head.in_zone(foil.key))[::3]:
            assert bool(found[i]) == takes(foil, ZONES, (float(head.u[i]), float(head.y[i])))


def test_foils_take_the_share_that_their_map_says():
    foils = place(ZONES, pattern("soft"))
    taken = strands().share(in_foils(foils, strands(), LIGHTENER_KINDS))
    assert taken == pytest.approx(foils.taken_share(*LIGHTENER_KINDS), abs=0.01)


@pytest.mark.parametrize("hit", [0.6, 0.7, 0.8, 1.0])
def test_a_round_by_sight_takes_as_much_and_hits_its_share(hit):
    head = strands()
    first = in_foils(place(ZONES, pattern("soft")), head, LIGHTENER_KINDS)
    second = place(ZONES, pattern("soft"), ghosts=place(ZONES, pattern("soft")))
    wanted = in_foils(second, head, LIGHTENER_KINDS)
    taken = by_sight(head, wanted, first, hit, 2)
    for key in head.keys:
        here = head.in_zone(key)
        assert head.weight[here & taken].sum() == pytest.approx(
            head.weight[here & wanted].sum(), abs=3 * head.weight.max()
        )
    fresh = head.weight[taken & ~first].sum() / head.weight[taken].sum()
    assert fresh == pytest.approx(hit, abs=0.03)


def test_a_share_that_is_none_is_told():
    none = np.zeros(len(strands()), dtype=bool)
    with pytest.raises(OutOfRangeError, match="0-1"):
        by_sight(strands(), none, none, 1.2, 2)


def test_a_first_visit_carries_nothing():
    assert visits()[0].plan.carried is None


def test_old_colour_falls_from_visit_to_visit():
    kept = visits()[2].plan.carried
    assert [one.visit for one in kept.visits] == [1, 2]
    shares = [one.percent for one in kept.old_colour]
    middles = [one.middle for one in shares]
    assert middles == sorted(middles, reverse=True)
    assert all(one.low <= one.middle <= one.high for one in shares)
    assert [one.planned for one in kept.old_colour] == [False, False, True, True]
    first = visits()[0].foils.taken_share(*LIGHTENER_KINDS)
    assert middles[0] == pytest.approx(100 * (1 - first), abs=1)


@pytest.mark.parametrize("name", ["noor", "lorna"])
def test_visits_still_needed_do_not_rise_from_one_to_the_next(name):
    left = [made.plan.next_visit.visits.middle for made in visits(name)]
    assert left == sorted(left, reverse=True)


def test_light_is_taken_twice_no_oftener_than_by_sight():
    for made in visits()[1:]:
        kept = made.plan.carried
        assert kept.hit_percent.middle == pytest.approx(80, abs=3)
        assert kept.overlap_percent.middle == pytest.approx(20, abs=3)
        assert kept.overlap_percent.low < kept.overlap_percent.middle < kept.overlap_percent.high
        lightener = sum(row.lightener_grams for row in made.plan.foils)
        assert 0 < kept.overlap_grams.middle < 0.25 * lightener


def test_lightener_is_taken_twice_only_on_lengths_that_are_light():
    """What has grown since the last foils is not light: a foil lies on it first."""
    made = visits()[1]
    kept, lightener = made.plan.carried, sum(row.lightener_grams for row in made.plan.foils)
    whole = kept.overlap_percent.middle / 100 * lightener
    grown = made.ghosts.grown_cm
    assert grown > 1.2
    assert kept.overlap_cm.middle == pytest.approx(made.head.length_cm - grown, abs=0.1)
    share = kept.overlap_grams.middle / whole
    assert 0.8 * (1 - grown / made.head.length_cm) < share < 1 - grown / made.head.length_cm


@pytest.mark.parametrize("name", ["noor", "lorna", "junia"])
def test_light_hair_at_the_hairline_is_painted_no_farther_than_her_limit(name):
    """Common practice, no source: 5 mm past the old line at most."""
    for made in visits(name)[1:]:
        edge = made.plan.carried.hairline_overlap_cm
        assert edge is None or 0 < edge <= 0.5
        said = [one for one in made.plan.cautions if "5 mm past" in one.do]
        assert len(said) == 1
    assert visits(name)[2].plan.carried.hairline_overlap_cm is not None


def test_a_limit_of_her_own_holds():
    read = planned_from("noor", DAYS[1])
    own = read.model_copy(update={"practice": {**read.practice, "overlap_max_mm": 2}})
    earlier = read_earlier(visits()[0].plan.model_dump_json().encode(), b"")
    made = make_plan(own, DAYS[1], earlier=earlier)
    usual = visits()[1].plan.carried
    assert made.plan.carried.hairline_overlap_cm == pytest.approx(0.2, abs=0.01)
    assert made.plan.carried.overlap_grams.middle <= usual.overlap_grams.middle


def test_about_a_tenth_of_the_hair_is_new_after_twelve_weeks():
    """Common practice on shedding; the published share at rest over a rest from memory."""
    for made in visits()[1:]:
        assert made.plan.carried.new_hair_percent == pytest.approx(9.5, abs=1.5)


def test_the_third_round_lies_beside_the_first_two_and_its_map_shows_both():
    made = visits()[2]
    head = strands()
    lightener = [in_foils(one, head, LIGHTENER_KINDS) for one in (*made.older, made.ghosts)]
    today = in_foils(made.foils, head, LIGHTENER_KINDS)
    for earlier in lightener:
        both = head.weight[earlier & today].sum() / head.weight[today].sum()
        assert both < 0.12  # slivers where the spaces end
    assert made.ghosts.grown_cm < made.older[0].grown_cm
    drawn = draw_plan_map(made)
    assert drawn.count('stroke-dasharray="0.9 0.7"') > 40
    assert drawn.count('stroke-dasharray="0.2 0.75"') > 40
    assert "the visit before" in drawn


def test_what_was_kept_is_read_again_as_it_was():
    plan = visits()[2].plan
    again = read_earlier(plan.model_dump_json().encode(), b"")
    assert again.plan == plan
    assert [one.visit for one in again.kept()] == [1, 2, 3]


def facts_of(lines):
    """Write facts of Noor's first visit, as JSON Lines."""
    base = json.loads((EXAMPLES / "lorna.visit.jsonl").read_text().splitlines()[0])

    def fact(n, kind, payload, time):
        return {
            **base,
            "id": f"n-{n}",
            "stream": "v-noor",
            "kind": kind,
            "payload": payload,
            "device_seq": n,
            "device_time": f"2026-12-09T{time}:00Z",
        }

    return "\n".join(json.dumps(fact(n, *line)) for n, line in enumerate(lines, 1)).encode()


def test_foils_that_were_not_placed_do_not_carry():
    plan = visits()[0].plan
    facts = facts_of(
        [
            ("visit.started", {"date": "2026-12-09", "client": plan.client}, "09:00"),
            ("section.begun", {"section": "centre strip", "first_foil": 3}, "09:05"),
            (
                "section.placed",
                {"section": "centre strip", "first_foil": 3, "last_foil": 30},
                "09:40",
            ),
            ("foil.dropped", {"foils": [10, 11]}, "09:41"),
        ]
    )
    earlier = read_earlier(plan.model_dump_json().encode(), facts)
    numbers = [row.number for row in earlier.kept()[-1].foils]
    assert set(numbers) == set(range(3, 31)) - {10, 11}
    assert earlier.told() == ["Its facts do not end: only the foils they name are taken as placed."]


def test_facts_that_name_no_foil_and_no_end_are_told_and_taken_as_planned():
    plan = visits()[0].plan
    facts = facts_of([("visit.started", {"date": "2026-12-09", "client": plan.client}, "09:00")])
    earlier = read_earlier(plan.model_dump_json().encode(), facts + b"\n{no fact")
    assert len(earlier.done()) == len(plan.foils)
    read = planned_from("noor")
    made = make_plan(read, DAYS[1], earlier=earlier)
    told = [one.what for one in made.plan.cautions if one.about == "--after"]
    assert len(told) == 2
    assert "as planned" in told[0]
    assert "1 of its facts could not be read" in told[1]


def test_an_end_without_any_foil_is_told():
    plan = visits()[0].plan
    start = ("visit.started", {"date": "2026-12-09", "client": plan.client}, "09:00")
    facts = facts_of([start, ("visit.ended", {"outcome": "finished"}, "12:00")])
    earlier = read_earlier(plan.model_dump_json().encode(), facts)
    assert earlier.done() == []
    assert earlier.told() == ["Its facts end and name no foil: none is taken as placed."]


@pytest.mark.parametrize(
    ("start", "said"),
    [
        ({"date": "2026-12-09", "client": "Lorna Hexwillow"}, "are of Lorna Hexwillow"),
        ({"date": "2026-12-10", "client": "Noor"}, "2026-12-10"),
    ],
)
def test_facts_of_another_client_or_day_are_refused(start, said):
    plan = visits()[0].plan
    if start["client"] == "Noor":
        start = {**start, "client": plan.client}
    facts = facts_of([("visit.started", start, "09:00")])
    with pytest.raises(ReadError, match=said) as caught:
        read_earlier(plan.model_dump_json().encode(), facts)
    assert caught.value.where == "--after"


def test_old_colour_of_a_third_visit_begins_at_what_carried_it():
    """Junia: a third of the hair carries it today; more rounds only lessen it."""
    day = DAYS[0]
    first = make_plan(planned_from("junia", day), day)
    today, next_time = (one.percent for one in first.plan.carried.old_colour)
    assert today.middle < 35
    after = day + dt.timedelta(weeks=12)
    earlier = read_earlier(first.plan.model_dump_json().encode(), b"")
    second = make_plan(planned_from("junia", after), after, earlier=earlier)
    shares = [one.percent for one in second.plan.carried.old_colour]
    assert shares[0].middle == pytest.approx(today.middle, abs=2)
    assert shares[1].middle < shares[0].middle < 35
    assert next_time.middle >= shares[1].middle
    told = second.plan.next_visit
    assert told.old_share_before == pytest.approx(shares[0].middle / 100)
    assert told.old_share_after.middle == pytest.approx(shares[1].middle / 100)


def test_half_as_much_old_colour_stays_half_as_much():
    """Whose dark hair is coloured says nothing of which of it is taken."""
    read = planned_from("junia", DAYS[0])
    light, old = read.bands
    half = [light, old.model_copy(update={"share": old.share / 2})]
    shares = [
        make_plan(one, DAYS[0]).plan.carried.old_colour[0].percent.middle
        for one in (read, read.model_copy(update={"bands": half}))
    ]
    assert shares[1] == pytest.approx(shares[0] / 2, abs=1)


def test_a_head_without_old_colour_has_none_later(made):
    day = made("mirela").plan.date
    hair = planned_from("mirela", day)
    wish = hair.aim.model_copy(update={"wish": "brighter", "stage": 9.5})
    first = make_plan(hair.model_copy(update={"aim": wish}), day)
    assert any(foil.lightener_grams for foil in first.plan.foils)
    later = day + dt.timedelta(weeks=12)
    again = planned_from("mirela", later)
    earlier = read_earlier(first.plan.model_dump_json().encode(), b"")
    second = make_plan(again.model_copy(update={"aim": wish}), later, earlier=earlier)
    kept = second.plan.carried
    assert kept is not None
    assert kept.old_colour == []
    assert "old colour" not in kept.words
    assert second.plan.next_visit.old_share_after.middle == 0


def test_lowlights_go_between_the_lowlights_of_the_last_visit(made):
    first = made("mirela")
    assert first.plan.technique == "lowlights"
    later = first.plan.date + dt.timedelta(weeks=12)
    earlier = read_earlier(first.plan.model_dump_json().encode(), b"")
    second = make_plan(planned_from("mirela", later), later, earlier=earlier)
    low, high = second.plan.foil_range
    assert low <= second.plan.foil_count <= high
    for foil in second.foils:
        for old in second.ghosts.in_zone(foil.key):
            ends = foil.up_cm + foil.thickness_mm / 10
            assert (
                ends <= old.up_cm + 1e-6 or foil.up_cm >= old.up_cm + old.thickness_mm / 10 - 1e-6
            )


def test_a_line_cut_elsewhere_later_moves_nothing_of_the_visits_before():
    """Her centre strip made wider afterwards leaves whose hair lay in a foil as it was."""
    second = visits()[1]
    read = planned_from("noor", DAYS[2])
    wider = read.model_copy(update={"hair": read.hair.model_copy(update={"centre_strip_cm": 11})})
    earlier = read_earlier(second.plan.model_dump_json().encode(), b"")
    usual = make_plan(read, DAYS[2], earlier=earlier).plan.carried.old_colour
    moved = make_plan(wider, DAYS[2], earlier=earlier).plan.carried.old_colour
    for one, other in zip(usual[:2], moved[:2], strict=True):
        assert other.percent.middle == pytest.approx(one.percent.middle, abs=1.5)


def test_the_old_line_on_left_out_hair_is_shown_each_way():
    """Melting past it softens the step; a shadow short of it does not."""
    ways = {one.way: one for one in visits()[0].plan.growout.old_line}
    plain, short, melted = (
        ways[way] for way in ("as it is", "under a root shadow", "melted past it")
    )
    assert plain.at_cm == pytest.approx(2.5, abs=0.2)
    assert short.step_de00 == pytest.approx(plain.step_de00, abs=1)
    assert melted.step_de00 < 0.6 * plain.step_de00
    assert [one.planned for one in (plain, short, melted)] == [False, False, True]


@pytest.mark.parametrize("name", ["noor", "lorna", "ilse"])
def test_lowlights_in_left_out_hair_soften_its_line_and_do_not_hide_it(name):
    """Half of the hair darkened below the line leaves part of the step."""
    ways = {one.way: one for one in visits(name)[0].plan.growout.old_line}
    plain, woven = ways["as it is"], ways["woven with lowlights"]
    assert 0.2 * plain.step_de00 < woven.step_de00 < 0.9 * plain.step_de00
    assert woven.shadow_to_cm > plain.at_cm
    assert not woven.planned


def test_a_shelf_without_a_shade_shows_no_lowlights():
    made, read = visits()[0], planned_from("noor")
    technique = choose_technique(read, made.head, [], made.bench)
    on = gloss_today(read, made.head, technique, None, made.doses, made.bench)
    ways = old_line(made.head, on, 0.7, 5.0, made.bench, [])
    assert [one.way for one in ways] == ["as it is", "under a root shadow", "melted past it"]


def test_a_line_that_has_grown_far_out_is_not_chased_with_a_shadow():
    """The line on hair left out twice lies farther out than the regrowth of the last foils."""
    made = visits()[1]
    grown = made.head.regrowth_mean_cm
    assert made.head.old_line_cm == pytest.approx(2.5 + grown, abs=0.05)
    shadow = next(step for step in made.plan.gloss if step.place == "root shadow")
    assert shadow.to_cm == pytest.approx(1.2)
    assert "too far for a shadow" in shadow.why
    planned = next(one for one in made.plan.growout.old_line if one.planned)
    assert planned.way == "under a root shadow"


def test_a_line_beyond_what_is_looked_at_is_not_shown_as_none():
    """Six centimetres by the parting are looked at; 8 cm out there is nothing to say of a step."""
    made = visits()[2]
    assert made.head.old_line_cm > 6
    assert made.plan.growout.old_line == []


def test_a_head_without_cover_has_no_old_line(made):
    for name in ("mirela", "tamsin", "perpetua"):
        assert made(name).plan.growout.old_line == []
