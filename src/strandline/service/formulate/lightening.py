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
from strandline.science.chemistry.lift import make_rate
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
        gained = np.linspace(0.0, FARTHEST, STEPS)
        n = len(self.states)
        grid = self.states.take(np.tile(np.arange(n), STEPS))
        more = np.repeat(gained, n)
        spectra = reflectance(lightened(grid, more)).reshape(STEPS, n, -1)
        mixed = np.array([area_mix(row, self.shares) for row in spectra])
        stage = stage_of_lightness(lab_from_reflectance(mixed)[:, 0])
        return gained, np.maximum.accumulate(np.asarray(stage))


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
        if stage <= self.stages[0]:
            return np.zeros(self.progress.shape[0])
        if stage > self.best_stage:
            return np.full(self.progress.shape[0], np.inf)
        index = int(np.argmax(self.stages >= stage))
        low, high = self.stages[index - 1], self.stages[index]
        part = (stage - low) / (high - low) if high > low else 1.0
        wanted = self.gained[index - 1] + part * (self.gained[index] - self.gained[index - 1])
        reached = self.progress >= wanted
        first = np.argmax(reached, axis=1)
        return np.where(reached.any(axis=1), self.minutes[first], np.inf)


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
    progress = np.stack([rate.progress(m) for m in minutes], axis=1)
    gained, stages = ground.stages()
    return Lift(gained, stages, progress, minutes)
