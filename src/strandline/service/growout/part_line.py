"""The part line in one week: what is where along it, and what is read from that.

Arrays are over draws of the rate (D), weeks (T), distances from the scalp (Y), classes (C),
intervals between boundaries (K) and strand groups (G); colours are XYZ inside, CIELAB outside.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.hair.levels import level_of_lab
from strandline.science.seeing.contrast import Contrast, contrast
from strandline.science.seeing.line import MIRROR_M, covered_share, edge, shown_growth
from strandline.science.seeing.stripes import Lie, isolated_peak
from strandline.service.growout.palette import Coloured

Floats = NDArray[np.float64]


def _weights(look: Coloured, y: Floats, age: Floats, rates: Floats) -> Floats:
    """Share of the strands in each interval, new growth first: shape (D, T, Y, K + 1)."""
    beyond = [
        covered_share(y - start, age[None, :, None], rate_cm_per_week=rates[:, None, None])
        for start in look.starts_cm
    ]
    # `beyond[k]` is the share that has not yet come to interval k; the last interval runs on.
    steps = np.stack([*beyond, np.ones_like(beyond[0])], axis=-1)
    return np.concatenate([steps[..., :1], np.diff(steps, axis=-1)], axis=-1)


def lines_of(
    look: Coloured, y: Floats, age: Floats, rates: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Profile, line, line of growth alone, edge and its place: each (D, T, ...)."""
    root = np.einsum("c,cx->x", look.shares, look.roots)
    lengths = np.einsum("c,tckx->tkx", look.shares, look.lengths)
    parts = np.concatenate([np.broadcast_to(root, (lengths.shape[0], 1, 3)), lengths], axis=1)
    weights = _weights(look, y, age, rates)
    on_day = _weights(look, y, np.zeros(1), rates[:1])[0, 0]
    profile = lab_from_xyz(np.einsum("dtyk,tkx->dtyx", weights, parts[1:]))
    day = lab_from_xyz(on_day @ parts[0])
    day_faded = lab_from_xyz(np.einsum("yk,tkx->tyx", on_day, parts[1:]))
    line = shown_growth(profile, day, y)
    alone = shown_growth(profile, day_faded, y)
    steepest, place = edge(profile, y)
    return profile, line, alone, steepest, place


def classes_at(look: Coloured, y: Floats, age: float, rate: float, t: int) -> Floats:
    """Mean XYZ of each class at distances from the scalp, shape (Y, C, 3)."""
    weights = _weights(look, y, np.array([age]), np.array([rate]))[0, 0]
    parts = np.concatenate([look.roots[:, None, :], look.lengths[t]], axis=1)
    return np.asarray(np.einsum("yk,ckx->ycx", weights, parts))


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
    """Give how far the strand stands out that does so most, alone on the rest, dE00."""
    strand, share = _groups(across, lie)
    if share.size == 1:
        return 0.0
    whole = share @ strand
    rest = (whole - share[:, None] * strand) / (1.0 - share)[:, None]
    return max(
        isolated_peak(one, ground, run, MIRROR_M)
        for one, ground, run in zip(strand, rest, lie.run_mm, strict=True)
    )


def contrast_of(look: Coloured, y: Floats, lie: Lie, age: float, rate: float, t: int) -> Contrast:
    """Contrast of the strands over the stretch looked at, each 1 mm of each of them counted."""
    """Part the strands of a week into light and dark over the stretch looked at."""
    cells = (y[1:] + y[:-1]) / 2.0
    strand, share = _groups(classes_at(look, cells, age, rate, t), lie)
    weight = np.broadcast_to(share, strand.shape[:-1])
    return contrast(lab_from_xyz(strand).reshape(-1, 3), weight.ravel(), level_of_lab)
