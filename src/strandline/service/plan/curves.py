"""Line, stripes and contrast of a plan's grow-out as curves over half a year, with their ranges."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from strandline.base.quantities import Range, range_of
from strandline.service.growout.grow import GrowOut, WeekSeen
from strandline.service.plan.assemble import Made
from strandline.service.plan.growing import SEARCHED, covers, kept_name, light_from_level
from strandline.service.plan.looks import Looks
from strandline.service.plan.strand_look import HeadLook

SLOW, FAST = 10, 90
"""Percentiles of growth between which a range lies."""
LINE_LAW = "10th to 90th percentile of the line over drawn growth"
RATE_LAW = "at slow, usual and fast growth, the 10th, 50th and 90th percentile of those drawn"


@dataclass(frozen=True, slots=True)
class Curves:
    """How one way to keep the hair is seen, week by week.

    Parameters
    ----------
    name : in words
    planned : it is today's plan
    grown_cm : mean new growth since the hair was last as on the day, cm
    line : of growth alone, dE00 cm
    stripes : added by treatment, at the mirror, dE00
    contrast : levels between light and dark hair over the first 6 cm
    light : share of hair there above the level from which it counts as light, percent
    passes : week in which the line first passes her threshold
    renewed : it is covered again every few weeks
    """

    name: str
    planned: bool
    grown_cm: tuple[float, ...]
    line: tuple[Range, ...]
    stripes: tuple[Range, ...]
    contrast: tuple[Range, ...]
    light: tuple[Range, ...]
    passes: Range
    renewed: bool


def curves_of(made: Made) -> tuple[Curves, ...]:
    """Give the curves of a plan: as left, as renewed where cover is, and as planned.

    Notes
    -----
    The line's range is that of the rates drawn. Stripes and contrast are looked at thrice: at slow,
    usual and fast growth.
    """
    looks, every, light = made.looks, covers(made), light_from_level(made)
    threshold = made.plan.growout.threshold

    def curves(look: HeadLook, name: str, cover: float | None = None) -> Curves:
        usual = looks.grown(look, SEARCHED, every_weeks=cover)
        slow, fast = (_at_rate(looks, look, percent, cover) for percent in (SLOW, FAST))
        three = list(zip(slow.weeks, usual.weeks, fast.weeks, strict=True))

        def each(unit: str, of: Callable[[WeekSeen], float]) -> tuple[Range, ...]:
            return tuple(_between([of(seen) for seen in week], unit) for week in three)

        return Curves(
            name=name,
            planned=look is looks.planned,
            grown_cm=tuple(seen.grown_cm for seen in usual.weeks),
            line=tuple(
                range_of(line.tolist(), "dE00 cm", LINE_LAW) for line in usual.growth_draws.T
            ),
            stripes=each("dE00", lambda seen: seen.stripes_mirror),
            contrast=each("levels", _apart),
            light=each("%", lambda seen: 100 * seen.lighter_than(light)),
            passes=usual.week_line_passes(threshold, growth_alone=True),
            renewed=cover is not None,
        )

    out = [curves(looks.kept, kept_name(made))]
    if every is not None:
        out.append(curves(looks.kept, f"covered every {every:g} weeks", every))
    return (*out, curves(looks.planned, "as planned"))


def _at_rate(looks: Looks, look: HeadLook, percent: float, every: float | None) -> GrowOut:
    rate = float(np.percentile(looks.rate_draws, percent))
    at = replace(looks, rate_cm_per_week=rate, rate_draws=np.array([rate]))
    return at.grown(look, SEARCHED, every_weeks=every)


def _between(three: list[float], unit: str) -> Range:
    low, middle, high = sorted(three)
    return Range(low, middle, high, unit, RATE_LAW)


def _apart(seen: WeekSeen) -> float:
    return 0.0 if seen.contrast.even else seen.contrast.light_level - seen.contrast.dark_level
