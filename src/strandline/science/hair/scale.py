"""Tables of the two scales, and reading along them."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import cite, numbers, toml_beside

Floats = NDArray[np.float64]


@cache
def document() -> dict[str, Any]:
    """Load `levels.toml`."""
    return toml_beside(__package__, "levels.toml")


@cache
def regression() -> dict[str, float]:
    """Load the line of ln L* over natural level: intercept, slope, and its spread."""
    entries = numbers(document()["regression"], "levels.toml [regression]")
    return {name: entry.value for name, entry in entries.items()}


@cache
def columns(section: str, across: str, down: str) -> tuple[Floats, Floats]:
    """Load two columns of a table of `levels.toml`, whose source must be known.

    Raises
    ------
    SourceError   a table with an unknown source
    """
    entry = document()[section]
    cite(entry["source"])
    return np.array(entry[across], dtype=float), np.array(entry[down], dtype=float)


def along(across: Floats, down: Floats, at: Floats) -> Floats:
    """Read a piecewise linear table at any place, its end slopes carried on."""
    piece = np.clip(np.searchsorted(across, at, side="right") - 1, 0, across.size - 2)
    rise = (down[piece + 1] - down[piece]) / (across[piece + 1] - across[piece])
    return np.asarray(down[piece] + rise * (at - across[piece]))


def within(value: ArrayLike, low: float, high: float, thing: str) -> Floats:
    """Give the values as an array, or refuse those outside.

    Raises
    ------
    OutOfRangeError   a value outside low-high, or not a number
    """
    array = np.asarray(value, dtype=float)
    outside = ~((array >= low) & (array <= high))
    if np.any(outside):
        raise OutOfRangeError(
            f"{thing} is {array[outside].flat[0]:g}; it must be {low:g}-{high:g}.",
            f"Give one from {low:g} to {high:g}, in parts if need be.",
        )
    return array
