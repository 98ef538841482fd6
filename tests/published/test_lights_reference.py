"""The lights against a reference library and the colour temperatures the standard prints."""

from typing import Any

import numpy as np
import pytest

from strandline.science.colour.lights import lab_under, light, lights
from strandline.science.colour.spectra import POWER, WAVELENGTHS_NM, xyz


@pytest.mark.parametrize("name", list(POWER))
def test_power_of_each_illuminant_cie15(colour: Any, name: str) -> None:
    table = colour.SDS_ILLUMINANTS[name]
    expected = np.array([float(table[float(nm)]) for nm in WAVELENGTHS_NM])
    np.testing.assert_allclose(POWER[name], expected, rtol=1e-9)


@pytest.mark.parametrize("name", list(lights()))
def test_colour_temperature_cie15(colour: Any, name: str) -> None:
    """Within 1 K; of the daylights and the fluorescent within 10 K.

    The standard prints the fluorescent to the nearest ten and calls the daylights by a round name;
    the nearest point of the locus is found there by another method than here.
    """
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    functions = np.array([observer[float(nm)] for nm in WAVELENGTHS_NM])
    white = POWER[name] @ functions
    uv = colour.UCS_to_uv(colour.XYZ_to_UCS(white / white[1]))
    kelvin = float(colour.temperature.uv_to_CCT(uv, method="Ohno 2013")[0])
    away = 10.0 if name.startswith(("FL", "D")) else 1.0
    assert kelvin == pytest.approx(light(name).cct_k, abs=away)


@pytest.mark.parametrize("name", list(lights()))
def test_lab_under_each_light_cie15(colour: Any, name: str) -> None:
    spectra = np.random.default_rng(15).random((50, 81))
    one = light(name)
    expected = colour.XYZ_to_Lab(
        xyz(spectra, one.weights) / 100.0, one.white_xyz[:2] / one.white_xyz.sum()
    )
    np.testing.assert_allclose(lab_under(spectra, one), expected, rtol=1e-6, atol=1e-6)
