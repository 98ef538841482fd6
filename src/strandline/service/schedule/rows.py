"""Ways to do a head laid out as arrays, a row for each way."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from strandline.service.schedule.problem import Problem
from strandline.service.schedule.value import COSTS, MILLIONTHS, PLACES, Ints, Tables, tables_of

NEVER = 1 << 40
"""Seconds beyond any day."""
RINSE, WIPE, FIRST_RINSE = 0, 1, 2
MINUTE = 60


@dataclass(eq=False)
class Head:
    """A problem laid out for the walk."""

    problem: Problem

    @cached_property
    def tables(self) -> Tables:
        """The costs."""
        return tables_of(self.problem)

    @cached_property
    def columns(self) -> tuple[slice, ...]:
        """Which columns of the starts are a block's."""
        ends = np.cumsum([0, *(len(block.foils) for block in self.problem.blocks)])
        return tuple(slice(int(a), int(z)) for a, z in itertools.pairwise(ends))

    @cached_property
    def bands(self) -> tuple[slice, ...]:
        """Which columns of the strengths are a block's."""
        ends = np.cumsum([0, *(len(block.bands) for block in self.problem.blocks)])
        return tuple(slice(int(a), int(z)) for a, z in itertools.pairwise(ends))

    @cached_property
    def weights(self) -> tuple[tuple[Ints, ...], ...]:
        """By block and band the mg of hair in each foil, at least 1, shape (n,)."""
        return tuple(
            tuple(
                np.array([max(1, round(1000 * f.grams * band.share_of_all)) for f in block.foils])
                for band in block.bands
            )
            for block in self.problem.blocks
        )

    @cached_property
    def whole(self) -> int:
        """Hair in all, mg."""
        return int(sum(w.sum() for block in self.weights for w in block))

    @cached_property
    def alike(self) -> int:
        """The step in which burdens are compared, at least 1."""
        return max(1, round(self.problem.wishes.alike * MILLIONTHS * self.whole))

    @cached_property
    def chair(self) -> int:
        """Cost of a second in the chair."""
        return round(self.problem.wishes.chair_dose / 60 * MILLIONTHS * self.whole)


@dataclass(eq=False)
class Rows:
    """Ways begun, one a row; times in s from the first parting.

    Parameters
    ----------
    now, free, ready : shape (N,)   she, the helper, and the last stretch painted
    mixed, used, bowls : shape (N, V)   by strength: when, foils of it, how many
    starts : shape (N, F)   of foils
    due, out : shape (N, B)   of blocks to be wiped, when wiped; `NEVER` where not
    by : shape (N, B)   the way a block comes out, -1 before it is in
    vol, row, delay : shape (N, S)   of bands: strength, its row of costs, delay
    hoped : shape (N, B, 4)   cost of a block if it is wiped when due
    value : shape (N, 6)   known so far, with what is hoped
    bound : shape (N, 6)   never above the value of any way that goes on from here
    part : shape (N,)   share of all ways that go on from here
    """

    now: Ints
    free: Ints
    ready: Ints
    mixed: Ints
    used: Ints
    bowls: Ints
    starts: Ints
    due: Ints
    out: Ints
    by: Ints
    vol: Ints
    row: Ints
    delay: Ints
    hoped: Ints
    value: Ints
    bound: Ints
    part: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.now)

    def take(self, which: NDArray[np.intp] | NDArray[np.bool_] | slice) -> Rows:
        """Give some of them, as copies."""
        if isinstance(which, slice):
            which = np.arange(len(self))[which]
        return Rows(**{one.name: getattr(self, one.name)[which] for one in fields(self)})


def begin(head: Head) -> Rows:
    """Give the one row from which all ways go on."""
    blocks, vols = len(head.problem.blocks), len(head.problem.vols)
    foils, bands = head.columns[-1].stop, head.bands[-1].stop

    def full(value: int, *shape: int) -> Ints:
        return np.full((1, *shape), value, dtype=np.int64)

    return Rows(
        full(0),
        full(0),
        full(0),
        full(-NEVER, vols),
        full(0, vols),
        full(0, vols),
        full(0, foils),
        full(NEVER, blocks),
        full(NEVER, blocks),
        full(-1, blocks),
        full(0, bands),
        full(0, bands),
        full(0, bands),
        full(0, blocks, COSTS),
        full(0, PLACES),
        full(0, PLACES),
        np.ones(1),
    )


def joined(parts: Sequence[Rows]) -> Rows:
    """Put rows of several parts under one another."""
    names = [one.name for one in fields(Rows)]
    return Rows(**{n: np.concatenate([getattr(part, n) for part in parts]) for n in names})
