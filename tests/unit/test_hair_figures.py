import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.heads import sample, sample_lab
from strandline.science.colour.lights import light
from strandline.science.hair.figures import GEOMETRIES, figures_of_asked, figures_of_reading
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
        ((70.0, 20.0, 40.0), "No natural pigment comes nearer"),
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
        assert "No natural pigment" not in said


def test_a_stage_that_is_not_reached_is_said():
    from strandline.science.hair.stages import PALEST

    figures = figures_of_asked(Asked(6, PALEST))
    assert any("priors" in caution for caution in figures.cautions)
