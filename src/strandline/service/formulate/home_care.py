"""How a gloss wears over the weeks, and how often a violet shampoo keeps its tone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.chemistry import deposit, fade
from strandline.science.fibre import DYES
from strandline.service.formulate.grounds import Ground

Floats = NDArray[np.float64]

INTERVALS_DAYS = (3.5, 5.0, 7.0, 10.0, 14.0, 21.0, 28.0)
"""Intervals of a violet shampoo that can be told at the door; common practice, no source."""
BAND = 2.0
"""How far b* may lie from the aim's, either way; about what is seen, from memory."""
LONGEST_WEEKS = 26.0
"""Beyond this a gloss is no longer followed."""
_VIOLET = DYES.index("violet")


@dataclass(frozen=True)
class Shampoo:
    """How often a violet shampoo is used.

    Parameters
    ----------
    every_days : the widest interval that keeps b* no yellower than the band; None where none does
    dulls_days : the widest interval at which it turns duller or more violet than the band; None
        where none does
    """

    every_days: float | None
    dulls_days: float | None


def worn(
    ground: Ground,
    dyes: Floats,
    kind: str,
    weeks: Floats,
    *,
    every_days: float | None = None,
    washes_per_week: float = fade.WASHES_PER_WEEK,
) -> Floats:
    """Give the colour of a place as its gloss wears, CIELAB, shape (T, 3).

    Parameters
    ----------
    ground : the place
    dyes : shape (D,)    of the gloss on sound mids
    kind : of the gloss, for its fade
    weeks : shape (T,)   since it was put on, >= 0
    every_days : interval of a violet shampoo; None for none
    washes_per_week : her habit

    Notes
    -----
    Each use leaves a small dose of violet that goes off as a direct dye, use after use.
    """
    left = fade.kept(kind, weeks, washes_per_week)[:, None] * dyes
    if every_days is not None:
        used = np.arange(every_days / 7.0, float(np.max(weeks)) + 1e-9, every_days / 7.0)
        since = weeks[:, None] - used
        there = np.where(
            since >= 0, fade.kept("direct", np.maximum(since, 0.0), washes_per_week), 0.0
        )
        dose = deposit.constants()["on_hair"]["violet_shampoo"].value
        left[:, _VIOLET] += dose * there.sum(axis=1)
    return ground.look(left)


def warmest(ground: Ground, dyes: Floats) -> float:
    """Give the b* that is still in the band: of the aim, or of a gloss that came out warmer."""
    fresh = float(ground.look(dyes[None])[0, 2])
    return max(float(ground.aim_lab[2]), fresh) + BAND


def shampoo(
    ground: Ground,
    dyes: Floats,
    kind: str,
    weeks_until_return: float,
    washes_per_week: float = fade.WASHES_PER_WEEK,
) -> Shampoo:
    """Find the interval of a violet shampoo that keeps the tone until the next visit.

    Parameters
    ----------
    ground : the place, its aim the colour to wear
    dyes, kind : of the gloss
    weeks_until_return : > 0
    washes_per_week : her habit
    """
    weeks = np.linspace(0.0, weeks_until_return, 57)
    keeps: float | None = None
    dulls: float | None = None
    most, aim = warmest(ground, dyes), float(ground.aim_lab[2])
    fresh = float(ground.look(dyes[None])[0, 2])
    for days in INTERVALS_DAYS:
        b = worn(ground, dyes, kind, weeks, every_days=days, washes_per_week=washes_per_week)[:, 2]
        if b.max() <= most:
            keeps = days
        if b.min() < min(aim - BAND, fresh):
            dulls = days
    return Shampoo(keeps, dulls)


def lasts_weeks(
    ground: Ground,
    dyes: Floats,
    kind: str,
    washes_per_week: float = fade.WASHES_PER_WEEK,
    every_days: float | None = None,
) -> float:
    """Give the weeks until its warmth leaves the band, at most `LONGEST_WEEKS`.

    Parameters
    ----------
    ground, dyes, kind, washes_per_week : as `shampoo`
    every_days : of a violet shampoo; None for no care
    """
    weeks = np.linspace(0.0, LONGEST_WEEKS, int(LONGEST_WEEKS * 4) + 1)
    b = worn(ground, dyes, kind, weeks, every_days=every_days, washes_per_week=washes_per_week)[
        :, 2
    ]
    past = b > warmest(ground, dyes)
    return float(weeks[np.argmax(past)]) if past.any() else LONGEST_WEEKS
