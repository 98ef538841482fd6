"""Checks of the optics: observer, colour difference, pigment model, levels."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import ARITHMETIC, FROM_MEMORY
from strandline.salon.evidence.check import Check
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance, lab_from_xyz
from strandline.science.colour.spectra import WAVELENGTHS_NM, WHITE_XYZ, cie_table
from strandline.science.fibre import DYES, Fibre, natural, stack
from strandline.science.hair.levels import (
    lightened,
    natural_palette,
)
from strandline.science.hair.palette import merged
from strandline.science.hair.pigment import (
    SPECULAR,
    ks_from_reflectance,
    lab,
    reflectance_from_ks,
)
from strandline.science.hair.spread import (
    FACTORS,
    Asked,
    Deviations,
    delta_spread,
    deviations,
    drawn,
)
from strandline.science.hair.tracing import fibre_absorption_of_colour

Floats = NDArray[np.float64]


def _darkest() -> float:
    black = natural(np.geomspace(1.0, 1e8, 33), 0.0)
    return float(np.min(lab(black)[:, 0]))


def _least_step_of_levels() -> float:
    return float(np.min(np.diff(lab(natural_palette(np.arange(1, 10.01, 0.25)))[:-1, 0])))


def _mixed_states() -> Fibre:
    levels = natural_palette(np.arange(1.0, 11.0))
    return stack([lightened(levels, np.full(len(levels), x)) for x in (0.0, 1.0, 3.0, 8.0)])


def _greatest_rise_by_dye() -> float:
    states = _mixed_states()
    bare, rise = lab(states)[:, 0], -np.inf
    for column in range(len(DYES)):
        for amount in (0.01, 0.1, 1.0, 10.0):
            dyes = np.zeros_like(states.dyes)
            dyes[:, column] = amount
            rise = max(rise, float(np.max(lab(states.with_(dyes=dyes))[:, 0] - bare)))
    return rise


def _draws_over_slopes(asked: Asked, axis: int = 0) -> float:
    """Give the spread of an axis of CIELAB by the draws over that by the delta method."""

    def colour(z: Deviations) -> Floats:
        found = drawn(asked, z)
        return lab_from_reflectance(found.reflectance) + found.off

    named = [name for name in FACTORS if not name.startswith("read")]
    return float(colour(deviations()).std(axis=0)[axis] / delta_spread(colour, named)[axis])


def _worst_of_a_palette() -> float:
    """Merge 20,000 strands of forty foils, each of its own amount: worst dE00 from its entry."""
    random = np.random.default_rng(7)
    kinds, each = 40, 500
    amount = np.repeat(np.exp(random.uniform(-1.0, 4.0, kinds)), each)
    progress = np.repeat(random.uniform(0.0, 6.0, kinds), each)
    strands = natural(
        amount * np.exp(random.normal(0.0, 0.3, amount.size)),
        np.repeat(random.uniform(0.003, 0.0135, kinds), each),
    ).with_(progress=progress)
    palette = merged(strands)
    return float(np.max(delta_e00(lab(strands), lab(palette.states)[palette.index])))


def _gray_lightness() -> float:
    return float(lab_from_reflectance(np.full(WAVELENGTHS_NM.size, 0.18))[0])


def _pairs() -> Floats:
    return cie_table("ciede2000_pairs.csv")


def _pair(row: int) -> Callable[[], float]:
    return lambda: float(delta_e00(_pairs()[row, :3], _pairs()[row, 3:6]))


def _all_pairs() -> float:
    pairs = _pairs()
    return float(np.abs(delta_e00(pairs[:, :3], pairs[:, 3:6]) - pairs[:, 6]).max())


def _white(axis: int) -> float:
    return float(lab(natural(np.array([0.0]), 0.0, white=1.0))[0, axis])


_SPREAD_OF = {
    **{f"level {level}": Asked(float(level)) for level in range(1, 10)},
    "level 5 at stage 9": Asked(5.0, 9.0),
    "level 4, half white": Asked(4.0, gray=0.5),
}
_ONE_SIDED = "no hair has less than no pigment: half of the draws of level 10 stay where they are"
_BENT = (
    "a* rises faster with warmth than it falls: the law is bent over the spread of heads, and the "
    "draws, which are what is shown, are wider than its slope says"
)

_IDENTITIES = (
    Check("K/S of a body that reflects .5", "identity", ARITHMETIC, 0.25,
          lambda: float(ks_from_reflectance(np.array(0.5), 0.0)), 1e-9),
    Check("K/S of a body that reflects .2", "identity", ARITHMETIC, 1.6,
          lambda: float(ks_from_reflectance(np.array(0.2), 0.0)), 1e-9),
    Check("Reflectance of K/S .25", "identity", ARITHMETIC, 0.5,
          lambda: float(reflectance_from_ks(np.array(0.25), 0.0)), 1e-9),
    Check("Lightness of hair of endless pigment, its surface alone", "identity", ARITHMETIC, 10.3,
          lambda: float(lab(natural(np.array([1e12]), 0.0))[0, 0]), 0.2, unit="L*"),
    Check("Darkest of any amount of pigment: not below its surface", "identity", ARITHMETIC,
          float(lab_from_xyz(SPECULAR * WHITE_XYZ)[0]), _darkest, 1e-9, "at least", unit="L*"),
    Check("Levels 1 to 10 by quarters: least step in lightness", "identity", ARITHMETIC, 0.0,
          _least_step_of_levels, -1e-6, "at least", unit="L*"),
    *(Check(f"Spread of lightness, {words}: draws over the delta method", "identity", ARITHMETIC,
            1.0, partial(_draws_over_slopes, asked), 0.1)
      for words, asked in _SPREAD_OF.items()),
    Check("Spread of lightness, level 10: draws over the delta method", "identity", ARITHMETIC,
          1.0, partial(_draws_over_slopes, Asked(10.0)), 0.1, failing=_ONE_SIDED),
    Check("Spread of a*, level 6: draws over the delta method", "identity", ARITHMETIC,
          1.0, partial(_draws_over_slopes, Asked(6.0), 1), 0.1, failing=_BENT),
    Check("A palette of 20,000 strands: worst from its entry", "identity", ARITHMETIC,
          0.05, _worst_of_a_palette, 0.0, "at most", unit="dE00"),
    Check("Any dye on any hair: greatest rise in lightness", "identity", ARITHMETIC, 0.0,
          _greatest_rise_by_dye, 0.0, "at most", unit="L*"),
)  # fmt: skip

_STANDARDS = (
    Check("Lightness of a gray of 18 %", "standard", "cie15", 49.496, _gray_lightness, 0.01,
          unit="L*"),
    Check("White of D65, X", "standard", "astm_e308", 94.811, lambda: float(WHITE_XYZ[0]), 0.025,
          locator="white of D65, 10 degrees; this grid starts at 380 nm, not 360"),
    Check("White of D65, Z", "standard", "astm_e308", 107.304, lambda: float(WHITE_XYZ[2]), 0.025,
          locator="white of D65, 10 degrees; this grid starts at 380 nm, not 360"),
    *(Check(f"Colour difference, pair {row + 1}", "standard", "sharma2005",
            float(_pairs()[row, 6]), _pair(row), 1e-4, unit="dE00", locator=f"pair {row + 1}")
      for row in (0, 3, 6, 8, 10, 14, 16, 24, 28, 31, 33)),
    Check("Colour difference, all 34 pairs: greatest departure", "standard", "sharma2005", 0.0,
          _all_pairs, 1e-4, unit="dE00"),
    Check("Absorption of a fibre, colour .5, roughness .3", "standard", "chiang2016", 0.013857,
          lambda: float(fibre_absorption_of_colour(0.5, 0.3)), 1e-5),
)  # fmt: skip

_REGRESSIONS = (
    *(Check(f"White hair, {axis}", "regression", FROM_MEMORY, value, partial(_white, i), 0.1,
            fitted=True)
      for i, (axis, value) in enumerate((("L*", 66.0), ("a*", -0.5), ("b*", 12.5)))),
)  # fmt: skip

CHECKS: tuple[Check, ...] = (*_IDENTITIES, *_STANDARDS, *_REGRESSIONS)
"""Every check of the optics but those on measured hair, in the order shown."""
