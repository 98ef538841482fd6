"""Reading numberings: `numbering.toml` holds two neutral ones, a text of her own adds lines."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from strandline.base.errors import OutOfRangeError, ReadError, SourceError
from strandline.base.sources import Number, cite, numbers, toml_beside
from strandline.science.fibre import DYES
from strandline.science.hair.naming.numbering import REFLECTS, Dyes, Numbering, Reflect

MOST_SHARE = 20.0
"""Peak over depth beyond which an entry is a slip of the pen."""
MOST_SPREAD = 3.0
"""Spread beyond which an entry is a slip of the pen."""
DEPTHS = (1, 12)
"""Depths any line may print; what of them lies on a scale is said when a colour is asked."""
_NUMBERS = ("depth_step", "second_share", "least_depth", "most_depth")
_LINE = {"kind", "divider", "also", "numbers", "reflects"}
_ENTRY = {"code", "meaning", "level", "stage", "unit", "source"}
_NUMBER_KEYS = {"value", "unit", "source", "spread", "note"}
_LARGEST = 1e300
"""A TOML integer may be longer than any float."""


@cache
def _own() -> dict[str, Any]:
    return toml_beside(__package__, "numbering.toml")


@cache
def naming_numbers() -> Mapping[str, float]:
    """Load the spreads of a colour that is seen, and how far is too far for a name."""
    entries = numbers(_own()["naming"], "numbering.toml [naming]")
    return {name: entry.value for name, entry in entries.items()}


@lru_cache(maxsize=16)
def numberings(text: str | None = None) -> Mapping[str, Numbering]:
    """Give the numberings by name, in the order of their files.

    Parameters
    ----------
    text : TOML of her own lines, `[line.NAME]` as in numbering.toml; they stand over ours

    Raises
    ------
    ReadError         text that is not TOML, or a table without a part it must have
    SourceError       a number, code or share without a source that is known
    OutOfRangeError   an unknown reflect or dye, a code given twice, a share or depth off its range
    """
    ours = {name: _numbering(name, entry, "") for name, entry in _own()["line"].items()}
    if text is None:
        return MappingProxyType(ours)
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise ReadError(
            f"The numbering cannot be read as TOML: {error}.",
            "Mend that line, or begin from the numbering that came with it.",
        ) from None
    return MappingProxyType(ours | own_numberings(document.get("line")))


def own_numberings(lines: object) -> dict[str, Numbering]:
    """Give the numberings of a table `line`, by name; errors as `numberings`.

    Parameters
    ----------
    lines : line names to their tables, as in numbering.toml
    """
    tables = _mapping(lines, "The text has no table 'line'", "line")
    if not tables:
        raise ReadError("The table 'line' holds no line.", "Give one as [line.NAME].", "line")
    return {name: _numbering(name, entry, "line.") for name, entry in tables.items()}


def _mapping(value: object, what: str, where: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise ReadError(f"{what}.", "Give it as the lines of the shipped numbering do.", where)
    return value


def _numbering(name: str, entry: object, place: str) -> Numbering:
    where = f"{place or 'numbering.toml line.'}{name}"
    table = _mapping(entry, f"The line '{name}' is no table", where)
    odd = sorted(set(table) - _LINE)
    if odd or not re.fullmatch(r"[\w -]{1,40}", name):
        raise ReadError(
            f"The line '{name[:40]}' holds {odd}." if odd else f"A line is called {name[:40]!r}.",
            f"Give {', '.join(sorted(_LINE))} alone, under a name of letters and figures.",
            where,
        )
    kind, divider, also = table.get("kind"), table.get("divider", ""), table.get("also", [])
    if kind not in ("digits", "letters"):
        raise OutOfRangeError(
            f"The kind is {_said(kind)}; it must be 'digits' or 'letters'.",
            "Say whether its reflects are digits after a divider or letters.",
            where,
        )
    marks = [divider, *also] if isinstance(also, list) else [also]
    _check_marks(marks, kind, where)
    figures = _figures(table.get("numbers"), where)
    reflects = _mapping(table.get("reflects"), f"The line '{name}' has no reflects", where)
    read = tuple(_reflect(word, one, kind, where) for word, one in reflects.items())
    _check_codes(read, where)
    return Numbering(
        name,
        "digits" if kind == "digits" else "letters",
        divider,
        tuple(also),
        read,
        figures["depth_step"],
        figures["second_share"],
        int(figures["least_depth"].value),
        int(figures["most_depth"].value),
    )


def _check_marks(marks: list[Any], kind: str, where: str) -> None:
    for place, mark in enumerate(marks):
        empty = mark == "" and kind == "letters" and place == 0
        if empty or (isinstance(mark, str) and len(mark) == 1 and mark in ".,/-:'"):
            continue
        raise OutOfRangeError(
            f"A divider is {_said(mark)}; it must be one of . , / - : '.",
            "Give what the line prints between depth and reflect; letters may have an empty one.",
            where,
        )


def _figures(value: object, where: str) -> dict[str, Number]:
    entries = _mapping(value, "There is no table 'numbers'", where)
    for name in _NUMBERS:
        entry = _mapping(entries.get(name), f"There is no '{name}' with value and source", where)
        odd = sorted(set(entry) - _NUMBER_KEYS)
        parts = [entry.get("value", 0), entry.get("spread", 0)]
        words = [entry.get(key, "") for key in ("unit", "source", "note")]
        sound = all(map(_is_number, parts)) and all(isinstance(word, str) for word in words)
        if odd or not sound:
            raise ReadError(
                f"'{name}' holds {_said(odd or [*parts, *words])}, which are no parts of a number.",
                "Give value, unit, source, and if known spread and note.",
                where,
            )
    figures = numbers({name: entries[name] for name in _NUMBERS}, where)
    for name, low, high in (
        ("depth_step", -3.0, 3.0),
        ("second_share", 0.0, 2.0),
        ("least_depth", *DEPTHS),
        ("most_depth", *DEPTHS),
    ):
        figure = figures[name]
        whole = name.endswith("_depth")
        off = not low <= figure.value <= high or (whole and figure.value % 1)
        if off or not 0 <= figure.spread <= MOST_SPREAD:
            raise OutOfRangeError(
                f"'{name}' is {figure.value:g} with spread {figure.spread:g}; it must be "
                f"{low:g}-{high:g}{', whole,' if whole else ''} with a spread of "
                f"0-{MOST_SPREAD:g}.",
                "Read it off the line's own chart.",
                where,
            )
    if figures["least_depth"].value > figures["most_depth"].value:
        raise OutOfRangeError(
            f"Its depths run from {figures['least_depth'].value:g} down to "
            f"{figures['most_depth'].value:g}.",
            "Give the darkest depth, the lower figure, as least_depth.",
            where,
        )
    return figures


def _said(value: object) -> str:
    """Give a value as it was written, cut short; an integer may be too long to print."""
    try:
        return repr(value)[:60]
    except ValueError:
        return "a number of thousands of digits"


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return abs(value) < _LARGEST and math.isfinite(value)


def _reflect(word: str, value: object, kind: str, where: str) -> Reflect:
    if word not in REFLECTS:
        raise OutOfRangeError(
            f"The reflect '{word}' is not known; it must be one of {', '.join(REFLECTS)}.",
            "Name the known reflect that comes nearest and give it the line's dyes.",
            where,
        )
    entry = _mapping(value, f"The reflect '{word}' is no table", where)
    lacking, odd = sorted(_ENTRY - set(entry)), sorted(set(entry) - _ENTRY - {"note"})
    if {"source", "meaning", "unit"} & set(lacking):
        raise SourceError(
            f"The reflect '{word}' has no {' and no '.join(lacking)}.",
            "Every reflect says where its meaning and its dyes come from, and their unit.",
            where,
        )
    if lacking or odd:
        raise ReadError(
            f"The reflect '{word}' lacks {lacking} and has {odd} besides.",
            f"Give {', '.join(sorted(_ENTRY))}, and a note if you like.",
            where,
        )
    source, meaning = str(entry["source"]), str(entry["meaning"])
    cite(source)
    cite(meaning)
    level, stage = (_dyes(word, entry[scale], where) for scale in ("level", "stage"))
    return Reflect(word, _code(word, entry["code"], kind, where), level, stage, source, meaning)


def _code(word: str, code: object, kind: str, where: str) -> str:
    good = isinstance(code, str) and len(code) == 1 and code.isascii()
    if good and (str(code).isdigit() if kind == "digits" else str(code).isalpha()):
        return str(code).upper()
    raise OutOfRangeError(
        f"The code of '{word}' is {_said(code)}; it must be one {kind[:-1]} in quotes.",
        "Give the sign the line prints for it; a sign of two is two reflects.",
        where,
    )


def _dyes(word: str, value: object, where: str) -> Dyes:
    shares = _mapping(value, f"The dyes of '{word}' are no table", where)
    for dye, share in shares.items():
        if dye not in DYES[1:] or not _is_number(share) or not 0 <= share <= MOST_SHARE:
            raise OutOfRangeError(
                f"'{word}' has the dye '{dye}' at {_said(share)}; it must be one of "
                f"{', '.join(DYES[1:])} at 0-{MOST_SHARE:g}.",
                "Give the dyes of the reflect as shares of its depth.",
                where,
            )
        if word == "neutral" and share:
            raise OutOfRangeError(
                f"Neutral has the dye '{dye}' at {share:g}; it must have none.",
                "A depth alone is neutral; move the dye to a reflect.",
                where,
            )
    return tuple((dye, float(share)) for dye, share in shares.items())


def _check_codes(reflects: tuple[Reflect, ...], where: str) -> None:
    codes = [one.code for one in reflects]
    twice = sorted({code for code in codes if codes.count(code) > 1})
    if twice or not any(one.word == "neutral" for one in reflects):
        raise OutOfRangeError(
            f"The code {twice[0]} stands for two reflects." if twice else "There is no neutral.",
            "Give each reflect a code of its own, and one to neutral.",
            where,
        )
