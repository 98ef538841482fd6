"""The zones of a head, cut by lines that she can move; together they are the whole scalp.

Fixed units inside: cm and cm2, in the chart of `scalp`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from strandline.base.errors import OutOfRangeError
from strandline.science.head.course import Course, Whirl
from strandline.science.head.polygon import (
    TINY_CM2,
    Polygon,
    area,
    cut,
    extent,
    mirrored,
)
from strandline.science.head.scalp import Scalp

Side = Literal["left", "centre", "right"]
Rows = Literal["forward", "backward", "inward", "hairline"]

NAMES = (
    "nape_hairline",
    "nape",
    "back_lower",
    "back_upper",
    "crown",
    "top",
    "fringe",
    "side_hairlines",
    "sides",
    "temples",
)
"""Zones in the order of work, from the nape up and then forward."""

ALONG = ("side_hairlines", "sides", "temples")
"""Zones whose partings run along the head; those of the rest run from ear to ear."""

ANSWERS: Mapping[str, Mapping[str, float]] = {
    "nape_hairline": {"back": 1.0},
    "nape": {"back": 1.0},
    "back_lower": {"back": 1.0},
    "back_upper": {"back": 1.0},
    "crown": {"crown": 1.0},
    "top": {"front": 0.5, "crown": 0.5},
    "fringe": {"front": 1.0},
    "side_hairlines": {"front": 1.0},
    "sides": {"front": 0.5, "back": 0.5},
    "temples": {"front": 1.0},
}
"""Which of the three answered areas speaks for a zone, by share."""


@dataclass(frozen=True, slots=True)
class CutLines:
    """Where a head is cut into zones.

    Parameters
    ----------
    centre_strip_cm : float    width of the centre strip, arc, 6-12
    strip_offset_cm : float    middle of the strip from the midline, + to her right, -4 to 4
    fringe_depth_cm : float    from the hairline back, 1.5-10
    hairline_depth_cm : float  depth of nape and side hairlines, 0.5-3
    top_end_share : float      where top meets crown, share of the arc from fringe to nape
    crown_end_share : float    where crown meets upper back
    occipital_share : float    the occipital bone, between upper and lower back
    side_end_share : float     where the sides end and the nape begins, over its whole width
    temple_end_share : float   where the temples meet the sides

    Raises
    ------
    OutOfRangeError   a line outside its range or out of order
    """

    centre_strip_cm: float = 10.0
    strip_offset_cm: float = 0.0
    fringe_depth_cm: float = 5.0
    hairline_depth_cm: float = 1.2
    top_end_share: float = 0.42
    crown_end_share: float = 0.57
    occipital_share: float = 0.73
    side_end_share: float = 0.86
    temple_end_share: float = 0.25

    def __post_init__(self) -> None:
        """Refuse lines outside their ranges."""
        for name, value, low, high in (
            ("centre strip", self.centre_strip_cm, 6.0, 12.0),
            ("offset of the centre strip", self.strip_offset_cm, -4.0, 4.0),
            ("fringe depth", self.fringe_depth_cm, 1.5, 10.0),
            ("hairline depth", self.hairline_depth_cm, 0.5, 3.0),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(
                    f"The {name} is {value:g} cm; it must be {low:g}-{high:g} cm.",
                    "Give it in cm, measured along the scalp.",
                )
        shares = (
            self.top_end_share,
            self.crown_end_share,
            self.occipital_share,
            self.side_end_share,
        )
        if not 0.28 < shares[0] < shares[1] < shares[2] < shares[3] < 0.96:
            raise OutOfRangeError(
                f"The lines from top to nape stand at {shares}; they must rise between "
                "0.28 and 0.96 of the way.",
                "Give top, crown, occipital bone and end of the sides in that order.",
            )
        if not 0.05 <= self.temple_end_share < self.side_end_share:
            raise OutOfRangeError(
                f"The temples end at {self.temple_end_share:g}; it must be 0.05 or more and "
                "before the end of the sides.",
                "Give the share of the way from fringe to nape.",
            )

    def mirrored(self) -> CutLines:
        """Change left for right."""
        return replace(self, strip_offset_cm=-self.strip_offset_cm)


@dataclass(frozen=True, slots=True)
class Zone:
    """A zone of the scalp.

    Parameters
    ----------
    name : str         one of NAMES
    side : Side        'left' and 'right' are the client's
    outline : polygon  (u, y) in cm
    area_cm2 : float
    rows : Rows        how its partings run and pile up: across the head and up towards the
                       fringe ('forward') or from the fringe back ('backward'); along it from
                       below up ('inward'); or following the side hairline ('hairline')
    answers_for : mapping of 'front', 'crown', 'back' to share [1], summing to 1
    """

    name: str
    side: Side
    outline: Polygon
    area_cm2: float
    rows: Rows
    answers_for: Mapping[str, float]

    @property
    def key(self) -> str:
        """Give a name that only this zone has: 'top', 'sides left'."""
        return self.name if self.side == "centre" else f"{self.name} {self.side}"

    @property
    def area_name(self) -> str:
        """Give the area she would name: 'front', 'crown', 'back' or 'sides'."""
        if self.name == "sides":
            return "sides"
        return max(self.answers_for, key=lambda name: self.answers_for[name])


@dataclass(frozen=True)
class Zones:
    """The zones of one head, in the order of work; iterate, or ask by key.

    `whirls` are the places where hair turns, by the key of the zone they lie in.
    """

    scalp: Scalp
    cuts: CutLines
    zones: tuple[Zone, ...]
    whirls: Mapping[str, tuple[Whirl, ...]] = field(default_factory=dict)

    def __iter__(self) -> Iterator[Zone]:
        """Give the zones in order."""
        return iter(self.zones)

    def __len__(self) -> int:
        """Give how many zones there are."""
        return len(self.zones)

    def __getitem__(self, key: str) -> Zone:
        """Give a zone by its key."""
        for zone in self.zones:
            if zone.key == key:
                return zone
        raise OutOfRangeError(
            f"There is no zone '{key}'.",
            f"Choose one of: {', '.join(zone.key for zone in self.zones)}.",
        )

    @property
    def area_cm2(self) -> float:
        """Give the area of all zones, cm2."""
        return sum(zone.area_cm2 for zone in self.zones)

    def shares(self) -> dict[str, float]:
        """Give each zone's share of the scalp by key [1]."""
        whole = self.area_cm2
        return {zone.key: zone.area_cm2 / whole for zone in self.zones}

    def average(self, answers: Mapping[str, float]) -> float:
        """Give the area-weighted mean of a value answered for front, crown and back."""
        return sum(
            zone.area_cm2 * share * answers[name]
            for zone in self.zones
            for name, share in zone.answers_for.items()
        ) / sum(zone.area_cm2 for zone in self.zones)

    def mirrored(self) -> Zones:
        """Give the head with left and right changed."""
        whirls = {
            other_side(key): tuple(one.mirrored() for one in ones)
            for key, ones in self.whirls.items()
        }
        return replace(cut_zones(self.scalp, self.cuts.mirrored()), whirls=whirls)

    def course(self, key: str, tilt_deg: float = 0.0) -> Course:
        """Give the frame in which a zone's partings are straight.

        Parameters
        ----------
        tilt_deg : of its partings, above 0 clockwise as seen from above
        """
        outline = self[key].outline
        (u0, u1), (y0, y1) = extent(outline, 0), extent(outline, 1)
        middle = ((u0 + u1) / 2, (y0 + y1) / 2)
        return Course(self.scalp.radius_cm, middle, tilt_deg, self.whirls.get(key, ()))


def cut_zones(scalp: Scalp | None = None, cuts: CutLines | None = None) -> Zones:
    """Cut a scalp into zones.

    Parameters
    ----------
    scalp : the scalp; the mean head if left out
    cuts : the cut lines; the usual ones if left out

    Raises
    ------
    OutOfRangeError   cut lines that leave a zone without hair

    Notes
    -----
    Zones are cut from the hairline polygon by straight lines of the chart, so they tile it:
    the areas sum to the scalp and none overlap, to rounding. The side hairlines' inner edge is
    straight in the chart between the knots of the hairline.
    """
    scalp = scalp or Scalp()
    cuts = cuts or CutLines()
    parts: list[Zone] = []
    nape = scalp.front_to_nape_cm
    end = cuts.side_end_share * nape
    strip = strip_u(scalp, cuts)
    across = (
        ("nape_hairline", nape - cuts.hairline_depth_cm, nape, False),
        ("nape", end, nape - cuts.hairline_depth_cm, False),
        ("back_lower", cuts.occipital_share * nape, end, True),
        ("back_upper", cuts.crown_end_share * nape, cuts.occipital_share * nape, True),
        ("crown", cuts.top_end_share * nape, cuts.crown_end_share * nape, True),
        ("top", cuts.fringe_depth_cm, cuts.top_end_share * nape, True),
        ("fringe", 0.0, cuts.fringe_depth_cm, True),
    )
    for name, low, high, in_strip in across:
        outline = cut(scalp.outline, 1, low, high)
        if in_strip:
            outline = cut(outline, 0, strip[0], strip[1])
        parts.append(_zone(name, "centre", outline, "backward" if name == "fringe" else "forward"))
    split = cuts.temple_end_share * nape
    for side, edge in (("left", -strip[0]), ("right", strip[1])):
        band = hairline_band(scalp, 0.0, cuts.hairline_depth_cm)
        inner = inside_hairline(scalp, cuts.hairline_depth_cm)
        for name, shape, low, high, rows in (
            ("side_hairlines", band, 0.0, end, "hairline"),
            ("sides", inner, split, end, "inward"),
            ("temples", inner, 0.0, split, "inward"),
        ):
            outline = cut(cut(shape, 1, low, high), 0, edge, None)
            outline = mirrored(outline) if side == "left" else outline
            parts.append(_zone(name, side, outline, rows))  # type: ignore[arg-type]
    parts.sort(key=lambda zone: NAMES.index(zone.name))
    return Zones(scalp, cuts, tuple(parts))


def strip_u(scalp: Scalp, cuts: CutLines) -> tuple[float, float]:
    """Give u of the left and the right edge of the centre strip, cm."""
    half = cuts.centre_strip_cm / 2
    return (
        scalp.u_of_arc(cuts.strip_offset_cm - half),
        scalp.u_of_arc(cuts.strip_offset_cm + half),
    )


def hairline_band(scalp: Scalp, from_cm: float, to_cm: float) -> Polygon:
    """Give the right-hand band between two lateral depths inside the hairline."""
    ys = [y for y, _ in scalp.knots]
    outer = [(scalp.inset_u(y, from_cm), y) for y in ys]
    inner = [(scalp.inset_u(y, to_cm), y) for y in ys]
    return tuple(outer + inner[::-1])


def inside_hairline(scalp: Scalp, depth_cm: float) -> Polygon:
    """Give the right half of the scalp inside a lateral depth from the hairline."""
    inner = [(scalp.inset_u(y, depth_cm), y) for y, _ in scalp.knots]
    return (*inner, (0.0, scalp.front_to_nape_cm), (0.0, 0.0))


def other_side(key: str) -> str:
    """Give the key of the zone on the other side; a centre zone is its own."""
    if key.endswith(" left"):
        return key.removesuffix("left") + "right"
    return key.removesuffix("right") + "left" if key.endswith(" right") else key


def _zone(name: str, side: Side, outline: Polygon, rows: Rows) -> Zone:
    size = area(outline) if outline else 0.0
    if size <= TINY_CM2:
        raise OutOfRangeError(
            f"The cut lines leave no hair in the zone '{name}'.",
            "Move the lines apart, or give the default ones.",
        )
    return Zone(name, side, outline, size, rows, ANSWERS[name])
