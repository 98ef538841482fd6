"""How a gloss wears, and the interval of a violet shampoo."""

from __future__ import annotations

import numpy as np
import pytest

from strandline.science.chemistry import fade
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.home_care import INTERVALS_DAYS, lasts_weeks, shampoo, worn

VIOLET = DYES.index("violet")
WEEKS = np.linspace(0.0, 8.0, 33)


def toned(aim_b=9.0):
    ground = Ground(
        ground_of((71.2, 1.9, 18.0)).ks[None], np.ones(1), np.ones(1), np.array([64, 1.5, aim_b])
    )
    dyes = np.zeros(len(DYES))
    dyes[VIOLET] = 0.4
    return ground, dyes


def test_without_shampoo_it_goes_back_to_its_ground():
    ground, dyes = toned()
    seen = worn(ground, dyes, "acid demi", np.array([0.0, 200.0]))
    assert seen[0] == pytest.approx(ground.look(dyes[None])[0])
    assert seen[1] == pytest.approx(ground.bare(), abs=0.01)


def test_violet_shampoo_keeps_it_cooler_and_oftener_keeps_it_cooler_still():
    ground, dyes = toned()
    plain = worn(ground, dyes, "acid demi", WEEKS)[-1, 2]
    by_interval = [
        worn(ground, dyes, "acid demi", WEEKS, every_days=days)[-1, 2] for days in INTERVALS_DAYS
    ]
    assert by_interval[0] < by_interval[2] < by_interval[-1] <= plain


def test_one_use_is_one_dose_that_goes_off_as_a_direct_dye():
    ground, _ = toned()
    at = worn(ground, np.zeros(len(DYES)), "acid demi", np.array([4.0]), every_days=21.0)[0]
    violet = np.zeros((1, len(DYES)))
    violet[0, VIOLET] = 0.02 * float(fade.kept("direct", 1.0))
    assert at == pytest.approx(ground.look(violet)[0])


def test_the_interval_told_keeps_the_band_and_the_dull_one_leaves_it():
    ground, dyes = toned(aim_b=14.0)
    found = shampoo(ground, dyes, "acid demi", 3.0)
    assert found.every_days in INTERVALS_DAYS
    weeks = np.linspace(0.0, 3.0, 57)
    kept = worn(ground, dyes, "acid demi", weeks, every_days=found.every_days)[:, 2]
    assert kept.max() <= 16.0


def test_where_no_interval_keeps_the_tone_none_is_told():
    ground, dyes = toned(aim_b=0.0)
    assert shampoo(ground, dyes, "acid demi", 8.0).every_days is None


def test_a_gloss_lasts_until_its_warmth_leaves_the_band():
    ground, dyes = toned(aim_b=12.0)
    weeks = lasts_weeks(ground, dyes, "acid demi")
    seen = worn(ground, dyes, "acid demi", np.array([weeks - 0.5, weeks]))[:, 2]
    assert seen[0] <= 14.0 < seen[1]
    assert lasts_weeks(ground, dyes, "direct") < weeks < lasts_weeks(ground, dyes, "permanent")
