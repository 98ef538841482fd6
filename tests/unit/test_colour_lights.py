import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.lights import lab_under, light, lights, seen_under, turned_by
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES, natural
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.pigment import reflectance


def test_daylight_is_the_light_of_every_other_function():
    spectra = reflectance(natural_palette([1.0, 5.0, 9.0]))
    np.testing.assert_allclose(lab_under(spectra, light("D65")), lab_from_reflectance(spectra))
    np.testing.assert_allclose(seen_under(spectra, light("D65")), lab_from_reflectance(spectra))
    np.testing.assert_allclose(turned_by(spectra, light("D65")), 0.0, atol=1e-9)


@pytest.mark.parametrize("name", list(lights()))
def test_a_gray_stays_gray_under_any_light(name):
    gray = np.full(81, 0.3)
    np.testing.assert_allclose(lab_under(gray, light(name))[1:], 0.0, atol=1e-9)
    np.testing.assert_allclose(seen_under(gray, light(name))[1:], 0.0, atol=1e-9)


def test_a_silver_that_holds_under_salon_light_turns_in_another():
    """Two dyes that leave pale hair near gray under a salon LED leave it elsewhere by daylight."""
    pale = natural(np.array([0.0]), 0.0).with_(progress=np.array([100.0]))
    dyes = np.zeros((1, len(DYES)))
    dyes[0, DYES.index("violet")], dyes[0, DYES.index("blue")] = 0.29, 0.3
    toned, bare = reflectance(pale.with_(dyes=dyes))[0], reflectance(pale)[0]
    assert turned_by(toned, light("LED-B2")) > 2.0 > turned_by(bare, light("LED-B2"))


def test_small_letters_and_spaces_are_forgiven():
    assert light(" led b2") is light("LED-B2")


def test_an_unknown_light_is_told_with_those_known():
    with pytest.raises(OutOfRangeError, match=r"'sun' is not known.*LED-B1"):
        light("sun")
