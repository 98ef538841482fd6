"""The values of a pattern's file, each checked on its own: figures, words, counts.

Lengths are millimetres, shares percent, turns degrees.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.service.placement.pattern import pattern_numbers

LONGEST_NAME = 40
"""Characters that a name has room for on the sheets."""
LONGEST_REASON = 300
MOST_FOILS = 300
"""Foils that a pattern may be scaled to; common practice, no source: a heavy head has 85."""

RANGES: Mapping[str, tuple[float, float, str]] = {
    "thickness_mm": (0.5, 20, "mm"),
    "pitch_mm": (0.5, 100, "mm"),
    "pick_mm": (0.5, 50, "mm"),
    "left_mm": (0.5, 50, "mm"),
    "share_percent": (1, 100, "%"),
    "length_percent": (5, 100, "%"),
    "diagonal_deg": (5, 60, "degrees"),
}
"""What a comb and a foil can do, as in `Row`; smaller shares are slips of a percent."""


def every(value: object, where: str) -> int:
    """Give one in so many spaces.

    Raises
    ------
    OutOfRangeError   no whole number, or outside its range
    """
    usual_range = pattern_numbers()["every_second"]
    low, high = int(usual_range.low or 1), int(usual_range.high or 1)
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise OutOfRangeError(
            f"'every' is {value!r:.60}; it must be a whole number, {low}-{high}.",
            "Write every = 3 for one in three spaces.",
            where,
        )
    return value


def budget(value: object, where: str) -> tuple[int, int] | None:
    """Give the fewest and the most foils, or None where nothing is said.

    Raises
    ------
    ReadError         not two whole numbers
    OutOfRangeError   they do not rise, or are more than `MOST_FOILS`
    """
    if value is None:
        return None
    if not isinstance(value, list) or [type(one) for one in value] != [int, int]:
        raise ReadError(
            f"'foils' is {value!r:.60}; it must be two whole numbers.",
            "Write the fewest and the most, such as [50, 65], or leave it out.",
            where,
        )
    fewest, most = int(value[0]), int(value[1])
    if not 1 <= fewest <= most <= MOST_FOILS:
        raise OutOfRangeError(
            f"'foils' is {value!r:.60}; they must rise and lie within 1-{MOST_FOILS}.",
            "Write the fewest first, then the most.",
            where,
        )
    return fewest, most


def share(entry: dict[str, Any], key: str, where: str, start: float) -> float:
    """Give a percent as a share: the decimals as they are written, not as binary rounds them."""
    if key not in entry:
        return start
    return float(Decimal(repr(figure(entry, key, where, 0.0))) / 100)


def figure(entry: dict[str, Any], key: str, where: str, start: float) -> float:
    """Give a figure of a row, or what stands for it.

    Raises
    ------
    ReadError         no number
    OutOfRangeError   outside its range in `RANGES`
    """
    if key not in entry:
        return start
    value = entry[key]
    low, high, unit = RANGES[key]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ReadError(
            f"'{key}' is {value!r:.60}; it must be a number, {low:g}-{high:g} {unit}.",
            "Write figures alone, with a point for the decimals.",
            f"{where}.{key}",
        )
    if not low <= value <= high:
        raise OutOfRangeError(
            f"'{key}' is {value!r:.20} {unit}; it must be {low:g}-{high:g} {unit}.",
            "Look at the figure and at its unit again.",
            f"{where}.{key}",
        )
    return float(value)


def words(value: object, where: str, thing: str, longest: int) -> str:
    """Give words that fit on a line of a sheet.

    Raises
    ------
    ReadError         none, or more than one line
    OutOfRangeError   too long
    """
    if value is None:
        raise ReadError(f"The pattern has no {thing}.", f'Write {thing} = "..." at its top.', where)
    if not isinstance(value, str) or not value.strip() or not value.isprintable():
        raise ReadError(
            f"The {thing} is {value!r:.60}; it must be words on one line, in quotes.",
            f"Write a {thing} that the sheets can show.",
            where,
        )
    if len(value) > longest:
        raise OutOfRangeError(
            f"The {thing} has {len(value)} characters; it must have at most {longest}.",
            "Shorten it.",
            where,
        )
    return value


def nearest(word: object, known: Iterable[str]) -> str:
    """Say which known word may be meant, else all of them."""
    known = tuple(known)
    close = difflib.get_close_matches(word.lower(), known, 1) if isinstance(word, str) else []
    return f"Did you mean '{close[0]}'?" if close else f"Choose one of: {', '.join(known)}."
