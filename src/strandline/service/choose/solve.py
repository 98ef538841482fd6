"""The best choice for all places at once, by mixed integer programming (HiGHS), with its proof."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import StoppedError
from strandline.service.choose.problem import NEAR, Problem
from strandline.service.schedule.search import Stop, never

Flags = NDArray[np.bool_]

GAP = 1e-9
"""Nothing better than this, of the worth itself, is left unsearched."""


@dataclass(frozen=True, slots=True)
class Found:
    """The best choice.

    Parameters
    ----------
    picks : of each place
    worth : what it comes to
    gap : what a better one could still add; 0 where it is proven best
    """

    picks: tuple[int, ...]
    worth: float
    gap: float


def best(problem: Problem, stop: Stop = never) -> Found | None:
    """Find the choice of most worth within all bounds.

    Parameters
    ----------
    problem : what there is to choose
    stop : asked as the search goes; True ends it

    Returns
    -------
    Found, or None where no choice keeps the bounds

    Raises
    ------
    StoppedError   the search was stopped

    Notes
    -----
    maximise sum w x, x binary, one x of each place, every bound kept. A choice that another of the
    same place beats in worth and in every bound is left out first; equal ones keep the first.
    """
    highspy: Any = import_module("highspy")  # slow and without types

    if stop():
        raise _stopped()
    kept = [np.flatnonzero(flags) for flags in _undominated(problem)]
    solver = highspy.Highs()
    for option, value in _OPTIONS.items():
        solver.setOptionValue(option, value)
    if stop is not never:
        solver.cbMipInterrupt.subscribe(lambda event: event.interrupt(stop()))
    solver.passModel(_model(problem, kept, highspy))
    solver.run()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInterrupt:
        raise _stopped()
    if status != highspy.HighsModelStatus.kOptimal:
        return None
    chosen = np.array(solver.getSolution().col_value)
    ends = np.cumsum([k.size for k in kept])
    parts = np.split(chosen, ends[:-1])
    picks = tuple(int(k[np.argmax(x)]) for k, x in zip(kept, parts, strict=True))
    worth = problem.worth_of(picks)
    bound = -solver.getInfo().mip_dual_bound
    return Found(picks, worth, max(0.0, float(bound) - worth) if np.isfinite(bound) else 0.0)


_OPTIONS = {
    "output_flag": False,
    "threads": 1,
    "random_seed": 0,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": GAP,
    "mip_feasibility_tolerance": NEAR,
}


def _stopped() -> StoppedError:
    return StoppedError("The search was stopped.", "Start it again when there is time.")


def _undominated(problem: Problem) -> list[Flags]:
    """Say which choices of each place no other one beats, shape (choices,) each."""
    out = []
    for place, worth in enumerate(problem.worth):
        rows = [worth]
        for bound in problem.bounds:
            adds = bound.adds[place]
            if np.isfinite(bound.most):
                rows.append(-adds)
            if np.isfinite(bound.least):
                rows.append(adds)
        figures = np.array(rows)
        as_good = np.all(figures[:, :, None] >= figures[:, None, :], axis=0)  # [better, worse]
        equal = as_good & as_good.T
        first = np.triu(np.ones_like(as_good), 1)
        beats = as_good & (~equal | first.astype(bool))
        out.append(~beats.any(axis=0))
    return out


def _model(problem: Problem, kept: list[NDArray[np.intp]], highspy: Any) -> Any:  # noqa: ANN401 - untyped library
    count = int(sum(k.size for k in kept))
    starts = np.concatenate([[0], np.cumsum([k.size for k in kept])])
    rows, low, high = [], [], []
    for a, z in itertools.pairwise(starts):
        one = np.zeros(count)
        one[a:z] = 1.0
        rows.append(one)
        low.append(1.0)
        high.append(1.0)
    for bound in problem.bounds:
        rows.append(np.concatenate([a[k] for a, k in zip(bound.adds, kept, strict=True)]))
        low.append(bound.least)
        high.append(bound.most)
    matrix = np.array(rows)
    filled = [np.flatnonzero(row) for row in matrix]
    model = highspy.HighsLp()
    model.num_col_ = count
    model.num_row_ = len(rows)
    worth = np.concatenate([w[k] for w, k in zip(problem.worth, kept, strict=True)])
    model.col_cost_ = -worth
    model.col_lower_ = np.zeros(count)
    model.col_upper_ = np.ones(count)
    model.integrality_ = [highspy.HighsVarType.kInteger] * count
    model.row_lower_ = np.array(low)
    model.row_upper_ = np.array(high)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum([f.size for f in filled])])
    model.a_matrix_.index_ = np.concatenate(filled)
    model.a_matrix_.value_ = np.concatenate([row[f] for row, f in zip(matrix, filled, strict=True)])
    return model
