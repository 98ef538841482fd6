"""Checks against a path-traced curtain of hair, as its stored figures have it.

The tracing itself is checked live where the renderer is installed (the extra `stills`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, partial

import numpy as np
from numpy.typing import NDArray

from strandline.salon.evidence.check import Check
from strandline.salon.stills.study import (
    matched_absorption,
    model_lab,
    stored_albedo,
    stored_level_reflectance,
    stored_mix_fit,
    with_surface_of_a_tress,
)
from strandline.science.colour.spaces import lab_from_reflectance, lch_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.mixing import BLEND_RUN_MM

Floats = NDArray[np.float64]

HUE_DEGREES = 10.0
"""Our own bound, from memory: less does not change the name of a hair colour."""
LINKS = WEAK, MATCHED = "weak", "matched"
"""How a fibre gets its absorption from the tress model."""
PATTERNS = {
    "natural": "white at random",
    "clump_0.3mm": "clumps of .3 mm",
    "clump_2mm": "clumps of 2 mm",
}
"""How white lies among the pigmented, and the words for it."""
_BLACK = (
    "by the weak limit the fibres of black hair let no light through, and those of brown hair too "
    "little: traced light falls exponentially with a fibre's absorption, the tress model's only "
    "as one over K/S"
)
_REDDER = (
    "made as light as the model's, black hair is traced redder: its light comes from the far red "
    "alone"
)


@cache
def traced_lab(link: str) -> Floats:
    """Give CIELAB of levels 1 to 10 as traced, seen with the surface of a tress: shape (10, 3)."""
    albedo = stored_albedo()
    if link == WEAK:
        bare = with_surface_of_a_tress(stored_level_reflectance(), albedo.surface)
        return lab_from_reflectance(bare)
    return albedo.lab_of(matched_absorption(albedo, WAVELENGTHS_NM))


def _least_step(levels: Sequence[int]) -> float:
    lightness = traced_lab(WEAK)[np.array(levels) - 1, 0]
    return float(np.min(np.diff(lightness)))


def _turn(link: str, levels: Sequence[int]) -> float:
    """Give the greatest turn of hue between traced and model, degrees."""
    rows = np.array(levels) - 1
    turn = lch_from_lab(traced_lab(link)[rows])[:, 2] - lch_from_lab(model_lab()[rows])[:, 2]
    return float(np.max(np.abs((turn + 180.0) % 360.0 - 180.0)))


def _m0(link: str) -> float:
    return stored_mix_fit(link, by_tress=True).m0_mm


def _missed(link: str, pattern: str) -> float:
    return stored_mix_fit(link, by_tress=True).missed(pattern)


WEIGHT_MISSED = 0.05
"""Our own bound, from memory: for level 4 and white it is 1.3 in L* or less."""
_ALL = tuple(range(1, 11))
_LEVEL_4 = "white among level 4, shares .10 .25 .50 .75 .90, three curtains each"

CHECKS: tuple[Check, ...] = (
    Check("Traced curtain, same absorption, levels 2 to 10: least step in lightness", "standard",
          "mitsuba3", 0.0, partial(_least_step, _ALL[1:]), 0.0, "at least", unit="L*"),
    Check("Traced curtain, same absorption, levels 1 to 10: least step in lightness", "standard",
          "mitsuba3", 0.0, partial(_least_step, _ALL), 0.0, "at least", unit="L*",
          failing=_BLACK),
    Check("Traced curtain, same absorption, levels 6 to 10: greatest turn of hue", "standard",
          "mitsuba3", HUE_DEGREES, partial(_turn, WEAK, _ALL[5:]), 0.0, "at most", unit="degrees"),
    Check("Traced curtain, same absorption, levels 1 to 10: greatest turn of hue", "standard",
          "mitsuba3", HUE_DEGREES, partial(_turn, WEAK, _ALL), 0.0, "at most", unit="degrees",
          failing=_BLACK),
    Check("Traced curtain, as light as the model, levels 3 to 10: greatest turn of hue",
          "standard", "mitsuba3", HUE_DEGREES, partial(_turn, MATCHED, _ALL[2:]), 0.0, "at most",
          unit="degrees"),
    Check("Traced curtain, as light as the model, levels 1 to 10: greatest turn of hue",
          "standard", "mitsuba3", HUE_DEGREES, partial(_turn, MATCHED, _ALL), 0.0, "at most",
          unit="degrees", failing=_REDDER),
    *(Check(f"Run m0 of the gray mix, traced, pigment by the {link} link", "standard", "mitsuba3",
            BLEND_RUN_MM, partial(_m0, link), 0.02, unit="mm", locator=_LEVEL_4, fitted=True)
      for link in LINKS),
    *(Check(f"Weight of area in the gray mix, {words}: missed by m/(m + m0)", "standard",
            "mitsuba3", WEIGHT_MISSED, partial(_missed, WEAK, pattern), 0.0, "at most",
            locator=_LEVEL_4, fitted=pattern == "natural")
      for pattern, words in PATTERNS.items()),
)  # fmt: skip
"""Every check against the traced curtain, in the order shown."""
