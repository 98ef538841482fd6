"""A visit as a file: JSON Lines, one fact a line. What cannot be read is kept as it stands."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, NoReturn

from strandline.base.errors import ReadError
from strandline.base.facts.fact import Fact, fact_of

LONGEST_LINE = 100_000
"""Characters; the longest note is fifty times shorter."""


@dataclass(frozen=True, slots=True)
class Unread:
    """A line that is no fact: its number from 1, its text as it stands, and why."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Reading:
    """What a file of facts held: the facts in its order, and the lines that are none."""

    facts: tuple[Fact, ...]
    unread: tuple[Unread, ...]


def read_lines(text: str) -> Reading:
    """Read a visit's file and refuse nothing: a line that is no fact is kept and flagged.

    Parameters
    ----------
    text : JSON Lines; empty lines and a byte order mark mean nothing

    Returns
    -------
    Reading   hand both to `fold`, so that what was left out is shown
    """
    facts: list[Fact] = []
    unread: list[Unread] = []
    for number, line in enumerate(text.removeprefix("\ufeff").split("\n"), start=1):
        if not line.strip():
            continue
        found = _fact_of_line(line)
        if isinstance(found, Fact):
            facts.append(found)
        else:
            unread.append(Unread(number, line.removesuffix("\r"), found))
    return Reading(tuple(facts), tuple(unread))


def read_jsonl(text: str, where: str = "visit.jsonl") -> list[Fact]:
    """Read a visit's file in which every line must be a fact.

    Parameters
    ----------
    text : JSON Lines
    where : the file's name, for the error

    Returns
    -------
    the facts in the file's order; of kinds not known too, for the fold flags those

    Raises
    ------
    ReadError   the first line that is no fact, with its number
    """
    reading = read_lines(text)
    for one in reading.unread:
        raise ReadError(
            f"Line {one.line} is not a fact: {one.why[:1].lower()}{one.why[1:]}",
            "Mend or remove that line; docs/facts.md says what a fact holds.",
            f"{where}, line {one.line}",
        )
    return list(reading.facts)


def write_jsonl(facts: Iterable[Fact], unread: Iterable[Unread] = ()) -> str:
    """Write facts in the order given, then lines that were never understood as they stood.

    Returns
    -------
    JSON Lines, each ending with a new line; '' for nothing
    """
    lines = [_line_of(fact) for fact in facts] + [one.text for one in unread]
    return "".join(f"{line}\n" for line in lines)


def _line_of(fact: Fact) -> str:
    line = json.dumps(fact.as_json(), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    if any("\ud800" <= letter <= "\udfff" for letter in line):  # half a character has no UTF-8
        return json.dumps(fact.as_json(), allow_nan=False, separators=(",", ":"))
    return line


def _fact_of_line(line: str) -> Fact | str:
    if len(line) > LONGEST_LINE:
        return f"It is {len(line)} characters long; a fact is at most {LONGEST_LINE}."
    try:
        record = json.loads(line, parse_constant=_refuse, parse_float=_finite)
    except json.JSONDecodeError as error:
        return f"It is not JSON: {error.msg.lower()} at character {error.pos + 1}."
    except (ValueError, RecursionError):
        return "It is not JSON that can be read: a number without end, or too many brackets."
    return fact_of(record)


def _refuse(word: str) -> NoReturn:
    raise ValueError(word)


def _finite(text: str) -> Any:  # noqa: ANN401  # as json hands it on
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(text)
    return value
