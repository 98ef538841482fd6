"""How a kind is described: its fields with type, unit and range, and whether a payload holds."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from strandline.base.facts.fact import NAME_PATTERN, canonical, date_holds, whole

MOST_FOILS = 400
_NO_LETTER = re.compile("[\0\ud800-\udfff]")
"""What no text holds: the null letter, which a database cuts at, and halves of a pair."""
Type = Literal["text", "name", "date", "word", "whole", "number", "wholes", "yes"]


@dataclass(frozen=True, slots=True)
class Field:
    """What a payload says in one place.

    Parameters
    ----------
    type : 'text', 'name' (of a fact), 'date', 'word' (one of `words`), 'whole' or 'number' in a
        range, 'wholes' (a list of different ones), 'yes' (true or false)
    about : what it means
    unit : of a number, '' for a pure one
    low, high : range of a number, length of a text
    words : the words it may be
    needed : False where it may be left out
    """

    type: Type
    about: str
    unit: str = ""
    low: float = 0
    high: float = 0
    words: tuple[str, ...] = ()
    needed: bool = True

    def holds(self, value: Any) -> bool:  # noqa: ANN401  # whatever JSON holds
        """Tell whether a value can be understood here."""
        if self.type == "yes":
            return isinstance(value, bool)
        if self.type == "wholes":
            return (
                isinstance(value, list)
                and 1 <= len(value) <= MOST_FOILS
                and all(self._in_range(one) and isinstance(whole(one), int) for one in value)
                and len({whole(one) for one in value}) == len(value)
            )
        if self.type in ("whole", "number"):
            return self._in_range(value) and (
                self.type == "number" or isinstance(whole(value), int)
            )
        return isinstance(value, str) and self._text_holds(value)

    def _in_range(self, value: Any) -> bool:  # noqa: ANN401  # whatever JSON holds
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and self.low <= value <= self.high

    def _text_holds(self, value: str) -> bool:
        if self.type == "word":
            return value in self.words
        if self.type == "date":
            return date_holds(value)
        if self.type == "name":
            return re.fullmatch(NAME_PATTERN, value) is not None
        return self.low <= len(value) <= self.high and _NO_LETTER.search(value) is None


@dataclass(frozen=True, slots=True)
class Kind:
    """One thing that can happen: its schema's number, what it says, and in words when.

    Parameters
    ----------
    fields : by name
    about : when it is tapped
    schema : newest version of the payload
    one_of : of these fields exactly one is said; empty where that does not apply
    rising : two fields of which the second is not below the first; empty likewise
    """

    fields: Mapping[str, Field]
    about: str
    schema: int = 1
    one_of: tuple[str, ...] = ()
    rising: tuple[str, ...] = ()


def field_at_fault(kind: Kind, payload: Mapping[str, Any]) -> str:
    """Give the first field of a payload that cannot be understood, '' where all can.

    Notes
    -----
    Fields of the table in its order; then unknown ones, for a slip in a name must not turn a
    rinse of one foil into a rinse of the head; then `one_of`, named by its first field, and
    `rising`, named by its second.
    """
    for name, field in kind.fields.items():
        if name not in payload:
            if field.needed:
                return name
        elif not field.holds(payload[name]):
            return name
    unknown = sorted(canonical(name)[1:-1] for name in payload if name not in kind.fields)
    if unknown:
        return unknown[0]
    if kind.one_of and sum(name in payload for name in kind.one_of) != 1:
        return kind.one_of[0]
    if kind.rising and payload[kind.rising[0]] > payload[kind.rising[1]]:
        return kind.rising[1]
    return ""
