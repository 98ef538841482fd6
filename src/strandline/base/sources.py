"""Every number has a source or it does not load.

`sources.toml` names the published sources once; tables and constants point to its keys.
A table is a CSV whose leading comment lines cite where it was read.
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from strandline.base.errors import SourceError

COMMON_PRACTICE = "common practice, no source"
FROM_MEMORY = "from memory"
ARITHMETIC = "arithmetic"


@dataclass(frozen=True, slots=True)
class Number:
    """A number that is not arithmetic.

    Parameters
    ----------
    value : float
    unit : str       '1' for a pure number
    source : str     a key of sources.toml, or one of the three words above
    spread : float   one standard deviation in the same unit, 0 where exact
    low, high : float | None   the range a person may set it to
    note : str       what it means, in a few words
    """

    value: float
    unit: str
    source: str
    spread: float = 0.0
    low: float | None = None
    high: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A published table: its citation and its rows as text."""

    name: str
    citation: str
    rows: tuple[Mapping[str, str], ...]

    def column(self, name: str) -> tuple[float, ...]:
        """Give a column as numbers, blank cells left out."""
        return tuple(float(row[name]) for row in self.rows if row[name] != "")


@cache
def citations() -> Mapping[str, str]:
    """Give key to citation, as sources.toml holds them."""
    found = toml_beside("strandline.base", "data/sources.toml")
    return {key: str(entry["citation"]) for key, entry in found.items()}


def cite(source: str) -> str:
    """Give the words a reader sees for a source key.

    Raises
    ------
    SourceError   a key that sources.toml does not hold
    """
    if source in (COMMON_PRACTICE, FROM_MEMORY, ARITHMETIC):
        return source
    try:
        return citations()[source]
    except KeyError:
        raise SourceError(
            f"The source '{source}' is not in sources.toml.",
            "Add its citation there, or say 'common practice, no source' or 'from memory'.",
        ) from None


def toml_beside(package: str, name: str) -> dict[str, Any]:
    """Read the TOML file that a room keeps beside its modules.

    Parameters
    ----------
    package : `__package__` of the room
    name : of the file, with the folder below the room where it stands in one
    """
    return tomllib.loads(files(package).joinpath(name).read_text("utf-8"))


def numbers(document: Mapping[str, Any], where: str) -> dict[str, Number]:
    """Read a table of numbers, each `{ value, unit, source, ... }`.

    Raises
    ------
    SourceError   an entry without unit or source, or with an unknown source
    """
    out = {}
    for name, entry in document.items():
        missing = {"value", "unit", "source"} - set(entry)
        if missing:
            raise SourceError(
                f"'{name}' has no {' and no '.join(sorted(missing))}.",
                "Every number carries its value, unit and source.",
                where,
            )
        cite(entry["source"])
        out[name] = Number(**entry)
    return out


@cache
def table(name: str) -> Table:
    """Load a published table of `base/data/published` with its citation.

    Raises
    ------
    SourceError   no such table, or one that does not begin with a citation
    """
    path = files("strandline.base").joinpath("data", "published", f"{name}.csv")
    if not path.is_file():
        raise SourceError(f"There is no published table '{name}'.", "Name one of data/published.")
    lines = path.read_text("utf-8").splitlines()
    head = [line.lstrip("# ").strip() for line in lines if line.startswith("#")]
    if not head:
        raise SourceError(
            f"The table '{name}' does not say where it was read.",
            "Begin it with comment lines that cite its source.",
        )
    body = [line for line in lines if line and not line.startswith("#")]
    return Table(name, " ".join(head), tuple(csv.DictReader(body)))
