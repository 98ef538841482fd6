"""Patterns: what is taken in each zone, how thick, how far apart, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Literal, cast

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.head.zones import other_side

Kind = Literal["slice", "weave", "tip-out", "lowlight weave"]
KINDS: tuple[Kind, ...] = ("slice", "weave", "tip-out", "lowlight weave")
Diagonal = Literal["", "forward", "back", "left", "right"]
DIAGONALS: tuple[Diagonal, ...] = ("", "forward", "back", "left", "right")


@dataclass(frozen=True, slots=True)
class Row:
    """What is taken in a zone, over a share of its height.

    Parameters
    ----------
    kind : 'slice', 'weave', 'tip-out' or 'lowlight weave'
    grade : str             'see-through', 'normal', 'full'; 'fine', 'medium', 'chunky'
    thickness_mm : float    of the parting taken, 0.5-20
    pitch_mm : float        start to start, thickness to 100; 0 where `every` places it
    pick_mm : float         picked up along the parting; 0 for a slice
    left_mm : float         left between the picks; 0 for a slice
    reason : str            why, in a sentence
    share : float           of the zone's height that it takes, from below; 0-1
    every : int             0, or: one in so many spaces between the zone's other foils
    length_share : float    share of the length treated, from the ends; 0-1
    back_to_back : bool     no hair left between it and the next; the pitch is its thickness
    diagonal : str          '' as the zone's partings run; at the side the end that lies lower,
                            'forward' or 'back'; across the head 'left' or 'right'
    diagonal_deg : float    turned by so much, 5-60

    Raises
    ------
    OutOfRangeError   a value outside its range
    """

    kind: Kind
    grade: str
    thickness_mm: float
    pitch_mm: float = 0.0
    pick_mm: float = 0.0
    left_mm: float = 0.0
    reason: str = ""
    share: float = 1.0
    every: int = 0
    length_share: float = 1.0
    back_to_back: bool = False
    diagonal: Diagonal = ""
    diagonal_deg: float = 30.0

    def __post_init__(self) -> None:
        """Refuse what a comb and a foil cannot do."""
        if self.diagonal not in DIAGONALS:
            raise OutOfRangeError(
                f"A parting is turned '{self.diagonal}'.",
                f"Choose one of: {', '.join(DIAGONALS[1:])}.",
            )
        _within("turn of a diagonal parting", self.diagonal_deg, 5.0, 60.0, "degrees")
        if self.kind not in KINDS:
            raise OutOfRangeError(
                f"A foil is called '{self.kind}'.", f"Choose one of: {', '.join(KINDS)}."
            )
        _within("thickness", self.thickness_mm, 0.5, 20.0, "mm")
        if not self.every and not self.back_to_back:
            _within("pitch", self.pitch_mm, self.thickness_mm, 100.0, "mm")
        _within("pick", self.pick_mm, 0.0, 50.0, "mm")
        _within("width left between picks", self.left_mm, 0.0, 50.0, "mm")
        if self.left_mm and not self.pick_mm:
            raise OutOfRangeError(
                f"A weave leaves {self.left_mm:g} mm and picks nothing.",
                "Give the width that is picked, or leave nothing.",
            )
        _within("share of the zone", self.share, 0.0, 1.0, "")
        _within("share of the length", self.length_share, 0.0, 1.0, "")

    def pitch_cm(self, scale: float) -> float:
        """Give its pitch at a scale, start to start, cm; never less than its thickness."""
        if self.back_to_back:
            return self.thickness_mm / 10
        return max(self.pitch_mm * scale, self.thickness_mm) / 10

    @property
    def picked(self) -> float:
        """Give the share of the parting's hair that is taken [1]."""
        return self.pick_mm / (self.pick_mm + self.left_mm) if self.left_mm else 1.0


@dataclass(frozen=True)
class Pattern(Mapping[str, tuple[Row, ...]]):
    """Rows by zone name; a zone may also be named by key ('sides left') for one side alone.

    Parameters
    ----------
    name : how it is called
    rows : by zone
    foils : fewest and most that its spaces are scaled to; None where they stand as written
    """

    name: str
    rows: Mapping[str, tuple[Row, ...]]
    foils: tuple[int, int] | None = None

    def __getitem__(self, zone: str) -> tuple[Row, ...]:
        """Give the rows of a zone."""
        return self.rows[zone]

    def __iter__(self) -> Iterator[str]:
        """Give the zones it places foils in."""
        return iter(self.rows)

    def __len__(self) -> int:
        """Give the number of zones it places foils in."""
        return len(self.rows)

    def only(self, zones: Iterable[str]) -> Pattern:
        """Keep some zones."""
        kept = frozenset(zones)
        return replace(self, rows={zone: row for zone, row in self.rows.items() if zone in kept})

    def without_kinds(self, *kinds: Kind) -> Pattern:
        """Leave out foils of some kinds, such as tip-outs; a side of its own stays, if empty."""
        rows = {
            zone: tuple(row for row in rows if row.kind not in kinds)
            for zone, rows in self.rows.items()
        }
        kept = {zone: row for zone, row in rows.items() if row or _both_sides(zone) != zone}
        return replace(self, rows=kept)

    def woven(self, zones: Iterable[str]) -> Pattern:
        """Take the hair of some zones in medium weaves where slices would stand up as stripes."""
        turned = frozenset(zones)
        return replace(
            self,
            rows={
                zone: tuple(_woven(row) if _both_sides(zone) in turned else row for row in rows)
                for zone, rows in self.rows.items()
            },
        )

    def mirrored(self) -> Pattern:
        """Change left for right."""
        return replace(
            self,
            rows={
                other_side(zone): tuple(_mirrored(row) for row in rows)
                for zone, rows in self.rows.items()
            },
        )


@cache
def _document() -> dict[str, Any]:
    return toml_beside(__package__, "patterns.toml")


@cache
def pattern_numbers() -> Mapping[str, Number]:
    """Give the numbers of `patterns.toml`, each with unit and source."""
    return numbers(_document()["numbers"], "patterns.toml")


def pattern_names() -> tuple[str, ...]:
    """Give the names of the patterns."""
    return tuple(_document()["patterns"])


def pattern(name: str, own: Mapping[str, float] | None = None) -> Pattern:
    """Load a pattern.

    Parameters
    ----------
    name : str   'heavy', 'soft', 'return', 'partial' or 'lowlights'
    own : her own values over the numbers of `patterns.toml`, by name

    Raises
    ------
    OutOfRangeError   no such pattern or number, or a value outside its range
    """
    if name not in _document()["patterns"]:
        raise OutOfRangeError(
            f"There is no pattern '{name}'.", f"Choose one of: {', '.join(pattern_names())}."
        )
    values = numbers_with(own)
    zones = _document()["patterns"][name]
    return Pattern(
        name, {zone: tuple(_row(entry, values) for entry in zones[zone]) for zone in zones}
    )


def numbers_with(own: Mapping[str, float] | None = None) -> dict[str, float]:
    """Give the values of `patterns.toml` by name, her own over them.

    Raises
    ------
    OutOfRangeError   no such number, or a value outside its range
    """
    values = {key: number.value for key, number in pattern_numbers().items()}
    for key, value in (own or {}).items():
        if key not in values:
            raise OutOfRangeError(
                f"There is no number of placement called '{key}'.",
                f"Choose one of: {', '.join(values)}.",
            )
        known = pattern_numbers()[key]
        _within(
            f"value of {key} ({known.note})",
            value,
            known.low or 0.0,
            known.high or value,
            known.unit,
        )
        values[key] = value
    return values


def take(name: str, values: Mapping[str, float]) -> Row:
    """Give a take of `patterns.toml` as a row back to back, at these values of its numbers."""
    return _row({"take": name, "back_to_back": True, "reason": ""}, values)


def _row(entry: Mapping[str, Any], values: Mapping[str, float]) -> Row:
    found = _document()["takes"][entry["take"]]
    pick = values[found["pick"]] if "pick" in found else 0.0
    return Row(
        kind=cast("Kind", found["kind"]),
        grade=found["grade"],
        thickness_mm=values[found["thickness"]],
        pitch_mm=values[entry["pitch"]] if "pitch" in entry else 0.0,
        back_to_back=entry.get("back_to_back", False),
        pick_mm=pick,
        left_mm=pick,
        reason=entry["reason"],
        share=values[entry["share"]] if "share" in entry else 1.0,
        every=int(values[entry["every"]]) if "every" in entry else 0,
        length_share=values[found["length_share"]] if "length_share" in found else 1.0,
    )


WHIRL = "Hair turns here: a weave, for a slice would stand up as a stripe."


def _woven(row: Row) -> Row:
    if row.kind != "slice":
        return row
    medium = _document()["takes"]["medium_weave"]
    values = {name: pattern_numbers()[medium[name]].value for name in ("thickness", "pick")}
    return replace(
        row,
        kind="weave",
        grade=medium["grade"],
        thickness_mm=values["thickness"],
        pitch_mm=max(row.pitch_mm, values["thickness"]) if row.pitch_mm else 0.0,
        pick_mm=values["pick"],
        left_mm=values["pick"],
        reason=WHIRL,
    )


def _mirrored(row: Row) -> Row:
    other: dict[str, Diagonal] = {"left": "right", "right": "left"}
    return replace(row, diagonal=other.get(row.diagonal, row.diagonal))


def _both_sides(zone: str) -> str:
    """Give the zone of a key: 'sides' of 'sides left'."""
    return zone.removesuffix(" left").removesuffix(" right")


def _within(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not low <= value <= high:
        raise OutOfRangeError(
            f"The {name} is {value:g} {unit}".rstrip()
            + f"; it must be {low:g}-{high:g} {unit}".rstrip()
            + ".",
            "Give it in that range; lengths of placement are in millimetres.",
        )
