"""Foils and the map of them: what each takes, what is left out, and last visit's foils."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.science.head.polygon import Point, Polygon, holds
from strandline.science.head.zones import ALONG, Side, Zones
from strandline.service.placement.pattern import Kind

SECTIONS = (
    "nape hairline",
    "centre strip",
    "fringe",
    "side hairlines",
    "sides",
    "tip-outs",
)
"""Sections in the usual order of work; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Foil:
    """One foil.

    Parameters
    ----------
    number : int            in the order of work, from 1
    zone, side : str        of the head's zones
    section : str           one of SECTIONS
    kind, grade : str       as in `Row`
    up_cm : float           height of the parting over the zone's lower edge, arc
    across_cm : (a, b)      its ends in the zone's own frame (`Zones.course`), which is the chart
                            where nothing turns: u across the head, y along it
    line : points           the middle of the parting in the chart, from end to end
    outline : polygon       the scalp it takes, chart
    length_cm : float       of the parting, arc
    thickness_mm, pick_mm, left_mm : float
    flipped : bool          True where a weave picks what an earlier one left
    roots : int             hairs taken
    hair_share : float      share of the zone's roots [1]
    from_cm : float         from here outward the hair is treated
    hair_grams : float      mass of the hair treated
    lightener_grams : float lightener on it; 0 for a lowlight
    colour_grams : float    lowlight colour on it; 0 for the rest
    reason : str
    tilt_deg : float        of a diagonal parting; 0 as the zone lies
    turned : bool           its zone's partings bend round a place where hair turns
    """

    number: int
    zone: str
    side: Side
    section: str
    kind: Kind
    grade: str
    up_cm: float
    across_cm: tuple[float, float]
    line: Polygon
    outline: Polygon
    length_cm: float
    thickness_mm: float
    pick_mm: float
    left_mm: float
    flipped: bool
    roots: int
    hair_share: float
    from_cm: float
    hair_grams: float
    lightener_grams: float
    colour_grams: float
    reason: str
    tilt_deg: float = 0.0
    turned: bool = False

    @property
    def key(self) -> str:
        """Give the key of its zone: 'top', 'sides left'."""
        return self.zone if self.side == "centre" else f"{self.zone} {self.side}"

    @property
    def across(self) -> bool:
        """Tell whether its parting runs from ear to ear, not along the head."""
        return self.zone not in ALONG

    @property
    def bent(self) -> bool:
        """Tell whether its line is not the chart's; it then has points at equal shares of it."""
        return self.turned or bool(self.tilt_deg)


@dataclass(frozen=True)
class FoilMap:
    """The foils of one visit.

    Parameters
    ----------
    foils : tuple of Foil in the order of work
    zones : Zones            the head they lie on
    left_out : mapping of zone key to the share of its roots in no foil of this map [1], 0-1
    order : tuple of sections that have foils, in the order of work
    pattern : str            its name
    pitch_scale : float      on the pattern's pitches
    grown_cm : float         how far they have grown out since
    """

    foils: tuple[Foil, ...]
    zones: Zones
    left_out: Mapping[str, float]
    order: tuple[str, ...]
    pattern: str = ""
    pitch_scale: float = 1.0
    grown_cm: float = 0.0

    def __len__(self) -> int:
        """Give the number of foils."""
        return len(self.foils)

    def __iter__(self) -> Iterator[Foil]:
        """Give the foils in order."""
        return iter(self.foils)

    def section(self, name: str) -> tuple[Foil, ...]:
        """Give the foils of a section."""
        return tuple(foil for foil in self.foils if foil.section == name)

    def in_zone(self, key: str) -> tuple[Foil, ...]:
        """Give the foils of a zone by its key."""
        return tuple(foil for foil in self.foils if foil.key == key)

    @property
    def hair_grams(self) -> float:
        """Give the mass of hair treated, g."""
        return sum(foil.hair_grams for foil in self.foils)

    @property
    def lightener_grams(self) -> float:
        """Give the lightener on all foils, g."""
        return sum(foil.lightener_grams for foil in self.foils)

    @property
    def colour_grams(self) -> float:
        """Give the lowlight colour on all foils, g."""
        return sum(foil.colour_grams for foil in self.foils)

    def taken_share(self, *kinds: Kind) -> float:
        """Give the share of the whole head's roots in foils, of some kinds or of all [1]."""
        shares = self.zones.shares()
        return sum(
            foil.hair_share * shares[foil.key]
            for foil in self.foils
            if not kinds or foil.kind in kinds
        )


def takes(foil: Foil, zones: Zones, root: Point) -> bool:
    """Tell whether a foil takes a root.

    Parameters
    ----------
    root : (u, y) in the chart, cm

    Notes
    -----
    The root lies in the parting and, for a weave, under one of the picks. A weave has a whole
    number of picks and spaces, the nearest to the comb's; each pick stands in the middle of its
    space, and a flipped weave picks between them.
    """
    if not holds(foil.outline, root):
        return False
    if not foil.left_mm:
        return True
    cell = _along_share(foil, zones, root) * picks(foil) + (0.5 if foil.flipped else 0.0)
    return abs(cell % 1.0 - 0.5) < foil.pick_mm / (foil.pick_mm + foil.left_mm) / 2


def picks(foil: Foil) -> int:
    """Give the number of picks of a weave, 0 for a slice."""
    if not foil.left_mm:
        return 0
    return max(1, round(foil.length_cm * 10 / (foil.pick_mm + foil.left_mm)))


def _along_share(foil: Foil, zones: Zones, root: Point) -> float:
    """Give how far along the parting a root lies, as a share of its length [1]."""
    first, last = foil.across_cm
    if foil.bent:
        own = zones.course(foil.key, foil.tilt_deg).own(np.array(root[:1]), np.array(root[1:]))
        root = (float(own[0][0]), float(own[1][0]))
    if foil.tilt_deg:
        return (root[0 if foil.across else 1] - first) / (last - first)
    if foil.across:
        scalp = zones.scalp
        start, end = scalp.arc_of_u(first), scalp.arc_of_u(last)
        return (scalp.arc_of_u(root[0]) - start) / (end - start)
    return (root[1] - first) / (last - first)


def grown_out(foil_map: FoilMap, cm: float) -> FoilMap:
    """Carry a map forward by growth: its hair is treated from farther out.

    Parameters
    ----------
    cm : float   grown since, >= 0

    Raises
    ------
    OutOfRangeError   a negative length
    """
    if not 0 <= cm <= 200:
        raise OutOfRangeError(
            f"The growth since the last visit is {cm:g} cm; it must be 0-200 cm.",
            "Give the centimetres grown between the two dates.",
        )
    return replace(
        foil_map,
        foils=tuple(replace(foil, from_cm=foil.from_cm + cm) for foil in foil_map.foils),
        grown_cm=foil_map.grown_cm + cm,
    )


def left_by_all(*foil_maps: FoilMap) -> dict[str, float]:
    """Give the share of each zone's roots that no map has taken yet, by zone key [1].

    Notes
    -----
    Valid for maps laid beside each other (`place` with ghosts), which share no root; a
    lowlight laid over an earlier foil takes nothing new.
    """
    first = foil_maps[0]
    return {
        zone.key: 1
        - sum(
            foil.hair_share
            for foil_map in foil_maps
            for foil in foil_map.foils
            if foil.key == zone.key and foil.kind != "lowlight weave"
        )
        for zone in first.zones
    }
