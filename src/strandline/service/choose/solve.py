"""The best choice for all places at once, by mixed integer programming (HiGHS), with its proof."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import StoppedError
from strandline.service.choose.problem import NEAR, Problem, Top
from strandline.service.schedule.search import Stop, never

Flags = NDArray[np.bool_]
Floats = NDArray[np.float64]

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


def best(problem: Problem, stop: Stop = never, *, gap: float = 0.0) -> Found | None:
    """Find the choice of most worth within all bounds.

    Parameters
    ----------
    problem : what there is to choose
    stop : asked as the search goes; True ends it
    gap : the search may end where nothing better than this share of the worth is left; 0 proves it

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
    for option, value in {**_OPTIONS, "mip_rel_gap": gap}.items():
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
    chosen = np.array(solver.getSolution().col_value)[: sum(k.size for k in kept)]
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
        rows += [top.adds[place] for _, top in problem.every_top]
        figures = np.array(rows)
        as_good = np.all(figures[:, :, None] >= figures[:, None, :], axis=0)  # [better, worse]
        equal = as_good & as_good.T
        first = np.triu(np.ones_like(as_good), 1)
        beats = as_good & (~equal | first.astype(bool))
        out.append(~beats.any(axis=0))
    return out


def _model(problem: Problem, kept: list[NDArray[np.intp]], highspy: Any) -> Any:  # noqa: ANN401 - untyped library
    """State a problem as columns and rows: a column for each choice, one for each sum to a top."""
    count = int(sum(k.size for k in kept))
    starts = np.concatenate([[0], np.cumsum([k.size for k in kept])])
    tops = list({id(top): top for _, top in problem.every_top}.values())
    place_of = {id(top): count + n for n, top in enumerate(tops)}
    rows: list[tuple[Floats, float, float]] = []

    def row(adds: tuple[Floats, ...], weighed: tuple[tuple[float, Top], ...] = ()) -> Floats:
        out = np.zeros(count + len(tops))
        out[:count] = np.concatenate([a[k] for a, k in zip(adds, kept, strict=True)])
        for weight, top in weighed:
            out[place_of[id(top)]] += weight
        return out

    for a, z in itertools.pairwise(starts):
        one = np.zeros(count + len(tops))
        one[a:z] = 1.0
        rows.append((one, 1.0, 1.0))
    rows += [(row(bound.adds, bound.tops), bound.least, bound.most) for bound in problem.bounds]
    rows += [(row(top.adds, ((-1.0, top),)), 0.0, np.inf) for top in tops]
    filled = [np.flatnonzero(one) for one, _, _ in rows]
    model = highspy.HighsLp()
    model.num_col_ = count + len(tops)
    model.num_row_ = len(rows)
    model.col_cost_ = -row(problem.worth, problem.tops)
    model.col_lower_ = np.concatenate([np.zeros(count), np.full(len(tops), -np.inf)])
    model.col_upper_ = np.concatenate([np.ones(count), [top.most for top in tops]])
    whole, real = highspy.HighsVarType.kInteger, highspy.HighsVarType.kContinuous
    model.integrality_ = [whole] * count + [real] * len(tops)
    model.row_lower_ = np.array([low for _, low, _ in rows])
    model.row_upper_ = np.array([high for _, _, high in rows])
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum([f.size for f in filled])])
    model.a_matrix_.index_ = np.concatenate(filled)
    model.a_matrix_.value_ = np.concatenate(
        [one[f] for (one, _, _), f in zip(rows, filled, strict=True)]
    )
    return model
