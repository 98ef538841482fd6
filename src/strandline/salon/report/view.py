"""From the chart of the scalp to paper: the head unrolled, as seen from above."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

from strandline.salon.report.svg import Place
from strandline.science.head.polygon import Point, Polygon
from strandline.science.head.scalp import Scalp

STEP_CM = 0.6
"""Lines are drawn in pieces no longer than this."""


@dataclass(frozen=True, slots=True)
class View:
    """A map projection of the scalp: fringe above, nape below, ears at the sides.

    Parameters
    ----------
    scalp : Scalp
    centre : (x, y)     of the midline's middle on the sheet, mm
    mm_per_cm : float   along the midline

    Notes
    -----
    The mean of two maps, as cartographers blend them for a pleasing outline: azimuthal
    equidistant about the middle of the midline, and x = lateral arc,
    y = y cos^(1/2)(x / R). The midline is true to scale, so pitches on it can be read with a
    ruler; a parting from ear to ear at the middle is true too; the nape is drawn wider than
    it is.
    """

    scalp: Scalp
    centre: Place
    mm_per_cm: float

    def at(self, point: Point) -> Place:
        """Give where a chart point lies on the sheet, mm."""
        scalp = self.scalp
        radius = scalp.radius_cm
        right, front, up = scalp.place(point)
        ring = math.hypot(right, front)
        away = radius * math.atan2(ring, up)
        turn = away / ring if ring > 1e-12 else 1.0
        arc = scalp.arc_of_u(point[0])
        bent = (point[1] - scalp.front_to_nape_cm / 2) * math.sqrt(math.cos(arc / radius))
        x = (right * turn + arc) / 2
        y = (bent - front * turn) / 2
        return (self.centre[0] + self.mm_per_cm * x, self.centre[1] + self.mm_per_cm * y)

    def line(self, line: Iterable[Point]) -> list[Place]:
        """Draw a chart polyline in short pieces."""
        chart = list(line)
        out = [self.at(chart[0])]
        for (u0, y0), (u1, y1) in itertools.pairwise(chart):
            steps = max(1, math.ceil(math.hypot(u1 - u0, y1 - y0) / STEP_CM))
            out += [
                self.at((u0 + k / steps * (u1 - u0), y0 + k / steps * (y1 - y0)))
                for k in range(1, steps + 1)
            ]
        return out

    def ring(self, outline: Polygon) -> list[Place]:
        """Draw a closed chart polygon in short pieces."""
        return self.line((*outline, outline[0]))[:-1]

    def y_of(self, y_cm: float) -> float:
        """Give the height on the sheet of a place on the midline, mm."""
        return self.at((0.0, y_cm))[1]
