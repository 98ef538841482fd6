from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.harm import (
    constants,
    cystine_oxidised,
    denaturation_c,
    dose,
    helix_left,
    permeability,
)


def test_dose_is_minutes_at_six_percent():
    assert dose(30.0, 6.0, 0.9) == pytest.approx(30.0)
    assert dose(30.0, 12.0, 0.9) == pytest.approx(30.0 * 2**1.3)
    assert dose(0.0, 12.0, 0.9) == 0


def test_strength_counts_for_more_in_harm_than_in_lift():
    n = 0.9
    assert dose(1.0, 9.0, n) / dose(1.0, 6.0, n) > 1.5**n


def test_cystine_follows_the_root_of_time_at_first_and_stays_under_its_ceiling():
    assert cystine_oxidised(4e-6) / cystine_oxidised(1e-6) == pytest.approx(2, rel=1e-3)
    assert cystine_oxidised(1e9) == pytest.approx(0.45)
    assert cystine_oxidised(0.0) == 0


def test_rate_of_cystine_keeps_within_the_bound_of_its_source():
    """Suzuta's doubling from 15 to 60 min bounds h sqrt(15) by .35 (2-lightening)."""
    h = constants()["cystine_rate"]
    assert h.value * np.sqrt(15) <= 0.35
    assert h.high is not None
    assert h.high * np.sqrt(15) <= 0.35


def test_sound_hair_is_sound():
    assert helix_left(0) == 1
    assert permeability(0.0) == 1
    assert denaturation_c(0.0) == pytest.approx(141.3)


def test_all_harm_only_grows():
    theta = np.linspace(0.0, 240.0, 200)
    assert np.all(np.diff(cystine_oxidised(theta)) > 0)
    assert np.all(np.diff(permeability(theta)) > 0)
    assert np.all(np.diff(denaturation_c(theta)) < 0)
    assert np.all(np.diff(helix_left(np.arange(11))) < 0)


@pytest.mark.parametrize("law", [cystine_oxidised, helix_left, denaturation_c, permeability])
@pytest.mark.parametrize("wrong", [-1.0, np.nan, np.inf])
def test_harm_refuses_what_is_no_dose(law, wrong):
    with pytest.raises(OutOfRangeError) as told:
        law(np.array([1.0, wrong]))
    assert f"{wrong:g}" in told.value.what


def test_laws_end_where_their_tables_do():
    with pytest.raises(OutOfRangeError, match="0-240 min"):
        denaturation_c(241.0)
    with pytest.raises(OutOfRangeError, match="0-10"):
        helix_left(11)


@pytest.mark.parametrize("wrong", [(-1, 6, 0.9), (1, -6, 0.9), (1, 6, -0.1), (np.nan, 6, 0.9)])
def test_dose_refuses_what_is_below_zero(wrong):
    with pytest.raises(OutOfRangeError):
        dose(*wrong)
