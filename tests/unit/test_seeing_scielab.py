"""The eye's filter: what passes, what does not, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.colour.spectra import WHITE_XYZ
from strandline.science.seeing.constants import opponent_matrix
from strandline.science.seeing.scielab import (
    filter_picture,
    filter_profile,
    opponent_from_xyz,
    strand_transfer,
    transfer,
    visual_degrees,
    xyz_from_opponent,
)


def test_white_is_neutral_only_once_corrected() -> None:
    raw, corrected = opponent_matrix() @ WHITE_XYZ, opponent_from_xyz() @ WHITE_XYZ
    assert abs(raw[1]) > 0.02 * raw[0]
    assert np.abs(corrected[1:]).max() < 1e-9
    assert corrected[0] == pytest.approx(raw[0])
    assert xyz_from_opponent() @ corrected == pytest.approx(WHITE_XYZ)


def test_uncorrected_neutral_stripes_would_turn_pink() -> None:
    """Without the correction a grating of grays at 8 cpd is seen coloured by far over .05."""
    gray = np.array([0.05, 0.60])
    mean, half = gray.mean(), np.ptp(gray) / 2
    raw = opponent_matrix()
    opponent = raw @ WHITE_XYZ * (mean + half * transfer(8.0))
    assert np.abs(lab_from_xyz(np.linalg.inv(raw) @ opponent)[1:]).max() > 1.0


def test_profile_of_a_sine_is_the_closed_form() -> None:
    step, cpd = 0.005, 4.0
    wave = np.sin(2 * np.pi * cpd * step * np.arange(8000))
    seen = filter_profile((0.3 + 0.2 * wave)[:, None] * WHITE_XYZ, step)
    middle = seen[3000:5000, 1]
    amplitude = np.sqrt(2) * middle.std()  # over 40 whole cycles
    assert amplitude == pytest.approx(20.0 * transfer(cpd)[0], rel=1e-3)
    assert middle.mean() == pytest.approx(30.0, rel=1e-6)


def test_profile_of_one_strand_is_the_closed_form() -> None:
    step, width = 0.002, 0.1
    place = (np.arange(20001) - 10000) * step
    inside = np.abs(place) < width / 2
    inside[np.isclose(np.abs(place), width / 2)] = False
    field = np.where(inside[:, None], 0.6, 0.05) * WHITE_XYZ
    samples = int(inside.sum())
    seen = filter_profile(field, step)[10000, 1]
    expected = 5.0 + 55.0 * strand_transfer(samples * step)[0]
    assert seen == pytest.approx(expected, rel=1e-4)


def test_picture_even_across_is_its_profile() -> None:
    line = np.random.default_rng(3).random((60, 1)) * WHITE_XYZ
    picture = np.repeat(line[:, None, :], 20, axis=1)
    assert filter_picture(picture, 0.03)[:, 7] == pytest.approx(filter_profile(line, 0.03))


def test_picture_turned_is_filtered_alike() -> None:
    picture = np.random.default_rng(4).random((24, 30, 1)) * WHITE_XYZ
    turned = filter_picture(np.swapaxes(picture, 0, 1), 0.05)
    assert np.swapaxes(turned, 0, 1) == pytest.approx(filter_picture(picture, 0.05))


def test_sum_of_gaussians_is_not_separable() -> None:
    """A point filtered both ways differs from the product of two profiles of the sum."""
    point = np.zeros((41, 41, 3))
    point[20, 20] = WHITE_XYZ
    line = np.zeros((41, 3))
    line[20] = WHITE_XYZ
    seen = filter_picture(point, 0.05)[..., 1] / 100
    profile = filter_profile(line, 0.05)[:, 1] / 100
    assert np.abs(seen - np.outer(profile, profile)).max() > 1e-3


def test_step_halved_changes_little() -> None:
    coarse = np.where(np.arange(400) // 50 % 2 == 0, 0.1, 0.5)[:, None] * WHITE_XYZ
    fine = np.repeat(coarse, 2, axis=0)
    middle = filter_profile(fine, 0.005).reshape(400, 2, 3).mean(axis=1)
    assert np.abs(middle - filter_profile(coarse, 0.01)).max() < 1.5


def test_degrees_of_a_length() -> None:
    assert float(visual_degrees(10.4737, 0.6)) == pytest.approx(1.0, abs=1e-4)
    assert visual_degrees([1.0, 2.0], 1.0).shape == (2,)


@pytest.mark.parametrize(
    ("field", "step"),
    [(np.ones((5, 3)), 0.0), (np.ones((5, 2)), 0.1), (np.ones((5, 5, 3)), 0.1), ([], 0.1)],
)
def test_fields_that_cannot_be_are_refused(field: np.ndarray, step: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"degrees|axes"):
        filter_profile(field, step)


def test_distance_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="0 m from the hair"):
        visual_degrees(1.0, 0.0)
