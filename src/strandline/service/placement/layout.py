"""Where the rows of a zone stand: at their pitch, in the spaces, or between last visit's foils.

Fixed units inside: heights in cm over a zone's lower edge.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from strandline.science.head.zones import Zone, Zones
from strandline.service.placement.foil import Foil
from strandline.service.placement.parting import crest_cm, height_cm, tip_cm
from strandline.service.placement.pattern import Row

SLIVER_CM = 0.05
"""A space thinner than this holds no foil; the tail of a comb is about as thick."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A row that stands at a height.

    Parameters
    ----------
    row : Row
    up_cm, thickness_cm : float
    pick_mm, left_mm : float   of the weave as it is laid
    flipped : bool             picks what an earlier weave left
    tilt_deg : float           of a diagonal parting
    """

    row: Row
    up_cm: float
    thickness_cm: float
    pick_mm: float
    left_mm: float
    flipped: bool = False
    tilt_deg: float = 0.0

    @property
    def end_cm(self) -> float:
        """Give the height of its upper line."""
        return self.up_cm + self.thickness_cm


def lay(
    zones: Zones,
    zone: Zone,
    rows: Sequence[Row],
    pitch_scale: float,
    old: Sequence[Foil],
    tilt_deg: float = 0.0,
) -> list[Laid]:
    """Lay a zone's rows from below.

    Parameters
    ----------
    rows : those with a pitch take their shares of the height in turn, the last the rest;
           those with `every` then go into the spaces; lowlights onto the old foils, if any, as
           many as there are spaces for at the pattern's own pitch, however many visits lie there
    pitch_scale : float
    old : last visit's foils in this zone, or none
    tilt_deg : of the zone's partings, old and new

    Notes
    -----
    Rows at a pitch stand at k x pitch, round(height / pitch) of them and at least one, so
    twice the pitch never gives more. A pitch is never less than the thickness; where it is
    no more, the rows meet, the first takes in the zone's tip and the last its upper edge.
    Light goes between old light and into what its weaves left; lowlights go into the wide
    spaces between old lowlights.
    """
    height = height_cm(zones, zone, tilt_deg)
    laid: list[Laid] = []
    low = 0.0
    spaced = [row for row in rows if not row.every]
    for row in spaced:
        last = row is spaced[-1]
        high = height if last else min(low + row.share * height, height)
        if high - low > SLIVER_CM:
            pitch = row.pitch_cm(pitch_scale)
            alike = [foil for foil in old if _dark(foil.kind) == _dark(row.kind)]
            if alike:
                laid += _beside(row, low, high, pitch, alike)
            else:
                tip = tip_cm(zones, zone, tilt_deg) if low == 0 else 0.0
                crest = crest_cm(zones, zone, tilt_deg) if last else 0.0
                laid += _at_pitch(row, (low, high), pitch, tip, crest)
        low = high
    laid.sort(key=lambda one: one.up_cm)
    for row in rows:
        if row.every:
            light = [foil for foil in old if not _dark(foil.kind)]
            over_old = _dark(row.kind) and bool(light)
            if over_old:
                laid += _in_some(row, _old_rows(light), _many(row, spaced, height))
            else:
                laid += _in_every(row, _spaces(laid))
    return laid


def _at_pitch(
    row: Row, ends: tuple[float, float], pitch: float, tip: float, crest: float
) -> Iterator[Laid]:
    low, high = ends
    count = max(1, math.floor((high - low) / pitch + 0.5))
    meets = pitch <= row.thickness_mm / 10 + 1e-12
    for k in range(count):
        start = low + k * pitch
        end = min(start + row.thickness_mm / 10, high)
        if meets:
            start = low - tip if k == 0 else start
            end = high + crest if k == count - 1 else low + (k + 1) * pitch
        yield Laid(row, start, end - start, row.pick_mm, row.left_mm)


def _beside(row: Row, low: float, high: float, pitch: float, old: Sequence[Foil]) -> Iterator[Laid]:
    """Give at most one row for each pitch of height, in hair that the old foils left."""
    taken: set[int] = set()
    for one in _left_hair(row, low, high, pitch, old):
        cell = math.floor((one.up_cm + one.thickness_cm / 2 - low) / pitch)
        if cell not in taken:
            taken.add(cell)
            yield one


def _left_hair(
    row: Row, low: float, high: float, pitch: float, old: Sequence[Foil]
) -> Iterator[Laid]:
    thickness = row.thickness_mm / 10
    floor = low
    for start, end, foil in [*_old_intervals(old), (high, high, None)]:
        space = min(start, high) - floor
        inside = foil is not None and low <= start < high and not _dark(row.kind)
        woven = inside and foil is not None and foil.left_mm > 0
        if space >= thickness or (space > SLIVER_CM and not woven):
            count = max(
                1, math.floor(space / max(pitch, thickness))
            )  # wide where foils were skipped
            part = space / count
            take = min(thickness, part)
            for k in range(count):
                start_k = floor + k * part + (part - take) / 2
                yield Laid(row, start_k, take, row.pick_mm, row.left_mm)
        elif woven and foil is not None and row.left_mm:
            period = foil.pick_mm + foil.left_mm
            pick = min(row.pick_mm, foil.left_mm)
            yield Laid(row, start, end - start, pick, period - pick, not foil.flipped)
        floor = max(floor, end)


def _old_intervals(old: Sequence[Foil]) -> list[tuple[float, float, Foil]]:
    rows = {round(foil.up_cm, 6): foil for foil in old}
    return [
        (foil.up_cm, foil.up_cm + foil.thickness_mm / 10, foil)
        for _, foil in sorted(rows.items(), key=lambda row: row[0])
    ]


def _dark(kind: str) -> bool:
    return kind == "lowlight weave"


def _old_rows(old: Sequence[Foil]) -> list[tuple[float, float]]:
    return [(start, end) for start, end, _ in _old_intervals(old)]


def _spaces(laid: Sequence[Laid]) -> list[tuple[float, float]]:
    ordered = sorted(laid, key=lambda one: one.up_cm)
    return [(a.end_cm, b.up_cm) for a, b in itertools.pairwise(ordered)]


def _in_every(row: Row, spaces: Sequence[tuple[float, float]]) -> Iterator[Laid]:
    """Lay a row in one of so many spaces, where there is room for its whole thickness."""
    for low, high in spaces[row.every - 1 :: row.every]:
        if high - low >= row.thickness_mm / 10:
            yield _in_middle(row, low, high)


def _many(row: Row, spaced: Sequence[Row], height: float) -> int:
    """Give how many rows of one in so many spaces a zone has at its rows' own pitch."""
    spaces = sum(round(one.share * height / one.pitch_cm(1.0)) for one in spaced) - 1
    return max(1, spaces // row.every)


def _in_some(row: Row, hosts: Sequence[tuple[float, float]], count: int) -> Iterator[Laid]:
    """Lay a row on so many of the old foils, evenly over the zone."""
    count = min(count, len(hosts))
    for k in range(count):
        yield _in_middle(row, *hosts[(2 * k + 1) * len(hosts) // (2 * count)])


def _in_middle(row: Row, low: float, high: float) -> Laid:
    thickness = min(row.thickness_mm / 10, high - low)
    return Laid(row, (low + high - thickness) / 2, thickness, row.pick_mm, row.left_mm)
