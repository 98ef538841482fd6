"""Checks against a reference library of colour science, where it is installed.

It is a developer's tool (the extra `dev`); where it is missing these rows are left out.
"""

from __future__ import annotations

import importlib
import importlib.util
import warnings
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.salon.evidence.check import Check
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.lights import adapted, light
from strandline.science.colour.spaces import lab_from_reflectance, lab_from_xyz
from strandline.science.colour.spectra import WAVELENGTHS_NM, WHITE_XYZ, xyz
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.pigment import reflectance

Floats = NDArray[np.float64]

LIBRARY = "colour"
WHERE = "colour-science, 1,000 random spectra, seed 1994"


def installed() -> bool:
    """Say whether the library is there."""
    return importlib.util.find_spec(LIBRARY) is not None


@cache
def _library() -> Any:  # noqa: ANN401 - a library without types
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of each optional library that is not there
        return importlib.import_module(LIBRARY)


@cache
def _spectra() -> Floats:
    return np.random.default_rng(1994).random((1000, WAVELENGTHS_NM.size))


def _departure(found: Floats, expected: Floats) -> float:
    """Give the greatest departure, as a share of the value or of 1 where that is less."""
    return float(np.max(np.abs(found - expected) / np.maximum(np.abs(expected), 1.0)))


def _xyz() -> float:
    colour = _library()
    shape = colour.SpectralShape(380, 780, 5)
    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].copy().align(shape)
    day = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    expected = colour.msds_to_XYZ(_spectra(), observer, day, method="Integration", shape=shape)
    return _departure(xyz(_spectra()), expected)


def _lab() -> float:
    values = xyz(_spectra())
    expected = _library().XYZ_to_Lab(values / 100.0, WHITE_XYZ[:2] / WHITE_XYZ.sum())
    return _departure(lab_from_xyz(values), expected)


def _difference() -> float:
    lab = lab_from_reflectance(_spectra())
    expected = _library().difference.delta_E_CIE2000(lab, lab[::-1])
    return _departure(delta_e00(lab, lab[::-1]), expected)


def _adaptation() -> float:
    one = light("LED-B1")
    values = xyz(_spectra(), one.weights)
    expected = _library().adaptation.chromatic_adaptation_VonKries(
        values / 100.0, one.white_xyz / 100.0, WHITE_XYZ / 100.0, transform="CAT16"
    )
    return _departure(adapted(values, one.white_xyz), 100.0 * expected)


def _practice() -> float:
    """Give the worst dE00 of natural hair between this grid and the practice's own weights."""
    colour = _library()
    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"]
    spectra = reflectance(natural_palette(np.arange(1.0, 11.0)))
    values = []
    for row in spectra:
        one = colour.SpectralDistribution(dict(zip(WAVELENGTHS_NM, row, strict=True)))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it says that it puts all on the grid of the practice
            day = colour.SDS_ILLUMINANTS["D65"]
            values.append(colour.sd_to_XYZ(one, observer, day, method="ASTM E308"))
    white = colour.CCS_ILLUMINANTS["CIE 1964 10 Degree Standard Observer"]["D65"]
    expected = colour.XYZ_to_Lab(np.array(values) / 100.0, white)
    return float(np.max(delta_e00(lab_from_reflectance(spectra), expected)))


CHECKS: tuple[Check, ...] = (
    Check("Tristimulus values of random spectra, greatest departure", "standard", "cie15", 0.0,
          _xyz, 1e-6, locator=WHERE),
    Check("CIELAB of random spectra, greatest departure", "standard", "cie15", 0.0, _lab, 1e-6,
          locator=WHERE),
    Check("Colour difference of random spectra, greatest departure", "standard", "sharma2005",
          0.0, _difference, 1e-6, locator=WHERE),
    Check("Adaptation of random spectra from a warm LED, greatest departure", "standard",
          "li2017", 0.0, _adaptation, 1e-6, locator=WHERE),
    Check("Natural levels by this grid and by the weights of the practice: worst", "standard",
          "astm_e308", 0.0, _practice, 0.05, unit="dE00",
          locator="colour-science, 360-780 nm by 1 nm"),
)  # fmt: skip
"""Every check against the library, in the order shown; ask `installed` first."""
