"""Two scales, never one: the natural level, and the stage of lightened hair.

Both are read from lightness L*. A lightened orange has the lightness of a natural 7 or 8 and is
called 5; a function says in its name which of the two it means.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import cite, numbers, table
from strandline.science.fibre import NATURAL_SLOPE, Fibre, natural
from strandline.science.hair.pigment import lab

Floats = NDArray[np.float64]

LOWEST_STAGE, PALEST = 0.0, 10.5
FARTHEST_PROGRESS = 24.0
"""Progress at which nothing is left to gain: base and pigment are within 1e-5 of their ends."""
_STEP = 0.1
_HALVINGS = 40


@cache
def _document() -> dict[str, Any]:
    text = files(__package__ or "").joinpath("levels.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def _regression() -> dict[str, float]:
    entries = numbers(_document()["regression"], "levels.toml [regression]")
    return {name: entry.value for name, entry in entries.items()}


@cache
def _columns(section: str, across: str, down: str) -> tuple[Floats, Floats]:
    entry = _document()[section]
    cite(entry["source"])
    return np.array(entry[across], dtype=float), np.array(entry[down], dtype=float)


def lightness_of_level(level: ArrayLike) -> Floats:
    """Lightness of natural hair of a level.

    Parameters
    ----------
    level : shape (...)   natural level, 1-10, parts allowed

    Returns
    -------
    shape (...)   L*

    Raises
    ------
    OutOfRangeError   a level outside 1-10

    Notes
    -----
    ln L* = 2.3029 + .1893 level, fitted on eleven heads of levels 1-7; 8-10 are extrapolated,
    draw them as doubtful. Not valid for lightened hair.

    References
    ----------
    strandline_fit, on vrhel1994 and bohnert1998.
    """
    level = _within(level, 1.0, 10.0, "A natural level")
    fit = _regression()
    return np.asarray(np.exp(fit["intercept"] + fit["slope"] * level))


def level_of_lightness(lightness: ArrayLike) -> Floats:
    """Natural level of a lightness L* > 0, the inverse of `lightness_of_level`.

    Goes on past 1 and 10 along the same line, so that a reading outside the scale shows as one.

    Raises
    ------
    OutOfRangeError   L* of 0 or less
    """
    lightness = np.asarray(lightness, dtype=float)
    if not np.all(lightness > 0):
        raise OutOfRangeError(
            f"A lightness L* is {np.min(lightness):g}; it must be above 0.",
            "Read the hair again; black hair reads about 10 or more.",
        )
    fit = _regression()
    return np.asarray((np.log(lightness) - fit["intercept"]) / fit["slope"])


def level_of_lab(lab: ArrayLike) -> Floats:
    """Natural level of colours of shape (..., 3), from their lightness alone: shape (...)."""
    return level_of_lightness(np.asarray(lab, dtype=float)[..., 0])


def level_spread(level: ArrayLike) -> Floats:
    """How far a head may lie from the level its lightness says: one sd, in levels.

    Parameters
    ----------
    level : shape (...)   natural level

    Returns
    -------
    shape (...)   .82 at 5, .99 at 9, 1.05 at 10

    Notes
    -----
    Predictive sd of the regression, s sqrt(1 + 1/n + (level - mean)^2/S) over its slope.

    References
    ----------
    strandline_fit.
    """
    fit = _regression()
    away = (np.asarray(level, dtype=float) - fit["mean_level"]) ** 2 / fit["squares"]
    return np.asarray(fit["residual"] / fit["slope"] * np.sqrt(1.0 + 1.0 / fit["heads"] + away))


def amount_of_level(level: ArrayLike) -> Floats:
    """Amount of natural pigment of a level, on the white base with the natural slope.

    Parameters
    ----------
    level : shape (...)   natural level, 1-10

    Returns
    -------
    shape (...)   K/S at 550 nm; 0 at level 10

    Raises
    ------
    OutOfRangeError   a level outside 1-10

    Notes
    -----
    Read off a table by whole levels: its logarithm is linear between them up to 9, from 9 to 10
    the amount itself is. This is where a palette starts before anyone has read the hair.

    References
    ----------
    strandline_fit.
    """
    level = _within(level, 1.0, 10.0, "A natural level")
    levels, amounts = _columns("natural", "level", "amount")
    below = np.exp(np.interp(level, levels[:-1], np.log(amounts[:-1])))
    return np.asarray(np.where(level <= levels[-2], below, amounts[-2] * (levels[-1] - level)))


def natural_palette(levels: ArrayLike, *, with_white: bool = True) -> Fibre:
    """Start of a palette: virgin hair of each level, then white hair if asked.

    Parameters
    ----------
    levels : shape (n,)   natural levels, 1-10
    with_white : add one state that never had pigment, last

    Returns
    -------
    Fibre of n or n + 1 states

    Raises
    ------
    OutOfRangeError   a level outside 1-10
    """
    amounts = np.atleast_1d(amount_of_level(levels))
    white = np.zeros_like(amounts)
    if with_white:
        amounts, white = np.append(amounts, 0.0), np.append(white, 1.0)
    return natural(amounts, NATURAL_SLOPE, white=white)


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
    return _along(*_columns("stage", "stage", "lightness"), _within_stage(stage))


def stage_of_lightness(lightness: ArrayLike) -> Floats:
    """Stage of a lightness L* of lightened hair, the inverse of `lightness_of_stage`.

    Beyond 3 and 10.5 the end slopes go on: a figure below 3 or above 10.5 says by how far.
    """
    stages, values = _columns("stage", "stage", "lightness")
    return _along(values, stages, np.asarray(lightness, dtype=float))


def underlying(stage: float) -> tuple[str, str]:
    """Colour a stage is called by, and what neutralises it.

    Parameters
    ----------
    stage : 1-10.5, taken to the nearest whole stage, halves to the lighter; 10.5 as 10

    Returns
    -------
    (name, neutraliser)

    Raises
    ------
    OutOfRangeError   a stage outside 1-10.5

    References
    ----------
    underlying_chart.
    """
    whole = min(10, int(np.floor(float(_within(stage, 1.0, PALEST, "A stage")) + 0.5)))
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


def _along(across: Floats, down: Floats, at: Floats) -> Floats:
    """Piecewise linear with the end slopes carried on."""
    piece = np.clip(np.searchsorted(across, at, side="right") - 1, 0, across.size - 2)
    rise = (down[piece + 1] - down[piece]) / (across[piece + 1] - across[piece])
    return np.asarray(down[piece] + rise * (at - across[piece]))


def _within_stage(stage: ArrayLike) -> Floats:
    return _within(stage, LOWEST_STAGE, PALEST, "A stage")


def _within(value: ArrayLike, low: float, high: float, thing: str) -> Floats:
    array = np.asarray(value, dtype=float)
    outside = ~((array >= low) & (array <= high))
    if np.any(outside):
        raise OutOfRangeError(
            f"{thing} is {array[outside].flat[0]:g}; it must be {low:g}-{high:g}.",
            f"Give one from {low:g} to {high:g}, in parts if need be.",
        )
    return array
