"""The numbers of `pictures.toml`."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import SourceError
from strandline.base.sources import cite, numbers, toml_beside

Floats = NDArray[np.float64]


@cache
def _document() -> dict[str, Any]:
    return toml_beside(__package__, "pictures.toml")


@cache
def constants(section: str) -> dict[str, float]:
    """Give the numbers of 'chart', 'fall', 'turn' or 'light' by name."""
    found = numbers(_document()[section], f"pictures.toml [{section}]")
    return {name: number.value for name, number in found.items()}


@cache
def body() -> tuple[tuple[str, ...], Floats, Floats, tuple[bool, ...]]:
    """Give the ellipsoids of the plain head.

    Returns
    -------
    names : B of them
    middle, half : shape (B, 3)   cm, to the right, to the front, up
    under : B   which of them the cape covers

    Raises
    ------
    SourceError   one without its unit or its source
    """
    found = _document()["body"]
    for one in found:
        if one.get("unit") != "cm":
            raise SourceError(f"'{one['name']}' is not in cm.", "Give it in cm.", "pictures.toml")
        cite(one["source"])
    middle = np.array([one["middle"] for one in found], dtype=float)
    half = np.array([one["half"] for one in found], dtype=float)
    middle.setflags(write=False)
    half.setflags(write=False)
    under = tuple(bool(one.get("cape", False)) for one in found)
    return tuple(one["name"] for one in found), middle, half, under
