"""Classes of hair and the palette they are coloured from."""

from __future__ import annotations

import math

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.seeing import covered_pair, natural_pair
from strandline.science.colour.spectra import xyz
from strandline.science.fibre import Fibre, stack
from strandline.science.hair.pigment import SPECULAR, reflectance
from strandline.service.growout.look import HairClass, Layer, checked, lie_of
from strandline.service.growout.palette import coloured

WHITE, PIGMENTED = natural_pair()
COVERED = covered_pair()[0]


def _whole(fibre: Fibre) -> tuple[Layer, ...]:
    return (Layer(0.0, math.inf, fibre),)


def _same(states: Fibre, _weeks: float) -> Fibre:
    return states


@pytest.mark.parametrize(("start", "end"), [(1.0, 1.0), (2.0, 1.0), (-1.0, 1.0), (math.nan, 1.0)])
def test_stretch_of_no_length_is_refused(start: float, end: float) -> None:
    with pytest.raises(OutOfRangeError, match="runs from"):
        Layer(start, end, WHITE)


def test_stretch_of_two_states_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="2 states"):
        Layer(0.0, 1.0, stack([WHITE, PIGMENTED]))


@pytest.mark.parametrize(
    "layers",
    [
        (),
        (Layer(0.5, 3.0, WHITE),),
        (Layer(0.0, 1.0, WHITE), Layer(1.5, 3.0, COVERED)),
        (Layer(0.0, 1.0, WHITE), Layer(0.5, 3.0, COVERED)),
    ],
)
def test_gaps_and_overlaps_are_refused(layers: tuple[Layer, ...]) -> None:
    with pytest.raises(OutOfRangeError, match="stretch"):
        HairClass("hair", 1.0, layers, WHITE)


@pytest.mark.parametrize(("share", "run"), [(1.1, 0.07), (-0.1, 0.07), (0.5, 0.0), (0.5, math.inf)])
def test_shares_and_runs_that_cannot_be_are_refused(share: float, run: float) -> None:
    with pytest.raises(OutOfRangeError, match="of 'hair' is"):
        HairClass("hair", share, _whole(WHITE), WHITE, run)


def test_shares_must_close_and_empty_classes_fall_out() -> None:
    half = HairClass("half", 0.5, _whole(WHITE), WHITE)
    none = HairClass("none", 0.0, _whole(WHITE), WHITE)
    assert checked([half, none, half]) == (half, half)
    with pytest.raises(OutOfRangeError, match=r"sum to 0\.5"):
        checked([half, none])


def test_strand_with_two_runs_is_refused() -> None:
    one = HairClass("one", 0.5, _whole(WHITE), WHITE, 2.0, "foils")
    two = HairClass("two", 0.5, _whole(WHITE), WHITE, 3.0, "foils")
    with pytest.raises(OutOfRangeError, match="2 and 3 mm"):
        checked([one, two])


def test_strands_of_one_name_lie_together() -> None:
    classes = [
        HairClass("a", 0.2, _whole(WHITE), WHITE, 2.0, "foils"),
        HairClass("b", 0.3, _whole(WHITE), WHITE, 0.1),
        HairClass("c", 0.1, _whole(WHITE), WHITE, 2.0, "foils"),
        HairClass("d", 0.4, _whole(WHITE), WHITE, 0.1),
    ]
    lie = lie_of(classes)
    assert lie.strand_of == (0, 1, 0, 2)
    assert lie.run_mm == (2.0, 0.1, 0.1)


def test_each_state_is_coloured_once_and_each_fade_asked_once_a_week() -> None:
    asked: list[tuple[int, float]] = []

    def fade(states: Fibre, weeks: float) -> Fibre:
        asked.append((len(states), weeks))
        return states

    def other(states: Fibre, weeks: float) -> Fibre:
        return fade(states, weeks + 100)

    classes = [
        HairClass(str(i), 0.1, (Layer(0, 1, WHITE), Layer(1, 9, COVERED)), WHITE) for i in range(9)
    ]
    last = (Layer(0, 2, COVERED, other), Layer(2, 9, WHITE, other))
    classes.append(HairClass("last", 0.1, last, PIGMENTED))
    look = coloured(classes, [0.0, 4.0], fade, SPECULAR)
    assert asked == [(2, 0.0), (2, 100.0), (2, 4.0), (2, 104.0)]
    assert look.starts_cm.tolist() == [0.0, 1.0, 2.0]
    assert look.lengths.shape == (2, 10, 3, 3)
    covered, white = (xyz(reflectance(f))[0] for f in (COVERED, WHITE))
    assert look.lengths[1, 0, 2] == pytest.approx(covered)
    assert look.lengths[1, 9, 1] == pytest.approx(covered)
    assert look.lengths[1, 9, 2] == pytest.approx(white)
    assert look.roots[9] == pytest.approx(xyz(reflectance(PIGMENTED))[0])


def test_fade_that_loses_states_is_refused() -> None:
    def lossy(states: Fibre, _weeks: float) -> Fibre:
        return states.take(np.array([0]))

    layers = (Layer(0, 1, WHITE), Layer(1, 9, COVERED))
    with pytest.raises(OutOfRangeError, match="2 states gave back 1"):
        coloured([HairClass("hair", 1.0, layers, WHITE)], [0.0], lossy, SPECULAR)


def test_glare_lightens_dark_hair() -> None:
    hair = [HairClass("hair", 1.0, _whole(PIGMENTED), PIGMENTED)]
    dull, shiny = (coloured(hair, [0.0], _same, specular) for specular in (0.0116, 0.025))
    assert shiny.roots[0, 1] > dull.roots[0, 1] + 1.0
