"""Bowls to weigh: how many of each strength, with developer poured and powder in grams."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strandline.science.chemistry.developer import Mix, mix
from strandline.service.practice.bench import Bench

LEAST_DEVELOPER_GRAMS = 15.0
"""Less than this dries before it is placed; common practice, no source."""


@dataclass(frozen=True)
class MixedBowl:
    """A bowl, and how many like it.

    Parameters
    ----------
    name : its name among the strengths
    count : bowls of this kind, each made fresh
    mix : developer and powder of one bowl
    needed_grams : lightener that its foils take, all of them
    """

    name: str
    count: int
    mix: Mix
    needed_grams: float


def weigh_bowls(
    grams: Mapping[str, float],
    vols: Mapping[str, float],
    stock_vols: Sequence[float],
    powder_ratio: float,
    bench: Bench,
    *,
    times_fresh: Mapping[str, int] | None = None,
) -> list[MixedBowl]:
    """Weigh the bowls of a head.

    Parameters
    ----------
    grams : lightener by bowl name, g
    vols : target strength by bowl name, vol
    stock_vols : bottles on the shelf, vol
    powder_ratio : developer for a part of powder, by mass
    bench : reserve, and the largest bowl
    times_fresh : by bowl name, how often the clock needs it fresh; at least so many bowls

    Returns
    -------
    list of MixedBowl   in the order of `grams`; each at most her largest bowl
    """
    out = []
    largest = bench["bowl_developer_grams"]
    for name, needed in grams.items():
        if needed <= 0:
            continue
        developer = needed * (1 + bench["grams_reserve"] / 100) * powder_ratio / (1 + powder_ratio)
        fresh = (times_fresh or {}).get(name, 1)
        count = max(math.ceil(developer / largest), fresh, 1)
        each = max(LEAST_DEVELOPER_GRAMS, math.ceil(developer / count / 5) * 5)
        out.append(MixedBowl(name, count, mix(vols[name], stock_vols, each, powder_ratio), needed))
    return out
