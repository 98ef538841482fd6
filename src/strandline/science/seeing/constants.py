"""The numbers of `seeing.toml`."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import Number, cite, numbers

Floats = NDArray[np.float64]
Kernel = tuple[tuple[float, float], ...]


@cache
def _document() -> dict[str, Any]:
    text = files(__package__ or "").joinpath("seeing.toml").read_text("utf-8")
    return tomllib.loads(text)


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
