"""The stage of lightened hair, and how far along its path a state has to go.

A stage is read from lightness L*. It is not a natural level: a lightened orange has the
lightness of a natural 7 or 8 and is called 5.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import table
from strandline.science.fibre import Fibre
from strandline.science.hair.pigment import lab
from strandline.science.hair.scale import along, columns, within

Floats = NDArray[np.float64]

LOWEST_STAGE, PALEST = 0.0, 10.5
FARTHEST_PROGRESS = 24.0
"""Progress at which nothing is left to gain: base and pigment are within 1e-5 of their ends."""
_STEP = 0.1
_HALVINGS = 40


def lightness_of_stage(stage: ArrayLike) -> Floats:
    """Lightness at which a stage of lightening is called.

    Parameters
    ----------
    stage : shape (...)   0-10.5, the last the palest; below 3 along the slope from 3 to 4

    Returns
    -------
    shape (...)   L*

    Raises
    ------
    OutOfRangeError   a stage outside 0-10.5

    Notes
    -----
    Linear between stages 3 4 5 6 7 8 9 10 10.5 = L* 24 30 37 45 52 58 64 71.2 74, a prior (from
    memory) until calibrated. The stages below 3 let a check that read too light be set back.
    """
    return along(
        *columns("stage", "stage", "lightness"), within(stage, LOWEST_STAGE, PALEST, "A stage")
    )


def stage_of_lightness(lightness: ArrayLike) -> Floats:
    """Stage of a lightness L* of lightened hair, the inverse of `lightness_of_stage`.

    Beyond 3 and 10.5 the end slopes go on: a figure below 3 or above 10.5 says by how far.
    """
    stages, values = columns("stage", "stage", "lightness")
    return along(values, stages, np.asarray(lightness, dtype=float))


def underlying(stage: float) -> tuple[str, str]:
    """Colour a stage is called by, and what neutralises it.

    Parameters
    ----------
    stage : 1-10.5, taken to the nearest half; a half is called by both its neighbours, the last
        half is the palest

    Returns
    -------
    (name, neutraliser)

    Raises
    ------
    OutOfRangeError   a stage outside 1-10.5

    References
    ----------
    underlying_chart; half stages are common practice, no source.
    """
    halves = int(np.floor(2.0 * float(within(stage, 1.0, PALEST, "A stage")) + 0.5))
    name, neutraliser = _charted(halves // 2)
    if halves >= 2 * PALEST:
        return "palest yellow", neutraliser
    if halves % 2 == 0:
        return name, neutraliser
    lighter, by = _charted(halves // 2 + 1)
    return f"{name} to {lighter}", by if by == neutraliser else f"{neutraliser} to {by}"


def _charted(whole: int) -> tuple[str, str]:
    for row in table("underlying_pigment").rows:
        if int(row["level"]) == whole:
            return row["underlying_pigment"], row["neutraliser"]
    raise OutOfRangeError(
        f"The chart of underlying pigment has no stage {whole}.", "Add its row to the chart."
    )


def stage_of(fibre: Fibre) -> Floats:
    """Stage at which N states would be called, shape (N,), from their lightness."""
    return stage_of_lightness(lab(fibre)[:, 0])


def lightened(fibre: Fibre, progress: Floats) -> Fibre:
    """Give states lightened further, natural pigment and old colour by the same progress.

    Parameters
    ----------
    fibre : N states
    progress : shape (N,)   added to what each has [1], >= 0

    Notes
    -----
    Dyes of glosses go as exp(-x) (from memory). Dose and porosity are left as they are: this is
    where the path leads, not what it costs.
    """
    progress = np.asarray(progress, dtype=float)
    return fibre.with_(
        progress=fibre.progress + progress,
        old_progress=np.where(fibre.old_amount > 0, fibre.old_progress + progress, 0.0),
        dyes=fibre.dyes * np.exp(-progress)[:, None],
    )


def progress_of_stage(stage: ArrayLike, fibre: Fibre) -> Floats:
    """Progress that states still need to reach a stage.

    Parameters
    ----------
    stage : shape () or (N,)   stage aimed at, 0-10.5
    fibre : N states

    Returns
    -------
    shape (N,)   progress to add to natural pigment and old colour alike [1]; 0 where the stage
    is reached, infinite where the state stalls below it

    Raises
    ------
    OutOfRangeError   a stage outside 0-10.5

    Notes
    -----
    First x with L*(x) = L*(stage): a walk in steps of .1, then bisection.
    """
    aim = np.broadcast_to(lightness_of_stage(stage), (len(fibre),))
    found = np.full(len(fibre), np.inf)
    open_ = np.arange(len(fibre))
    for x in np.arange(0.0, FARTHEST_PROGRESS + _STEP, _STEP):
        states = fibre.take(open_)
        there = _lightness_at(states, np.full(open_.size, x)) >= aim[open_]
        found[open_[there]] = x
        open_ = open_[~there]
        if open_.size == 0:
            break
    between = np.flatnonzero(np.isfinite(found) & (found > 0))
    if between.size:
        found[between] = _refined(fibre.take(between), aim[between], found[between])
    return found


def _refined(fibre: Fibre, aim: Floats, above: Floats) -> Floats:
    low, high = above - _STEP, above
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        there = _lightness_at(fibre, middle) >= aim
        low, high = np.where(there, low, middle), np.where(there, middle, high)
    return high


def _lightness_at(fibre: Fibre, progress: Floats) -> Floats:
    return np.asarray(lab(lightened(fibre, progress))[:, 0])
