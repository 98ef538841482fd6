"""CIELAB, its cylinder, and the colour of a screen."""

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import (
    hex_from_lab,
    lab_from_reflectance,
    lab_from_xyz,
    lch_from_lab,
    srgb_from_lab,
    xyz_from_lab,
)
from strandline.science.colour.spectra import (
    D65,
    WAVELENGTHS_NM,
    WEIGHTS,
    WHITE_XYZ,
    on_grid,
    xyz,
)


def test_grid_runs_380_to_780_by_5() -> None:
    assert WAVELENGTHS_NM.tolist() == list(range(380, 785, 5))
    assert D65[WAVELENGTHS_NM == 560] == 100.0


def test_shared_tables_cannot_be_written() -> None:
    with pytest.raises(ValueError, match="read-only"):
        WHITE_XYZ[0] = 1.0


def test_perfect_white_has_Y_100_and_lab_100_0_0() -> None:
    white = np.ones(81)
    assert xyz(white)[1] == pytest.approx(100.0, abs=1e-12)
    assert lab_from_reflectance(white) == pytest.approx([100.0, 0.0, 0.0], abs=1e-12)


def test_xyz_keeps_leading_axes_and_is_linear() -> None:
    rng = np.random.default_rng(3)
    spectra = rng.random((2, 5, 81))
    assert xyz(spectra).shape == (2, 5, 3)
    np.testing.assert_allclose(xyz(spectra[0]) + xyz(spectra[1]), xyz(spectra.sum(axis=0)))
    assert WEIGHTS[:, 1].sum() == pytest.approx(100.0)


def test_xyz_refuses_another_grid() -> None:
    with pytest.raises(OutOfRangeError, match="must hold 81 values"):
        xyz(np.ones(31))


def test_on_grid_holds_the_ends_and_refuses_disorder() -> None:
    spectrum = on_grid(np.array([400.0, 700.0]), np.array([0.1, 0.4]))
    assert spectrum[0] == 0.1
    assert spectrum[-1] == 0.4
    assert spectrum[WAVELENGTHS_NM == 550] == pytest.approx(0.25)
    with pytest.raises(OutOfRangeError, match="do not rise"):
        on_grid(np.array([700.0, 400.0]), np.array([0.1, 0.4]))


def test_lab_is_continuous_where_the_cube_root_ends() -> None:
    t = (6.0 / 29.0) ** 3
    below, above = lab_from_xyz(np.array([[t - 1e-9] * 3, [t + 1e-9] * 3]) * WHITE_XYZ)
    np.testing.assert_allclose(below, above, atol=1e-4)


def test_lch_gives_hue_in_degrees_from_red() -> None:
    lch = lch_from_lab(np.array([[50.0, 0.0, 3.0], [50.0, 3.0, -4.0]]))
    assert lch[0] == pytest.approx([50.0, 3.0, 90.0])
    assert lch[1] == pytest.approx([50.0, 5.0, 306.8699], abs=1e-4)


def test_screen_shows_grays_without_tint() -> None:
    shown = srgb_from_lab(np.array([[0.0, 0, 0], [53.389, 0, 0], [100.0, 0, 0]]))
    np.testing.assert_allclose(shown.max(axis=1), shown.min(axis=1), atol=1e-9)
    np.testing.assert_allclose(shown[:, 0], [0.0, 0.5, 1.0], atol=1e-4)


def test_screen_keeps_lightness_and_hue_of_what_it_cannot_show() -> None:
    wild = np.array([60.0, -120.0, 90.0])
    encoded = srgb_from_lab(wild)
    assert encoded.min() >= 0.0
    assert encoded.max() <= 1.0
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    matrix = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    back = lch_from_lab(lab_from_xyz(matrix @ linear, matrix.sum(axis=1)))
    aimed = lch_from_lab(wild)
    assert back[0] == pytest.approx(60.0, abs=1e-3)
    assert back[2] == pytest.approx(aimed[2], abs=1e-3)
    assert 20.0 < back[1] < aimed[1]


def test_screen_refuses_a_lightness_it_has_not() -> None:
    with pytest.raises(OutOfRangeError, match="L\\* is 101"):
        srgb_from_lab(np.array([101.0, 0.0, 0.0]))


def test_hex_takes_one_or_many() -> None:
    assert hex_from_lab(np.array([100.0, 0.0, 0.0])) == ["#ffffff"]
    assert hex_from_lab(np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]])) == ["#000000", "#ffffff"]


def test_xyz_of_lab_goes_back() -> None:
    rng = np.random.default_rng(5)
    colours = rng.random((50, 3)) * 100.0
    np.testing.assert_allclose(xyz_from_lab(lab_from_xyz(colours)), colours, rtol=1e-12, atol=1e-12)
