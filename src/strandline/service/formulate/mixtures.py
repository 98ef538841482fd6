"""Mixtures of a shelf: at most three shades of one kind in parts that are weighed, as dyes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from strandline.science.chemistry.deposit import uptake
from strandline.science.fibre import DYES
from strandline.service.formulate.rules import Steps

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

MOST_SHADES = 3
MOST_TRIED = 2
"""Shades in a bowl of a shade that is only tried."""
_SAME = 1e-12
_VIOLET, _BLUE = DYES.index("violet"), DYES.index("blue")


@dataclass(frozen=True)
class Colour:
    """A shade as the search sees it.

    Parameters
    ----------
    dyes : shape (D,)   at full uptake, K/S at each band's peak, over `DYES`
    kind : as `chemistry` names it
    label_min : longest time on its label, min
    """

    dyes: Floats
    kind: str
    label_min: float


@dataclass(frozen=True)
class Mixtures:
    """M mixtures of one kind, one number of shades and one label.

    Parameters
    ----------
    index : shape (M, k)   which shades, rising
    parts : shape (M, k)   of each
    dyes : shape (M, D)    of the mixture undiluted at full uptake
    kind, label_min : of all of them
    """

    index: Indices
    parts: Floats
    dyes: Floats
    kind: str
    label_min: float

    def __len__(self) -> int:
        """Give the number of mixtures."""
        return len(self.index)


@dataclass(frozen=True)
class Strengths:
    """The strengths a mixture can come to: minutes and clear, weakest first.

    Parameters
    ----------
    scale : shape (S,)     of the undiluted mixture at full uptake [1], rising
    minutes : shape (S,)   it is on
    clear : shape (S,)     parts of clear to one part of the colour together
    """

    scale: Floats
    minutes: Floats
    clear: Floats


def mixtures(
    colours: Sequence[Colour], steps: Steps, *, violet_first: bool, new_from: int | None = None
) -> Iterator[Mixtures]:
    """Give every mixture of a shelf, by kind, number of shades and label.

    Parameters
    ----------
    colours : the shades, clear left out
    steps : parts that are weighed
    violet_first : only mixtures that hold at least as much violet as blue
    new_from : from this shade on they are tried: only mixtures of one of them, alone or with one
        of those before; None where all stand there

    Notes
    -----
    Shades of two kinds are never mixed: each has its own developer and clock.
    """
    parts = {1: ((1.0,),), 2: steps.pairs, 3: steps.triples}
    for kind in sorted({one.kind for one in colours}):
        members = [i for i, one in enumerate(colours) if one.kind == kind]
        for count in range(1, min(MOST_SHADES, len(members)) + 1):
            chosen = _chosen(members, count, new_from)
            if not len(chosen):
                continue
            weights = np.array(parts[count])
            yield from _of_one_count(colours, chosen, weights, kind, violet_first=violet_first)


def _chosen(members: Sequence[int], count: int, new_from: int | None) -> Indices:
    """Give which shades meet in a bowl, shape (C, count)."""
    if new_from is None:
        return np.array(list(combinations(members, count)), dtype=np.intp)
    held = [(one,) for one in members if one < new_from] if count == MOST_TRIED else [()]
    tried = [one for one in members if one >= new_from] if count <= MOST_TRIED else []
    rows = [(*before, one) for before in held for one in tried]
    return np.array(rows, dtype=np.intp).reshape(-1, count)


def _of_one_count(
    colours: Sequence[Colour], chosen: Indices, weights: Floats, kind: str, *, violet_first: bool
) -> Iterator[Mixtures]:
    dyes = np.array([one.dyes for one in colours])[chosen]
    labels = np.array([one.label_min for one in colours])[chosen].min(axis=1)
    share = weights / weights.sum(axis=1, keepdims=True)
    mixed = np.einsum("pk,ckd->cpd", share, dyes)
    index = np.repeat(chosen[:, None], len(weights), axis=1)
    parts = np.broadcast_to(weights, index.shape)
    keep = np.ones(mixed.shape[:2], dtype=bool)
    if violet_first:
        keep = mixed[..., _VIOLET] >= mixed[..., _BLUE] - 1e-12
    for label in np.unique(labels):
        here = keep & (labels == label)[:, None]
        if here.any():
            yield Mixtures(index[here], parts[here], mixed[here], kind, float(label))


def strengths(
    kind: str, label_min: float, minutes: Sequence[float], clears: Sequence[float]
) -> Strengths:
    """Give the strengths of mixtures of a kind and label, weakest first.

    Parameters
    ----------
    kind, label_min : of the mixture
    minutes : looked at, none past the label
    clears : parts of clear to one part of the colour together

    Notes
    -----
    Of two that come to the same strength the shorter stays.
    """
    on, clear = np.meshgrid(np.array(minutes, dtype=float), np.array(clears), indexing="ij")
    scale = (uptake(on, label_min, kind) / (1.0 + clear)).ravel()
    order = np.lexsort((clear.ravel(), on.ravel(), np.round(scale, 12)))
    scale, at, more = scale[order], on.ravel()[order], clear.ravel()[order]
    new = np.append(True, np.diff(scale) > _SAME)
    return Strengths(scale[new], at[new], more[new])
