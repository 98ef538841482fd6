import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.heads import sample, sample_lab
from strandline.science.colour.lights import light
from strandline.science.hair.figures.named import figures_of_asked
from strandline.science.hair.figures.read import GEOMETRIES, figures_of_reading
from strandline.science.hair.spread import Asked


def test_every_range_is_in_order_and_a_level_reads_as_itself():
    for level in (1.0, 3.0, 6.0, 9.0):
        figures = figures_of_asked(Asked(level))
        assert figures.level.middle == pytest.approx(level, abs=0.02)
        assert figures.level.low < level < figures.level.high
        assert figures.lab[0].low < figures.lab[0].middle < figures.lab[0].high
        assert np.all(np.diff(figures.reflectance, axis=0) >= 0)


def test_a_reading_gives_back_its_own_colour_within_what_it_leaves():
    figures = figures_of_reading(sample_lab("blonde109"))
    middle = [axis.middle for axis in figures.lab]
    np.testing.assert_allclose(middle, sample_lab("blonde109"), atol=0.8)
    assert figures.delta_e00.middle < 1.0


def test_a_spectrum_and_its_colour_say_nearly_the_same():
    whole, colour = (figures_of_reading(read) for read in (sample("red90"), sample_lab("red90")))
    assert whole.amount.middle == pytest.approx(colour.amount.middle, rel=0.05)
    assert whole.slope.middle == pytest.approx(colour.slope.middle, rel=0.05)


def test_a_sphere_reads_lighter_than_the_same_hair_at_45_0():
    read = np.array([23.59, 3.87, 4.76])
    outside, inside = (figures_of_reading(read, way) for way in ("45/0", "sphere-included"))
    assert inside.lab[0].middle < outside.lab[0].middle
    assert inside.delta_e00.middle < outside.delta_e00.middle


def test_a_wet_reading_is_lighter_dry_and_wider():
    read = np.array([23.6, 3.9, 6.0])
    dry, wet = figures_of_reading(read), figures_of_reading(read, wet=(1.0, 0.5))
    assert wet.lab[0].middle > dry.lab[0].middle + 2.0
    assert wet.lab[0].high - wet.lab[0].low > dry.lab[0].high - dry.lab[0].low


def test_the_light_moves_the_colour_and_not_the_hair():
    day, chair = (figures_of_asked(Asked(6), light(name)) for name in ("D65", "LED-B2"))
    assert chair.lab[0].middle > day.lab[0].middle
    assert chair.amount == day.amount
    assert chair.level == day.level
    np.testing.assert_array_equal(chair.daylight, day.daylight)


@pytest.mark.parametrize(
    "read, said",
    [
        ((70.0, 20.0, 40.0), "no natural hair"),
        ((9.0, 0.0, 0.0), "darker than the surface of hair"),
        ((80.0, 1.0, 12.0), "lighter than the palest hair"),
    ],
)
def test_a_colour_that_hair_cannot_be_is_given_with_a_caution(read, said):
    assert any(said in caution for caution in figures_of_reading(np.array(read)).cautions)


@pytest.mark.parametrize("read", [(0.38, 0.1, 0.2), (120.0, 0, 0), (40, 200, 0), (np.nan, 1, 2)])
def test_what_is_no_colour_of_a_surface_is_refused(read):
    with pytest.raises(OutOfRangeError):
        figures_of_reading(np.array(read))


def test_an_unknown_geometry_is_told_with_those_known():
    with pytest.raises(OutOfRangeError, match="sphere-included"):
        figures_of_reading(np.array([30.0, 4.0, 8.0]), "8/d")
    assert set(GEOMETRIES) == {"45/0", "sphere-excluded", "sphere-included"}


def test_measured_heads_have_no_caution_of_being_no_hair():
    for name in ("black83", "brown97", "red90", "blonde109", "brown102"):
        said = " ".join(figures_of_reading(sample_lab(name)).cautions)
        assert "no natural hair" not in said


@pytest.mark.parametrize("level, stage", [(5, 3.0), (9, 5.0)])
def test_a_stage_that_the_level_has_passed_is_refused(level, stage):
    with pytest.raises(OutOfRangeError, match="before any lightening"):
        figures_of_asked(Asked(level, stage))


def test_white_among_lightened_hair_is_lightened_with_it():
    lightness = [figures_of_asked(Asked(6, 10.0, gray)).lab[0].middle for gray in (0.0, 0.5, 0.9)]
    assert max(lightness) - min(lightness) < 2.5
    assert min(lightness) > 68.0


def test_lightened_hair_is_read_as_such():
    seen = figures_of_asked(Asked(6, 9.0))
    read = np.array([axis.middle for axis in seen.lab])
    found = figures_of_reading(read, lightened=True)
    assert found.lightened
    assert found.delta_e00.middle < 0.5
    assert found.stage.middle == pytest.approx(9.0, abs=0.1)
    assert found.amount.middle == pytest.approx(seen.amount.middle, rel=0.1)
    toned = figures_of_reading(np.array([64.0, 0.8, 5.6]), lightened=True)
    assert "no lightened hair" in toned.cautions[0]


def test_a_shade_varies_by_its_lines_step_and_the_hair_beneath():
    from strandline.science.hair.figures.shade import figures_of_shade
    from strandline.science.hair.naming.lines import numberings
    from strandline.science.hair.naming.name import read_name

    line = numberings()["international"]
    for name in ("7.43", "9.2", "10.0"):
        seen = figures_of_shade(read_name(name, line), line, "level")
        assert seen.lab[0].low < seen.lab[0].middle < seen.lab[0].high < 75.0
        assert not seen.lightened
    assert "swatch" in seen.cautions[0]


def test_the_spread_of_the_surface_is_half_of_what_its_bounds_differ_by():
    from strandline.salon.evidence.heads import BLACK, SAMPLES, least_reflected
    from strandline.science.hair.spread import spreads

    least = least_reflected()
    bounds = min(least[name] for name in SAMPLES), least[BLACK]
    assert spreads()["surface"].value == pytest.approx((bounds[1] - bounds[0]) / 2, abs=1e-4)
