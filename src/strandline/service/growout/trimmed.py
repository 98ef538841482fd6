"""The part line of hair that is cut so short that the cuts come into what is looked at.

Where the ends lie depends on the week and on the rate, not on what has grown alone: each week is
read by itself, and drawn rates at a few of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.palette import Coloured
from strandline.service.growout.part_line import lines_of
from strandline.service.growout.spread import OfStrands, Spread

Floats = NDArray[np.float64]
Lines = tuple[Floats, Floats, Floats, Floats, Floats]

RATES = 9
"""So many drawn rates are read, from the slowest to the fastest; a line is linear between them."""


def lines_by_week(
    look: Coloured, weekly: Sequence[Spread], worn: Floats, y: Floats, age: Floats, rate: float
) -> Lines:
    """Give what `lines_of` gives, shape (T, ...), each week by its own spread."""
    each = [
        lines_of(_in_week(look, t), spread, worn, y, age[t : t + 1], rate)
        for t, spread in enumerate(weekly)
    ]
    first, second, third, fourth, fifth = (np.concatenate(part) for part in zip(*each, strict=True))
    return first, second, third, fourth, fifth


def drawn_by_week(
    look: Coloured,
    hair: OfStrands,
    worn: Floats,
    y: Floats,
    when: tuple[Floats, Floats],
    rates: Floats,
) -> tuple[Floats, Floats, Floats]:
    """Line, line of growth alone and edge at many rates: each (D, T).

    Parameters
    ----------
    when : weeks since the day, and since the hair was last as on the day; each shape (T,)
    rates : shape (D,)   cm a week
    """
    week, age = when
    read = np.unique(np.quantile(rates, np.linspace(0.0, 1.0, min(RATES, len(rates)))))
    found = []
    for rate in read.tolist():
        weekly = [hair.in_week(w, a, rate) for w, a in zip(week, age, strict=True)]
        _, line, alone, steepest, _ = lines_by_week(look, weekly, worn, y, age, rate)
        found.append((line, alone, steepest))
    return tuple(_between(rates, read, np.stack(part)) for part in zip(*found, strict=True))  # type: ignore[return-value]


def _in_week(look: Coloured, t: int) -> Coloured:
    return replace(look, lengths=look.lengths[[0, t + 1]])


def _between(rates: Floats, read: Floats, values: Floats) -> Floats:
    return np.stack([np.interp(rates, read, column) for column in values.T], axis=1)
