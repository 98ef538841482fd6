"""The lights against a reference library and the colour temperatures the standard prints."""

import warnings
from typing import Any

import numpy as np
import pytest

from strandline.science.colour.lights import adapted, lab_under, light, lights
from strandline.science.colour.spectra import POWER, WAVELENGTHS_NM, WHITE_XYZ, xyz
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.pigment import reflectance


@pytest.mark.parametrize("name", list(POWER))
def test_power_of_each_illuminant_cie15(colour: Any, name: str) -> None:
    table = colour.SDS_ILLUMINANTS[name]
    expected = np.array([float(table[float(nm)]) for nm in WAVELENGTHS_NM])
    np.testing.assert_allclose(POWER[name], expected, rtol=1e-9)


@pytest.mark.parametrize("name", list(lights()))
def test_colour_temperature_cie15(colour: Any, name: str) -> None:
    """Within half a unit of the last printed digit or, for the fluorescent, of the last ten."""
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    functions = np.array([observer[float(nm)] for nm in WAVELENGTHS_NM])
    white = POWER[name] @ functions
    uv = colour.UCS_to_uv(colour.XYZ_to_UCS(white / white[1]))
    kelvin = float(colour.temperature.uv_to_CCT(uv, method="Ohno 2013")[0])
    away = 10.0 if name.startswith(("FL", "D")) else 1.0
    assert kelvin == pytest.approx(light(name).cct_k, abs=away)


def test_adaptation_li2017(colour: Any) -> None:
    values = xyz(reflectance(natural_palette(np.arange(1.0, 11.0))), light("LED-B1").weights)
    white = light("LED-B1").white_xyz
    expected = colour.adaptation.chromatic_adaptation_VonKries(
        values / 100.0, white / 100.0, WHITE_XYZ / 100.0, transform="CAT16"
    )
    np.testing.assert_allclose(adapted(values, white), 100.0 * expected, rtol=1e-6)


@pytest.mark.parametrize("name", list(lights()))
def test_lab_under_each_light_cie15(colour: Any, name: str) -> None:
    spectra = np.random.default_rng(15).random((50, 81))
    one = light(name)
    expected = colour.XYZ_to_Lab(
        xyz(spectra, one.weights) / 100.0, one.white_xyz[:2] / one.white_xyz.sum()
    )
    np.testing.assert_allclose(lab_under(spectra, one), expected, rtol=1e-6, atol=1e-6)


def test_this_grid_against_the_weighting_tables_astm_e308(colour: Any) -> None:
    """5 nm from 380 against the practice's own weights, on smooth spectra of hair."""
    from strandline.science.colour.difference import delta_e00
    from strandline.science.colour.spaces import lab_from_reflectance

    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"]
    spectra = reflectance(natural_palette(np.arange(1.0, 11.0)))
    values = []
    for row in spectra:
        one = colour.SpectralDistribution(dict(zip(WAVELENGTHS_NM, row, strict=True)))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it says that it puts all on the grid of the practice
            values.append(
                colour.sd_to_XYZ(one, observer, colour.SDS_ILLUMINANTS["D65"], method="ASTM E308")
            )
    white = colour.xy_to_XYZ(colour.CCS_ILLUMINANTS["CIE 1964 10 Degree Standard Observer"]["D65"])
    expected = colour.XYZ_to_Lab(np.array(values) / 100.0, colour.XYZ_to_xy(white))
    away = delta_e00(lab_from_reflectance(spectra), expected)
    assert np.max(away) < 0.05, away
