"""Lightening against what was published: limits, tables of baths, the repeat-bleach study.

Single rows stand in `strandline.salon.evidence.lightening` and run with all evidence; here is
what needs a table as a whole.
"""

from __future__ import annotations

import numpy as np
import pytest

from strandline.base.errors import LegalLimitError
from strandline.base.sources import cite, table
from strandline.salon.evidence import gloss
from strandline.salon.evidence.lightening import CHECKS, least_harm_ratio
from strandline.science.chemistry import deposit, fade, harm, lift
from strandline.science.chemistry.developer import check_ready_mix, mix
from strandline.science.chemistry.peroxide import bath_left

BOTTLES = [row for row in table("alligation_examples").rows if row["diluent_vol"] != "0"]
"""Rows that mix two bottles; `mix` takes no water, `alligation` does (see the evidence)."""


@pytest.mark.parametrize("row", BOTTLES, ids=lambda row: " ".join(row.values()))
def test_mix_alligation_examples(row):
    strong, weak = float(row["stock_vol"]), float(row["diluent_vol"])
    parts = mix(float(row["target_vol"]), [strong, weak], 100.0).parts
    listed = float(row["parts_high"]) / float(row["parts_low"])
    assert parts[0].grams / parts[1].grams == pytest.approx(listed, rel=1e-9)


def test_ready_mix_eu1223_annex3_entry12():
    check_ready_mix(12.0)
    with pytest.raises(LegalLimitError) as told:
        check_ready_mix(12.1)
    assert "Regulation (EC) No 1223/2009, Annex III entry 12" in told.value.what
    assert "Annex III entry 12" in cite("eu1223")


@pytest.mark.parametrize(
    ("column", "chelated", "root_mean_square"),
    [("h2o2_percent_no_edta", False, 0.22), ("h2o2_percent_edta", True, 0.05)],
)
def test_bath_edman1961_table1(column, chelated, root_mean_square):
    """The whole table; its figures carry two decimals, kd was fitted on it."""
    rows = [row for row in table("edman_marti1961_peroxide_depletion").rows if row[column]]
    left = np.array([float(row[column]) for row in rows])
    minutes = np.array([float(row["minutes"]) for row in rows])
    away = bath_left(minutes, left[0], chelated=chelated) - left
    assert np.sqrt(np.mean(away**2)) < root_mean_square


def test_slower_kd_without_chelator_misses_edman1961_at_120_min():
    assert abs(5.92 * np.exp(-0.0042 * 120) - 3.12) > 0.35


def test_exponent_under_465_contradicts_repeat_bleach():
    """9 % three times is lighter than 3 % five times only where 3 * 3^n > 5."""
    assert 3 * 3**0.464 < 5 < 3 * 3**0.466
    n = lift.constants()["strength_exponent"]
    assert n.value - n.spread > 0.465


def test_equal_lightness_repeat_bleach_holds_in_baths_but_not_in_a_bowl_left_to_dry():
    """Past 30 min of 6 % a single paste of 3 % needs hours to catch up, and harms as much."""
    assert least_harm_ratio(45.0, lift.constants()["bath_decay_per_min"].value) > 1
    assert least_harm_ratio(30.0, lift.constants()["decay_per_min"].value) > 1
    assert least_harm_ratio(45.0, lift.constants()["decay_per_min"].value) < 1


def test_denaturation_gillece2021_table4():
    rows = table("gillece2021_bleach_time_denaturation")
    away = harm.denaturation_c(np.array(rows.column("minutes"))) - np.array(rows.column("t_d_c"))
    assert np.sum(np.abs(away) > 1.0) == 1  # 15 min: shown as failing in the evidence
    assert np.sqrt(np.mean(away**2)) < 0.75


def test_helix_helix2002_ratio_of_enthalpies():
    rows = table("repeat_bleach_helix2002")
    enthalpy = np.array(rows.column("enthalpy_j_per_g"))
    left = harm.helix_left(np.array(rows.column("bleaches")))
    assert left == pytest.approx(enthalpy / enthalpy[0], abs=0.06)


def test_every_number_of_the_chemistry_names_its_source():
    known = [*lift.constants().values(), *harm.constants().values()]
    for section in (*deposit.constants().values(), *fade.constants().values()):
        known += section.values()
    assert len(known) > 40
    assert all(cite(number.source) for number in known)


def test_fitted_rows_are_told_from_the_others():
    chemistry = (*CHECKS, *gloss.CHECKS)
    free = [check for check in chemistry if check.kind == "measured" and not check.fitted]
    assert len(free) >= 6
    assert all(check.fitted for check in CHECKS if check.source == "edman1961")
