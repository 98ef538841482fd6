"""The head to tap: its zones as seen from above, fringe above and nape below."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from strandline.salon.report.svg import points
from strandline.salon.report.view import View
from strandline.science.head.zones import cut_zones
from strandline.service.placement.places import ZONE_WORDS

MM_PER_CM = 5.0
MIDDLE = (100.0, 106.0)
FIRST = {"sides": "front"}
"""Where a zone between front and back is said first."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A zone of the drawing.

    Parameters
    ----------
    name : the zone's, the same left and right
    area : front, crown or back, where a tap on it goes
    shares : of the areas in what it shows
    path : SVG path data
    words : what it is called
    """

    name: str
    area: str
    shares: tuple[float, float, float]
    path: str
    words: str


@cache
def head_drawn() -> tuple[Drawn, ...]:
    """Give the zones of the mean head."""
    zones = cut_zones()
    view = View(zones.scalp, MIDDLE, MM_PER_CM)
    return tuple(
        Drawn(
            zone.name,
            FIRST.get(zone.area_name, zone.area_name),
            tuple(zone.answers_for.get(area, 0.0) for area in ("front", "crown", "back")),  # type: ignore[arg-type]
            points(view.ring(zone.outline), closed=True),
            ZONE_WORDS[zone.name],
        )
        for zone in zones
    )
