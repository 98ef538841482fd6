"""How hair falls: roots, lengths, nothing inside the head, symmetry, gravity."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.head.on_date import Done, pasts_on
from strandline.science.head.scalp import Scalp
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.consultation.words import STRETCH
from strandline.service.growout.pictures.fall import (
    fall,
    length_on,
    states_along,
    worn_lengths,
)
from strandline.service.growout.pictures.flow import in_fringe, parting_u
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.style import HairStyle

STYLES = {
    "short with a fringe": HairStyle(9.0, 1.0, "none", "short", diameter_um=80.0),
    "long and straight": HairStyle(45.0, 1.0, "left", diameter_um=58.0),
    "wavy to the shoulder": HairStyle(30.0, 1.1, "right", "long"),
    "tight": HairStyle(36.0, 1.8, "centre"),
    "curly, brushed back": HairStyle(25.0, 1.35, "none"),
    "wandering": HairStyle(20.0, 1.0, "wandering", "short"),
}


@pytest.fixture(scope="module")
def zones():
    return cut_zones()


@pytest.fixture(scope="module")
def strands(zones):
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    return derive(zones, grown, key_of("pictures"), 3000)


@pytest.mark.parametrize(
    ("thing", "change", "said"),
    [
        ("length", {"length_cm": 0.5}, "length of the hair is 0.5 cm"),
        ("length", {"length_cm": float("nan")}, "length of the hair is nan cm"),
        ("curl", {"curl_factor": 0.9}, "is 0.9; it must be 1-2.5"),
        ("depth", {"fringe_depth_cm": 12.0}, "depth of the fringe is 12 cm"),
        ("diameter", {"diameter_um": 0.07}, "strand diameter is 0.07 um; it must be 20-200 um"),
        ("parting", {"parting": "middle"}, "parting is 'middle'"),
        ("fringe", {"fringe": "blunt"}, "fringe is 'blunt'"),
    ],
)
def test_a_style_that_nobody_wears_is_refused(thing, change, said):
    with pytest.raises(OutOfRangeError) as error:
        dataclasses.replace(HairStyle(30.0), **change)
    assert said in str(error.value)


def test_a_short_fringe_is_under_12_cm_and_never_longer_than_the_hair(zones, strands):
    style = HairStyle(40.0, fringe="short")
    length = worn_lengths(zones.scalp, strands, style)
    fringe = in_fringe(zones.scalp, strands.u, strands.y, style)
    assert 0.01 < fringe.mean() < 0.12
    assert length[fringe].max() < 12.0
    assert length[~fringe].min() > 1.5 * length[fringe].max()
    bob = worn_lengths(zones.scalp, strands, HairStyle(5.0, fringe="long"))
    assert bob.max() <= 5.0


def test_short_hair_is_shorter_at_the_nape(zones, strands):
    top, nape = strands.y < 12, strands.y > 32
    short = worn_lengths(zones.scalp, strands, HairStyle(8.0))
    assert short[nape].mean() < 0.6 * short[top].mean()


@pytest.mark.parametrize("length_cm", [25.0, 40.0])
def test_hair_past_the_ears_is_cut_to_one_height_and_keeps_its_mean(zones, strands, length_cm):
    style = HairStyle(length_cm)
    length = worn_lengths(zones.scalp, strands, style)
    assert np.average(length, weights=strands.weight) == pytest.approx(0.96 * length_cm, rel=0.03)
    cut = fall(zones.scalp, strands, style, length).paths[:, -1, 2]
    from_every_root = fall(zones.scalp, strands, style, length_cm).paths[:, -1, 2]
    assert cut.std() < 0.6 * from_every_root.std()


def test_the_drawn_head_is_as_long_as_the_scalp_and_taller_than_its_sphere():
    for round_cm in (52.0, 55.2, 57.2):
        scalp = Scalp(round_cm, 36.2 * round_cm / 55.2)
        shape = HeadShape(scalp)
        assert shape.front_to_nape_cm == pytest.approx(scalp.front_to_nape_cm, rel=0.06)
        at = shape.place(np.zeros(200), np.linspace(0, scalp.front_to_nape_cm, 200))
        between_ears = at[2].max()
        assert between_ears > 1.25 * scalp.radius_cm


def test_sides_of_the_chart_are_sides_of_the_head(zones):
    shape = HeadShape(zones.scalp)
    right, left = shape.place(np.array([6.0, -6.0]), np.array([14.0, 14.0])).T
    assert right[0] > 5
    assert left == pytest.approx(right * [-1, 1, 1])
    front, nape = shape.place(np.zeros(2), np.array([0.0, zones.scalp.front_to_nape_cm])).T
    assert front[1] > 6 > nape[1]
    assert front[2] > 6 > -6 > nape[2]


@pytest.mark.parametrize("name", STYLES)
def test_a_strand_begins_on_the_scalp_and_keeps_its_stretched_length(zones, strands, name):
    fallen = fall(zones.scalp, strands, STYLES[name])
    assert fallen.paths.dtype == np.float32
    root = HeadShape(zones.scalp).place(strands.u, strands.y)
    assert fallen.paths[:, 0] == pytest.approx(root.T, abs=1e-4)
    run = np.linalg.norm(np.diff(fallen.paths.astype(float), axis=1), axis=2)
    assert run.sum(axis=1) == pytest.approx(fallen.length_cm, rel=0.01)
    each = fallen.length_cm[:, None] / fallen.pieces
    assert np.abs(run / each - 1).max() < 0.01


@pytest.mark.parametrize("name", STYLES)
def test_no_hair_is_inside_the_head_or_the_shoulders(zones, strands, name):
    fallen = fall(zones.scalp, strands, STYLES[name])
    inside = HeadShape(zones.scalp).depth_cm(fallen.paths.reshape(-1, 3).T.astype(float))
    assert inside.max() < 0.2


def test_curl_is_worn_shorter_by_its_factor(zones, strands):
    """Of hair that hangs free: the straight way between two of its turns against the stretched."""
    for factor in STRETCH.values():
        length = 45.0 * factor
        style = HairStyle(length, factor, "centre")
        fallen = fall(zones.scalp, strands, style, length, 360)
        step = 60 if factor == 1 else round(360 / length * style.turn_cm)
        hanging = np.flatnonzero(fallen.paths[:, 180:, 2].max(axis=1) < -11)
        assert hanging.size > 50
        ends = fallen.paths[hanging, 180 + step] - fallen.paths[hanging, 180]
        worn = np.median(np.linalg.norm(ends, axis=1))
        assert step / 360 * length / worn == pytest.approx(factor, rel=0.08)


def test_longer_hair_reaches_lower_and_hair_hangs_down(zones, strands):
    low = []
    for length in (8.0, 16.0, 32.0, 60.0):
        fallen = fall(zones.scalp, strands, HairStyle(length, parting="centre"))
        low.append(np.median(fallen.paths[:, -1, 2]))
    assert low == sorted(low, reverse=True)
    assert low[0] - low[-1] > 30
    last = fallen.paths[:, -1] - fallen.paths[:, -6]
    down = -last[:, 2] / np.linalg.norm(last, axis=1)
    assert np.mean(down > 0.8) > 0.9


def test_a_centre_parting_is_its_own_mirror_in_the_mean(zones, strands):
    fallen = fall(zones.scalp, strands, HairStyle(30.0, parting="centre"))
    side = np.where(strands.u > 0, 1.0, -1.0)
    kept = np.abs(strands.u) > 0.3
    across = fallen.paths[:, -1, 0] * side
    right, left = across[kept & (side > 0)], across[kept & (side < 0)]
    assert np.mean(across[kept] > 0) > 0.97
    assert right.mean() == pytest.approx(left.mean(), abs=0.5)
    low = fallen.paths[:, -1, 2]
    assert low[side > 0].mean() == pytest.approx(low[side < 0].mean(), abs=0.5)


@pytest.mark.parametrize(("parting", "sign"), [("left", -1), ("right", 1)])
def test_hair_falls_away_from_its_parting(zones, strands, parting, sign):
    style = HairStyle(30.0, parting=parting)
    line = parting_u(strands.y, zones.scalp, style)
    assert np.sign(line[strands.y < 8]) == pytest.approx(sign)
    fallen = fall(zones.scalp, strands, style)
    top = (strands.y < 12) & (np.abs(strands.u - line) > 0.4)
    near = 4 * fallen.pieces // 30
    moved = fallen.paths[:, near, 0] - fallen.paths[:, 0, 0]
    assert np.mean(moved[top] * (strands.u - line)[top] > 0) > 0.95


def test_a_short_fringe_falls_forward_over_the_forehead(zones, strands):
    style = HairStyle(30.0, fringe="short")
    fallen = fall(zones.scalp, strands, style)
    fringe = in_fringe(zones.scalp, strands.u, strands.y, style)
    end, root = fallen.paths[fringe, -1], fallen.paths[fringe, 0]
    assert np.mean(end[:, 1] > root[:, 1]) > 0.95
    assert np.median(end[:, 2]) < np.median(root[:, 2]) - 2
    assert np.median(np.abs(end[:, 0])) < 7


def test_hair_is_no_helmet(zones, strands):
    """Over one place of the side lie strands of the top and of the side, the top's outermost."""
    fallen = fall(zones.scalp, strands, HairStyle(28.0, parting="centre"))
    out = HeadShape(zones.scalp).over_cranium(fallen.paths.reshape(-1, 3).T)[1]
    over = out.reshape(fallen.paths.shape[:2])
    at = fallen.paths
    beside = (np.abs(at[..., 2] - 4.0) < 0.8) & (at[..., 0] > 4) & (np.abs(at[..., 1]) < 3)
    run = np.broadcast_to(np.linspace(0, 28, at.shape[1]), over.shape)
    heights, runs = over[beside], run[beside]
    assert heights[runs > 7].mean() > heights[runs < 3].mean() + 0.2
    assert heights.std() > 0.15


def test_the_same_strands_fall_the_same_and_others_do_not(zones, strands):
    style = STYLES["wavy to the shoulder"]
    once, again = fall(zones.scalp, strands, style), fall(zones.scalp, strands, style)
    assert once.paths.tobytes() == again.paths.tobytes()
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    other = derive(zones, grown, key_of("another"), 3000)
    ends = fall(zones.scalp, other, style).paths[:100, -1]
    assert np.abs(ends - once.paths[:100, -1]).max() > 1


def test_what_cannot_fall_is_refused(zones, strands):
    with pytest.raises(OutOfRangeError, match="Strands are 0 to 0 cm long"):
        fall(zones.scalp, strands, HairStyle(30.0), 0.0)
    with pytest.raises(OutOfRangeError, match="in 2 pieces"):
        fall(zones.scalp, strands, HairStyle(30.0), pieces=2)


def test_colour_goes_by_the_distance_from_the_scalp_on_every_length(zones, strands):
    """Regrowth of 3 cm takes 3 cm of long hair, and all of what is shorter."""
    day = 3.0 / 0.0367
    every = np.ones(len(strands), dtype=bool)
    length = np.where(strands.y < 6, 2.5, worn_lengths(zones.scalp, strands, HairStyle(30.0)))
    pasts = pasts_on(strands, [Done(0.0, 0.0, np.inf, every, "light")], day, length, 120)
    along = states_along(pasts.edge_cm, pasts.state, length, 90)
    assert along.shape == (len(strands), 90)
    light = np.append(pasts.done[:, 0], False)[along]
    root = (~light).sum(axis=1) / 90 * length
    grown = strands.growth_um_per_day * 1e-4 * day
    kept = (strands.shed_day > day) & (length > 10)
    assert root[kept] == pytest.approx(grown[kept], abs=30 / 120 + 30 / 90)
    short = (length == 2.5) & (grown > 2.7) & (strands.shed_day > day)
    assert short.any()
    assert not light[short].any()


def test_pieces_past_the_last_hair_keep_its_state_and_none_stays_none():
    state = np.array([[0, 0, 1, -1], [-1, -1, -1, -1], [2, -1, -1, -1]], dtype=np.int32)
    found = states_along(np.arange(5.0), state, np.array([3.4, 2.0, 1.2]), 6)
    assert found[0].tolist() == [0, 0, 0, 0, 1, 1]
    assert (found[1] == -1).all()
    assert (found[2] == 2).all()


def test_shed_hair_comes_again_short_and_in_its_natural_state(zones, strands):
    day, length = 112.0, 30.0
    every = np.ones(len(strands), dtype=bool)
    worn = length_on(strands, day, length)
    shed = (strands.shed_day > 0) & (strands.shed_day <= day)
    assert 0.08 < shed.mean() < 0.18
    assert (worn[~shed] == length).all()
    assert worn[shed].max() < 7
    pasts = pasts_on(strands, [Done(0.0, 0.0, np.inf, every, "light")], day, length, 120)
    along = states_along(pasts.edge_cm, pasts.state, worn, 40)
    light = np.append(pasts.done[:, 0], False)[along]
    assert not light[shed].any()
    assert light[~shed].any(axis=1).all()
    long_ago = shed & (worn > 0.5)
    assert (along[long_ago] >= 0).all()
    as_if_whole = states_along(pasts.edge_cm, pasts.state, np.full(len(strands), length), 40)
    assert (as_if_whole[shed, -20:] == -1).all()
    fallen = fall(zones.scalp, strands, HairStyle(length), worn)
    assert fallen.length_cm == pytest.approx(worn)
