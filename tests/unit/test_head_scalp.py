"""The scalp and its chart."""

from __future__ import annotations

import itertools
import math

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.science.head.polygon import area, cut, extent, holds, mirrored, span
from strandline.science.head.scalp import Scalp


def test_scalp_chart_area_is_the_area_on_the_sphere() -> None:
    """Sum little quadrilaterals in space over a stretch of chart: they cover du dy."""
    scalp = Scalp()
    u0, u1, y0, y1, n = 1.0, 6.0, 8.0, 15.0, 60
    total = 0.0
    for i in range(n):
        for k in range(n):
            corners = [
                scalp.place((u0 + (u1 - u0) * (i + a) / n, y0 + (y1 - y0) * (k + b) / n))
                for a, b in ((0, 0), (1, 0), (1, 1), (0, 1))
            ]
            first = [corners[2][j] - corners[0][j] for j in range(3)]
            second = [corners[3][j] - corners[1][j] for j in range(3)]
            cross = (
                first[1] * second[2] - first[2] * second[1],
                first[2] * second[0] - first[0] * second[2],
                first[0] * second[1] - first[1] * second[0],
            )
            total += math.hypot(*cross) / 2
    assert total == pytest.approx((u1 - u0) * (y1 - y0), rel=2e-4)


def test_scalp_midline_is_as_long_as_the_tape_says() -> None:
    scalp = Scalp(front_to_nape_cm=35.6)
    assert scalp.length_cm(((0.0, 0.0), (0.0, 35.6))) == pytest.approx(35.6, abs=1e-9)


def test_scalp_parting_lengths_agree_with_little_steps() -> None:
    scalp = Scalp()
    for line in (((-4.0, 9.0), (5.0, 9.0)), ((5.0, 9.0), (5.0, 20.0)), ((1.0, 3.0), (5.0, 9.0))):
        (u0, y0), (u1, y1) = line
        steps = [(u0 + (u1 - u0) * k / 500, y0 + (y1 - y0) * k / 500) for k in range(501)]
        walked = sum(scalp.distance_cm(a, b) for a, b in itertools.pairwise(steps))
        assert scalp.length_cm(line) == pytest.approx(walked, rel=1e-4)


def test_scalp_ears_are_the_poles() -> None:
    scalp = Scalp()
    radius = scalp.radius_cm
    assert scalp.distance_cm((radius, 3.0), (radius, 30.0)) == pytest.approx(0.0, abs=1e-6)
    assert scalp.u_of_arc(scalp.arc_of_u(4.2)) == pytest.approx(4.2)


def test_scalp_outline_is_its_own_mirror() -> None:
    scalp = Scalp()
    assert sorted(mirrored(scalp.outline)) == sorted(scalp.outline)
    assert area(scalp.outline) == pytest.approx(scalp.area_cm2)


def test_scalp_grows_with_its_arcs() -> None:
    assert Scalp(57.2).area_cm2 > Scalp(55.2).area_cm2
    assert Scalp(55.2, 37.0).area_cm2 > Scalp(55.2, 36.2).area_cm2


@pytest.mark.parametrize(
    "arcs", [(40.0, 36.2), (70.0, 36.2), (55.2, 20.0), (65.0, 36.2), (46.0, 34.0), (math.nan, 36.2)]
)
def test_scalp_no_head_has_is_refused(arcs: tuple[float, float]) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        Scalp(*arcs)
    assert "cm" in caught.value.what
    assert caught.value.do


@pytest.mark.parametrize(
    "hairline",
    [
        ((0.1, 0.5), (1.0, 0.5)),
        ((0.0, 0.5), (0.7, 0.5), (0.5, 0.5), (1.0, 0.5)),
        ((0.0, 0.5), (1.0, 1.7)),
    ],
)
def test_scalp_hairline_out_of_order_is_refused(hairline: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(OutOfRangeError):
        Scalp(hairline=hairline)


SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
NOTCHED = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 1.0), (0.0, 4.0))


def test_polygon_cuts_keep_the_area() -> None:
    for shape in (SQUARE, NOTCHED):
        for axis in (0, 1):
            parts = [
                cut(shape, axis, low, high) for low, high in ((None, 1.3), (1.3, 2.9), (2.9, None))
            ]
            assert sum(area(part) for part in parts) == pytest.approx(area(shape))


def test_polygon_spans_and_holds() -> None:
    assert span(NOTCHED, 1, 0.5) == (0.0, 4.0)
    assert span(SQUARE, 0, 5.0) is None
    assert extent(NOTCHED, 1) == (0.0, 4.0)
    assert holds(NOTCHED, (1.0, 1.0))
    assert not holds(NOTCHED, (2.0, 3.0))
