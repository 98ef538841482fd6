"""How far and how fast a stretch of hair lifts at a strength, with its range.

A foil holds white and pigmented hair together; its stage is read from the lightness of their
area mix, as an eye reads an opened foil.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import Range, range_of
from strandline.science.chemistry.lift import make_rate, tau
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import Fibre
from strandline.science.hair.levels import lightened, stage_of_lightness
from strandline.science.hair.mixing import area_mix
from strandline.science.hair.pigment import reflectance

Floats = NDArray[np.float64]
FARTHEST = 9.0
"""Progress at which nothing of the path is left to gain [1]."""
STEPS = 181


@dataclass(frozen=True)
class Ground:
    """The hair of one band in a foil.

    Parameters
    ----------
    states : white and pigmented fibres before lightening
    shares : shape (N,), of the hair [0-1], summing to 1
    old_colour : it carries old permanent colour
    gray_under : share of white under it [0-1]
    first_cm : it lies in the warm first centimetre at the scalp
    """

    states: Fibre
    shares: Floats
    old_colour: bool
    gray_under: float
    first_cm: bool

    def stages(self) -> tuple[Floats, Floats]:
        """Give progress and the stage of the mix at it, both rising: shapes (STEPS,)."""
        gained, labs = self.path()
        stage = stage_of_lightness(labs[:, 0])
        return gained, np.maximum.accumulate(np.asarray(stage))

    def path(self) -> tuple[Floats, Floats]:
        """Give progress and the colour of the mix at it, CIELAB: (STEPS,) and (STEPS, 3)."""
        gained = np.linspace(0.0, FARTHEST, STEPS)
        n = len(self.states)
        grid = self.states.take(np.tile(np.arange(n), STEPS))
        more = np.repeat(gained, n)
        spectra = reflectance(lightened(grid, more)).reshape(STEPS, n, -1)
        return gained, lab_from_reflectance(area_mix(spectra, self.shares))


def progress_to(stage: float, gained: Floats, stages: Floats) -> float:
    """Give the progress at which a stage is first seen on a path.

    Parameters
    ----------
    stage : stage asked for
    gained, stages : shape (STEPS,), as `Ground.stages` gives them

    Returns
    -------
    [1]   0 where it is there already, infinite where the path stalls below it
    """
    if stage <= stages[0]:
        return 0.0
    if stage > stages[-1]:
        return float(np.inf)
    index = int(np.argmax(stages >= stage))
    low, high = stages[index - 1], stages[index]
    part = (stage - low) / (high - low)
    return float(gained[index - 1] + part * (gained[index] - gained[index - 1]))


@dataclass(frozen=True)
class Lift:
    """What a strength does to a ground.

    Parameters
    ----------
    minutes_to_aim : Range, min; infinite where the label's time or the stall comes first
    stage_at : stages by draw at the minutes asked, via `at`
    best_stage : the stage where it stalls
    """

    gained: Floats
    stages: Floats
    progress: Floats
    minutes: Floats

    @property
    def best_stage(self) -> float:
        """Stage that no time passes."""
        return float(self.stages[-1])

    def at(self, minutes: float) -> Range:
        """Give the stage after some minutes."""
        column = int(np.argmin(np.abs(self.minutes - minutes)))
        seen = np.interp(self.progress[:, column], self.gained, self.stages)
        return range_of(list(seen), "stage", LAW)

    def progress_at(self, minutes: float) -> float:
        """Give the median progress after some minutes [1]."""
        column = int(np.argmin(np.abs(self.minutes - minutes)))
        return float(np.median(self.progress[:, column]))

    def minutes_to(self, stage: float) -> Range:
        """Give the minutes to a stage; infinite in draws that never reach it."""
        return range_of(list(self._first(stage)), "min", LAW)

    def chance(self, stage: float, before_min: float) -> float:
        """Give the share of draws that reach a stage before a minute [0-1]."""
        return float(np.mean(self._first(stage) <= before_min))

    def _first(self, stage: float) -> Floats:
        """First minute of each draw, by a straight line between two whole minutes."""
        wanted = progress_to(stage, self.gained, self.stages)
        if wanted <= 0 or np.isinf(wanted):
            return np.full(self.progress.shape[0], wanted)
        reached = self.progress >= wanted
        first = np.argmax(reached, axis=1)
        rows = np.arange(first.size)
        low, high = self.progress[rows, first - 1], self.progress[rows, first]
        part = (wanted - low) / np.where(reached.any(axis=1), high - low, 1.0)
        return np.where(
            reached.any(axis=1),
            self.minutes[first - 1] + part * (self.minutes[first] - self.minutes[first - 1]),
            np.inf,
        )


LAW = "path and rate of lift: c(x) = c0((1 - rho) exp(-x) + rho), x = exp(eta) tau(t)"


def lift_ground(
    ground: Ground,
    developer_vol: float,
    draws: Mapping[str, Floats],
    *,
    longest_min: float,
    stacked: bool = False,
) -> Lift:
    """Compute the lift of a ground at a strength.

    Parameters
    ----------
    ground : its states and shares
    developer_vol : strength of the developer in the bowl, vol
    draws : shared standard normals, shape (64,) each
    longest_min : the label's longest time, min
    stacked : foils that lie on warm ones

    Returns
    -------
    Lift   by draw and minute, minutes 0 to twice the label by whole minutes
    """
    rate = make_rate(
        developer_vol,
        draws=draws,
        old_colour=ground.old_colour,
        gray_under=ground.gray_under,
        first_cm=ground.first_cm,
        stacked=stacked,
    )
    minutes = np.arange(0.0, 2 * longest_min + 1)
    worked = tau(minutes[None, :], n=rate.exponent[:, None])
    progress = np.exp(rate.eta)[:, None] * worked
    gained, stages = ground.stages()
    return Lift(gained, stages, progress, minutes)
