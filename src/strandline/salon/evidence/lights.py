"""Checks of the lights: chromaticity and colour temperature, as the standard prints them."""

from __future__ import annotations

from functools import partial

import numpy as np

from strandline.base.sources import ARITHMETIC
from strandline.salon.evidence.check import Check
from strandline.science.colour.lights import adapted, light, lights, seen_under
from strandline.science.colour.spectra import POWER, WAVELENGTHS_NM, WHITE_XYZ

PRINTED = {
    "D65": (0.31382, 0.33100),
    "D50": (0.34773, 0.35952),
    "A": (0.45117, 0.40594),
    "FL2": (0.37925, 0.36733),
    "FL7": (0.31569, 0.32960),
    "FL11": (0.38541, 0.37123),
    "FL12": (0.44256, 0.39717),
}
"""Chromaticity x, y for the 10 degree observer, as the standard prints it."""


def _chromaticity(name: str, axis: int) -> float:
    white = light(name).white_xyz
    return float(white[axis] / white.sum())


def _planck_ratio() -> float:
    """Give the greatest departure of illuminant A from its defining equation, as a share."""
    c2_over_t = 1.435e7 / 2848.0
    shape = (560.0 / WAVELENGTHS_NM) ** 5 * np.expm1(c2_over_t / 560.0)
    defined = 100.0 * shape / np.expm1(c2_over_t / WAVELENGTHS_NM)
    return float(np.max(np.abs(POWER["A"] / defined - 1.0)))


def _gray_turned() -> float:
    gray = np.full(WAVELENGTHS_NM.size, 0.4)
    return max(float(np.hypot(*seen_under(gray, one)[1:])) for one in lights().values())


def _there_and_back() -> float:
    other = light("LED-B1").white_xyz
    value = np.array([30.0, 25.0, 12.0])
    back = adapted(adapted(value, WHITE_XYZ, other), other, WHITE_XYZ)
    return float(np.max(np.abs(back - value)))


CHECKS: tuple[Check, ...] = (
    *(Check(f"Chromaticity of {name}, {axis}", "standard", "cie15", printed[i],
            partial(_chromaticity, name, i), 0.0002,
            locator="10 degree observer; this grid is 5 nm from 380, the standard's 1 nm from 360")
      for name, printed in PRINTED.items() for i, axis in enumerate("xy")),
    Check("Illuminant A against its defining equation, greatest departure", "standard", "cie15",
          0.0, _planck_ratio, 1e-4),
    Check("A gray turned by any light after adaptation", "identity", ARITHMETIC, 0.0,
          _gray_turned, 1e-9, "at most", unit="C*"),
    Check("Adaptation to a light and back", "identity", ARITHMETIC, 0.0, _there_and_back, 1e-9,
          "at most"),
)  # fmt: skip
"""Every check of the lights, in the order shown."""
