"""A consultation's document written as TOML, so that it reads back the same."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")


def toml_text(document: Mapping[str, Any]) -> str:
    """Write a document: plain values first, then a table each, lists of tables one by one.

    Parameters
    ----------
    document : texts, figures, yes and no, days, lists and tables; what is None is left out
    """
    return "\n".join(_lines(document)).strip() + "\n"


def _lines(document: Mapping[str, Any]) -> Iterator[str]:
    tables = []
    for key, value in document.items():
        if isinstance(value, Mapping) or _is_rows(value):
            tables.append((key, value))
        elif value is not None:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in tables:
        for row in [value] if isinstance(value, Mapping) else value:
            yield ""
            yield f"[{_key(key)}]" if isinstance(value, Mapping) else f"[[{_key(key)}]]"
            for name, inside in row.items():
                if inside is not None:
                    yield f"{_key(name)} = {_value(inside)}"


def _is_rows(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(x, Mapping) for x in value)


def _key(name: str) -> str:
    return name if _BARE.match(name) else _quoted(name)


def _value(value: Any) -> str:  # noqa: ANN401  # what a document holds
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, dt.datetime | dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, Mapping):
        inside = (f"{_key(k)} = {_value(v)}" for k, v in value.items() if v is not None)
        return "{ " + ", ".join(inside) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    return _quoted(str(value))


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
