"""A pattern of foils as a file that a colourist reads and writes: from TOML to `Pattern`.

Every mistake is one error with the file's name and place, such as 'mine.toml: crown.2.take'.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.science.head.zones import NAMES
from strandline.service.consultation.reader import PATTERN, read_toml
from strandline.service.placement.pattern import Diagonal, Pattern, Row
from strandline.service.placement.pattern_values import (
    LONGEST_NAME,
    LONGEST_REASON,
    RANGES,
    budget,
    every,
    figure,
    nearest,
    share,
    words,
)
from strandline.service.placement.takes import TAKES, usual

ALONG_HEAD = ("side_hairlines", "sides", "temples")
"""Zones at both sides, whose partings run along the head; in all others they run across it."""
ZONE_KEYS = (*NAMES, *(f"{zone} {side}" for zone in ALONG_HEAD for side in ("left", "right")))
"""What a pattern may place foils in: a zone, or one side of a zone at the sides."""
DEGREES = 30.0
"""Turn of a diagonal parting where nothing is said; common practice, no source."""
MOST_ROWS = 12
"""Rows of one zone; common practice, no source: a zone holds two or three."""

_SPACING = ("pitch_mm", "back_to_back", "every")
ROW_KEYS = ("take", *_SPACING, *(key for key in RANGES if key != "pitch_mm"), "diagonal", "reason")
"""What a row of a zone may say."""


def read_pattern(raw: bytes, where: str, own: Mapping[str, float] | None = None) -> Pattern:
    """Read a pattern.

    Parameters
    ----------
    raw : the file's bytes, at most `PATTERN.largest`
    where : its name, for errors
    own : her own values over the numbers of `patterns.toml`, for what a row leaves out

    Raises
    ------
    ReadError         no TOML, too large, or a word that a pattern does not know
    OutOfRangeError   a value outside its range, or rows that contradict each other
    """
    document = read_toml(raw, where, PATTERN)
    name = words(document.pop("name", None), f"{where}: name", "name", LONGEST_NAME)
    foils = budget(document.pop("foils", None), f"{where}: foils")
    rows = {}
    for zone, entries in document.items():
        if zone not in ZONE_KEYS:
            raise ReadError(
                f"'{zone}' is no zone of the head.",
                nearest(zone, (*ZONE_KEYS, "name", "foils")),
                f"{where}: {zone}",
            )
        rows[zone] = _zone(zone, entries, f"{where}: {zone}", name, own)
    if not rows:
        raise ReadError(
            "The pattern places foils in no zone.",
            f"Write for instance [[crown]] and its rows; the zones are {', '.join(NAMES)}.",
            where,
        )
    return Pattern(name, rows, foils)


def default_reason(name: str) -> str:
    """Give what a row without a reason says on the sheets."""
    return f"Her own pattern, '{name}', has it so."


def _zone(
    zone: str,
    entries: object,
    where: str,
    name: str,
    own: Mapping[str, float] | None,
) -> tuple[Row, ...]:
    if not isinstance(entries, list) or not all(isinstance(one, dict) for one in entries):
        bare = f'"{zone}"' if " " in zone else zone
        raise ReadError(
            f"'{zone}' is not a list of rows.", f"Write [[{bare}]] in two brackets.", where
        )
    if not 1 <= len(entries) <= MOST_ROWS:
        raise OutOfRangeError(
            f"'{zone}' has {len(entries)} rows; it must have 1-{MOST_ROWS}.",
            "Leave the zone out if it has no foils.",
            where,
        )
    places = [f"{where}.{number}" for number in range(1, len(entries) + 1)]
    rows = [
        _row(zone, entry, place, name, own) for entry, place in zip(entries, places, strict=True)
    ]
    _refuse_crossing(zone, rows, places)
    _refuse_no_room(zone, rows, places)
    return tuple(rows)


def _row(
    zone: str, entry: dict[str, Any], where: str, name: str, own: Mapping[str, float] | None
) -> Row:
    for key in entry:
        if key not in ROW_KEYS:
            above = key in ("name", "foils")
            raise ReadError(
                f"A row knows nothing called '{key}'.",
                "Write it above the first zone." if above else nearest(key, ROW_KEYS),
                f"{where}.{key}",
            )
    word = entry.get("take")
    if not isinstance(word, str) or word not in TAKES:
        said = "has no take" if word is None else f"is taken as {word!r:.60}"
        raise ReadError(f"The row {said}.", nearest(word, TAKES), f"{where}.take")
    start = usual(word, own)
    thickness = figure(entry, "thickness_mm", where, start.thickness_mm)
    pick, left = _weave(word, entry, where, start)
    pitch, together, spaces = _spacing(entry, where, thickness)
    if spaces and "share_percent" in entry:
        raise ReadError(
            "'share_percent' says nothing beside 'every', which takes the whole zone.",
            "Leave one of them out.",
            f"{where}.share_percent",
        )
    if "length_percent" in entry and start.kind != "tip-out":
        raise ReadError(
            f"'length_percent' says nothing of a {word}, which is taken to its roots.",
            "Leave it out, or take 'ends only'.",
            f"{where}.length_percent",
        )
    turn, degrees = _diagonal(zone, entry, where)
    reason = entry.get("reason", default_reason(name))
    return Row(
        kind=start.kind,
        grade=start.grade,
        thickness_mm=thickness,
        pitch_mm=pitch,
        pick_mm=pick,
        left_mm=left,
        reason=words(reason, f"{where}.reason", "reason", LONGEST_REASON),
        share=share(entry, "share_percent", where, 1.0),
        every=spaces,
        length_share=share(entry, "length_percent", where, start.length_share),
        back_to_back=together,
        diagonal=turn,
        diagonal_deg=degrees,
    )


def _weave(word: str, entry: dict[str, Any], where: str, start: Row) -> tuple[float, float]:
    """Give what is picked and what is left: as much as is picked, if nothing else is said."""
    if start.kind == "slice":
        for key in ("pick_mm", "left_mm"):
            if key in entry:
                raise ReadError(
                    f"A {word} is not woven, so '{key}' says nothing.",
                    "Leave it out, or take a weave.",
                    f"{where}.{key}",
                )
        return 0.0, 0.0
    pick = figure(entry, "pick_mm", where, start.pick_mm)
    return pick, figure(entry, "left_mm", where, pick)


def _spacing(entry: dict[str, Any], where: str, thickness: float) -> tuple[float, bool, int]:
    """Give pitch, whether rows lie back to back, and one in so many spaces: one of the three."""
    together = entry.get("back_to_back", False)
    if not isinstance(together, bool):
        raise ReadError(
            f"'back_to_back' is {together!r:.60}.",
            "Write true or false, without quotes.",
            f"{where}.back_to_back",
        )
    said = [key for key in _SPACING if key in entry and entry[key] is not False]
    if len(said) != 1:
        what = f"says both {said[0]} and {said[1]}" if said else "does not say how far apart"
        raise ReadError(
            f"The row {what}.",
            "Give one of pitch_mm (start to start), back_to_back = true, or every (one in so many "
            "spaces between the zone's other foils).",
            f"{where}.{said[1] if said else 'pitch_mm'}",
        )
    if together:
        return 0.0, True, 0
    if "every" in entry:
        return 0.0, False, every(entry["every"], f"{where}.every")
    pitch = figure(entry, "pitch_mm", where, 0.0)
    if pitch < thickness:
        raise OutOfRangeError(
            f"The pitch is {pitch:g} mm, less than the {thickness:g} mm that is taken.",
            f"Give {thickness:g}-100 mm, start to start, or write back_to_back = true.",
            f"{where}.pitch_mm",
        )
    return pitch, False, 0


def _diagonal(zone: str, entry: dict[str, Any], where: str) -> tuple[Diagonal, float]:
    turn = entry.get("diagonal", "")
    if "diagonal_deg" in entry and not turn:
        raise ReadError(
            "'diagonal_deg' says nothing without 'diagonal'.",
            "Say which way the partings are turned, or leave it out.",
            f"{where}.diagonal_deg",
        )
    degrees = figure(entry, "diagonal_deg", where, DEGREES)
    if "diagonal" not in entry:
        return "", degrees
    name = zone.partition(" ")[0]
    if name == "side_hairlines":
        raise ReadError(
            "Partings along a side hairline follow it; they are not turned.",
            "Leave 'diagonal' out.",
            f"{where}.diagonal",
        )
    ways = ("forward", "back") if name in ALONG_HEAD else ("left", "right")
    if turn not in ways:
        raise ReadError(
            f"The partings of '{zone}' are turned {turn!r:.60}.",
            f"Write '{ways[0]}' or '{ways[1]}': where their lower end lies.",
            f"{where}.diagonal",
        )
    return cast("Diagonal", turn), degrees


def _refuse_crossing(zone: str, rows: list[Row], places: list[str]) -> None:
    turns = [(row.diagonal, row.diagonal_deg if row.diagonal else 0.0) for row in rows]
    for turn, place in zip(turns, places, strict=True):
        if turn != turns[0]:
            raise OutOfRangeError(
                f"The rows of '{zone}' are turned in different ways; they would cross.",
                "Turn all rows of a zone alike.",
                f"{place}.diagonal",
            )


def _refuse_no_room(zone: str, rows: list[Row], places: list[str]) -> None:
    """Refuse rows that could never lie: no height is left for them, or there are no spaces."""
    spaced = [(row, place) for row, place in zip(rows, places, strict=True) if not row.every]
    taken = 0.0
    for row, place in spaced[:-1]:
        taken += row.share
        if taken >= 1 - 1e-9:
            raise OutOfRangeError(
                f"The rows of '{zone}' down to this one take all of its height; the next has none.",
                "Give share_percent, from below, so that less than 100 stands before the last row.",
                f"{place}.share_percent",
            )
    for row, place in zip(rows, places, strict=True):
        if row.every and not spaced and row.kind != "lowlight weave":
            raise OutOfRangeError(
                f"One in {row.every} spaces is taken in '{zone}', and it has no other foils.",
                "Give this row a pitch_mm, or the zone a row that has one.",
                f"{place}.every",
            )
