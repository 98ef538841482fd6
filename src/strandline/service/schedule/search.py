"""The best timing of a head, proven so: every way is walked or shown to be no better.

Block by block the ways branch: strength and delay of each band, then how the block comes out. A
way begun is left where its bound is no better than the best value known.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from strandline.base.errors import UnreachableError
from strandline.service.schedule.branch import Branches, below
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.rows import FIRST_RINSE, Head, Rows
from strandline.service.schedule.value import Ints, ranked
from strandline.service.schedule.walk import look_up, place

WIDE = 64
"""Ways kept at each block in the first, quick look for a good one."""
AT_ONCE = 8192
"""Ways walked together; more take memory, fewer take time."""

Stop = Callable[[], bool]
Progress = Callable[[float], None]


def never() -> bool:
    """Say that a search is not to be stopped."""
    return False


def unheard(share: float) -> None:
    """Take the share of a search that is done, and leave it."""


@dataclass(frozen=True, eq=False)
class Found:
    """The best way found.

    Parameters
    ----------
    head : the problem laid out
    row : one row of the walk, all blocks placed
    value : shape (6,)   whole numbers of the search
    order : the order of work
    rinses : s from the first parting: the first rinse where there are two, then the last
    proven : the search went to its end; nothing is better
    walked : ways begun that were looked at
    """

    head: Head
    row: Rows
    value: Ints
    order: tuple[int, ...]
    rinses: tuple[int, ...]
    proven: bool
    walked: int


def search(problem: Problem, stop: Stop = never, progress: Progress = unheard) -> Found:
    """Search every way to do a head.

    Parameters
    ----------
    problem : what may be chosen
    stop : asked often; once true the best found until then is given, not proven
    progress : told the share that is done [0-1]

    Returns
    -------
    Found   the least value, burdens within a step alike; of equal ones the first walked

    Raises
    ------
    UnreachableError   no so many strengths serve all blocks, or stopped before any way was found
    """
    run = _Search(Head(problem))
    branches = [Branches(run.head, order) for order in problem.run]
    for one in branches:
        run.quick(one)
    proven, step = True, 1.0 / len(branches)
    for index, one in enumerate(branches):
        told = partial(_tell, progress, index * step, step)
        proven = proven and run.through(one, stop, told)
    if run.best is None:
        raise UnreachableError(
            f"No {problem.most_strengths} strengths serve all blocks of this head."
            if proven
            else "The search was stopped before it found a way.",
            "Allow a strength more, or the same strength on more blocks."
            if proven
            else "Let it run a little longer.",
        )
    row, order, rinses = run.way
    return Found(run.head, row, run.best, order, rinses, proven, run.walked)


def _tell(progress: Progress, start: float, step: float, share: float) -> None:
    progress(start + step * share)


class _Search:
    """The best way found so far, and how it is looked for."""

    def __init__(self, head: Head) -> None:
        self.head = head
        self.best: Ints | None = None
        self.way: tuple[Rows, tuple[int, ...], tuple[int, ...]]
        self.walked = 0

    def quick(self, branches: Branches) -> None:
        """Keep few ways at each block and walk them to the end."""
        rows = branches.begin()
        for level in range(len(branches.order)):
            rows = self._further(branches, level, rows).take(slice(WIDE))

    def through(self, branches: Branches, stop: Stop, progress: Progress) -> bool:
        """Walk every way that may be better; say whether it came to its end."""
        waiting, done = [(0, branches.begin())], 0.0
        while waiting:
            if stop():
                return False
            level, rows = waiting.pop()
            share = float(rows.part.sum())
            rows = self._hopeful(rows)
            if len(rows):
                rows = self._further(branches, level, rows)
                many = len(branches.options[branches.order[level + 1]]) if len(rows) else 1
                size = max(1, AT_ONCE // max(1, many))
                chunks = [
                    rows.take(np.arange(at, min(at + size, len(rows))))
                    for at in range(0, len(rows), size)
                ]
                waiting += [(level + 1, chunk) for chunk in reversed(chunks)]
                share -= float(rows.part.sum())
            done += share
            progress(min(1.0, max(0.0, done)))
        return True

    def _hopeful(self, rows: Rows) -> Rows:
        if self.best is None:
            return rows
        return rows.take(below(rows.bound, self.best, self.head.alike))

    def _further(self, branches: Branches, level: int, rows: Rows) -> Rows:
        """Let every row go on by one block; the hopeful, the best first; none after the last."""
        rows = branches.poured(level, rows, self.best)
        b = branches.order[level]
        painted = place(self.head, rows, b, parts=branches.parts(level))
        rows = branches.parted(rows, b, painted)
        self.walked += len(rows)
        rows.bound = branches.bound(level, rows)
        rows = self._hopeful(rows)
        rows = rows.take(np.lexsort(ranked(rows.bound, self.head.alike).T[::-1]))
        if level + 1 < len(branches.order) or not len(rows):
            return rows
        self._finish(branches, rows)
        return rows.take(slice(0))

    def _finish(self, branches: Branches, rows: Rows) -> None:
        """Wipe and rinse what is in, and keep the best."""
        look_up(self.head, rows, wait=True)
        first, last, value = branches.rinsed(rows)
        alike = self.head.alike
        at = int(np.lexsort(ranked(value, alike).T[::-1])[0])
        if self.best is not None and not below(value[[at]], self.best, alike)[0]:
            return
        row = rows.take(np.array([at]))
        two = bool(np.any(row.by == FIRST_RINSE))
        rinses = (int(first[at]), int(last[at])) if two else (int(last[at]),)
        self.best, self.way = value[at], (row, branches.order, rinses)
