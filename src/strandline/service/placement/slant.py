"""Diagonal partings: a zone seen in a frame of its own, turned so that they lie straight.

Fixed units inside: cm in the zone's frame (`science.head.course`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from strandline.science.head.polygon import Axis, Polygon, cut, extent, span
from strandline.science.head.zones import Zone, Zones
from strandline.service.placement.pattern import Row


def tilt_of(zone: Zone, row: Row) -> float:
    """Give the tilt of a row's partings in a zone, degrees clockwise as seen from above."""
    clockwise = {"right": 1.0, "left": -1.0, "forward": 1.0, "back": -1.0, "": 0.0}[row.diagonal]
    mirror = -1.0 if zone.side == "left" else 1.0
    return clockwise * mirror * row.diagonal_deg if clockwise else 0.0


@dataclass(frozen=True)
class Slant:
    """A zone in the frame in which its diagonal partings are straight.

    Parameters
    ----------
    outline : of the zone in the frame
    across : its partings run from ear to ear, not along the head
    sign : 1 where they pile up with the coordinate, -1 against it
    shortest_cm : a parting shorter than this is not taken on its own
    """

    outline: Polygon
    across: bool
    sign: float
    shortest_cm: float

    @property
    def axis(self) -> Axis:
        """Give the axis along a parting."""
        return 0 if self.across else 1

    @property
    def pile(self) -> Axis:
        """Give the axis along which partings pile up."""
        return 1 if self.across else 0

    @cached_property
    def ends(self) -> tuple[float, float, float, float]:
        """Give the tip, the lowest and the highest parting of full length, and the crest."""
        low, high = sorted(self.sign * x for x in extent(self.outline, self.pile))
        return low, self._first(low, high), self._first(high, low), high

    def _first(self, start: float, end: float) -> float:
        """Give where from one end on a parting is long enough; that end where none ever is."""
        middle = (start + end) / 2
        if self._length(start + 1e-6 * (end - start)) >= self.shortest_cm:
            return start
        if self._length(middle) < self.shortest_cm:
            return start
        near, far = start, middle
        for _ in range(30):
            between = (near + far) / 2
            near, far = (
                (near, between) if self._length(between) >= self.shortest_cm else (between, far)
            )
        return far

    def _length(self, height: float) -> float:
        found = span(self.outline, self.pile, self.sign * height)
        return found[1] - found[0] if found else 0.0

    @property
    def height_cm(self) -> float:
        """Give how far its partings pile up, between the tip and the crest."""
        _, low, high, _ = self.ends
        return high - low

    @property
    def tip_cm(self) -> float:
        """Give how far the tip reaches below the lowest parting."""
        return self.ends[1] - self.ends[0]

    @property
    def crest_cm(self) -> float:
        """Give how far the crest reaches above the highest."""
        return self.ends[3] - self.ends[2]

    def band(self, low_cm: float, high_cm: float) -> Polygon:
        """Give what lies between two heights over the lowest parting."""
        base = self.ends[1]
        low, high = sorted((self.sign * (base + low_cm), self.sign * (base + high_cm)))
        return cut(self.outline, self.pile, low, high)


def slant(zones: Zones, zone: Zone, tilt_deg: float, shortest_cm: float) -> Slant:
    """See a zone in the frame of its diagonal partings."""
    across = zone.rows in ("forward", "backward")
    downward = zone.rows == "forward" or (zone.rows == "inward" and zone.side == "right")
    outline = zones.course(zone.key, tilt_deg).outline(zone.outline)
    return Slant(outline, across, -1.0 if downward else 1.0, shortest_cm)
