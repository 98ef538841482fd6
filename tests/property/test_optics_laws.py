"""Laws that the optics keep for any hair: energy, order, round trips, symmetry."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance, lab_from_xyz, xyz_from_lab
from strandline.science.fibre import DYES, Fibre, natural
from strandline.science.hair.levels import lightened, progress_of_stage, stage_of
from strandline.science.hair.mixing import area_mix, blend, intimate_mix
from strandline.science.hair.pigment import (
    SPECULAR,
    ks_from_reflectance,
    lab,
    reflectance,
    reflectance_from_ks,
)

PIGMENT = st.floats(0.0, 300.0)
SLOPE = st.floats(0.002, 0.0135)
PROGRESS = st.floats(0.0, 8.0)
SHARE = st.floats(0.0, 1.0)
LAB = st.tuples(st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100))


@st.composite
def hair(draw: st.DrawFn) -> Fibre:
    one = natural(np.array([draw(PIGMENT)]), draw(SLOPE), white=draw(SHARE))
    dyes = np.array([[draw(st.floats(0.0, 3.0)) for _ in DYES]])
    return one.with_(
        progress=np.array([draw(PROGRESS)]),
        old_amount=np.array([draw(PIGMENT)]),
        old_progress=np.array([draw(PROGRESS)]),
        dyes=dyes,
    )


@given(hair())
def test_hair_gives_back_between_its_surface_and_all_light(state: Fibre) -> None:
    spectrum = reflectance(state)
    assert np.all(spectrum > SPECULAR)
    assert np.all(spectrum < 1.0)


@given(hair(), st.sampled_from(range(len(DYES))), st.floats(0.0, 5.0))
def test_a_dye_never_raises_lightness(state: Fibre, column: int, amount: float) -> None:
    dyes = state.dyes.copy()
    dyes[0, column] += amount
    dyed = state.with_(dyes=dyes)
    assert np.all(reflectance(dyed) <= reflectance(state))
    assert lab(dyed)[0, 0] <= lab(state)[0, 0]


@given(hair(), st.floats(0.0, 100.0))
def test_more_pigment_never_raises_lightness(state: Fibre, more: float) -> None:
    assert lab(state.with_(amount=state.amount + more))[0, 0] <= lab(state)[0, 0]


@given(PIGMENT, SLOPE, SHARE, PROGRESS, st.floats(0.0, 3.0))
def test_lightening_virgin_hair_never_darkens(
    amount: float, slope: float, white: float, progress: float, more: float
) -> None:
    start = natural(np.array([amount]), slope, white=white).with_(progress=np.array([progress]))
    assert lab(lightened(start, np.array([more])))[0, 0] >= lab(start)[0, 0] - 1e-9


@settings(max_examples=25)
@given(st.floats(0.5, 200.0), st.floats(3.0, 10.5))
def test_progress_reaches_its_stage_or_says_it_cannot(amount: float, stage: float) -> None:
    state = natural(np.array([amount]), 0.00647)
    x = progress_of_stage(stage, state)
    if np.isfinite(x[0]):
        reached = stage_of(lightened(state, x))[0]
        assert reached >= stage - 1e-6
        if x[0] > 0:
            assert reached <= stage + 1e-6
    else:
        assert stage_of(lightened(state, np.array([50.0])))[0] < stage


@given(st.floats(1e-6, 1e5), st.floats(0.0, 0.05))
def test_ks_goes_to_reflectance_and_back(ks: float, specular: float) -> None:
    there = reflectance_from_ks(np.array([ks]), specular)
    back = ks_from_reflectance(there, specular)[0]
    # 1 - r and R - F each keep about 16 digits of a number near 1 and near F
    assert abs(back - ks) <= 1e-9 + ks * 1e-9 * (1.0 + ks)


@given(hair(), hair(), SHARE, st.floats(0.0, 50.0))
def test_blend_lies_between_its_two_ends(one: Fibre, two: Fibre, share: float, run: float) -> None:
    spectra = np.concatenate([reflectance(one), reflectance(two)])
    shares = np.array([share, 1.0 - share])
    inner, outer = intimate_mix(spectra, shares), area_mix(spectra, shares)
    mixed = blend(spectra, shares, run)
    assert np.all(inner <= outer + 1e-12)
    assert np.all(mixed >= inner - 1e-12)
    assert np.all(mixed <= outer + 1e-12)


@given(hair(), SHARE)
def test_hair_mixed_with_itself_is_itself(state: Fibre, share: float) -> None:
    one = reflectance(state)
    pair, shares = np.concatenate([one, one]), np.array([share, 1.0 - share])
    np.testing.assert_allclose(area_mix(pair, shares), one[0], rtol=1e-12)
    np.testing.assert_allclose(intimate_mix(pair, shares), one[0], rtol=1e-6)


@given(LAB, LAB)
def test_difference_is_symmetric_and_not_negative(
    one: tuple[float, float, float], two: tuple[float, float, float]
) -> None:
    there, back = delta_e00(np.array(one), np.array(two)), delta_e00(np.array(two), np.array(one))
    assert there >= 0.0
    assert abs(there - back) <= 1e-9 * max(1.0, float(there))
    assert delta_e00(np.array(one), np.array(one)) == 0.0


@given(LAB)
def test_lab_goes_to_xyz_and_back(colour: tuple[float, float, float]) -> None:
    np.testing.assert_allclose(
        lab_from_xyz(xyz_from_lab(np.array(colour))), colour, rtol=1e-9, atol=1e-9
    )


@given(st.floats(0.0, 1.0))
def test_flat_spectrum_is_gray(level: float) -> None:
    colour = lab_from_reflectance(np.full(81, level))
    np.testing.assert_allclose(colour[1:], 0.0, atol=1e-9)
