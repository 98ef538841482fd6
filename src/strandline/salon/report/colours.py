"""A colour for a page from a CIELAB of the plan."""

from __future__ import annotations

import numpy as np

from strandline.science.colour.spaces import hex_from_lab


def hex_of(lab: tuple[float, float, float]) -> str:
    """Give the sRGB of a CIELAB as '#rrggbb'."""
    return hex_from_lab(np.array([lab], dtype=float))[0]
