import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.hair.levels import level_spread
from strandline.science.hair.pigment import lab
from strandline.science.hair.reading import natural_reflectance, read_pigment
from strandline.science.hair.spread import (
    FACTORS,
    Asked,
    delta_spread,
    deviations,
    drawn,
    spreads,
)

NAMED = [name for name in FACTORS if not name.startswith("read")]


def colours(asked):
    def of(z):
        found = drawn(asked, z)
        return lab_from_reflectance(found.reflectance) + found.off

    return of


@pytest.mark.parametrize(
    "asked",
    [Asked(3), Asked(5), Asked(6), Asked(7), Asked(5, 9.0), Asked(4, gray=0.5),
     Asked(6, gray=0.4, clump_mm=0.3), Asked(6, gray=1.0)],
    ids=str,
)  # fmt: skip
def test_draws_agree_with_the_delta_method(asked):
    """A tenth in lightness and b*: what 64 draws of a slightly bent law leave."""
    by_draws = colours(asked)(deviations()).std(axis=0)
    by_slopes = delta_spread(colours(asked), NAMED)
    assert by_draws[0] == pytest.approx(by_slopes[0], rel=0.1)
    assert by_draws[2] == pytest.approx(by_slopes[2], rel=0.15)


@pytest.mark.parametrize("level", [2.0, 4.0, 6.0, 8.0])
def test_the_share_of_the_level_is_that_of_its_scale(level):
    """Sd of L* from the level alone: .1893 L* times the spread of the level (strandline_fit)."""
    middle = colours(Asked(level))({})[0, 0]
    found = delta_spread(colours(Asked(level)), ["level"])[0]
    assert found == pytest.approx(0.1893 * middle * float(level_spread(level)), rel=0.08)


def test_the_middle_is_the_level_itself():
    for level in (1.0, 4.5, 9.0, 10.0):
        from strandline.science.hair.levels import natural_palette

        expected = lab(natural_palette([level], with_white=False))
        np.testing.assert_allclose(colours(Asked(level))({}), expected, atol=1e-9)


def test_white_and_pigmented_hair_share_a_surface_and_a_base():
    one = {"surface": np.array([1.0]), "base": np.array([1.0])}
    white, half = (colours(Asked(6, gray=gray))(one)[0, 0] for gray in (1.0, 0.5))
    white_0, half_0 = (colours(Asked(6, gray=gray))({})[0, 0] for gray in (1.0, 0.5))
    assert white < white_0
    assert half < half_0


def test_no_draw_has_less_than_no_pigment_or_is_paler_than_the_palest():
    found = drawn(Asked(10), deviations())
    assert np.all(found.pigmented.amount >= 0)
    assert np.all(np.isfinite(drawn(Asked(5, 10.5), deviations()).pigmented.progress))


@pytest.mark.parametrize(
    "asked, said",
    [({"gray": 1.4}, "share of white"), ({"clump_mm": 0.0}, "runs of 0 mm")],
)
def test_what_no_head_can_be_is_refused(asked, said):
    with pytest.raises(OutOfRangeError, match=said):
        Asked(6.0, **asked)


def test_the_spread_of_the_fit_is_what_two_numbers_leave_of_the_heads():
    from strandline.salon.evidence.heads import heads

    _, seen = heads()
    reading = read_pigment(seen)
    left = lab_from_reflectance(natural_reflectance(reading.amount, reading.slope)) - seen
    rms = np.sqrt(np.mean(left**2, axis=0))
    noted = [spreads()[name].value for name in ("fit_lightness", "fit_a", "fit_b")]
    np.testing.assert_allclose(rms, noted, atol=0.01)


def test_the_spread_of_warmth_is_that_of_the_heads_that_are_not_red():
    from strandline.salon.evidence.heads import heads

    names, seen = heads()
    slopes = read_pigment(seen).slope[[i for i, name in enumerate(names) if "red" not in name]]
    assert np.std(slopes, ddof=1) == pytest.approx(spreads()["warmth"].value, abs=1e-4)
