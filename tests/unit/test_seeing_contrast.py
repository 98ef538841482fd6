"""Contrast: light and dark shares and their levels."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.hair.levels import level_of_lab, natural_palette
from strandline.science.hair.pigment import lab
from strandline.science.seeing.contrast import contrast

FOUR, FIVE, EIGHT, NINE = lab(natural_palette([4.0, 5.0, 8.0, 9.0], with_white=False))


def test_two_colours_are_told_apart_by_share_and_level() -> None:
    seen = contrast(np.stack([NINE, FIVE]), np.array([0.35, 0.65]), level_of_lab)
    assert (seen.light_share, seen.dark_share) == pytest.approx((0.35, 0.65))
    assert seen.light_level == pytest.approx(float(level_of_lab(NINE)))
    assert seen.dark_level == pytest.approx(float(level_of_lab(FIVE)))
    assert not seen.even


def test_four_colours_part_between_the_light_and_the_dark() -> None:
    seen = contrast(np.stack([EIGHT, FOUR, NINE, FIVE]), np.array([1.0, 3, 1, 3]), level_of_lab)
    assert seen.light_share == pytest.approx(0.25)
    assert 8 < seen.light_level < 9
    assert 4 < seen.dark_level < 5


def test_order_and_scale_of_shares_do_not_matter() -> None:
    colours, shares = np.stack([NINE, FOUR, FIVE]), np.array([0.2, 0.5, 0.3])
    one = contrast(colours, shares, level_of_lab)
    two = contrast(colours[::-1], 7 * shares[::-1], level_of_lab)
    assert one.light_share == pytest.approx(two.light_share)
    assert one.dark_level == pytest.approx(two.dark_level)


def test_even_hair_has_no_light_share() -> None:
    near = np.stack([FIVE, FIVE + np.array([2.0, 0.0, 0.0])])
    seen = contrast(near, np.array([0.5, 0.5]), level_of_lab)
    assert seen.even
    assert seen.light_share == 0.0
    assert seen.light_level == seen.dark_level
    assert contrast(FIVE[None], np.ones(1), level_of_lab).even


def test_just_noticeable_halves_are_contrast() -> None:
    apart = np.stack([FIVE, FIVE + np.array([2.4, 0.0, 0.0])])
    assert not contrast(apart, np.array([0.5, 0.5]), level_of_lab).even


def test_share_of_zero_changes_nothing() -> None:
    two = contrast(np.stack([NINE, FIVE]), np.array([0.4, 0.6]), level_of_lab)
    three = contrast(np.stack([NINE, FOUR, FIVE]), np.array([0.4, 0.0, 0.6]), level_of_lab)
    assert three.light_share == pytest.approx(two.light_share)
    assert three.dark_level == pytest.approx(two.dark_level)


@pytest.mark.parametrize("shares", [[0.0, 0.0], [-0.1, 1.1], [1.0], [np.nan, 1.0]])
def test_shares_that_cannot_be_are_refused(shares: list[float]) -> None:
    with pytest.raises(OutOfRangeError, match="shares"):
        contrast(np.stack([NINE, FIVE]), np.array(shares), level_of_lab)
