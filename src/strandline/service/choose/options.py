"""What may be laid in each zone of a head: takes, spaces, ends only, lowlights, or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Literal

from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.head.zones import NAMES
from strandline.service.placement.pattern import Row, numbers_with, take
from strandline.service.placement.takes import take_word

Work = Literal["light", "return", "lowlights"]
CLOSENESS = ("wide", "open", "usual", "close")
"""Spaces by how close they are."""
ENDS_WHY = "Ends of the hair left out, lightened so that it blends"
COMPANY_WHY = "A lowlight inside the light, so that what grows has company"


@dataclass(frozen=True, slots=True)
class Option:
    """One way to take a zone.

    Parameters
    ----------
    zone : one of `NAMES`; both sides are taken alike
    rows : as a pattern lays them; none where nothing is laid
    words : how it is said, empty for nothing
    close : 0 for nothing, then 1 for wide apart to 4 for close
    """

    zone: str
    rows: tuple[Row, ...]
    words: str
    close: int


@cache
def _document() -> dict[str, Any]:
    return toml_beside(__package__, "options.toml")


@cache
def spaces() -> Mapping[str, Number]:
    """Give the scales on a pitch, each with its source."""
    return numbers(_document()["numbers"], "options.toml")


def options_for(
    work: Work, own: Mapping[str, float], *, tips: bool, company: bool
) -> dict[str, tuple[Option, ...]]:
    """Give what may be laid in each zone, nothing first.

    Parameters
    ----------
    work : light, light on return, or lowlights
    own : her values over the numbers of `patterns.toml`
    tips : may ends alone be lightened
    company : do lowlights lie inside the light wherever it is taken

    Returns
    -------
    options by zone name, in the order of work; zones that this work never takes are left out
    """
    values = numbers_with(own)
    zones = _document()[work]
    return {
        name: (Option(name, (), "", 0), *_of_zone(name, zones[name], values, tips, company))
        for name in NAMES
        if name in zones
    }


def _of_zone(
    name: str,
    entry: Mapping[str, Any],
    values: Mapping[str, float],
    tips: bool,  # noqa: FBT001 - named at the only call above
    company: bool,  # noqa: FBT001
) -> Iterator[Option]:
    for taken in entry["takes"]:
        for space in entry["spaces"]:
            row = _spaced(taken, entry, space, values)
            said = f"{take_word(row.kind, row.grade)}s {_document()['words'][space]}"
            rows: tuple[Row, ...] = (row,)
            if company and "company" in entry:
                rows = (row, _every("lowlight", entry["company"], values, COMPANY_WHY))
                said += ", lowlights between"
            close = 1 + CLOSENESS.index(space)
            yield Option(name, rows, said, close)
            if tips and "tips" in entry and taken == entry["takes"][0] and space != "close":
                ends = _every("tip_out", entry["tips"], values, ENDS_WHY)
                yield Option(name, (row, ends), f"{said}, ends between", close)


def _spaced(taken: str, entry: Mapping[str, Any], space: str, values: Mapping[str, float]) -> Row:
    row = take(taken, values)
    pitch = max(values[entry["pitch"]] * spaces()[space].value, row.thickness_mm)
    words = _document()["words"][space]
    reason = f"{entry['why']}; {words}."
    return replace(row, back_to_back=False, pitch_mm=pitch, reason=reason)


def _every(taken: str, every: str, values: Mapping[str, float], why: str) -> Row:
    return replace(
        take(taken, values), back_to_back=False, every=int(values[every]), reason=f"{why}."
    )
