"""The numbers of `seeing.toml`."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import Number, cite, numbers, toml_beside

Floats = NDArray[np.float64]
Kernel = tuple[tuple[float, float], ...]


@cache
def _document() -> dict[str, Any]:
    return toml_beside(__package__, "seeing.toml")


@cache
def constants(section: str) -> dict[str, Number]:
    """Give the numbers of 'line', 'contrast' or 'barten' by name."""
    return numbers(_document()[section], f"seeing.toml [{section}]")


@cache
def opponent_matrix() -> Floats:
    """Give XYZ to luminance, red-green, blue-yellow, shape (3, 3), as its authors wrote it."""
    entry = _document()["opponent"]
    cite(entry["source"])
    matrix = np.array(entry["matrix"], dtype=float)
    matrix.setflags(write=False)
    return matrix


@cache
def kernels() -> tuple[Kernel, Kernel, Kernel]:
    """Give (full width at half height in degrees, weight) of each channel's Gaussians."""
    entry = _document()["kernels"]
    cite(entry["source"])
    luminance, red_green, blue_yellow = (
        tuple((float(width), float(weight)) for width, weight in entry[name])
        for name in ("luminance", "red_green", "blue_yellow")
    )
    return luminance, red_green, blue_yellow
