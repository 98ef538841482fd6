"""How ways branch, and what the rest of a way costs at least.

The bound. Values are compared place by place, and sums keep that order. What is out already has
its value. A block to be wiped costs at least what it does when wiped at its own best time. Those
to be rinsed come out together, not before the rest is placed and wiped: their best common minute
from there on is looked up, with her time in the chair. A block not begun costs at least its own
best, foil for foil. The sum is therefore never above the value of any way that goes on.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from strandline.service.schedule.rows import (
    FIRST_RINSE,
    MINUTE,
    NEVER,
    RINSE,
    WIPE,
    Head,
    Rows,
    begin,
    joined,
)
from strandline.service.schedule.value import COSTS, PLACES, Ints, ranked
from strandline.service.schedule.walk import cost, earliest, latest, rinse, rinsed_at

Flags = NDArray[np.bool_]


def below(values: Ints, than: Ints, alike: int) -> Flags:
    """Say which values, shape (N, 6), are better than others, shape (6,) or (N, 6).

    `alike` is the step in which burdens are compared.
    """
    values, than = ranked(values, alike), ranked(np.atleast_2d(than), alike)
    than = np.broadcast_to(than, values.shape)
    better = np.zeros(len(values), dtype=bool)
    tie = ~better
    for j in range(values.shape[1]):
        better |= tie & (values[:, j] < than[:, j])
        tie &= values[:, j] == than[:, j]
    return better


@dataclass(frozen=True, eq=False)
class Option:
    """A strength and a delay for each band of a block, and the least that it can cost."""

    vols: tuple[int, ...]
    rows: tuple[int, ...]
    delays: tuple[int, ...]
    least: Ints


@dataclass(eq=False)
class Branches:
    """The ways of a head in one order of work."""

    head: Head
    order: tuple[int, ...]

    @cached_property
    def options(self) -> tuple[tuple[Option, ...], ...]:
        """By block every strength and delay that its bands may get."""
        tables, most = self.head.tables, self.head.problem.most_strengths
        out = []
        for b, block in enumerate(self.head.problem.blocks):
            each = [
                [
                    (int(v), int(places[v]), round(60 * delay))
                    for v in np.flatnonzero(places >= 0)
                    for delay in band.after_min
                ]
                for band, places in zip(block.bands, tables.row[b], strict=True)
            ]
            options = []
            for chosen in itertools.product(*each):
                vols, rows, delays = zip(*chosen, strict=True)
                if len(set(vols)) <= most:
                    twice = any(delays) or len(set(vols)) > 1
                    least = self._ideal(b, rows, delays, twice=twice)
                    options.append(Option(vols, rows, delays, least))
            out.append(tuple(options))
        return tuple(out)

    def _ideal(
        self, b: int, rows: tuple[int, ...], delays: tuple[int, ...], *, twice: bool
    ) -> Ints:
        """Give the least cost of a block, whenever it comes out and however it is interrupted.

        Foil after foil starts later by her pace at least, and comes out later by a wipe at most:
        so each is in for a gap less than the one before. None is in longer than is free of the
        first two costs; so long, the third is least; then as short as leaves it there.
        """
        tables, hands = self.head.tables, self.head.problem.hands
        foils, again = self.head.problem.blocks[b].foils, hands.second if twice else 0
        gaps = [hands.pace(f.seconds, helped=hands.helper) + again - hands.wipe for f in foils[:-1]]
        bands = list(zip(rows, delays, strict=True))
        free = min(delay + int(tables.free[row, 0]) for row, delay in bands)
        most = [free]
        for gap in gaps:
            most.append(min(free, most[-1] - gap))
        least = [-NEVER]
        for i, top in reversed(list(enumerate(most))):
            if i + 1 < len(most):
                least.insert(0, least[0] + gaps[i])
            for row, delay in bands:
                if top > delay and (since := int(tables.same[row, top - delay])):
                    least[0] = max(least[0], delay + since)
        whole = np.zeros(COSTS, dtype=np.int64)
        for (row, delay), weight in zip(bands, self.head.weights[b], strict=True):
            each = tables.cost[row, np.maximum(np.array(least) - delay, 0)]
            whole[0] += each[:, 0].sum()
            whole[1:] += weight @ each[:, 1:]
        return whole

    @cached_property
    def least(self) -> tuple[Ints, ...]:
        """By block the least that any of its options can cost, shape (4,)."""
        return tuple(
            np.array(min((option.least.tolist() for option in options), default=[0] * COSTS))
            for options in self.options
        )

    def begin(self) -> Rows:
        """Give the one row from which all ways go on."""
        rows = begin(self.head)
        for least in self.least:
            rows.bound[:, :COSTS] += least
        return rows

    def parts(self, level: int) -> bool:
        """Say whether a new section is parted before a block."""
        blocks, order = self.head.problem.blocks, self.order
        return level > 0 and blocks[order[level]].section != blocks[order[level - 1]].section

    def poured(self, level: int, rows: Rows, best: Ints | None) -> Rows:
        """Branch by the strengths and delays of the next block."""
        b, span = self.order[level], self.head.bands
        past = [j for one in self.order[:level] for j in range(span[one].start, span[one].stop)]
        size, places = len(self.head.problem.vols), span[-1].stop
        options = self.options[b]
        if not options:
            return rows.take(slice(0))
        vols = np.array([option.vols for option in options])
        poured = np.zeros((len(rows), size), dtype=bool)
        poured[np.arange(len(rows))[:, None], rows.vol[:, past]] = True
        more = np.zeros((len(options), size), dtype=bool)
        more[np.arange(len(options))[:, None], vols] = True
        count = (poured[:, None] | more).sum(axis=2)
        good = count <= self.head.problem.most_strengths
        if self.head.problem.one_run and level:
            before = self.order[level - 1]
            stands = np.zeros_like(poured)
            stands[np.arange(len(rows))[:, None], rows.vol[:, span[before]]] = True
            good &= ~np.any((poured & ~stands)[:, None] & more, axis=2)
        if best is not None:
            hopeful = np.repeat(rows.bound[:, None], len(options), axis=1)
            hopeful[..., :COSTS] += np.array([option.least - self.least[b] for option in options])
            hopeful[..., COSTS] = count
            good &= below(hopeful.reshape(-1, PLACES), best, self.head.alike).reshape(good.shape)
        which, option = np.nonzero(good)
        some = rows.take(which)
        some.part = some.part / len(options)
        some.value[:, COSTS] = count[good]
        some.vol[:, span[b]] = vols[option]
        some.row[:, span[b]] = np.array([one.rows for one in options])[option]
        some.delay[:, span[b]] = np.array([one.delays for one in options])[option]
        for i in range(vols.shape[1]):
            some.value[:, COSTS + 1] += vols[option, i] * size ** (places - 1 - len(past) - i)
        return some

    def parted(self, rows: Rows, b: int, painted: Ints) -> Rows:
        """Branch by how a block that is in comes out."""
        problem = self.head.problem
        may = np.full(len(rows), problem.blocks[b].may_wipe)
        if problem.most_wipes is not None:
            may &= np.sum(rows.by == WIPE, axis=1) < problem.most_wipes
        ways = problem.rinses + may.astype(float)
        kept = []
        for by in (RINSE, WIPE, FIRST_RINSE)[: problem.rinses + 1]:
            which = np.flatnonzero(may) if by == WIPE else np.arange(len(rows))
            some = rows.take(which)
            some.by[:, b] = by
            some.part = some.part / ways[which]
            if by == WIPE:
                self._set_due(some, b, painted[which])
            kept.append(some)
        return joined(kept)

    def _set_due(self, rows: Rows, b: int, painted: Ints) -> None:
        """Set when a block is best wiped, by itself, and what that costs."""
        step, all_of = self.head.problem.hands.wipe, np.arange(len(rows))
        end = latest(self.head, rows, b, all_of, painted, step)
        due = np.maximum(painted, earliest(self.head, rows, b, all_of, end, step))
        rows.due[:, b] = due
        rows.hoped[:, b] = cost(self.head, rows, b, all_of, due, step)
        rows.value[:, :COSTS] += rows.hoped[:, b]

    def bound(self, level: int, rows: Rows) -> Ints:
        """Give values that no way going on from a row falls below, shape (N, 6)."""
        problem = self.head.problem
        hands, rest = problem.hands, self.order[level + 1 :]
        foils = [foil for b in rest for foil in problem.blocks[b].foils]
        now = rows.now + sum(hands.pace(foil.seconds, helped=hands.helper) for foil in foils)
        now += hands.section * sum(self.parts(at) for at in range(level + 1, len(self.order)))
        left = np.where(rows.mixed > -NEVER, hands.bowl_foils - rows.used, 0).sum(axis=1)
        now += hands.bowl * np.maximum(0, -(-(len(foils) - left) // hands.bowl_foils))
        to_wipe = rows.due < NEVER
        takes = hands.wipe * np.array([len(block.foils) for block in problem.blocks])
        if not hands.helper:
            now += (to_wipe * takes).sum(axis=1)
        wiped = np.where(to_wipe, rows.due + takes, 0).max(axis=1)
        after = np.maximum.reduce([now, rows.ready, rows.free, wiped])
        bound = rows.value.copy()
        if problem.rinses > 1:
            bound[:, :COSTS] += rinse(self.head, rows, FIRST_RINSE, after)[1]
            after = after + np.where(np.any(rows.by == FIRST_RINSE, axis=1), hands.rinse, 0)
        last, costs = rinse(self.head, rows, RINSE, after)
        bound[:, :COSTS] += costs
        for b in rest:
            bound[:, :COSTS] += self.least[b]
        bound[:, COSTS - 1] += self.head.chair * last
        return bound

    def rinsed(self, rows: Rows) -> tuple[Ints, Ints, Ints]:
        """Give the first and the last rinse of ways all wiped, s, and their values, (N, 6).

        A first rinse is best at its own minute or before it, where the last one is waiting.
        """
        head, hands = self.head, self.head.problem.hands
        after = np.maximum.reduce([rows.now, rows.ready, rows.free])
        two = np.any(rows.by == FIRST_RINSE, axis=1)

        def worth(first: Ints) -> tuple[Ints, Ints]:
            last, costs = rinse(head, rows, RINSE, np.where(two, first + hands.rinse, after))
            value = rows.value.copy()
            value[:, :COSTS] += costs + rinsed_at(head, rows, FIRST_RINSE, first)
            value[:, COSTS - 1] += head.chair * last
            return last, value

        first = rinse(head, rows, FIRST_RINSE, after)[0]
        last, value = worth(first)
        low, at = -(-after // MINUTE) * MINUTE, first
        while np.any(two & (at > low)):
            at = np.maximum(low, at - MINUTE)
            sooner, other = worth(at)
            better = two & below(other, value, head.alike)
            first, last = np.where(better, at, first), np.where(better, sooner, last)
            value = np.where(better[:, None], other, value)
        return first, last, value
