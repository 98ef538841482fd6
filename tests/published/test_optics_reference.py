"""The optics against a reference library, published pairs, and the measured heads."""

from typing import Any

import numpy as np
import pytest

from strandline.salon.evidence.measured_hair import level_scale
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import srgb_from_lab
from strandline.science.colour.spectra import (
    CMF,
    D65,
    WAVELENGTHS_NM,
    cie_table,
)


def test_observer_and_light_cie15(colour: Any) -> None:
    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"]
    light = colour.SDS_ILLUMINANTS["D65"]
    for nm, weights, power in zip(WAVELENGTHS_NM, CMF, D65, strict=True):
        np.testing.assert_allclose(weights, observer[float(nm)], rtol=1e-11)
        assert power == pytest.approx(float(light[float(nm)]), rel=1e-12)


@pytest.mark.parametrize("row", range(34))
def test_difference_sharma2005_table1(row: int) -> None:
    pair = cie_table("ciede2000_pairs.csv")[row]
    assert delta_e00(pair[:3], pair[3:6]) == pytest.approx(pair[6], abs=1e-4)


def test_the_pairs_are_as_the_reference_library_has_them_sharma2005(colour: Any) -> None:
    pairs = cie_table("ciede2000_pairs.csv")
    expected = colour.difference.delta_E_CIE2000(pairs[:, :3], pairs[:, 3:6])
    np.testing.assert_allclose(pairs[:, 6], expected, atol=1e-4)


def test_screen_colour_iec61966(colour: Any) -> None:
    lab = np.array([[50.0, 10.0, 20.0], [25.0, 5.0, 9.0], [70.0, 2.0, 18.0], [90.0, -3.0, 8.0]])
    space = colour.RGB_COLOURSPACES["sRGB"]
    expected = colour.XYZ_to_sRGB(colour.Lab_to_XYZ(lab, space.whitepoint))
    # the reference rounds its matrix to four decimals, which shows in the fourth of the colour
    np.testing.assert_allclose(srgb_from_lab(lab), expected, atol=5e-4)


def test_level_scale_is_the_regression_on_eleven_heads() -> None:
    intercept, slope = level_scale()
    assert intercept == pytest.approx(2.3029, abs=0.0005)
    assert slope == pytest.approx(0.1893, abs=0.0001)
