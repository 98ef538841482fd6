"""Strands of a head: the same for ever, a real head by their weights, and their pasts on a date."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import growth_cm
from strandline.science.head.growth import renewed_share
from strandline.science.head.history import Treatment, segments
from strandline.science.head.mass import hairs
from strandline.science.head.on_date import NONE, Done, pasts_on
from strandline.science.head.strands import Grown, derive, inside, key_of, normal, unit, zone_of
from strandline.science.head.zones import CutLines, cut_zones

ZONES = cut_zones()
EVEN = {zone.key: Grown(223, 0.4, 70, 367) for zone in ZONES}
DIGEST = "e4a5981334eb075a23ce9a26a3cb1718"
KAT = {
    0: (0x16554D9ECA36314C, 0xDB20FE9D672D0FDC, 0xD7E772CEE186176B, 0x7E68B68AEC7BA23B),
    (1 << 256) - 1: (
        *(0x87B092C3013FE90B, 0x438C3C67BE8D0224),
        *(0x9CC7D7C69CD777B6, 0xA09CAEBF594F0BA0),
    ),
}


def head(count=20_000, name="a head", grown=None, zones=ZONES):
    return derive(zones, grown or EVEN, key_of(name), count)


@pytest.mark.parametrize(("counter", "words"), KAT.items())
def test_the_library_s_philox_gives_the_published_known_answers(counter, words):
    """Philox4x64-10 of Random123 (salmon2011); the library counts one up before it draws."""
    key = 0 if counter == 0 else (1 << 128) - 1
    before = (counter - 1) % (1 << 256)
    drawn = np.random.Philox(counter=before, key=key).random_raw(4)
    assert tuple(int(word) for word in drawn) == words


def test_a_head_is_the_same_for_ever():
    """The digest is of integers alone; it holds on every Python that runs this."""
    assert head().digest()[:32] == DIGEST
    assert head().digest() == head().digest()
    assert head(name="another head").digest() != head().digest()


def test_more_strands_hold_the_fewer():
    few, many = (head(count) for count in (5_000, 40_000))
    known = set(zip(many.cell.tolist(), many.index.tolist(), strict=True))
    assert set(zip(few.cell.tolist(), few.index.tolist(), strict=True)) <= known
    assert len(few) == pytest.approx(5_000, rel=0.03)
    assert len(many) == pytest.approx(40_000, rel=0.03)


def test_a_cut_line_that_moves_shuffles_nothing():
    moved = cut_zones(None, CutLines(centre_strip_cm=10, fringe_depth_cm=4))
    one, other = head(), head(zones=moved, grown={z.key: EVEN["top"] for z in moved})
    assert one.digest() == other.digest()
    assert not np.array_equal(one.zone, other.zone)


def test_hair_changed_in_one_zone_leaves_the_others_as_they_were():
    denser = {**EVEN, "crown": Grown(300, 0.4, 70, 367)}
    one, other = head(), head(grown=denser)
    away = [~strands.in_zone("crown") for strands in (one, other)]
    kept = [
        set(zip(s.cell[w], s.index[w], strict=True))
        for s, w in zip((one, other), away, strict=True)
    ]
    assert len(kept[0] & kept[1]) >= 0.97 * min(map(len, kept))  # the rest is thinned for its share


def test_weights_make_a_real_head():
    strands = head()
    for zone in ZONES:
        held = strands.weight[strands.in_zone(zone.key)].sum()
        assert held == pytest.approx(hairs(223, zone.area_cm2), rel=1e-9)
    assert strands.weight.max() / strands.weight.min() < 1.8


def test_what_is_drawn_has_its_law():
    strands = head(100_000)
    assert strands.white.mean() == pytest.approx(0.4, abs=0.01)
    assert strands.diameter_um.mean() == pytest.approx(70, rel=0.01)
    assert strands.diameter_um.std() == pytest.approx(14, rel=0.03)
    assert strands.growth_um_per_day.std() == pytest.approx(36.7, rel=0.03)
    for days in (84, 252):
        shed = strands.share(strands.shed_day <= days)
        assert shed == pytest.approx(renewed_share(days), abs=0.01)


def test_roots_fill_their_zone_evenly():
    strands = head(100_000)
    for zone in ZONES:
        own = strands.in_zone(zone.key)
        assert np.all(inside(zone.outline, strands.u[own], strands.y[own]))
        assert own.sum() == pytest.approx(100_000 * zone.area_cm2 / ZONES.area_cm2, rel=0.1, abs=60)


def test_draws_are_uniform_and_normal():
    raw = np.random.Philox(counter=0, key=7).random_raw(100_000)
    u, z = unit(raw), normal(raw)
    assert 0 <= u.min() < u.max() < 1
    assert u.mean() == pytest.approx(0.5, abs=0.005)
    assert z.mean() == pytest.approx(0, abs=0.01)
    assert z.std() == pytest.approx(1, abs=0.01)


def test_no_point_outside_the_scalp_has_a_zone():
    assert zone_of(ZONES, np.array([0.0, 11.9]), np.array([-1.0, 20.0])).tolist() == [-1, -1]


def plain(strands, i, done, day, length, middles):
    """Work one strand out by the history of a head, stretch by stretch."""
    rate = float(strands.growth_um_per_day[i])
    shed = 0 < strands.shed_day[i] <= day
    if shed:
        length = growth_cm(rate, day - float(strands.shed_day[i]))
    past = []
    for k, one in enumerate(done):
        if one.day > day or not one.taken[i]:
            continue
        if shed and one.day < strands.shed_day[i]:
            continue
        if shed and growth_cm(rate, one.day - float(strands.shed_day[i])) <= one.from_cm:
            continue
        past.append(Treatment(one.day, one.from_cm, one.to_cm, k))
    out = []
    cut = segments(past, day, rate, length)
    for middle in middles:
        if middle >= length:
            out.append(None)
            continue
        found = next(s for s in cut if s.from_cm <= middle < s.to_cm)
        out.append(frozenset(t.what for t in found.treatments))
    return out


def treatments(strands):
    rng = np.random.default_rng(11)
    return [
        Done(-400.0, 2.0, np.inf, np.ones(len(strands), dtype=bool), "old colour"),
        Done(0.0, 0.0, np.inf, rng.random(len(strands)) < 0.3, "foils"),
        Done(0.0, 0.0, 3.0, np.ones(len(strands), dtype=bool), "shadow"),
        Done(84.0, 0.0, np.inf, rng.random(len(strands)) < 0.3, "foils again"),
        Done(168.0, 1.0, 4.0, rng.random(len(strands)) < 0.5, "band"),
        Done(400.0, 0.0, 9.0, np.ones(len(strands), dtype=bool), "still to come"),
    ]


@pytest.mark.parametrize("day", [0.0, 84.0, 180.0, 300.0])
def test_pasts_are_those_of_a_plain_walk(day):
    strands = head(1_000)
    done = treatments(strands)
    found = pasts_on(strands, done, day, 25.0)
    middles = (found.edge_cm[:-1] + found.edge_cm[1:]) / 2
    counted = [k for k, one in enumerate(done) if one.day <= day]
    for i in range(0, len(strands), 7):
        wanted = plain(strands, i, done, day, 25.0, middles)
        for state, past in zip(found.state[i], wanted, strict=True):
            if past is None:
                assert state == NONE
                continue
            assert found.zone[state] == strands.zone[i]
            assert bool(found.white[state]) == bool(strands.white[i])
            had = {counted[t] for t in np.flatnonzero(found.done[state])}
            assert had == past


def test_growth_moves_nothing_but_outward():
    """A stretch treated keeps its length, and lies farther out by what grew."""
    strands = head(1_000)
    done = [Done(0.0, 1.0, 5.0, np.ones(len(strands), dtype=bool), "a band")]
    early, late = (pasts_on(strands, done, day, 30.0, 200) for day in (10.0, 110.0))
    for i in np.flatnonzero(strands.shed_day > 110)[:50]:
        sizes, starts = [], []
        for past in (early, late):
            hit = np.flatnonzero(past.where(lambda _, done: bool(done[0]))[i])
            width = past.edge_cm[1]
            sizes.append(len(hit) * width)
            starts.append(hit[0] * width)
        grown = strands.growth_um_per_day[i] * 1e-4 * 100
        assert sizes[0] == pytest.approx(sizes[1], abs=0.31)
        assert starts[1] - starts[0] == pytest.approx(grown, abs=0.31)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: head(10), "1,000"),
        (lambda: derive(ZONES, {}, 1), "what grows in"),
        (lambda: Grown(0, 0.4, 70, 367), "density"),
        (lambda: Grown(223, 1.4, 70, 367), "share of white"),
        (lambda: Done(0, 5, 2, np.ones(1, dtype=bool), "foils"), "runs from 5 to 2"),
        (lambda: pasts_on(head(1_000), [], 0, 0.0), "0 cm long"),
        (lambda: pasts_on(head(1_000), [], 0, 30.0, 0), "0 stretches"),
        (
            lambda: pasts_on(
                s := head(1_000),
                [Done(0, 0, 1, np.ones(len(s), dtype=bool), "x")] * 11,
                1,
                30.0,
            ),
            "told apart",
        ),
    ],
)
def test_what_no_head_has_is_told(wrong, said):
    with pytest.raises(OutOfRangeError, match=said):
        wrong()
