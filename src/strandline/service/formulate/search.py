"""The search for the mixture, clear and minutes that come nearest to an aim.

Branch and bound over the strength of each mixture: its colour at a few strengths says how near it
can come between them (`bounds`), and what lies between is looked at only where that is nearer
than the best found so far. The answer is the one that looking at every recipe gives; a test
looks at every one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.fibre import DYES
from strandline.service.formulate.bounds import Spans, least_away
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.mixtures import Mixtures, Strengths

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]
Blocks = Iterable[tuple[Sequence[Ground], Mixtures, Strengths]]
"""Mixtures with their strengths, and the grounds as they are under them."""

DIGITS = 3
"""Two recipes that agree to so many digits of dE00 are a tie."""
_CHUNK = 1024
_NODES = 4
_HALF_A_DIGIT = 0.5 * 10.0**-DIGITS
_WHITE = np.ones(3)


@dataclass(frozen=True, slots=True)
class Found:
    """A recipe found.

    Parameters
    ----------
    away : weighted mean dE00 of the grounds, rounded to `DIGITS`
    minutes, clear : min; parts of clear to one of the colour together
    index, parts : shades and their parts
    scale : of the undiluted mixture at full uptake [1]
    dyes : shape (D,)   it leaves on sound mids
    """

    away: float
    minutes: float
    clear: float
    index: tuple[int, ...]
    parts: tuple[float, ...]
    scale: float
    dyes: Floats = field(compare=False)

    @property
    def rank(self) -> tuple[float, int, float, float, tuple[int, ...], tuple[float, ...]]:
        """Give what decides between two: nearness, fewer shades, less time, less clear."""
        return (self.away, len(self.index), self.minutes, self.clear, self.index, self.parts)


class _Best:
    """The best recipe of one number of shades so far, which must beat those of fewer."""

    def __init__(self, fewer: float) -> None:
        self.found: Found | None = None
        self.fewer = fewer
        self.looked = 0

    @property
    def limit(self) -> float:
        """What a bound must be under to matter, ties kept."""
        own = np.inf if self.found is None else self.found.away + _HALF_A_DIGIT
        return min(own, self.fewer - _HALF_A_DIGIT)

    def offer(
        self, block: Mixtures, by: Strengths, rows: Indices, at: Indices, far: Floats
    ) -> None:
        """Keep the best of candidates: mixtures `rows` at strengths `at`, `far` from the aim."""
        self.looked += len(far)
        rounded = np.round(far, DIGITS)
        least = float(rounded.min(initial=np.inf))
        if not least < self.fewer:
            return
        for i in np.flatnonzero(rounded == least):
            row, step = int(rows[i]), int(at[i])
            one = Found(
                least,
                float(by.minutes[step]),
                float(by.clear[step]),
                tuple(int(x) for x in block.index[row]),
                tuple(float(x) for x in block.parts[row]),
                float(by.scale[step]),
                block.dyes[row] * by.scale[step],
            )
            if self.found is None or one.rank < self.found.rank:
                self.found = one


_Look = Callable[[Sequence[Ground], Mixtures, Strengths, Indices, _Best], None]


def search(blocks: Blocks) -> tuple[dict[int, Found], int]:
    """Find the nearest recipe for each number of shades, by branch and bound.

    Parameters
    ----------
    blocks : the mixtures, each block with its strengths and the grounds under it: one bowl goes on
        all of them, and their weighted mean dE00 is made least

    Returns
    -------
    best by number of shades, and how many recipes were looked at. A number of shades that
    fewer come as near as, or with no recipe within the rules, is left out
    """
    return _by_count(blocks, _bounded)


def look_at_all(blocks: Blocks) -> tuple[dict[int, Found], int]:
    """Find the same by looking at every recipe: the reference that `search` must equal."""
    return _by_count(blocks, _everything)


def _by_count(blocks: Blocks, look: _Look) -> tuple[dict[int, Found], int]:
    by_count: dict[int, list[tuple[Sequence[Ground], Mixtures, Strengths]]] = {}
    for grounds, block, by in blocks:
        by_count.setdefault(block.index.shape[1], []).append((grounds, block, by))
    found: dict[int, Found] = {}
    looked, fewer = 0, np.inf
    for count in sorted(by_count):
        best = _Best(fewer)
        for grounds, block, by in by_count[count]:
            for start in range(0, len(block), _CHUNK):
                rows = np.arange(start, min(start + _CHUNK, len(block)))
                look(grounds, block, by, rows, best)
        looked += best.looked
        if best.found is not None:
            found[count] = best.found
            fewer = best.found.away
    return found, looked


def _everything(
    grounds: Sequence[Ground], block: Mixtures, by: Strengths, rows: Indices, best: _Best
) -> None:
    for step in range(len(by.scale)):
        seen = _seen(grounds, block.dyes[rows] * by.scale[step])
        best.offer(block, by, rows, np.full(len(rows), step), _away(grounds, seen))


def _bounded(
    grounds: Sequence[Ground], block: Mixtures, by: Strengths, rows: Indices, best: _Best
) -> None:
    """Look at a few strengths of each mixture, then only between those that may hold better."""
    nodes = np.unique(np.linspace(0, len(by.scale) - 1, _NODES).astype(int))
    seen = [_seen(grounds, block.dyes[rows] * by.scale[node]) for node in nodes]
    for node, one in zip(nodes, seen, strict=True):
        best.offer(block, by, rows, np.full(len(rows), node), _away(grounds, one))
    row, low, high, spans = _first_spans(grounds, by.scale, rows, nodes, seen)
    while len(row):
        open_ = high - low > 1
        open_[open_] = least_away(grounds, spans.take(open_)) < best.limit
        row, low, high, spans = row[open_], low[open_], high[open_], spans.take(open_)
        if not len(row):
            return
        middle = (low + high) // 2
        between = np.concatenate(
            [
                _seen(grounds, block.dyes[part] * by.scale[at][:, None])
                for part, at in zip(_parts(row), _parts(middle), strict=True)
            ]
        )
        best.offer(block, by, row, middle, _away(grounds, between))
        first, second = spans.split(between, by.scale[middle] - by.scale[low])
        row = np.concatenate([row, row])
        low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
        spans = first.joined(second)


def _parts(array: Indices) -> list[Indices]:
    return [array[start : start + _CHUNK] for start in range(0, len(array), _CHUNK)]


def _first_spans(
    grounds: Sequence[Ground], scale: Floats, rows: Indices, nodes: Indices, seen: list[Floats]
) -> tuple[Indices, Indices, Indices, Spans]:
    """Give the stretches between the first strengths; before the weakest lies the bare hair."""
    bare = np.stack([ground.tristimulus(np.zeros((1, len(DYES)))) for ground in grounds], 1)
    points = [np.broadcast_to(bare, seen[0].shape), *seen]
    at = np.concatenate([[0.0], scale[nodes]])
    slopes = [
        (points[i + 1] - points[i]) / max(at[i + 1] - at[i], 1e-12) for i in range(len(nodes))
    ]
    slopes.append(np.zeros_like(seen[0]))
    inner = range(1, len(nodes))
    count, n = len(rows), len(nodes) - 1
    shape = (0, len(grounds), 3)
    spans = Spans(
        np.concatenate([points[i] for i in inner] or [np.empty(shape)]),
        np.concatenate([points[i + 1] for i in inner] or [np.empty(shape)]),
        np.repeat(np.diff(scale[nodes]), count),
        np.concatenate([slopes[i - 1] for i in inner] or [np.empty(shape)]),
        np.concatenate([slopes[i + 1] for i in inner] or [np.empty(shape)]),
    )
    return np.tile(rows, n), np.repeat(nodes[:-1], count), np.repeat(nodes[1:], count), spans


def _seen(grounds: Sequence[Ground], dyes: Floats) -> Floats:
    """Give X, Y, Z over the white's of each ground under M dyes, shape (M, G, 3)."""
    return np.stack([ground.tristimulus(dyes) for ground in grounds], axis=1)


def _away(grounds: Sequence[Ground], seen: Floats) -> Floats:
    """Give the weighted mean dE00, infinite where a rule is broken, shape (M,)."""
    whole = sum(ground.weight for ground in grounds)
    far = np.zeros(len(seen))
    for number, ground in enumerate(grounds):
        far += ground.weight / whole * ground.away(lab_from_xyz(seen[:, number], _WHITE))
    return far
