"""Checks on measured hair: spectra, named heads, each left out, a third instrument, melanin."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import ARITHMETIC
from strandline.salon.evidence.check import Check
from strandline.salon.evidence.heads import (
    BLACK,
    SAMPLE_LEVELS,
    from_colour,
    heads,
    left_out,
    named_heads,
    sample_lab,
)
from strandline.science.colour.difference import delta_e00
from strandline.science.fibre import natural
from strandline.science.hair.levels import amount_of_level, level_of_lightness, natural_palette
from strandline.science.hair.melanin import extinction
from strandline.science.hair.pigment import constants, lab
from strandline.science.hair.reading import read_pigment

Floats = NDArray[np.float64]

DARK_BROWN = (23.59, 3.87, 4.76)
"""Mean of ten readings of a dark brown tress, D65/10 (luster2000, Table III)."""
BLACK_TRESS = (21.55, 1.73, 1.67)
"""Mean of ten readings of a black tress, D65/10 (luster2000, beneath Table VIII)."""


def level_scale(without: str = "") -> tuple[float, float]:
    """Fit ln L* = intercept + slope level on the heads of known level, one left out if named."""
    rows = [(name, level, sample_lab(name)[0]) for name, level in SAMPLE_LEVELS.items()]
    rows += [(name, level, value[0]) for name, (level, value) in named_heads().items() if level]
    level, lightness = np.array([row[1:] for row in rows if row[0] != without], dtype=float).T
    slope, intercept = np.polyfit(level, np.log(lightness), 1)
    return float(intercept), float(slope)


def _from_level(name: str) -> float:
    level, value = named_heads()[name]
    return float(delta_e00(value, lab(natural_palette([level or 0.0], with_white=False))[0]))


def _from_level_of_others(name: str) -> float:
    level, value = named_heads()[name]
    intercept, slope = level_scale(without=name)
    meant = level_of_lightness(np.exp(intercept + slope * (level or 0.0)))
    names, colours = heads()
    others = [i for i, other in enumerate(names) if other != name and "red" not in other]
    warmth = float(read_pigment(colours[others]).slope.mean())
    return float(delta_e00(value, lab(natural(amount_of_level(meant), warmth))[0]))


def _sample_axis(name: str, axis: int) -> Callable[[], float]:
    return lambda: float(sample_lab(name)[axis])


def _left_out(
    form: str, what: Callable[[Floats], float], *, alone: bool = False, one_surface: bool = False
) -> float:
    found = left_out(form, one_surface=one_surface)
    return float(what(found.alone if alone else found.both))


def _two_pigments_more() -> float:
    return _left_out("two pigments", np.mean) - _left_out("amount and slope", np.mean)


def _within_two(differences: Floats) -> float:
    return 100.0 * float(np.mean(differences <= 2.0))


def _in_a_sphere(colour: tuple[float, float, float]) -> float:
    specular = constants()["optics"]["specular_sphere"].value
    return float(read_pigment(np.array([colour]), specular).difference[0])


_KNOWN = {
    "dark blond": "the other heads put a level 6 at L* 32.4, this one reads 25.8: heads that share "
    "a name spread wider than the level scale can follow",
}
_BOTH = "vrhel1994 and bohnert1998, fourteen heads, F from the others of the same instrument"
_ONE = "vrhel1994 and bohnert1998, fourteen heads, F from the thirteen others"

CHECKS: tuple[Check, ...] = (
    *(Check(f"Colour of sample red90, {axis}", "measured", "vrhel1994", value,
            _sample_axis("red90", i), 0.3, locator="red90, computed from its spectrum")
      for i, (axis, value) in enumerate((("L*", 38.47), ("a*", 12.94), ("b*", 23.13)))),
    Check("Colour of sample black83, L*", "measured", "vrhel1994", 12.82,
          _sample_axis("black83", 0), 0.3, locator="black83, computed from its spectrum"),
    Check("Colour of sample black83, chroma", "measured", "vrhel1994", 2.0,
          lambda: float(np.hypot(*sample_lab("black83")[1:])), 0.0, "at most",
          locator="black83, computed from its spectrum", unit="C*"),
    Check("Eumelanin, extinction at 450 over 650 nm", "measured", "sarna1988", 3.38,
          lambda: float(extinction("eumelanin", 450.0) / extinction("eumelanin", 650.0)),
          0.02 * 3.38),
    Check("Each head left out, two numbers fitted: mean", "measured", "vrhel1994", 1.2,
          partial(_left_out, "amount and slope", np.mean), 0.0, "at most", unit="dE00",
          locator=_BOTH),
    Check("Each head left out, two numbers fitted: worst", "measured", "vrhel1994", 3.0,
          partial(_left_out, "amount and slope", np.max), 0.0, "at most", unit="dE00",
          locator=_BOTH),
    Check("Each head left out, two numbers fitted: within 2", "measured", "vrhel1994", 80.0,
          partial(_left_out, "amount and slope", _within_two), 0.0, "at least", unit="%",
          locator=_BOTH),
    Check("Each head left out, one F for all of them: mean", "measured", "vrhel1994", 1.2,
          partial(_left_out, "amount and slope", np.mean, one_surface=True), 0.0, "at most",
          unit="dE00", locator=_ONE),
    Check("Each head left out, one F for all of them: worst", "measured", "vrhel1994", 3.0,
          partial(_left_out, "amount and slope", np.max, one_surface=True), 0.0, "at most",
          unit="dE00", locator=_ONE,
          failing="brown102 reflects .0113 at 400 nm, less than the surface of .0144 that the "
          "other heads ask for together; an F for each instrument, bounded, mends it"),
    Check("Each head left out, two melanins in place of amount and slope: more left in the mean",
          "measured", "vrhel1994", 0.0, _two_pigments_more, 0.0, "at least", unit="dE00",
          locator=_BOTH),
    Check("Fourteen heads, two numbers fitted, one F for all: worst", "measured", "vrhel1994", 3.0,
          lambda: float(np.max(read_pigment(heads()[1]).difference)),
          0.0, "at most", unit="dE00", locator="vrhel1994 and bohnert1998", fitted=True),
    Check("Dark brown tress in a sphere, a third instrument: two numbers fitted", "measured",
          "luster2000", 2.0, lambda: _in_a_sphere(DARK_BROWN), 0.0, "at most", unit="dE00",
          locator="Table III, ten degree observer"),
    Check("Black tress in a sphere, a third instrument: two numbers fitted", "measured",
          "luster2000", 2.0, lambda: _in_a_sphere(BLACK_TRESS), 0.0, "at most", unit="dE00",
          locator="reference reading beneath Table VIII"),
    *(Check(f"A head called {name}, from its level alone", "measured", "bohnert1998", 6.0,
            partial(_from_level, name), 0.0, "at most", unit="dE00", locator=name,
            fitted=True)
      for name, (level, _) in named_heads().items() if level and name != BLACK),
    *(Check(f"A head called {name}, from the level scale of the other heads", "measured",
            "bohnert1998", 6.0, partial(_from_level_of_others, name), 0.0, "at most",
            unit="dE00", locator=name, failing=_KNOWN.get(name, ""))
      for name, (level, _) in named_heads().items() if level and name != BLACK),
    Check("Fourteen heads, each left out, amount alone: mean", "regression", ARITHMETIC, 3.00,
          partial(_left_out, "amount and slope", np.mean, alone=True), 0.05, unit="dE00"),
    Check("The same with one F for all of them", "regression", ARITHMETIC, 2.30,
          partial(_left_out, "amount and slope", np.mean, alone=True, one_surface=True), 0.05,
          unit="dE00"),
    Check("Seven spectra from their daylight colour alone: root mean square of reflectance",
          "regression", ARITHMETIC, 0.0040, lambda: float(from_colour().rms.mean()), 0.0005),
    Check("Seven spectra from their daylight colour alone: under illuminant A, mean",
          "regression", ARITHMETIC, 0.82, lambda: float(from_colour().under_a.mean()), 0.05,
          unit="dE00"),
)  # fmt: skip
"""Every check on measured hair, in the order shown."""
