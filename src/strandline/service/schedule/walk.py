"""Many ways to do a head walked at once.

She places foil by foil. Before each she looks up: a block whose hour has come is wiped, by her
while the placing waits, or by a helper beside it. A bowl is made fresh when it is old or empty.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.service.schedule.rows import MINUTE, NEVER, Head, Rows
from strandline.service.schedule.value import COSTS, Ints

Which = NDArray[np.intp]


def in_for(
    head: Head, rows: Rows, b: int, which: Which, out: Ints, step: int
) -> list[tuple[Ints, Ints]]:
    """Give for each band of a block its rows of costs (n, 1) and the seconds in, (n, foils).

    Parameters
    ----------
    which : shape (n,)   rows that are looked at
    out : shape (n,)   when the block's first foil comes out, s
    step : by which each further one follows, s
    """
    starts = rows.starts[which, head.columns[b]]
    out = out[:, None] + step * np.arange(starts.shape[1]) - starts
    bands = range(head.bands[b].start, head.bands[b].stop)
    return [(rows.row[which, j, None], out - rows.delay[which, j, None]) for j in bands]


def cost(head: Head, rows: Rows, b: int, which: Which, out: Ints, step: int) -> Ints:
    """Give the costs of a block that comes out so, shape (n, 4); parameters as `in_for`."""
    whole = np.zeros((len(which), COSTS), dtype=np.int64)
    parts = zip(in_for(head, rows, b, which, out, step), head.weights[b], strict=True)
    for (row, seconds), weight in parts:
        each = head.tables.cost[row, np.maximum(seconds, 0)]
        whole[:, 0] += each[..., 0].sum(axis=1)
        whole[:, 1:] += np.einsum("ifk,f->ik", each[..., 1:], weight)
    return whole


def latest(head: Head, rows: Rows, b: int, which: Which, out: Ints, step: int) -> Ints:
    """Give the last time that costs no more past label and aim than `out` does, shape (n,)."""
    found = np.full(len(which), NEVER)
    for row, seconds in in_for(head, rows, b, which, out, step):
        room = head.tables.free[row, np.maximum(seconds, 0)] - seconds
        found = np.minimum(found, out + room.min(axis=1))
    return found


def earliest(head: Head, rows: Rows, b: int, which: Which, out: Ints, step: int) -> Ints:
    """Give the first time that is no shorter of the aim than `out` is, shape (n,)."""
    found = np.full(len(which), -NEVER)
    for row, seconds in in_for(head, rows, b, which, out, step):
        since = head.tables.same[row, np.maximum(seconds, 0)]
        spare = np.where(since > 0, seconds - since, NEVER)
        found = np.maximum(found, out - spare.min(axis=1))
    return found


def place(head: Head, rows: Rows, b: int, *, parts: bool) -> Ints:
    """Place a block in every row; give when the last of it is painted, shape (N,).

    Parameters
    ----------
    parts : a new section is parted first
    """
    hands, every = head.problem.hands, np.arange(len(rows))
    vols, delays = rows.vol[:, head.bands[b]], rows.delay[:, head.bands[b]]
    own = np.ones_like(vols, dtype=bool)  # not the strength of a band before it in the foil
    for j in range(1, vols.shape[1]):
        own[:, j] = np.all(vols[:, :j] != vols[:, j, None], axis=1)
    twice = np.any(delays > 0, axis=1) | np.any(own[:, 1:], axis=1)
    again = np.where(twice, hands.second, 0)
    for i, foil in enumerate(head.problem.blocks[b].foils):
        look_up(head, rows)
        seen = rows.now
        old = (seen[:, None] - rows.mixed > hands.bowl_seconds) | (rows.used >= hands.bowl_foils)
        fresh = old[every[:, None], vols] & own
        at = seen + hands.bowl * fresh.sum(axis=1) + (hands.section if parts and i == 0 else 0)
        for j in range(vols.shape[1]):
            f, o = fresh[:, j], own[:, j]
            rows.mixed[every[f], vols[f, j]] = at[f]
            rows.used[every[f], vols[f, j]] = 0
            rows.bowls[every[f], vols[f, j]] += 1
            rows.used[every[o], vols[o, j]] += 1
        rows.starts[:, head.columns[b].start + i] = at
        free = hands.helper & (rows.free <= seen)
        alone, helped = (hands.pace(foil.seconds, helped=one) for one in (False, True))
        rows.now = at + np.where(free, helped, alone) + again
    last = rows.starts[:, head.columns[b].stop - 1] + delays.max(axis=1)
    painted: Ints = np.maximum(rows.now, last)
    rows.ready = np.maximum(rows.ready, painted)
    return painted


def look_up(head: Head, rows: Rows, *, wait: bool = False) -> None:
    """Wipe what is due; with `wait` go on until all that is to be wiped is."""
    helper = head.problem.hands.helper
    while True:
        b = np.argmin(rows.due, axis=1)
        due = np.min(rows.due, axis=1)
        at = np.maximum(due, rows.free if helper else np.where(wait, rows.now, 0))
        go = np.flatnonzero((due < NEVER) & (wait | (at <= rows.now)))
        if not go.size:
            return
        if not helper:
            at = np.maximum(due, rows.now)
        for one in np.unique(b[go]):
            which = go[b[go] == one]
            _wipe(head, rows, int(one), which, at[which])


def _wipe(head: Head, rows: Rows, b: int, which: Which, at: Ints) -> None:
    hands = head.problem.hands
    rows.value[which, :COSTS] += cost(head, rows, b, which, at, hands.wipe) - rows.hoped[which, b]
    rows.out[which, b] = at
    rows.due[which, b] = NEVER
    done = at + hands.wipe * len(head.problem.blocks[b].foils)
    (rows.free if hands.helper else rows.now)[which] = done


def rinse(head: Head, rows: Rows, by: int, after: Ints) -> tuple[Ints, Ints]:
    """Give the best whole minute to rinse what comes out so, and its costs.

    Parameters
    ----------
    by : `RINSE` or `FIRST_RINSE`
    after : shape (N,)   not before this, s

    Returns
    -------
    s, shape (N,), a whole minute, and costs, shape (N, 4); the minute of `after` where nothing is

    Notes
    -----
    The first, second and fourth cost never fall with time, the third never rises. So the best
    time lies before the first two rise, and is the first at which the third is as small as there.
    """
    low = -(-after // MINUTE) * MINUTE
    at, high = low.copy(), np.full(len(rows), NEVER)
    sets = _out_by(head, rows, by)
    for b, which in sets:
        high[which] = np.minimum(high[which], latest(head, rows, b, which, low[which], 0))
    high = high // MINUTE * MINUTE
    for b, which in sets:
        first = -(-earliest(head, rows, b, which, high[which], 0) // MINUTE) * MINUTE
        at[which] = np.maximum(at[which], first)
    return at, rinsed_at(head, rows, by, at)


def rinsed_at(head: Head, rows: Rows, by: int, at: Ints) -> Ints:
    """Give the costs of all that comes out so at a minute, shape (N, 4)."""
    costs = np.zeros((len(rows), COSTS), dtype=np.int64)
    for b, which in _out_by(head, rows, by):
        costs[which] += cost(head, rows, b, which, at[which], 0)
    return costs


def _out_by(head: Head, rows: Rows, by: int) -> list[tuple[int, Which]]:
    found = [(b, np.flatnonzero(rows.by[:, b] == by)) for b in range(len(head.problem.blocks))]
    return [(b, which) for b, which in found if which.size]
