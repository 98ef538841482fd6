"""Grow-out: the look of a stretch of hair week by week, and its line, stripes and contrast.

Distances from the scalp in cm, time in weeks since the day of the visit, rates in cm a week.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range, range_of
from strandline.science.hair.levels import level_of_lab
from strandline.science.hair.pigment import SPECULAR
from strandline.science.seeing.constants import constants
from strandline.science.seeing.contrast import Contrast, contrast
from strandline.science.seeing.line import (
    MIRROR_M,
    THRESHOLD,
    WINDOW_CM,
)
from strandline.science.seeing.stripes import stripes
from strandline.service.growout.look import Fade, HairClass, checked, lie_of
from strandline.service.growout.palette import coloured
from strandline.service.growout.part_line import (
    cells_of,
    classes_at,
    drawn_lines,
    lines_of,
    strand_peak,
)
from strandline.service.growout.spread import ByLaw, OfStrands, Spread
from strandline.service.growout.trimmed import drawn_by_week, lines_by_week

Floats = NDArray[np.float64]

STEP_CM = 0.1
PART_CM = 1.0
"""Distance from the scalp at which stripes are read across the part line, cm."""
TALKING_M = constants("line")["talking_m"].value
LAW = "shown growth on the part line, area mix; growth drawn"


@dataclass(frozen=True)
class WeekSeen:
    """What is seen in one week.

    Parameters
    ----------
    week : float                     since the day
    grown_cm : float                 mean new growth, cm
    lab : shape (Y, 3)               CIELAB along `GrowOut.y_cm`, area mix
    line : float                     S against the day, growth and fade together, dE00 cm
    line_of_growth : float           S against the day's hair faded alike: growth alone
    edge, edge_cm : float            steepest step, dE00, and where it is, cm
    stripes_mirror, stripes_table : float   added by treatment, at 0.6 m and 1 m, dE00
    strand_peak : float              the strand that stands out most, alone on the rest, at .6 m
    contrast : Contrast              of the strands over the first 60 mm
    levels, level_share : shape (n,) level of each millimetre of each strand over the first 60 mm,
                                     and its share, summing to 1
    line_range, edge_range : Range   over the rates drawn; of no width where none were
    """

    week: float
    grown_cm: float
    lab: Floats
    line: float
    line_of_growth: float
    edge: float
    edge_cm: float
    stripes_mirror: float
    stripes_table: float
    strand_peak: float
    contrast: Contrast
    levels: Floats
    level_share: Floats
    line_range: Range
    edge_range: Range

    def lighter_than(self, level: float) -> float:
        """Give the share of the hair over the first 60 mm that is lighter than a level [1]."""
        return float(self.level_share[self.levels > level].sum())


@dataclass(frozen=True)
class GrowOut:
    """A look over weeks.

    Parameters
    ----------
    y_cm : shape (Y,)                     0-6 cm by 1 mm
    weeks : WeekSeen each
    line_draws, growth_draws : (D, T)     `line` and `line_of_growth` for each rate drawn, the
                                          usual rate alone where none were
    """

    y_cm: Floats
    weeks: tuple[WeekSeen, ...]
    line_draws: Floats
    growth_draws: Floats

    def week_line_passes(
        self, threshold: float = THRESHOLD, *, growth_alone: bool = False
    ) -> Range:
        """Give the week in which the line passes a threshold.

        Parameters
        ----------
        threshold : float      S*, dE00 cm, > 0
        growth_alone : bool    leave fade out of it

        Returns
        -------
        Range   10th, 50th, 90th percentile over the rates drawn, weeks; linear between weeks,
                infinite where it does not pass within the weeks looked at

        Raises
        ------
        OutOfRangeError   a threshold not above 0
        """
        if not threshold > 0:
            raise OutOfRangeError(
                f"The threshold of the line is {threshold:g} dE00 cm; it must be above 0.",
                "Give 20, or 15-30 to taste.",
            )
        at = np.array([seen.week for seen in self.weeks])
        draws = self.growth_draws if growth_alone else self.line_draws
        passes = [_first_pass(at, line, threshold) for line in draws]
        return range_of(passes, "weeks", f"first week with a line of {threshold:g} dE00 cm")


def grow_out(
    classes: Sequence[HairClass],
    weeks: Sequence[float],
    *,
    rate_cm_per_week: float,
    fade: Fade,
    specular: float = SPECULAR,
    rate_draws: ArrayLike | None = None,
    since_day: Sequence[float] | None = None,
    strands: OfStrands | None = None,
) -> GrowOut:
    """Look at a stretch of hair over weeks.

    Parameters
    ----------
    classes : HairClass each        shares summing to 1, as they are on the day; where strands are
                                    given theirs count
    weeks : shape (T,)              to look at, rising, >= 0
    rate_cm_per_week : float        usual growth, cm a week, >= 0; 0.257 at 367 um a day
    fade : callable                 (states, weeks) to states
    specular : float                part the surface reflects [1]
    rate_draws : shape (D,)         growth as drawn, cm a week, >= 0
    since_day : shape (T,)          weeks since the hair was last as on the day, where that is
                                    not `weeks`: cover that is renewed
    strands : OfStrands             those that lie there, each of one of `classes` by its place:
                                    growth by strand, shedding, short hair, cuts and curl are in
                                    what is seen

    Returns
    -------
    GrowOut

    Raises
    ------
    OutOfRangeError   weeks that do not rise, rates below 0, no draws, shares that do not close

    Notes
    -----
    In week t all that was there has moved out by r t, and the first r t is the natural hair of
    its class. Without strands each boundary is smeared by `covered_share`, for strands do not grow
    alike, and nothing is shed. Reflectances mix by area, as on a part line. Hair is cut where the
    strands say so; what is cut is gone from that week on.
    Draws of the rate are read by what has grown, from a table of the usual rate: what is shed by
    then is what is shed at that rate.

    References
    ----------
    strandline_fit; scielab1996
    """
    at: Floats = np.asarray(weeks, dtype=float)
    age: Floats = at if since_day is None else np.asarray(since_day, dtype=float)
    usual = float(rate_cm_per_week)
    drawn: Floats = np.ravel(np.asarray(usual if rate_draws is None else rate_draws, dtype=float))
    if drawn.size == 0:
        raise OutOfRangeError(
            "There are no draws of the rate.", "Hand in some, or leave them out for the usual rate."
        )
    _refuse(at, age, np.append(drawn, usual))
    kept, spread = _lying(classes, strands)
    # The day itself goes first, whatever weeks are asked for: the line is read against it.
    look = coloured(kept, [0.0, *age.tolist()], fade, specular)
    worn: Floats = np.round(np.arange(round(WINDOW_CM / STEP_CM) + 1) * STEP_CM, 9)
    curl = 1.0 if strands is None else strands.curl_factor
    y = worn * curl
    weekly: list[Spread] = [spread] * at.size
    if isinstance(spread, OfStrands) and spread.cut_within(float(y[-1]), float(at[-1])):
        weekly = [spread.in_week(w, a, usual) for w, a in zip(at, age, strict=True)]
        seen_lines = lines_by_week(look, weekly, worn, y, age, usual)
        drawn_ones = drawn_by_week(look, spread, worn, y, (at, age), drawn)
    else:
        seen_lines = lines_of(look, spread, worn, y, age, usual)
        drawn_ones = drawn_lines(look, spread, worn, y, age, drawn, usual)
    lab, line, alone, steepest, place = seen_lines
    lines, growth, edges = drawn_ones
    if rate_draws is None:
        lines, growth, edges = line[None], alone[None], steepest[None]
    lie = lie_of(kept)
    seen, part = [], np.array([PART_CM * curl])
    for t, week in enumerate(at):
        across = classes_at(look, weekly[t], part, age[t], usual, t + 1)[0]
        cells, share = cells_of(look, weekly[t], y, lie, age[t], usual, t + 1)
        seen.append(
            WeekSeen(
                week=float(week),
                grown_cm=float(usual * age[t]),
                lab=lab[t],
                line=float(line[t]),
                line_of_growth=float(alone[t]),
                edge=float(steepest[t]),
                edge_cm=float(place[t]),
                stripes_mirror=stripes(across, look.roots, lie, MIRROR_M),
                stripes_table=stripes(across, look.roots, lie, TALKING_M),
                strand_peak=strand_peak(across, lie),
                contrast=contrast(cells, share, level_of_lab),
                levels=level_of_lab(cells),
                level_share=share,
                line_range=range_of(lines[:, t].tolist(), "dE00 cm", LAW),
                edge_range=range_of(edges[:, t].tolist(), "dE00", LAW),
            )
        )
    return GrowOut(worn, tuple(seen), lines, growth)


def _lying(
    classes: Sequence[HairClass], strands: OfStrands | None
) -> tuple[tuple[HairClass, ...], Spread]:
    """Give the classes that lie there, with their shares, and how they are spread."""
    if strands is None:
        kept = checked(classes)
        return kept, ByLaw(np.array([one.share for one in kept]))
    if not 0 <= int(strands.kind.min()) <= int(strands.kind.max()) < len(classes):
        raise OutOfRangeError(
            f"A strand is of class {int(strands.kind.max())}; there are {len(classes)}.",
            "Give each strand the place of its class.",
        )
    share = strands.shares(len(classes))
    there = np.flatnonzero(share > 0)
    kept = checked([replace(classes[int(k)], share=float(share[k])) for k in there])
    return kept, strands.numbered(there)


def _refuse(at: Floats, age: Floats, drawn: Floats) -> None:
    if at.ndim != 1 or at.size == 0 or np.any(np.diff(at) <= 0) or not np.all(at >= 0):
        raise OutOfRangeError(
            "The weeks to look at do not rise from 0 or more.", "Give them in order, 0 to 26 say."
        )
    if age.shape != at.shape or not np.all(age >= 0):
        raise OutOfRangeError(
            f"There are {at.size} weeks and {age.size} times since the hair was last as on the "
            "day; each week must have one of 0 or more.",
            "Give one for each week.",
        )
    if not np.all(np.isfinite(drawn) & (drawn >= 0)):
        raise OutOfRangeError(
            "The rates of growth hold a value below 0 or not finite.",
            "Give them in cm a week, about 0.26.",
        )


def _first_pass(at: Floats, line: Floats, threshold: float) -> float:
    above = np.flatnonzero(line >= threshold)
    if above.size == 0:
        return float("inf")
    first = int(above[0])
    if first == 0:
        return float(at[0])
    low, high = line[first - 1], line[first]
    share = (threshold - low) / (high - low)
    return float(at[first - 1] + share * (at[first] - at[first - 1]))
