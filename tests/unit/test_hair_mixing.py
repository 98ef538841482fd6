"""White and pigmented hair together, and shades as amounts of dye."""

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES, natural
from strandline.science.hair.levels import (
    amount_of_level,
    lightness_of_stage,
    natural_palette,
)
from strandline.science.hair.mixing import (
    BLEND_RUN_MM,
    area_mix,
    blend,
    intimate_mix,
    natural_run_mm,
)
from strandline.science.hair.pigment import lab, reflectance
from strandline.science.hair.shades import Shade, dye_amounts

FOUR_AND_WHITE = reflectance(natural_palette([4]))


@pytest.mark.parametrize(
    ("white", "area", "intimate"),
    [(0.10, 30.7, 22.1), (0.25, 40.1, 23.6), (0.50, 51.1, 27.3), (0.75, 59.3, 34.6),
     (0.90, 63.4, 44.9)],
)  # fmt: skip
def test_gray_mixes_of_level_four(white: float, area: float, intimate: float) -> None:
    shares = np.array([1 - white, white])
    assert lab_from_reflectance(area_mix(FOUR_AND_WHITE, shares))[0] == pytest.approx(area, abs=0.1)
    assert lab_from_reflectance(intimate_mix(FOUR_AND_WHITE, shares))[0] == pytest.approx(
        intimate, abs=0.1
    )


def test_blend_runs_from_intimate_to_area() -> None:
    shares = np.array([0.6, 0.4])
    inner, outer = intimate_mix(FOUR_AND_WHITE, shares), area_mix(FOUR_AND_WHITE, shares)
    np.testing.assert_allclose(blend(FOUR_AND_WHITE, shares, 0.0), inner)
    np.testing.assert_allclose(blend(FOUR_AND_WHITE, shares, np.inf), outer)
    np.testing.assert_allclose(blend(FOUR_AND_WHITE, shares, BLEND_RUN_MM), (inner + outer) / 2)


def test_blend_takes_a_run_for_each_of_many_mixes() -> None:
    many = np.stack([FOUR_AND_WHITE, FOUR_AND_WHITE])
    shares = np.array([[0.6, 0.4], [0.6, 0.4]])
    mixed = blend(many, shares, np.array([0.1, 2.0]))
    assert mixed.shape == (2, 81)
    assert np.all(mixed[0] < mixed[1])
    np.testing.assert_allclose(mixed[1], blend(FOUR_AND_WHITE, shares[1], 2.0))


def test_a_weave_of_two_millimetres_does_not_blend_like_salt_and_pepper() -> None:
    shares = np.array([0.6, 0.4])
    fine = blend(FOUR_AND_WHITE, shares, natural_run_mm(0.07, 0.4))
    weave = blend(FOUR_AND_WHITE, shares, 2.0)
    assert lab_from_reflectance(weave)[0] - lab_from_reflectance(fine)[0] > 8.0


def test_runs_of_white_grow_with_its_share() -> None:
    assert natural_run_mm(0.07, 0.0) == pytest.approx(0.07)
    np.testing.assert_allclose(natural_run_mm(0.07, np.array([0.5, 0.9])), [0.14, 0.7])
    with pytest.raises(OutOfRangeError, match="nothing to blend"):
        natural_run_mm(0.07, 1.0)


@pytest.mark.parametrize("shares", [[0.6, 0.5], [1.2, -0.2], [np.nan, 1.0]])
def test_shares_must_close(shares: list[float]) -> None:
    with pytest.raises(OutOfRangeError, match="sum to 1"):
        area_mix(FOUR_AND_WHITE, np.array(shares))


def test_a_run_below_zero_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="run of like hair is -1"):
        blend(FOUR_AND_WHITE, np.array([0.5, 0.5]), -1.0)


def test_a_neutral_depth_on_white_is_the_amount_of_its_level() -> None:
    for depth in (3, 6, 8.5):
        got = dye_amounts(depth, {})
        assert got[0] == pytest.approx(float(amount_of_level(depth)), rel=1e-6)
        assert got[1:].sum() == 0.0


@pytest.mark.parametrize("reflects", [{}, {"copper": 0.35}, {"violet": 1.0, "blue": 0.5}])
@pytest.mark.parametrize("depth", [4, 7, 9])
def test_a_depth_on_white_has_the_lightness_of_its_level(
    depth: float, reflects: dict[str, float]
) -> None:
    white = natural(np.array([0.0]), 0.0, white=1.0)
    dyed = white.with_(dyes=dye_amounts(depth, reflects)[None])
    level = natural_palette([depth], with_white=False)
    assert lab(dyed)[0, 0] == pytest.approx(lab(level)[0, 0], abs=1e-6)


@pytest.mark.parametrize("depth", [7, 9, 10])
def test_the_depth_of_a_toner_is_a_stage(depth: float) -> None:
    amounts = dye_amounts(depth, {"violet": 1.5}, scale="stage")
    end = natural(np.array([0.0]), 0.0).with_(progress=np.array([100.0]), dyes=amounts[None])
    assert lab(end)[0, 0] == pytest.approx(float(lightness_of_stage(depth)), abs=1e-6)
    assert amounts[DYES.index("violet")] == pytest.approx(1.5 * amounts[0])


def test_a_clear_leaves_nothing_and_depth_ten_leaves_white_as_it_is() -> None:
    assert Shade("clear", None).amounts().tolist() == [0.0] * len(DYES)
    assert dye_amounts(10, {"violet": 1.0}).tolist() == [0.0] * len(DYES)
    assert Shade("9 violet", 9, {"violet": 1.0}).amounts()[DYES.index("violet")] > 0.1


@pytest.mark.parametrize(
    ("depth", "reflects", "scale", "words"),
    [
        (11, {}, "level", "must be 1-10"),
        (2, {}, "stage", "it is a stage, 3-10.5"),
        (7, {"depth": 1.0}, "level", "must be one of violet"),
        (7, {"silver": 1.0}, "level", "A reflect is 'silver'"),
        (7, {"violet": -0.1}, "level", "0 or more"),
    ],
)
def test_shades_off_their_scale_are_refused(
    depth: float, reflects: dict[str, float], scale: str, words: str
) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        dye_amounts(depth, reflects, scale=scale)  # type: ignore[arg-type]
