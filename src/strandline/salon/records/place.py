"""Where the record is kept: a SQLite file in the data folder, or a PostgreSQL database.

Photos, the ledger of erasures and the SQLite file stand in the data folder of the platform, or in
the one that STRANDLINE_DATA names.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from strandline.base.errors import ReadError

FILE = "record.db"
POSTGRES = re.compile(r"^postgres(ql)?(\+psycopg)?://", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Place:
    """A record's place.

    Parameters
    ----------
    folder : of photos and the ledger, and of the SQLite file
    file : the SQLite file, None for PostgreSQL
    url : of a PostgreSQL database, '' for SQLite
    """

    folder: Path
    file: Path | None
    url: str = ""

    @property
    def is_sqlite(self) -> bool:
        """Tell whether it is a file."""
        return self.file is not None

    @property
    def said(self) -> str:
        """Give the place in words, without user or password."""
        if self.file is not None:
            return str(self.file)
        rest = POSTGRES.sub("", self.url)
        return "postgresql://" + rest.rpartition("@")[2].partition("?")[0]


def place_of(named: str | None = None, env: Mapping[str, str] | None = None) -> Place:
    """Find the place of the record.

    Parameters
    ----------
    named : what --db says: a file or a postgresql:// address; before STRANDLINE_DB
    env : the environment, that of the process unless handed in

    Raises
    ------
    ReadError   an address of a database that is neither
    """
    said = os.environ if env is None else env
    name = named or said.get("STRANDLINE_DB", "")
    folder = _data_folder(said)
    if POSTGRES.match(name):
        return Place(folder, None, POSTGRES.sub("postgresql+psycopg://", name))
    if "://" in name:
        raise ReadError(
            f"'{name.partition('://')[0]:.20}://' is no database that a record is kept in.",
            "Name a file, or an address that begins with postgresql://.",
            "--db",
        )
    if not name:
        return Place(folder, folder / FILE)
    file = Path(name)
    if file.is_dir():
        raise ReadError("That is a folder, not a file.", f"Name {file / FILE}.", "--db")
    beside = Path(said["STRANDLINE_DATA"]) if said.get("STRANDLINE_DATA") else file.parent
    return Place(beside, file)


def _data_folder(env: Mapping[str, str]) -> Path:
    if env.get("STRANDLINE_DATA"):
        return Path(env["STRANDLINE_DATA"])
    from platformdirs import user_data_path  # noqa: PLC0415  # slow

    return user_data_path("strandline", appauthor=False)
