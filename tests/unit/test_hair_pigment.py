"""Pigment to reflectance: the model's own algebra and its stated starting colours."""

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.fibre import DYES, NATURAL_SLOPE, natural
from strandline.science.hair.melanin import absorption_of_melanins, extinction, relative_extinction
from strandline.science.hair.pigment import (
    SPECULAR,
    absorption,
    constants,
    dye_bands,
    ks_from_reflectance,
    lab,
    reflectance,
    reflectance_from_ks,
)
from strandline.science.hair.reading import read_pigment
from strandline.science.hair.tracing import (
    fibre_absorption_of_colour,
    ks_of_fibre_absorption,
    roughness_factor,
)

AT_550 = int(np.flatnonzero(WAVELENGTHS_NM == 550)[0])


def test_every_constant_of_the_model_says_where_it_is_from() -> None:
    sections = constants()
    assert set(sections) == {"optics", "base", "mixing", "peak", "width"}
    assert all(
        number.unit and number.source for part in sections.values() for number in part.values()
    )


def test_ks_and_reflectance_undo_each_other() -> None:
    ks = np.geomspace(1e-4, 1e4, 41)
    np.testing.assert_allclose(ks_from_reflectance(reflectance_from_ks(ks)), ks, rtol=1e-6)
    assert reflectance_from_ks(np.array(0.0)) == 1.0
    assert reflectance_from_ks(np.array(np.inf)) == SPECULAR


def test_ks_refuses_light_that_is_the_surface_s_alone() -> None:
    with pytest.raises(OutOfRangeError, match=r"above the surface's 0\.0116"):
        ks_from_reflectance(np.array([0.01, 0.5]))
    with pytest.raises(OutOfRangeError, match="K/S is -1"):
        reflectance_from_ks(np.array([-1.0]))
    with pytest.raises(OutOfRangeError, match="K/S is nan"):
        reflectance_from_ks(np.array([np.nan]))


@pytest.mark.parametrize(
    ("white", "progress", "expected"),
    [
        (1.0, 0.0, (66.0, -0.5, 12.5)),
        (0.0, 1e3, (75.0, -0.2, 15.0)),
        (1.0, 1e3, (75.0, -0.6, 11.0)),
    ],
)
def test_bases_have_the_colours_they_are_set_to(
    white: float, progress: float, expected: tuple[float, float, float]
) -> None:
    bare = natural(np.array([0.0]), 0.0, white=white).with_(progress=np.array([progress]))
    np.testing.assert_allclose(lab(bare)[0], expected, atol=0.06)


def test_absorbers_add() -> None:
    fibre = natural(np.array([5.0]), NATURAL_SLOPE)
    dyes = np.zeros((1, len(DYES)))
    dyes[0, DYES.index("violet")] = 0.4
    old = fibre.with_(old_amount=np.array([3.0]), dyes=dyes)
    white = natural(np.array([0.0]), 0.0, white=1.0)
    assert (absorption(fibre) - absorption(white))[0, AT_550] == pytest.approx(5.0)
    more = absorption(old) - absorption(fibre)
    expected = 3.0 * np.exp(-NATURAL_SLOPE * (WAVELENGTHS_NM - 550)) + 0.4 * dye_bands()[1]
    np.testing.assert_allclose(more[0], expected)


def test_base_follows_old_colour_only_where_there_is_some() -> None:
    fibre = natural(np.array([0.0, 0.0]), 0.0, white=1.0)
    lifted = fibre.with_(old_progress=np.array([4.0, 4.0]), old_amount=np.array([0.0, 1e-12]))
    rows = lab(lifted)[:, 0]
    assert rows[0] == pytest.approx(66.0, abs=0.01)
    assert rows[1] > 73.0


def test_bands_peak_at_one_and_green_has_two() -> None:
    bands = dict(zip(DYES, dye_bands(), strict=True))
    for name in ("violet", "blue", "gold", "copper", "red"):
        peak = constants()["peak"][name].value
        assert bands[name].max() == pytest.approx(1.0, abs=0.01)
        assert abs(WAVELENGTHS_NM[bands[name].argmax()] - peak) <= 2.5
        half = np.interp(peak + constants()["width"][name].value / 2, WAVELENGTHS_NM, bands[name])
        assert half == pytest.approx(0.5, abs=0.01)
    green = bands["green"]
    assert green[WAVELENGTHS_NM == 420] > 0.99
    assert green[WAVELENGTHS_NM == 650] > 0.99
    assert green[WAVELENGTHS_NM == 535] < 0.05


@pytest.mark.parametrize(
    ("peak_nm", "amount", "expected"),
    [(575, 0.2, (67.7, 1.3, 12.1)), (575, 0.0, (71.2, 1.9, 18.0)), (575, 0.6, (62.7, None, 4.1))],
)
def test_violet_on_pale_yellow_takes_the_yellow_down(
    peak_nm: float, amount: float, expected: tuple[float, float | None, float]
) -> None:
    yellow = np.exp(-(WAVELENGTHS_NM - 550.0) / 60.0)
    band = np.exp(-4 * np.log(2) * ((WAVELENGTHS_NM - peak_nm) / 100.0) ** 2)
    pale = 0.1925 + 0.0797 * yellow + 0.12 * relative_extinction("pheomelanin")
    got = lab_from_reflectance(reflectance_from_ks(pale + amount * band))
    for value, aim in zip(got, expected, strict=True):
        if aim is not None:
            assert value == pytest.approx(aim, abs=0.4)


def test_melanin_meets_its_table_and_falls_with_wavelength() -> None:
    assert extinction("eumelanin", 458.67) == pytest.approx(10.173)
    assert extinction("pheomelanin", 700.47) == pytest.approx(0.797)
    for pigment in ("eumelanin", "pheomelanin"):
        curve = relative_extinction(pigment)
        assert np.all(np.diff(curve) < 0)
        assert curve[AT_550] == pytest.approx(1.0)
    with pytest.raises(OutOfRangeError, match="300-900 nm"):
        extinction("eumelanin", 0.55)


def test_two_pigments_give_the_table_of_levels_within_a_tenth() -> None:
    eumelanin = np.array([181.3, 68.55, 35.44, 20.24, 11.92, 6.955, 3.872, 1.927, 0.712, 0.0])
    table = [
        (12.09, 0.87, 1.48), (14.61, 1.87, 3.34), (17.65, 2.83, 5.34), (21.33, 3.74, 7.44),
        (25.77, 4.52, 9.59), (31.15, 5.10, 11.68), (37.64, 5.29, 13.53), (45.48, 4.80, 14.80),
        (54.96, 3.12, 14.81), (66.00, -0.51, 12.51),
    ]  # fmt: skip
    ks = absorption_of_melanins(eumelanin, 0.084 * eumelanin)
    np.testing.assert_allclose(lab_from_reflectance(reflectance_from_ks(ks)), table, atol=0.02)


def test_reading_finds_the_pigment_it_was_read_from() -> None:
    amount, slope = np.array([90.0, 15.0, 3.0]), np.array([0.004, 0.0119, 0.0071])
    found = read_pigment(lab(natural(amount, slope)))
    np.testing.assert_allclose(found.amount, amount, rtol=0.01)
    np.testing.assert_allclose(found.slope, slope, atol=1e-4)
    assert found.difference.max() < 0.02


def test_reading_with_a_given_slope_finds_the_amount_alone() -> None:
    found = read_pigment(lab(natural(np.array([12.0]), 0.009)), slope=0.009)
    assert found.amount[0] == pytest.approx(12.0, rel=0.01)
    assert found.slope[0] == 0.009
    with pytest.raises(OutOfRangeError, match="must be above 0"):
        read_pigment(np.array([[0.0, 1.0, 1.0]]))


def test_surface_lifts_black_hair_most() -> None:
    hair = natural(np.array([198.0, 2.0]), NATURAL_SLOPE)
    bare, sphere = lab(hair)[:, 0], lab(hair, specular=0.025)[:, 0]
    assert sphere[0] - bare[0] > 3.0 * (sphere[1] - bare[1]) > 0.0
    assert bare[0] == pytest.approx(12.0, abs=0.5)  # black hair at 45/45
    assert 18.0 <= sphere[0] <= 21.5  # and in a sphere, specular included
    assert reflectance(hair).min() > SPECULAR


def test_fibre_and_tress_agree_in_the_weak_limit() -> None:
    assert ks_of_fibre_absorption(1.0) == pytest.approx(17.34, abs=0.005)
    albedo = np.array([0.99, 0.97])
    ks = ks_of_fibre_absorption(fibre_absorption_of_colour(albedo))
    np.testing.assert_allclose(reflectance_from_ks(ks, 0.0), albedo, atol=2e-5)


def test_tracing_refuses_what_it_does_not_serve() -> None:
    with pytest.raises(OutOfRangeError, match="must be 0-1"):
        roughness_factor(1.5)
    with pytest.raises(OutOfRangeError, match="above 0"):
        fibre_absorption_of_colour([0.0, 0.5])
