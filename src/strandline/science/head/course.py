"""How partings run over a zone: as it lies, turned for a diagonal, or bent where hair turns.

A zone's partings are laid straight in a frame of its own and then carried onto the chart. Every map
here keeps areas, so that hairs are counted in the frame as they are on the scalp. Fixed units
inside: cm in the chart of `scalp`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.head.polygon import Point, Polygon

Floats = NDArray[np.float64]

STEP_CM = 0.1
"""Bent edges are drawn in pieces of so much: a chord then lies within .02 mm of its arc."""
FLOW_STEPS = 8
"""Steps of the fourth-order rule that carries a point round; areas then hold to a millionth."""


@dataclass(frozen=True, slots=True)
class Whirl:
    """A place where hair turns: a cowlick, a swirl, one side of a widow's peak.

    Parameters
    ----------
    u, y : its middle in the chart, cm
    radius_cm : along the scalp, 0.5-6; beyond it nothing is turned
    angle_deg : partings are turned by so much at its middle, -90 to 90; above 0 clockwise as seen
                from above, fringe up

    Raises
    ------
    OutOfRangeError   a radius or an angle outside its range
    """

    u: float
    y: float
    radius_cm: float
    angle_deg: float

    def __post_init__(self) -> None:
        """Refuse what no parting follows."""
        for name, value, low, high, unit in (
            ("radius of the swirl", self.radius_cm, 0.5, 6.0, "cm"),
            ("turn at its middle", self.angle_deg, -90.0, 90.0, "degrees"),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(
                    f"The {name} is {value:g} {unit}; it must be {low:g}-{high:g} {unit}.",
                    "Give it in that range.",
                )

    def mirrored(self) -> Whirl:
        """Change left for right."""
        return replace(self, u=-self.u, angle_deg=-self.angle_deg)


@dataclass(frozen=True)
class Course:
    """The frame in which a zone's partings are straight.

    Parameters
    ----------
    radius_cm : of the scalp's sphere
    middle : of the zone in the chart
    tilt_deg : of its partings, above 0 clockwise as seen from above; 0 as the zone lies
    whirls : round which they bend

    Notes
    -----
    Near a place at lateral arc x the chart is the scalp squeezed by c = cos(x / R) across and drawn
    out by 1 / c along; there (du / c, c dy) are true lengths. A tilt is a rotation in the true
    lengths about the zone's middle. Whirls are the flow, for a unit of time, of the sum of turns
    whose rate falls with the distance r as (1 - (r / radius)^2)^2: it has no divergence, so areas
    hold; one whirl alone is a rotation at every distance. Valid where radii are small against the
    sphere's; a tilted zone is true to length at its middle.

    References
    ----------
    geometry
    """

    radius_cm: float
    middle: Point
    tilt_deg: float = 0.0
    whirls: tuple[Whirl, ...] = ()

    @property
    def plain(self) -> bool:
        """Tell whether frame and chart are the same."""
        return not self.tilt_deg and not self.whirls

    def own(self, u: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Carry chart points into the frame, shape (N,) each."""
        return self._tilted(*self._flow(u, y, -1.0), -1.0)

    def chart(self, u: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Carry points of the frame onto the chart, shape (N,) each."""
        return self._flow(*self._tilted(u, y, 1.0), 1.0)

    def outline(self, polygon: Polygon) -> Polygon:
        """Carry a zone's outline into the frame; whirls end within it and move none of it."""
        u, y = self._tilted(*_columns(polygon), -1.0)
        return _points(u, y)

    def ring(self, polygon: Polygon) -> Polygon:
        """Carry a polygon of the frame onto the chart, its bent edges in pieces of STEP_CM."""
        if self.plain:
            return polygon
        u, y = self._tilted(*_columns(polygon), 1.0)
        if self.whirls:
            u, y = self._bent(np.append(u, u[0]), np.append(y, y[0]))
            u, y = u[:-1], y[:-1]
        return _points(u, y)

    def line(self, line: Polygon, axis: int, pieces: int) -> Polygon:
        """Carry a line of the frame onto the chart, in pieces of equal length along an axis."""
        along = np.linspace(line[0][axis], line[-1][axis], pieces + 1)
        u, y = _columns(line)
        at = u if axis == 0 else y
        across = np.interp(along, at, y if axis == 0 else u)
        found = self.chart(*((along, across) if axis == 0 else (across, along)))
        return _points(*found)

    def _tilted(self, u: Floats, y: Floats, sign: float) -> tuple[Floats, Floats]:
        if not self.tilt_deg:
            return u, y
        turn = math.radians(self.tilt_deg) * sign
        cos, sin = math.cos(turn), math.sin(turn)
        c = math.cos(math.asin(self.middle[0] / self.radius_cm))
        if sign < 0:  # into the frame, whose origin is the middle
            a, b = (u - self.middle[0]) / c, (y - self.middle[1]) * c
            return cos * a - sin * b, sin * a + cos * b
        a, b = cos * u - sin * y, sin * u + cos * y
        return a * c + self.middle[0], b / c + self.middle[1]

    def _flow(self, u: Floats, y: Floats, sign: float) -> tuple[Floats, Floats]:
        at = np.stack([np.asarray(u, dtype=np.float64), np.asarray(y, dtype=np.float64)])
        near = self._near(at)
        if not near.any():
            return at[0], at[1]
        p, h = at[:, near], sign / FLOW_STEPS
        for _ in range(FLOW_STEPS):
            one = self._speed(p)
            two = self._speed(p + h / 2 * one)
            three = self._speed(p + h / 2 * two)
            four = self._speed(p + h * three)
            p = p + h / 6 * (one + 2 * two + 2 * three + four)
        at[:, near] = p
        return at[0], at[1]

    def _near(self, at: Floats) -> NDArray[np.bool_]:
        """Say which points any whirl moves, shape (N,)."""
        near = np.zeros(at.shape[1], dtype=bool)
        for whirl in self.whirls:
            near |= self._away(whirl, at)[2] < 1
        return near

    def _away(self, whirl: Whirl, at: Floats) -> tuple[Floats, Floats, Floats]:
        """Give true lengths from a whirl's middle, and their square over its radius' square."""
        c = math.cos(math.asin(whirl.u / self.radius_cm))
        a, b = (at[0] - whirl.u) / c, (at[1] - whirl.y) * c
        return a, b, (a * a + b * b) / whirl.radius_cm**2

    def _speed(self, at: Floats) -> Floats:
        out = np.zeros_like(at)
        for whirl in self.whirls:
            c = math.cos(math.asin(whirl.u / self.radius_cm))
            a, b, far = self._away(whirl, at)
            rate = math.radians(whirl.angle_deg) * np.maximum(1 - far, 0.0) ** 2
            out[0] -= rate * b * c
            out[1] += rate * a / c
        return out

    def _bent(self, u: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Cut the edges of a line finely where they are moved, and move them."""
        us, ys = [u[:1]], [y[:1]]
        for k in range(len(u) - 1):
            steps = max(1, math.ceil(math.hypot(u[k + 1] - u[k], y[k + 1] - y[k]) / STEP_CM))
            share = np.arange(1, steps + 1) / steps
            us.append(u[k] + share * (u[k + 1] - u[k]))
            ys.append(y[k] + share * (y[k + 1] - y[k]))
            us[-1][-1], ys[-1][-1] = u[k + 1], y[k + 1]
        corner = np.concatenate([np.append(np.zeros(len(one) - 1, dtype=bool), True) for one in us])
        fine = np.stack([np.concatenate(us), np.concatenate(ys)])
        moved = self._near(fine)
        beside = moved | np.roll(moved, 1) | np.roll(moved, -1)
        found = np.stack(self._flow(fine[0], fine[1], 1.0))[:, corner | beside]
        return found[0], found[1]


def _columns(polygon: Polygon) -> tuple[Floats, Floats]:
    at = np.array(polygon, dtype=np.float64)
    return at[:, 0], at[:, 1]


def _points(u: Floats, y: Floats) -> Polygon:
    return tuple(zip(u.tolist(), y.tolist(), strict=True))
