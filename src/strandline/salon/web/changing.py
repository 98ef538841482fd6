"""A consultation with a few of its answers changed: what a plan would be if."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from strandline.service.consultation.reader import read_toml

Change = Mapping[str, Any]
"""Answers by their place, such as `aim.wish`; None takes an answer out."""


def changed(text: str, change: Change, where: str = "consultation") -> str:
    """Give a consultation's text with some answers changed.

    Parameters
    ----------
    text : TOML
    change : what to change

    Raises
    ------
    ReadError   the text is no TOML
    """
    import tomli_w  # noqa: PLC0415  # only where something is written

    document = read_toml(text.encode(), where)
    for place, value in change.items():
        *tables, name = place.split(".")
        table = document
        for one in tables:
            table = table.setdefault(one, {})
        if value is None:
            table.pop(name, None)
        else:
            table[name] = value
    return tomli_w.dumps(document)
