"""Numbers of foils on the map: as many as can be read, none over another."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strandline.salon.report.foil_strip import along
from strandline.salon.report.palette import Palette
from strandline.salon.report.svg import DIGIT_EM, Place, rectangle, text
from strandline.salon.report.view import View
from strandline.service.placement.foil import Foil

SIZE_MM = 2.9
"""Size of a number; never below 2.2 mm on paper."""
AIR_MM = (0.9, 0.25)
"""Between two plates side by side, so that they do not read as one number; and above."""
SHARES = (0.2, 0.5, 0.8, 0.35, 0.65, 0.1, 0.9)
"""Places along a strip where its number may stand, in turn."""


@dataclass(frozen=True, slots=True)
class Label:
    """A number on the map: its middle on the sheet and the half of its plate, mm."""

    number: int
    at: Place
    half: Place

    def meets(self, other: Label, air: Place) -> bool:
        """Tell whether two plates come closer than some air beside and above."""
        return all(
            abs(self.at[k] - other.at[k]) < self.half[k] + other.half[k] + air[k] for k in (0, 1)
        )


def labels(foils: Sequence[Foil], view: View) -> list[Label]:
    """Place the numbers of the unrolled head.

    Notes
    -----
    First and last of each run of a zone come first, then every fifth, then the rest.
    """
    strips = {foil.number: view.line(foil.line) for foil in foils}
    wanted = []
    for foil, turn in _by_weight(foils):
        order = SHARES[turn % 3 :] + SHARES[: turn % 3]
        spots = [view.at(along(foil, share, share)[0]) for share in order]
        if foil.kind == "tip-out":
            spots = [*_beyond(strips[foil.number], _half(foil.number, SIZE_MM)), *spots]
        wanted.append((foil.number, spots))
    return settled(wanted, strips, SIZE_MM)


def settled(
    wanted: Sequence[tuple[int, Sequence[Place]]],
    strips: Mapping[int, Sequence[Place]],
    size: float,
) -> list[Label]:
    """Set numbers on a drawing.

    Parameters
    ----------
    wanted : (number, its spots) each, the weightiest first
    strips : what lies on the drawing, by number
    size : of the figures, mm

    Returns
    -------
    labels by number: each at the spot that meets no other label and hides least of the other
    strips; none where each spot meets one
    """
    placed: list[Label] = []
    for number, spots in wanted:
        found = _best(number, spots, _half(number, size), strips, placed)
        if found is not None:
            placed.append(found)
    return sorted(placed, key=lambda label: label.number)


def drawn(placed: Sequence[Label], size: float, palette: Palette) -> list[str]:
    """Draw numbers on their plates."""
    parts = []
    for label in placed:
        (x, y), (a, b) = label.at, label.half
        parts.append(rectangle((x - a, y - b), (2 * a, 2 * b), fill=palette.ground, radius=0.5))
        parts.append(
            text(
                (x, y + size * 0.33),
                str(label.number),
                size=size,
                colour=palette.ink,
                weight=600,
                anchor="middle",
            )
        )
    return parts


def _half(number: int, size: float) -> Place:
    """Give the half of a number's plate, mm."""
    return (DIGIT_EM * size * len(str(number)) / 2 + 0.3, size * 0.35 + 0.1)


def _by_weight(foils: Sequence[Foil]) -> list[tuple[Foil, int]]:
    runs: dict[tuple[str, str], list[Foil]] = {}
    for foil in foils:
        runs.setdefault((foil.section, foil.key), []).append(foil)
    out: list[tuple[int, int, Foil, int]] = []
    for run in runs.values():
        for k, foil in enumerate(run):
            weight = 0 if k in (0, len(run) - 1) else 1 if foil.number % 5 == 0 else 2
            out.append((weight, foil.number, foil, k))
    out.sort(key=lambda entry: entry[:2])
    return [(foil, turn) for _, _, foil, turn in out]


def _best(
    number: int,
    spots: Sequence[Place],
    half: Place,
    strips: Mapping[int, Sequence[Place]],
    placed: Sequence[Label],
) -> Label | None:
    found: tuple[int, Label] | None = None
    for spot in spots:
        label = Label(number, spot, half)
        if any(label.meets(other, AIR_MM) for other in placed):
            continue
        hidden = _hidden(label, strips)
        if found is None or hidden < found[0]:
            found = (hidden, label)
        if hidden == 0:
            break
    return found[1] if found else None


def _beyond(line: Sequence[Place], half: Place) -> list[Place]:
    """Give a place beyond each end of a strip."""
    out = []
    for end, inner in ((line[0], line[1]), (line[-1], line[-2])):
        size = math.dist(end, inner) or 1.0
        dx, dy = (end[0] - inner[0]) / size, (end[1] - inner[1]) / size
        room = abs(dx) * half[0] + abs(dy) * half[1] + 1.1
        out.append((end[0] + dx * room, end[1] + dy * room))
    return out


def _hidden(label: Label, strips: Mapping[int, Sequence[Place]]) -> int:
    """Count the points of other strips that a plate lies over; their ends count threefold."""
    (x, y), (a, b) = label.at, label.half
    return sum(
        weight
        for number, line in strips.items()
        if number != label.number
        for (px, py), weight in _weighed(line)
        if abs(px - x) < a + 0.3 and abs(py - y) < b + 0.3
    )


def _weighed(line: Sequence[Place]) -> list[tuple[Place, int]]:
    out = [(place, 3 if k in (0, len(line) - 1) else 1) for k, place in enumerate(line)]
    for (x0, y0), (x1, y1) in itertools.pairwise(line):
        out.append((((x0 + x1) / 2, (y0 + y1) / 2), 1))
    return out
