"""The nearest gloss of a shelf by a plain walk, to hold the search to.

Every bowl of one to three shades of a kind, in every part, clear and minute of the rules, on a
table of K/S: no bound, no block, nothing of the search's own code. The colour is Kubelka and
Munk's (1931) for a thick layer and CIE 15:2018; the difference is the house's, which the
published pairs of CIEDE2000 hold.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from strandline.science.chemistry.deposit import constants
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spectra import WEIGHTS, WHITE_XYZ
from strandline.science.fibre import DYES
from strandline.science.hair.pigment import SPECULAR, dye_bands
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.rules import Steps
from strandline.service.formulate.solver import Minutes, shade_dyes

Floats = NDArray[np.float64]
AT_ONCE = 1024
"""Mixtures in a table of a few megabytes."""
VIOLET, BLUE = DYES.index("violet"), DYES.index("blue")


def nearest(
    ks: Floats,
    aim: Floats,
    shades: Sequence[GlossShade],
    steps: Steps,
    minutes: Minutes,
    deepest: float = 0.0,
) -> tuple[float, float, int]:
    """Walk every bowl of a shelf that holds a clear, on one ground of sound, lightened mids.

    Parameters
    ----------
    ks : shape (81,)   K/S of the hair
    aim : shape (3,)   CIELAB
    shades, steps, minutes : the shelf, the parts and the minutes
    deepest : L* that the second answer keeps to, with at least as much violet as silver

    Returns
    -------
    the least dE00 of all bowls; that of bowls within both rules; how many were looked at
    """
    least, ruled, looked = np.inf, np.inf, 0
    for mixed, strength in _bowls(shades, steps, minutes):
        by_dye = mixed @ dye_bands()
        far = np.empty((len(strength), len(mixed)))
        kept = np.empty(far.shape, dtype=bool)
        for row, scale in enumerate(strength):
            lab = _lab(ks + scale * by_dye)
            far[row] = delta_e00(lab, aim)
            kept[row] = lab[:, 0] >= deepest
        kept &= mixed[:, VIOLET] >= mixed[:, BLUE] - 1e-12
        least = min(least, float(far.min()))
        ruled = min(ruled, float(far[kept].min(initial=np.inf)))
        looked += far.size
    return least, ruled, looked


def _bowls(
    shades: Sequence[GlossShade], steps: Steps, minutes: Minutes
) -> Iterator[tuple[Floats, Floats]]:
    """Give mixtures, (M, D), of one label with the strengths that clear and minutes make, (S,)."""
    parts = {1: ((1.0,),), 2: steps.pairs, 3: steps.triples}
    by_label: dict[tuple[str, float], list[Floats]] = {}
    for count, ways in parts.items():
        for bowl in combinations([one for one in shades if not one.clear], count):
            if len({one.kind for one in bowl}) > 1:
                continue
            dyes = np.array([shade_dyes(one, "stage") for one in bowl])
            label = min(one.label_min for one in bowl)
            rows = by_label.setdefault((bowl[0].kind, label), [])
            rows += [np.array(way) @ dyes / sum(way) for way in ways]
    for (kind, label), rows in by_label.items():
        rate = np.log(2) / constants()["half_time"][kind].value
        on = np.array(minutes(kind, label))
        taken = (1 - np.exp(-rate * on)) / (1 - np.exp(-rate * label))
        strength = np.unique(np.divide.outer(taken, 1 + np.array(steps.clears)))
        for start in range(0, len(rows), AT_ONCE):
            yield np.array(rows[start : start + AT_ONCE]), strength


def _lab(ks: Floats) -> Floats:
    """Give CIELAB of K/S, (M, 81) to (M, 3)."""
    seen = SPECULAR + (1 - SPECULAR) * (1 + ks - np.sqrt(ks * ks + 2 * ks))
    t = seen @ WEIGHTS / WHITE_XYZ
    root = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = np.moveaxis(root, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)
