"""A fact: one thing that happened at a chair, as it was tapped. It is kept as it came.

Time inside is whole milliseconds since 1970-01-01T00:00:00Z, so that every language folds alike.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any

EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
MILLISECOND = dt.timedelta(milliseconds=1)
TIME_PATTERN = (
    r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]{1,3})?Z$"
)
NAME_PATTERN = r"^[A-Za-z0-9._:-]{1,64}$"
"""Of an id, a stream and a device: letters that every language sorts alike."""
WIDEST_OFFSET_MIN = 14 * 60
LARGEST_SEQ = 2**53 - 1
"""The largest whole number that JSON carries through every reader unchanged."""


@dataclass(frozen=True, slots=True)
class Fact:
    """A tap at the chair.

    Parameters
    ----------
    id : str            its own name, the same wherever it travels
    stream : str        the visit it belongs to
    kind : str          what happened, a word of `kinds`
    schema : int        version of that kind's payload, from 1
    payload : mapping   what the kind says, units in the names
    by : str            who did it
    device : str        where it was tapped
    device_seq : int    its number on that device, rising
    device_time : str   UTC by the device's clock, 2026-12-09T10:05:00Z
    offset : int        minutes of the device's local time ahead of UTC
    """

    id: str
    stream: str
    kind: str
    schema: int
    payload: Mapping[str, Any]
    by: str
    device: str
    device_seq: int
    device_time: str
    offset: int

    def as_json(self) -> dict[str, Any]:
        """Give the record that a file, a server and a device share."""
        return {name: getattr(self, name) for name in FIELDS}


FIELDS = tuple(Fact.__dataclass_fields__)
_TYPES: Mapping[str, type] = {
    name: {"schema": int, "device_seq": int, "offset": int, "payload": dict}.get(name, str)
    for name in FIELDS
}
_TYPE_WORDS: Mapping[type, str] = {str: "text", int: "a whole number", dict: "an object"}


def fact_of(record: object) -> Fact | str:
    """Make a fact of a record read from JSON.

    Parameters
    ----------
    record : anything that JSON can say

    Returns
    -------
    the fact, or the sentence on why it is not the record of one
    """
    if not isinstance(record, dict):
        return "It is not an object."
    missing = [name for name in FIELDS if name not in record]
    if missing:
        return f"It has no {', '.join(missing)}."
    unknown = sorted(set(record) - set(FIELDS))
    if unknown:
        return f"It has a field that no fact has: {unknown[0]!a}."
    values = {name: whole(record[name]) for name in FIELDS}
    for name, kind in _TYPES.items():
        if not isinstance(values[name], kind) or isinstance(values[name], bool):
            return f"Its {name} is not {_TYPE_WORDS[kind]}."
    return Fact(**values)


def whole(value: Any) -> Any:  # noqa: ANN401  # whatever JSON holds
    """Give 3 for 3.0, as JSON does not tell them apart; anything else as it is."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


@lru_cache(maxsize=4096)
def milliseconds(text: str) -> int | None:
    """Read a UTC time; None where it is not written as one or is not in the calendar.

    Parameters
    ----------
    text : 2026-12-09T10:05:00Z or with one to three decimals of a second, year 1970-9999

    Returns
    -------
    milliseconds since 1970-01-01T00:00:00Z
    """
    if not re.fullmatch(TIME_PATTERN, text):
        return None
    try:
        moment = dt.datetime.fromisoformat(text)
    except ValueError:
        return None
    count = (moment - EPOCH) // MILLISECOND
    return count if count >= 0 else None


def utc_text(count: int) -> str:
    """Write milliseconds since 1970 as 2026-12-09T10:05:00.000Z."""
    moment = EPOCH + count * MILLISECOND
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def date_holds(text: str) -> bool:
    """Tell whether text is a day of the calendar, written 2026-12-09."""
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return False
    try:
        dt.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def canonical(value: Any) -> str:  # noqa: ANN401  # whatever JSON holds
    r"""Write a value so that equal ones read alike and sort alike in every language.

    Notes
    -----
    Keys sorted, no spaces, all but printable ASCII as \uXXXX, numbers as ECMAScript prints them.
    """
    if isinstance(value, Mapping):
        inside = ((json.dumps(str(key)), canonical(value[key])) for key in value)
        return "{" + ",".join(f"{key}:{text}" for key, text in sorted(inside)) + "}"
    if isinstance(value, list | tuple):
        return "[" + ",".join(canonical(one) for one in value) + "]"
    if isinstance(value, float):
        return _number(value)
    return json.dumps(value)


def _number(value: float) -> str:
    if value.is_integer() and abs(value) < LARGEST_SEQ:
        return str(int(value))
    if 1e-6 <= abs(value) < LARGEST_SEQ:
        return format(Decimal(repr(value)), "f")
    return re.sub(r"e([+-])0", r"e\1", repr(value))
