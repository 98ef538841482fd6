"""Thinner takes where hair is thin: a grade less in each foil, at the same pitch."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from strandline.service.placement.pattern import Pattern, Row
from strandline.service.placement.takes import take_word, usual

GRADE_LESS: Mapping[str, str] = {
    "full slice": "slice",
    "slice": "see-through slice",
    "chunky weave": "medium weave",
    "medium weave": "fine weave",
}
"""What is taken in the place of what; the finest of each stay. Common practice, no source."""
THIN = "Hair is thin here: a grade less in each foil lets no gap show between them."


def thinner(
    pattern: Pattern, zones: Collection[str], own: Mapping[str, float] | None = None
) -> Pattern:
    """Take less hair in each foil of some zones.

    Parameters
    ----------
    pattern : Pattern
    zones : by name
    own : her own numbers over those of `patterns.toml`

    Returns
    -------
    Pattern   as many foils, at the same places; rows that lie back to back stay as they are
    """
    return replace(
        pattern,
        rows={
            zone: tuple(_less(row, own) for row in rows)
            if zone.split(" ", maxsplit=1)[0] in zones
            else rows
            for zone, rows in pattern.rows.items()
        },
    )


def _less(row: Row, own: Mapping[str, float] | None) -> Row:
    word = GRADE_LESS.get(take_word(row.kind, row.grade))
    if word is None or row.back_to_back:
        return row
    take = usual(word, own)
    return replace(
        row,
        grade=take.grade,
        thickness_mm=min(row.thickness_mm, take.thickness_mm),
        pick_mm=take.pick_mm,
        left_mm=take.left_mm,
        reason=THIN,
    )
