"""How long a tone is worn: when it is first seen to turn, when it is mostly gone, and the care."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.science.chemistry import fade
from strandline.science.fibre import Fibre
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.home_care import (
    INTERVALS_DAYS,
    LONGEST_WEEKS,
    lasts_weeks,
    shampoo,
    worn,
)
from strandline.service.formulate.rules import rule

Floats = NDArray[np.float64]
Fade = Callable[[Fibre, float], Fibre]

KINDS = ("direct", "fast toner", "acid demi", "alkaline demi", "permanent")
USUAL_DAYS = 7.0
"""A violet shampoo is used weekly, for two to three minutes; common practice, no source."""
LIGHTNESS, WARMTH = 0, 2
"""Where L* and b* stand in a colour: what lowlights lose, and what a toner does."""


@dataclass(frozen=True)
class Wear:
    """How long a tone is worn.

    Parameters
    ----------
    kind : of its dye
    seen_weeks, gone_weeks : until it is first seen to turn, until it is mostly gone, without care
    every_days : interval of the violet shampoo that is told: the widest that holds it until the
        return, else the usual week; None where it is depth that is worn
    cared_seen_weeks, cared_gone_weeks : the same with it
    dulls_days : interval from which down it turns dull or violet; None where none does
    by_kind : (kind of dye, weeks until it is mostly gone) of the same tone, without care
    """

    kind: str
    seen_weeks: float
    gone_weeks: float
    every_days: float | None
    cared_seen_weeks: float
    cared_gone_weeks: float
    dulls_days: float | None
    by_kind: tuple[tuple[str, float], ...]

    def said(self) -> str:
        """Say it in two sentences."""
        soft = self.seen_weeks >= LONGEST_WEEKS
        first = "its going is hardly seen"
        if not soft:
            first = f"the tone is first seen to turn warmer after {_weeks(self.seen_weeks)}"
        words = f"By itself {first}; it is mostly gone after {_weeks(self.gone_weeks)}."
        if self.every_days is not None:
            does = f"makes that {_weeks(self.cared_seen_weeks)} and {_weeks(self.cared_gone_weeks)}"
            does = "is enough" if soft else does
            words += f" A violet shampoo {every_said(self.every_days)}, 2 to 3 min, {does}."
        if self.dulls_days is not None:
            words += f" {every_said(self.dulls_days).capitalize()} or oftener it turns dull."
        return words


def wear_of(
    ground: Ground, dyes: Floats, kind: str, until_weeks: float, washes_per_week: float
) -> Wear:
    """Give how long a tone is worn, and the care that keeps it.

    Parameters
    ----------
    ground : the place, its aim the colour to wear
    dyes : shape (D,)   of the gloss on sound mids
    kind : of the gloss
    until_weeks : of the return, > 0
    washes_per_week : her habit

    Notes
    -----
    The usual week is shortened to no interval that dulls it.
    """
    found = shampoo(ground, dyes, kind, until_weeks, washes_per_week)
    told = found.every_days
    if told is None:
        dull = found.dulls_days or 0.0
        told = next((days for days in (USUAL_DAYS, *INTERVALS_DAYS) if days > dull), USUAL_DAYS)
    return Wear(
        kind,
        lasts_weeks(ground, dyes, kind, washes_per_week),
        gone_weeks(ground, dyes, kind, washes_per_week),
        told,
        lasts_weeks(ground, dyes, kind, washes_per_week, told),
        gone_weeks(ground, dyes, kind, washes_per_week, every_days=told),
        found.dulls_days,
        tuple((one, gone_weeks(ground, dyes, one, washes_per_week)) for one in KINDS),
    )


def gone_weeks(
    ground: Ground,
    dyes: Floats,
    kind: str,
    washes_per_week: float,
    *,
    every_days: float | None = None,
    of: int = WARMTH,
) -> float:
    """Give the weeks until what a gloss did is mostly gone, at most `LONGEST_WEEKS`.

    Parameters
    ----------
    ground, dyes, kind, washes_per_week : as `wear_of`
    every_days : of a violet shampoo; None for none
    of : `WARMTH` that a toner took, or `LIGHTNESS` that lowlights took

    Notes
    -----
    The share of its step in b* or L* from bare hair that is left falls under the rule `gone_left`;
    an acid demi is then gone within the 6 to 8 weeks after which the trade glosses again.
    """
    weeks = np.linspace(0.0, LONGEST_WEEKS, int(LONGEST_WEEKS * 4) + 1)
    seen = worn(ground, dyes, kind, weeks, every_days=every_days, washes_per_week=washes_per_week)[
        :, of
    ]
    bare = float(ground.bare()[of])
    step = bare - float(seen[0])
    if abs(step) < LEAST_STEP:
        return 0.0
    gone = (bare - seen) / step < rule("gone_left")
    return float(weeks[np.argmax(gone)]) if gone.any() else LONGEST_WEEKS


LEAST_STEP = 0.1
"""A gloss that moves b* or L* by less does nothing there."""


@cache
def cared_fade(kind: str, washes_per_week: float, every_days: float | None) -> Fade:
    """Give how states with a gloss of a kind wear under care: for the look of later weeks.

    Parameters
    ----------
    kind : of the dyes on them
    washes_per_week : her habit
    every_days : of a violet shampoo; None for none

    Returns
    -------
    callable   states and weeks to states; the same one for the same care
    """

    def faded(states: Fibre, weeks: float) -> Fibre:
        left = fade.fade(states, kind, weeks, washes_per_week=washes_per_week)
        if every_days is None:
            return left
        return fade.with_violet_shampoo(left, doses_left(weeks, every_days, washes_per_week))

    return faded


def doses_left(weeks: float, every_days: float, washes_per_week: float) -> float:
    """Give how many doses of a violet shampoo are on the hair after weeks of its use."""
    used = np.arange(every_days / 7.0, weeks + 1e-9, every_days / 7.0)
    return float(np.sum(fade.kept("direct", weeks - used, washes_per_week)))


def _weeks(weeks: float) -> str:
    rounded = max(HALF, round(weeks * 2) / 2)
    if rounded == HALF:
        return "half a week"
    if weeks >= LONGEST_WEEKS:
        return "half a year or more"
    return f"about {rounded:g} week{'' if rounded == 1 else 's'}"


HALF = 0.5


def every_said(days: float) -> str:
    """Say an interval of days in words."""
    if days == USUAL_DAYS:
        return "once a week"
    return "twice a week" if days == USUAL_DAYS / 2 else f"every {days:g} days"
