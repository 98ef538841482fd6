"""The part line in one week: what is where along it, and what is read from that.

Arrays are over draws of the rate (D), weeks (T), distances from the scalp (Y), classes (C),
intervals between boundaries (K) and strand groups (G); colours are XYZ inside, CIELAB outside.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.seeing.line import MIRROR_M, edge, shown_growth
from strandline.science.seeing.stripes import Lie, isolated_peak
from strandline.service.growout.palette import Coloured
from strandline.service.growout.spread import Spread

Floats = NDArray[np.float64]

AGE_STEP = 0.5
"""Weeks of usual growth between places that are kept for drawn rates."""

LONGEST_CM = 1000.0
"""No hair is so long."""


def lines_of(
    look: Coloured, spread: Spread, worn: Floats, y: Floats, age: Floats, rate: float
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Profile, line, line of growth alone, edge and its place: each (T, ...).

    `worn` are the distances that an eye sees, `y` the same along stretched hair. Where hair does
    not reach there is no line.
    """
    classes = len(look.roots)
    parts = _parts(look)
    on_day = spread.at(classes, look.starts_cm, y, np.zeros(1), rate, look.grown)[0]
    shares = spread.at(classes, look.starts_cm, y, age, rate, look.grown)
    profile = lab_from_xyz(_mixed(shares, parts[1:]))
    day = lab_from_xyz(_mixed(on_day[None], parts[:1])[0])
    day_faded = lab_from_xyz(_mixed(np.broadcast_to(on_day, shares.shape), parts[1:]))
    there = (y <= spread.reach_cm(age, rate)[:, None])[..., None]
    line = shown_growth(np.where(there, profile, day), day, worn)
    alone = shown_growth(np.where(there, profile, day_faded), day_faded, worn)
    steepest, place = edge(profile, worn)
    return profile, line, alone, steepest, place


def drawn_lines(
    look: Coloured,
    spread: Spread,
    worn: Floats,
    y: Floats,
    age: Floats,
    rates: Floats,
    usual: float,
) -> tuple[Floats, Floats, Floats]:
    """Line, line of growth alone and edge at many rates: each (D, T).

    Where everything lies depends on what has grown: it is kept at the usual rate by `AGE_STEP`,
    coloured for every week, and read by what each rate has grown, linear between. What is shed by
    then is what is shed at the usual rate.
    """
    rate = usual or float(rates.max()) or 1.0
    grown = rates[:, None] * age / rate / AGE_STEP
    ages: Floats = AGE_STEP * np.arange(math.ceil(float(grown.max())) + 2, dtype=np.float64)
    shares = spread.at(len(look.roots), look.starts_cm, y, ages, rate, look.grown)
    parts = _parts(look)
    weeks = parts.reshape(len(parts), -1, 3)
    flat = shares.reshape(len(ages) * len(y), -1)
    kept = np.stack([(flat @ one).reshape(len(ages), len(y), 3) for one in weeks])
    low = grown.astype(np.int64)
    part = (grown - low)[..., None, None]
    week = np.arange(1, len(kept))
    profile = lab_from_xyz((1 - part) * kept[week, low] + part * kept[week, low + 1])
    day, day_faded = lab_from_xyz(kept[0, 0]), lab_from_xyz(kept[1:, 0])
    reach = np.minimum(spread.reach_cm(ages, rate), LONGEST_CM)
    reach = np.interp(AGE_STEP * grown, ages, reach)
    there = (y <= reach[..., None])[..., None]
    line = shown_growth(np.where(there, profile, day), day, worn)
    alone = shown_growth(np.where(there, profile, day_faded), day_faded, worn)
    return line, alone, edge(profile, worn)[0]


def _parts(look: Coloured) -> Floats:
    """Give XYZ of each class's intervals, new growth first, shape (T, C, K + 1, 3)."""
    roots = np.broadcast_to(look.roots[:, None, :], (*look.lengths.shape[:2], 1, 3))
    return np.concatenate([roots, look.lengths], axis=2)


def _mixed(shares: Floats, parts: Floats) -> Floats:
    """Mix by area: (T, Y, C, K + 1) and (T, C, K + 1, 3) to (T, Y, 3)."""
    weeks, places = shares.shape[:2]
    return np.asarray(shares.reshape(weeks, places, -1) @ parts.reshape(weeks, -1, 3))


def classes_at(
    look: Coloured, spread: Spread, y: Floats, age: float, rate: float, t: int
) -> Floats:
    """Mean XYZ of each class at distances from the scalp, shape (Y, C, 3).

    A class that does not reach so far has the colour of its ends there.
    """
    shares = spread.at(len(look.roots), look.starts_cm, y, np.array([age]), rate, look.grown)[0]
    whole = shares.sum(axis=-1, keepdims=True)
    ends = np.zeros(shares.shape[-1])
    ends[-1] = 1.0
    own = np.where(whole > 0, shares / np.maximum(whole, 1e-300), ends)
    return np.asarray(np.einsum("yck,ckx->ycx", own, _parts(look)[t]))


def _groups(colours: Floats, lie: Lie) -> tuple[Floats, Floats]:
    """Mean XYZ of each strand group, shape (..., G, 3), and its share, shape (G,)."""
    of = np.array(lie.strand_of)[None, :] == np.arange(len(lie.run_mm))[:, None]
    share = of * np.array(lie.shares)
    whole = share.sum(axis=1)
    return np.einsum("gc,...cx->...gx", share / whole[:, None], colours), whole


def strand_peak(across: Floats, lie: Lie) -> float:
    """Difference of the strand that stands out most, lying alone on the mix of the others, dE00.

    `across` holds the XYZ of each class where the part line is read, shape (C, 3); 0 where all
    hair is of one strand.
    """
    strand, share = _groups(across, lie)
    if share.size == 1:
        return 0.0
    whole = share @ strand
    rest = (whole - share[:, None] * strand) / (1.0 - share)[:, None]
    return max(
        isolated_peak(one, ground, run, MIRROR_M)
        for one, ground, run in zip(strand, rest, lie.run_mm, strict=True)
    )


def cells_of(
    look: Coloured, spread: Spread, y: Floats, lie: Lie, age: float, rate: float, t: int
) -> tuple[Floats, Floats]:
    """CIELAB and share of each millimetre of each strand, (n, 3) and (n,), summing to 1.

    As far as hair reaches.
    """
    cells = (y[1:] + y[:-1]) / 2.0
    cells = cells[: max(int(np.sum(cells <= spread.reach_cm(np.array([age]), rate))), 1)]
    strand, share = _groups(classes_at(look, spread, cells, age, rate, t), lie)
    weight = np.broadcast_to(share, strand.shape[:-1]).ravel()
    return lab_from_xyz(strand).reshape(-1, 3), np.asarray(weight / weight.sum())
