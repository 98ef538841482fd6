"""The scalp as a sphere, in an equal-area chart whose poles are the ears.

Fixed units inside: cm and cm2. `y` runs along the midline from the fringe hairline (0) to the
nape; `u` is negative on the client's left. A chart area is a scalp area, so hairs are counted
by counting area.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from functools import cache, cached_property

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import numbers, toml_beside
from strandline.science.head.polygon import Point, Polygon, area

AREA_CM2 = (430.0, 555.0)
"""Two standard deviations about the measured scalp area 492 +- 31 cm2 (scalp_area)."""

BETWEEN = 4
"""Straight pieces in which the hairline is drawn between two knots of the file."""

Hairline = tuple[tuple[float, float], ...]
"""Knots (place on the midline 0-1, half angle in radians)."""


@cache
def average_hairline() -> Hairline:
    """Load the hairline of `hairline.toml`, drawn smoothly through its knots.

    Returns
    -------
    knots of place [1] and half angle, radians, BETWEEN for each of the file's

    Notes
    -----
    A cubic through each knot whose slope there is that of the chord of its neighbours.
    """
    document = toml_beside(__package__, "hairline.toml")
    read = [numbers(knot, "hairline.toml") for knot in document["knot"]]
    knots = [(knot["place"].value, math.radians(knot["angle"].value)) for knot in read]
    last = len(knots) - 1
    slopes = []
    for k in range(len(knots)):
        before, after = knots[max(k - 1, 0)], knots[min(k + 1, last)]
        slopes.append((after[1] - before[1]) / (after[0] - before[0]))
    out = [knots[0]]
    for k in range(last):
        (p0, a0), (p1, a1) = knots[k], knots[k + 1]
        for step in range(1, BETWEEN + 1):
            t = step / BETWEEN
            rise = (p1 - p0) * (slopes[k] * t * (1 - t) ** 2 - slopes[k + 1] * t * t * (1 - t))
            out.append((p0 + t * (p1 - p0), a0 + (a1 - a0) * t * t * (3 - 2 * t) + rise))
    return tuple(out)


@dataclass(frozen=True)
class Scalp:
    """A scalp of given circumference and front-to-nape arc.

    Parameters
    ----------
    circumference_cm : float    round the head over the brow, 45-66
    front_to_nape_cm : float    along the midline between the hairlines, 28-44
    hairline : knots            place on the midline 0-1, half angle in radians 0 to pi/2

    Raises
    ------
    OutOfRangeError   an arc outside its range, or a scalp outside 430-555 cm2

    Notes
    -----
    Sphere of radius R = C / 2 pi. With x the lateral arc from the midline,
    u = R sin(x / R) and dA = du dy exactly (transverse cylindrical equal-area chart).
    Partings of constant y are great circles through the ears; of constant u, circles
    parallel to the midline, of length (y1 - y0) cos(x / R). The hairline is straight in the
    chart between its knots. Valid for area, counts and arcs on the midline; not valid for
    the arc from ear to ear, which a sphere of the right circumference makes about 20 % shorter
    than measured, for a real head is higher than it is wide.

    References
    ----------
    geometry; scalp_area; wig_cap for the front-to-nape arc
    """

    circumference_cm: float = 55.2
    front_to_nape_cm: float = 36.2
    hairline: Hairline = field(default_factory=average_hairline)

    def __post_init__(self) -> None:
        """Refuse arcs and areas that no adult head has."""
        _within("circumference", self.circumference_cm, 45.0, 66.0)
        _within("front-to-nape arc", self.front_to_nape_cm, 28.0, 44.0)
        places = [place for place, _ in self.hairline]
        if places[0] != 0 or places[-1] != 1 or sorted(set(places)) != places:
            raise OutOfRangeError(
                f"The hairline's places run {places}; they must rise from 0 to 1.",
                "Begin at the fringe with 0 and end at the nape with 1.",
            )
        if not all(0 < angle < math.pi / 2 for _, angle in self.hairline):
            raise OutOfRangeError(
                "A hairline angle lies outside 0 to 90 degrees.",
                "Measure it from the midline towards the ear, at most 90 degrees.",
            )
        if not AREA_CM2[0] <= self.area_cm2 <= AREA_CM2[1]:
            raise OutOfRangeError(
                f"The scalp comes to {self.area_cm2:.0f} cm2; it must be "
                f"{AREA_CM2[0]:.0f}-{AREA_CM2[1]:.0f} cm2.",
                "Measure the circumference and the arc from fringe to nape again, in cm.",
            )

    @property
    def radius_cm(self) -> float:
        """Give the radius of the sphere, cm."""
        return self.circumference_cm / (2 * math.pi)

    @cached_property
    def knots(self) -> tuple[tuple[float, float], ...]:
        """Give the hairline's knots as (y, lateral arc x), cm."""
        return tuple(
            (place * self.front_to_nape_cm, angle * self.radius_cm)
            for place, angle in self.hairline
        )

    @cached_property
    def outline(self) -> Polygon:
        """Give the hairline as a closed polygon in the chart, cm."""
        right = [(self.u_of_arc(x), y) for y, x in self.knots]
        return tuple(right) + tuple((-u, y) for u, y in reversed(right))

    @cached_property
    def area_cm2(self) -> float:
        """Give the area of the scalp, cm2."""
        return area(self.outline)

    @property
    def hairline_cm(self) -> float:
        """Give the length of the hairline all round, cm, along the sphere."""
        return self.length_cm((*self.outline, self.outline[0]))

    def u_of_arc(self, arc_cm: float) -> float:
        """Give u of a lateral arc x from the midline: R sin(x / R)."""
        return self.radius_cm * math.sin(arc_cm / self.radius_cm)

    def arc_of_u(self, u_cm: float) -> float:
        """Give the lateral arc x of u: R asin(u / R)."""
        return self.radius_cm * math.asin(u_cm / self.radius_cm)

    def half_u(self, y_cm: float) -> float:
        """Give u of the hairline at a place on the midline, cm."""
        previous = self.knots[0]
        for knot in self.knots[1:]:
            if y_cm <= knot[0]:
                share = (y_cm - previous[0]) / (knot[0] - previous[0])
                low, high = self.u_of_arc(previous[1]), self.u_of_arc(knot[1])
                return low + share * (high - low)
            previous = knot
        return self.u_of_arc(previous[1])

    def inset_u(self, y_cm: float, depth_cm: float) -> float:
        """Give u at a lateral depth inside the hairline, cm; exact at the knots."""
        return self.u_of_arc(self.arc_of_u(self.half_u(y_cm)) - depth_cm)

    def place(self, point: Point) -> tuple[float, float, float]:
        """Give a chart point in space: to the right, to the front, up; cm from the centre.

        Up is the middle of the midline between fringe and nape.
        """
        u, y = point
        ring = math.sqrt(max(self.radius_cm**2 - u * u, 0.0))
        turn = (self.front_to_nape_cm / 2 - y) / self.radius_cm
        return (u, ring * math.sin(turn), ring * math.cos(turn))

    def distance_cm(self, start: Point, end: Point) -> float:
        """Give the great-circle distance of two chart points, cm."""
        a, b = self.place(start), self.place(end)
        half_chord = math.dist(a, b) / 2
        return 2 * self.radius_cm * math.asin(min(half_chord / self.radius_cm, 1.0))

    def length_cm(self, line: Polygon) -> float:
        """Give the length on the scalp of a line straight in the chart between points, cm."""
        total = 0.0
        for (u0, y0), (u1, y1) in itertools.pairwise(line):
            if u0 == u1:
                total += abs(y1 - y0) * math.sqrt(max(1 - (u0 / self.radius_cm) ** 2, 0.0))
                continue
            if y0 == y1:
                total += abs(self.arc_of_u(u1) - self.arc_of_u(u0))
                continue
            steps = 1 + int(4 * math.hypot(u1 - u0, y1 - y0))
            points = [
                (u0 + k / steps * (u1 - u0), y0 + k / steps * (y1 - y0)) for k in range(steps + 1)
            ]
            total += sum(self.distance_cm(a, b) for a, b in itertools.pairwise(points))
        return total


def _within(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise OutOfRangeError(
            f"The {name} is {value:g} cm; it must be {low:g}-{high:g} cm.",
            "Measure it with a tape and give it in cm.",
        )
