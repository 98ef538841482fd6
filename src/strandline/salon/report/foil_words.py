"""The order of work in words: sections, what is taken in each, which foils."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from strandline.service.placement.foil import Foil, FoilMap
from strandline.service.placement.places import ZONE_WORDS
from strandline.service.placement.takes import take_word

CLOSE_MM = 0.2
"""Rows with less than this between them lie back to back."""
MOST_RUNS = 3
"""A line of words has room for so many runs of numbers."""


@dataclass(frozen=True, slots=True)
class Line:
    """What is taken in one zone: words, foil numbers and spacing; how thick its first foil is."""

    words: str
    numbers: str
    thickness_mm: float = 0.0


def section_lines(foil_map: FoilMap, section: str) -> list[Line]:
    """Give a line for each zone and way of taking in a section."""
    return lines_of(foil_map.section(section))


def lines_of(foils: Iterable[Foil]) -> list[Line]:
    """Give a line for each zone and way of taking among foils."""
    groups: dict[tuple[str, str, str], list[Foil]] = {}
    for foil in foils:
        groups.setdefault((foil.zone, foil.kind, foil.grade), []).append(foil)
    lines = []
    for (zone, _, _), same in groups.items():
        words = [ZONE_WORDS[zone], take_words(same[0])]
        pitch = pitch_mm(same)
        scattered = same[-1].number - same[0].number >= len(same)
        odd = same[0].kind == "tip-out" or (same[0].kind == "lowlight weave" and scattered)
        if pitch is not None and not odd:
            close = pitch <= same[0].thickness_mm + CLOSE_MM
            words.append("back to back" if close else f"every {pitch:.0f} mm")
        numbers = _few(foil.number for foil in same)
        lines.append(Line(", ".join(words), numbers, same[0].thickness_mm))
        lines += [Line(said, "") for said in course_words(same)]
    return lines


def take_words(foil: Foil) -> str:
    """Give how a foil is taken, in the words of the chair."""
    return take_word(foil.kind, foil.grade)


def course_words(foils: Sequence[Foil]) -> list[str]:
    """Say how the partings of one zone run where they are not straight across or along it."""
    if any(foil.turned for foil in foils):
        return ["its partings turned with the hair"]
    lower = {_lower_end(foil) for foil in foils if foil.tilt_deg}
    return [f"its partings diagonal, {lower.pop()} end lower"] if len(lower) == 1 else []


def _lower_end(foil: Foil) -> str:
    """Name the end of a diagonal parting that lies lower on the head."""
    clockwise = foil.tilt_deg > 0
    if foil.across:
        return "right" if clockwise else "left"
    return "front" if clockwise == (foil.side == "right") else "back"


def pitch_mm(foils: Sequence[Foil]) -> float | None:
    """Give the middle distance, start to start, of the rows of one zone; None for one row."""
    first = [foil for foil in foils if foil.key == foils[0].key]
    heights = sorted({round(foil.up_cm, 4) for foil in first})
    steps = sorted(b - a for a, b in itertools.pairwise(heights))
    return steps[len(steps) // 2] * 10 if steps else None


def _few(numbers: Iterable[int]) -> str:
    """Give numbers as runs, or how many of one run where they are scattered."""
    ordered = sorted(numbers)
    said = ranges(ordered)
    if said.count(",") < MOST_RUNS:
        return said
    return f"{len(ordered)} of {ordered[0]}–{ordered[-1]}"


def ranges(numbers: Iterable[int]) -> str:
    """Give numbers as runs: '3-7, 12'."""
    ordered = sorted(numbers)
    runs: list[list[int]] = []
    for number in ordered:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{r[0]}–{r[-1]}" if len(r) > 1 else f"{r[0]}" for r in runs)
