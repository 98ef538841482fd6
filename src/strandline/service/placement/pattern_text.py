"""A pattern as the file that a colourist edits: the other way round of `pattern_file`."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal

from strandline.base.errors import OutOfRangeError
from strandline.service.placement.pattern import Pattern, Row
from strandline.service.placement.pattern_file import DEGREES, ZONE_KEYS, default_reason
from strandline.service.placement.takes import TAKES, take_word, usual

HEAD = """\
# A pattern of foils. Edit it, keep it beside a consultation, and name it there:
#   pattern = "this-file.toml"
# Each [[zone]] is a row in that zone, from below; docs/consultation.md shows what it may say.
"""


def pattern_text(pattern: Pattern) -> str:
    """Write a pattern as TOML that `read_pattern` reads back as it was.

    Parameters
    ----------
    pattern : with a name and, in every row, a reason; values that a file may hold

    Returns
    -------
    str   what is as usual for a take is left out

    Raises
    ------
    OutOfRangeError   a row that no word of the chair names
    """
    lines = [HEAD, f"name = {_quoted(pattern.name)}"]
    if pattern.foils is not None:
        lines.append(f"foils = [{pattern.foils[0]}, {pattern.foils[1]}]")
    for zone in sorted(pattern, key=_place):
        for row in pattern[zone]:
            lines += ["", f"[[{_quoted(zone) if ' ' in zone else zone}]]"]
            lines += _row(row, default_reason(pattern.name))
    return "\n".join(lines) + "\n"


def _place(zone: str) -> int:
    return ZONE_KEYS.index(zone) if zone in ZONE_KEYS else len(ZONE_KEYS)


def _row(row: Row, unsaid: str) -> Iterator[str]:
    word = take_word(row.kind, row.grade)
    start = usual(word) if word in TAKES else None
    if start is None or (start.kind, start.grade) != (row.kind, row.grade):
        raise OutOfRangeError(
            f"A {row.grade} {row.kind} has no word in a pattern's file.",
            f"Take one of: {', '.join(TAKES)}.",
        )
    yield f"take = {_quoted(word)}"
    if row.back_to_back:
        yield "back_to_back = true"
    elif row.every:
        yield f"every = {row.every}"
    else:
        yield f"pitch_mm = {_figure(row.pitch_mm)}"
    yield from _measures(row, start)
    if row.diagonal:
        yield f"diagonal = {_quoted(row.diagonal)}"
        if row.diagonal_deg != DEGREES:
            yield f"diagonal_deg = {_figure(row.diagonal_deg)}"
    if row.reason != unsaid:
        yield f"reason = {_quoted(row.reason)}"


def _measures(row: Row, start: Row) -> Iterator[str]:
    """Say what differs from the usual of its take."""
    if row.thickness_mm != start.thickness_mm:
        yield f"thickness_mm = {_figure(row.thickness_mm)}"
    if row.pick_mm != start.pick_mm:
        yield f"pick_mm = {_figure(row.pick_mm)}"
    if row.left_mm != row.pick_mm:
        yield f"left_mm = {_figure(row.left_mm)}"
    if row.share != 1.0:
        yield f"share_percent = {_percent(row.share)}"
    if row.length_share != start.length_share:
        yield f"length_percent = {_percent(row.length_share)}"


def _figure(value: float) -> str:
    return repr(int(value)) if value == int(value) else repr(value)


def _percent(share: float) -> str:
    return _figure(float(Decimal(repr(share)) * 100))


def _quoted(text: str) -> str:
    """Quote text as TOML does, whose escapes are those of JSON and one more."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
