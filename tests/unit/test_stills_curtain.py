"""The curtain of hair before anything is traced: where fibres lie, which are white, what fits."""

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError, SourceError
from strandline.salon.stills.curtain import (
    DIAMETER_MM,
    Packing,
    bare_share,
    block_fibres,
    fibre_axes,
    least_distance_mm,
    mean_run_mm,
    seen_fibres,
    seen_share,
    white_fibres,
)
from strandline.salon.stills.study import (
    LEVELS,
    RESOLVED,
    area_weight,
    blend_run,
    matched_absorption,
    model_lab,
    stored,
    stored_albedo,
    weak_absorption,
)
from strandline.salon.stills.trace import Shot, curve_text, trace
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.mixing import natural_run_mm
from strandline.science.hair.pigment import absorption
from strandline.science.hair.tracing import ks_of_fibre_absorption

PACKING = Packing(across=200, through=45, length_mm=12.0)
WIDE = Packing(across=2000, through=45, length_mm=1.0)


def test_axes_have_a_place_for_every_fibre_and_cover_its_length():
    axes = fibre_axes(PACKING, np.random.default_rng(0))
    assert axes.shape == (200, 45, 15, 3)
    np.testing.assert_allclose(axes[0, 0, [1, -2], 1], [-6.0, 6.0])
    front = axes[:, 0, :, 2].max() + DIAMETER_MM / 2
    assert 0.0 <= front <= 0.01
    assert np.ptp(axes[..., 2]) == pytest.approx(PACKING.thickness_mm - DIAMETER_MM, abs=0.02)
    assert np.ptp(axes[..., 0]) == pytest.approx(PACKING.width_mm, abs=0.1)


def test_fibres_never_meet():
    for seed in range(3):
        axes = fibre_axes(PACKING, np.random.default_rng(seed))
        assert least_distance_mm(axes) >= DIAMETER_MM


def test_the_eye_sees_past_one_row_but_not_past_the_curtain():
    axes = fibre_axes(PACKING, np.random.default_rng(0))
    assert bare_share(axes, 10.0) == 0.0
    gap = 1.0 - DIAMETER_MM / PACKING.pitch_mm
    assert bare_share(axes[:, :1], 10.0) == pytest.approx(gap, abs=0.02)


def test_the_share_seen_is_that_of_the_front():
    axes = fibre_axes(PACKING, np.random.default_rng(0))
    white = np.zeros(axes.shape[:2], dtype=bool)
    assert seen_share(axes, white, 10.0) == 0.0
    white[:, 0] = True
    front = DIAMETER_MM / PACKING.pitch_mm
    assert seen_share(axes, white, 10.0) == pytest.approx(front, abs=0.02)
    white[:, 1] = True
    assert seen_share(axes, white, 10.0) == pytest.approx(1.0, abs=0.005)
    column, row = seen_fibres(axes, 10.0)
    assert np.all(np.diff(column[row == 0]) >= 0)
    with pytest.raises(OutOfRangeError):
        seen_share(axes + 1000.0, white, 10.0)


def test_the_same_draws_lay_the_same_curtain():
    one, same, other = (fibre_axes(PACKING, np.random.default_rng(seed)) for seed in (4, 4, 5))
    np.testing.assert_array_equal(one, same)
    assert not np.array_equal(one, other)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0])
@pytest.mark.parametrize("block", [1, 4, 25])
def test_white_has_the_share_that_was_asked_for(share, block):
    white = white_fibres(WIDE, share, np.random.default_rng(1), block)
    assert white.shape == (2000, 45)
    columns = 2000 // block
    np.testing.assert_allclose(white.mean(axis=0), share, atol=1.0 / columns)


@pytest.mark.parametrize("share", [0.1, 0.25, 0.5, 0.75, 0.9])
def test_runs_of_natural_white_are_the_formulas(share):
    """Mean of a geometric run; 45 rows of 2000 fibres leave a standard error below 1 %."""
    white = white_fibres(WIDE, share, np.random.default_rng(2))
    assert mean_run_mm(white) == pytest.approx(float(natural_run_mm(DIAMETER_MM, share)), rel=0.03)


def test_runs_of_clumps_are_whole_clumps():
    block = block_fibres(2.0)
    assert block == 29
    packing = Packing(across=29 * 40, through=58, length_mm=1.0)
    white = white_fibres(packing, 0.25, np.random.default_rng(3), block)
    assert np.array_equal(white, np.repeat(white[::29], 29, axis=0))
    assert np.array_equal(white, np.repeat(white[:, ::29], 29, axis=1))
    assert mean_run_mm(white) >= 29 * DIAMETER_MM


def test_a_run_is_counted_in_fibres_of_white():
    white = np.array([[1], [1], [0], [1], [0], [0]], dtype=bool)
    assert mean_run_mm(white, 0.1) == pytest.approx(0.15)


def test_weak_absorption_is_the_inverse_of_the_link():
    sigma = weak_absorption([4.0, 10.0], [400, 550, 720])
    ks = absorption(natural_palette([4, 10], with_white=False))[:, [4, 34, 68]]
    np.testing.assert_allclose(ks_of_fibre_absorption(sigma), ks)


def test_weight_and_run_are_found_again():
    deep, flat = np.array([0.1, 0.2, 0.3]), np.array([0.3, 0.5, 0.4])
    assert area_weight(0.3 * flat + 0.7 * deep, flat, deep) == pytest.approx(0.3)
    runs = np.array([0.08, 0.14, 0.7])
    assert blend_run(runs / (runs + 0.27), runs) == pytest.approx(0.27, rel=1e-3)


def test_a_fibre_is_written_as_points_with_its_radius():
    axes = np.array([[[0.0, -1.0, 0.0], [0.5, 1.0, -2.0]]])
    assert curve_text(axes, 0.035).splitlines() == [
        "0.000000 -1.000000 0.000000 0.035000",
        "0.500000 1.000000 -2.000000 0.035000",
        "",
    ]


def _trace_kinds(kinds, sigma):
    axes = fibre_axes(Packing(2, 1, 1.0), np.random.default_rng(0))
    return trace(axes, np.array(kinds), np.array(sigma), Shot(0.1, 0.1, (2, 2), 1))


@pytest.mark.parametrize(
    "refused",
    [
        lambda: Packing(1, 1, 1.0),
        lambda: Packing(10, 1, 0.0),
        lambda: Packing(10, 1, 1.0, pitch_mm=0.08),
        lambda: Shot(0.0, 1.0, (4, 4), 1),
        lambda: Shot(1.0, 1.0, (4, 4), 0),
        lambda: Shot(1.0, 1.0, (1, 1), 9),
        lambda: block_fibres(0.0),
        lambda: white_fibres(PACKING, 1.1, np.random.default_rng(0)),
        lambda: white_fibres(PACKING, 0.5, np.random.default_rng(0), 0),
        lambda: mean_run_mm(np.zeros((3, 3), dtype=bool)),
        lambda: _trace_kinds([[0], [0]], [[0.1], [0.2]]),
        lambda: _trace_kinds([[0], [1]], [[0.1], [-0.2]]),
        lambda: _trace_kinds([[0], [1]], [[0.1], [np.nan]]),
        lambda: _trace_kinds([0, 1], [[0.1], [0.2]]),
        lambda: weak_absorption([4.0], [401]),
        lambda: weak_absorption([4.0], [900]),
        lambda: area_weight(np.ones(3), np.ones(3), np.ones(3)),
        lambda: blend_run(np.ones(2), np.array([0.1, 0.2])),
    ],
)
def test_what_cannot_be_is_refused(refused):
    with pytest.raises(OutOfRangeError):
        refused()


def test_body_falls_with_absorption_past_what_was_resolved():
    albedo = stored_albedo()
    body = albedo.body_of(np.geomspace(0.02, 8.0, 200))
    assert np.all(np.diff(body) < 0)
    assert albedo.body[-1] > RESOLVED
    for outside in (0.01, 9.0):
        with pytest.raises(OutOfRangeError):
            albedo.body_of(np.array([outside]))


def test_matched_levels_are_as_light_as_the_models():
    albedo = stored_albedo()
    lab = albedo.lab_of(matched_absorption(albedo, WAVELENGTHS_NM))
    np.testing.assert_allclose(lab[:-1, 0], model_lab()[:-1, 0], atol=1e-6)


def test_traced_tables_say_how_they_were_made():
    assert len(stored("curtain_levels")) == 9
    assert set(stored("curtain_levels")[0]) == {"wavelength_nm", *(f"level_{n}" for n in LEVELS)}
    with pytest.raises(SourceError):
        stored("nothing")
