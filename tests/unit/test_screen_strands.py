"""Strands for a screen that turns them: what is told is what the pictures draw, in few bytes."""

from __future__ import annotations

import gzip
from functools import cache

import numpy as np
import pytest

from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz, srgb_from_lab
from strandline.service.growout.pictures.weeks import figure_of
from strandline.service.growout.screen.telling import STEPS, heard, told
from strandline.service.growout.screen.turned import strands_told, turned
from strandline.service.plan.growing import SEARCHED, dressed

LARGEST = 1_500_000
"""Bytes of a head on the way, gzipped: what is asked of the format."""
WEEKS = (0, 8, 16)
ALONG = tuple(np.round(np.arange(0.25, 12.1, 0.5), 2))


@cache
def whole(made, name):
    """Give a head as it is drawn, and as a screen hears it."""
    plan = made(name)
    looks = plan.looks
    figure = figure_of(looks.zones.scalp, looks.strands, looks.style)
    ways = dressed(plan, SEARCHED)
    one = turned(figure, ways, "as planned")
    return figure, ways, one, told(one)


def linear(srgb):
    shown = np.asarray(srgb, dtype=float) / 255
    return np.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize("name", ["noor", "sidony", "tavia", "oriel"])
def test_a_head_is_few_bytes(made, name):
    _, _, one, content = whole(made, name)
    assert len(gzip.compress(content, 9, mtime=0)) < LARGEST
    assert len(one) == strands_told(20_000, one.place.shape[1])


@pytest.mark.parametrize("name", ["noor", "oriel"])
def test_the_strands_told_cover_as_much_of_the_crown_as_all(made, name):
    """Width x length in a ball about the crown: what exp(-thickness) of the scalp is seen by."""
    figure, _, _, content = whole(made, name)
    top = figure.fallen.paths[:, 0].astype(float)
    crown = top[np.argmax(top[:, 2] - 0.3 * np.abs(top[:, 0]))]

    def cover(place, wide_cm):
        middle = (place[:, 1:] + place[:, :-1]) / 2
        length = np.linalg.norm(np.diff(place, axis=1), axis=2)
        near = np.linalg.norm(middle - crown, axis=2) < 4
        return float((near * length * wide_cm[:, None]).sum())

    again = heard(content)
    all_of_it = cover(figure.fallen.paths.astype(float), figure.wide_cm)
    assert cover(again.place, again.wide_cm) == pytest.approx(all_of_it, rel=0.04)


def test_every_figure_comes_back_within_half_its_step(made):
    _, _, one, content = whole(made, "noor")
    again = heard(content)
    for name, step in (
        ("place", "place"), ("light", "light"), ("length_cm", "length"), ("growth", "growth"),
        ("start_cm", "start"), ("wide_cm", "wide"), ("head_light", "head_light"),
    ):  # fmt: skip
        off = np.abs(getattr(one, name) - getattr(again, name)).max()
        assert off <= STEPS[step] / 2 * (1 + 1e-6), name
    later = one.shed_week > 65535 * STEPS["shed"]  # than anyone looks at: told as never
    assert np.array_equal(later, np.isinf(again.shed_week))
    off = np.abs(one.shed_week - again.shed_week)[~later]
    assert off.max() <= STEPS["shed"] / 2 * (1 + 1e-6)
    for ours, theirs in zip(one.ways, again.ways, strict=True):
        assert (ours.name, ours.planned, ours.ages) == (theirs.name, theirs.planned, theirs.ages)
        assert np.array_equal(ours.kind, theirs.kind)
        assert np.array_equal(ours.colour, theirs.colour)
        assert ours.starts_cm == pytest.approx(theirs.starts_cm, abs=1e-4)


@pytest.mark.parametrize("name", ["noor", "junia", "tavia"])
def test_a_colour_read_back_is_the_palettes_within_one_step_of_255(made, name):
    """At the middle of every piece of every strand told; the palette by its own way to sRGB."""
    figure, ways, one, content = whole(made, name)
    again = heard(content)
    order = _told_strands(figure, one)
    pieces = figure.fallen.pieces
    unlike = 0
    for number, (way, look) in enumerate(ways.items()):
        assert again.ways[number].name == way
        for week in WEEKS:
            palette = 255 * srgb_from_lab(lab_from_xyz(look.palette(float(week))))
            states = figure.states(look, float(week))[order]
            for piece in range(0, pieces, 3):
                along = again.length_cm * (piece + 0.5) / pieces
                found, there = again.colours(number, week, along)
                both = there & (states[:, piece] >= 0)
                off = np.abs(found - palette[states[:, piece]]).max(axis=1)
                unlike += int(((off > 1) & both).sum() + (there != (states[:, piece] >= 0)).sum())
    asked = len(again) * len(ways) * len(WEEKS) * len(range(0, pieces, 3))
    # A middle within .003 cm of a boundary may fall to its other side: of pieces of about .8 cm
    # with at most six boundaries in 30 cm fewer than one in a thousand.
    assert unlike / asked < 1e-3


def _told_strands(figure, one):
    """Give the places of the strands told, by where they are rooted and how long they are."""
    key = {
        tuple(row): k for k, row in enumerate(figure.fallen.paths[:, :3].reshape(-1, 9).tolist())
    }
    return np.array([key[tuple(row)] for row in one.place[:, :3].reshape(-1, 9).tolist()])


@pytest.mark.parametrize("name", ["noor", "junia", "lorna"])
@pytest.mark.parametrize("week", WEEKS)
def test_the_strands_told_look_like_all_of_them(made, name, week):
    """Area mix from the scalp out, at the middles of pieces: within .5 dE00 in the mean.

    Less than laying one tress anew changes it: 1.19 L*, one sd (J. Cosmet. Sci. 51 (2000) 293).
    """
    figure, ways, _, content = whole(made, name)
    again = heard(content)
    for number, look in enumerate(ways.values()):
        palette = linear(255 * srgb_from_lab(lab_from_xyz(look.palette(float(week)))))
        pieces = figure.fallen.pieces
        states = figure.states(look, float(week))
        apart = []
        for along in ALONG:
            piece, _ = _middle(along, figure.fallen.length_cm, pieces)
            state = states[np.arange(len(states)), piece]
            kept = (state >= 0) & (figure.fallen.length_cm > along)
            drawn = np.average(palette[state[kept]], axis=0, weights=figure.wide_cm[kept])
            _, middle = _middle(along, again.length_cm, pieces)
            found, there = again.colours(number, week, middle)
            there &= again.length_cm > along
            shown = np.average(linear(found[there]), axis=0, weights=again.wide_cm[there])
            apart.append(float(delta_e00(_lab(drawn), _lab(shown))))
        assert np.mean(apart) < 0.5
        assert max(apart) < 1.0


def _middle(along, length_cm, pieces):
    """Give the piece that a distance lies in on each strand, and the middle of it."""
    piece = np.minimum(along / length_cm * pieces, pieces - 1).astype(int)
    return piece, (piece + 0.5) / pieces * length_cm


def _lab(rgb):
    """Give CIELAB of linear sRGB: IEC 61966-2-1's matrix, D65 of the 2 degree observer."""
    matrix = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    ratio = matrix @ rgb / (matrix @ np.ones(3))
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_what_grew_lies_nearer_the_tips_week_by_week(made):
    """Root shadow and bands move out with growth: what was at d lies at d + growth x weeks."""
    *_, content = whole(made, "noor")
    again = heard(content)
    planned = next(k for k, way in enumerate(again.ways) if way.planned)
    grown = again.growth * 8
    for along in (1.0, 4.0, 9.0):
        before = again.state(planned, 0, np.full(len(again), along))
        after = again.state(planned, 8, along + grown)
        stays = (before >= 0) & (after >= 0) & (again.shed_week > 8)
        assert stays.mean() > 0.5
        assert np.array_equal(before[stays], after[stays])


def test_fewer_strands_are_wider_so_that_they_cover_alike(made):
    figure, ways, one, _ = whole(made, "noor")
    few = turned(figure, ways, "as planned", 1000)
    assert len(few) == 1000
    assert few.wide_cm.sum() == pytest.approx(figure.wide_cm.sum())
    assert one.wide_cm.sum() == pytest.approx(figure.wide_cm.sum())
    # The few are the first of the many.
    assert np.array_equal(few.place, one.place[:1000])
    planned = next(k for k, way in enumerate(one.ways) if way.planned)
    for kind in np.unique(one.ways[planned].kind):
        many, some = ((each.ways[planned].kind == kind).mean() for each in (one, few))
        assert some == pytest.approx(many, abs=0.012)


def test_a_way_that_is_none_is_told():
    from strandline.base.errors import OutOfRangeError

    with pytest.raises(OutOfRangeError, match="none of the ways"):
        turned(None, {"left as it is": None}, "as planned")
