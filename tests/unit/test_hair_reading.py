import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.forms import FORMS, IN_USE, fitted
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.hair.melanin import absorption_of_melanins
from strandline.science.hair.pigment import SPECULAR, reflectance_from_ks
from strandline.science.hair.reading import natural_reflectance, read_pigment, read_reflectance
from strandline.science.hair.search import Axis, nearest
from strandline.science.hair.wet import level_factor, wet_factor, wet_levels

AMOUNT, SLOPE = np.array([60.0, 12.0, 2.0]), np.array([0.004, 0.008, 0.013])


def test_a_spectrum_gives_back_its_amount_and_slope():
    reading = read_reflectance(natural_reflectance(AMOUNT, SLOPE))
    np.testing.assert_allclose(reading.amount, AMOUNT, rtol=0.01)
    np.testing.assert_allclose(reading.slope, SLOPE, atol=1e-4)
    assert np.all(reading.difference < 0.05)


@pytest.mark.parametrize("levels", [0.0, 1.0, 2.0])
def test_a_wet_reading_is_taken_back_to_dry(levels):
    wet = lab_from_reflectance(natural_reflectance(AMOUNT, SLOPE, wet_levels=levels))
    reading = read_pigment(wet, wet_levels=levels)
    np.testing.assert_allclose(reading.amount, AMOUNT, rtol=0.01)


def test_wet_hair_reads_about_a_level_darker():
    """A prior; the factor of a wet level is that of a level of pigment, so the scales are one."""
    dry = lab_from_reflectance(natural_reflectance(AMOUNT, SLOPE))
    wet = lab_from_reflectance(natural_reflectance(AMOUNT, SLOPE, wet_levels=1.0))
    levels = np.log(dry[:, 0] / wet[:, 0]) / 0.1893
    assert np.all((levels > 0.5) & (levels < 1.2))
    assert 1.7 < level_factor() < 2.0
    assert wet_factor(0.0) == 1.0
    assert wet_levels().spread > 0


def test_more_water_than_there_is_is_refused():
    with pytest.raises(OutOfRangeError, match="0-4"):
        wet_factor(5.0)


def test_two_melanins_are_found_where_they_made_the_colour():
    colours = lab_from_reflectance(
        reflectance_from_ks(absorption_of_melanins([8.0, 3.0], [1.0, 3.0]), SPECULAR)
    )
    share, left = fitted(FORMS["two pigments"], colours, SPECULAR)
    np.testing.assert_allclose(share, [1 / 9, 0.5], atol=0.03)
    assert np.all(left < 0.05)


def test_the_form_in_use_is_the_reading_of_the_science():
    colours = lab_from_reflectance(natural_reflectance(AMOUNT, SLOPE)) + 1.0
    slope, left = fitted(FORMS[IN_USE], colours, SPECULAR)
    reading = read_pigment(colours)
    np.testing.assert_allclose(left, reading.difference, atol=1e-3)
    np.testing.assert_allclose(slope, reading.slope, atol=1e-4)


def test_a_slope_that_is_given_is_kept():
    colours = lab_from_reflectance(natural_reflectance(AMOUNT, SLOPE))
    assert np.all(read_pigment(colours, slope=0.006).slope == 0.006)


def test_the_search_finds_two_numbers_anywhere_on_its_axes():
    aims = np.array([[0.0, 1.0], [3.33, 0.4], [10.0, 0.0]])

    def colour(one, two):
        return np.stack([50.0 + one, 20.0 * two, 5.0 + 0.0 * one], axis=-1)[:, None]

    wanted = colour(aims[:, 0], aims[:, 1])
    one, two, left = nearest(wanted, colour, Axis(0.0, 10.0, 21), Axis(0.0, 1.0, 11))
    np.testing.assert_allclose(np.stack([one, two], axis=1), aims, atol=2e-3)
    assert np.all(left < 0.01)
