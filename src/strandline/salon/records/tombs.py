"""Streams that were erased: their names are not kept, only a digest of each with its own salt.

The ledger of erasures is these tombs. It stands in the database and, as a file, beside it: an
older backup that is restored is erased again by whichever of the two is left.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import ReadError

if TYPE_CHECKING:
    from sqlalchemy import Connection

FILE = "erasures.json"
_HEX = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Tomb:
    """An erased stream.

    Parameters
    ----------
    digest : SHA-256 of salt and name
    salt : its own
    erased : when, UTC
    by_whom : who did it
    lifted : when its client came back with her export, None where she did not
    """

    digest: str
    salt: str
    erased: str
    by_whom: str
    lifted: str | None = None

    def is_of(self, stream: str) -> bool:
        """Tell whether it is this stream's."""
        return _digest(self.salt, stream) == self.digest


def tomb_of(stream: str, erased: str, by_whom: str) -> Tomb:
    """Make the tomb of a stream."""
    salt = secrets.token_hex(16)
    return Tomb(_digest(salt, stream), salt, erased, by_whom)


def _digest(salt: str, stream: str) -> str:
    return hashlib.sha256(f"{salt}:{stream}".encode()).hexdigest()


def dead(ledger: Iterable[Tomb], streams: Iterable[str]) -> set[str]:
    """Tell which of some streams are erased and have not come back."""
    standing = [tomb for tomb in ledger if tomb.lifted is None]
    return {name for name in streams if any(tomb.is_of(name) for tomb in standing)}


def tombs(connection: Connection, streams: Iterable[str]) -> set[str]:
    """Tell which of some streams the database knows as erased."""
    return dead(read_ledger(connection), streams)


def read_ledger(connection: Connection) -> tuple[Tomb, ...]:
    """Read the ledger of a database."""
    from sqlalchemy import select  # noqa: PLC0415  # slow

    from strandline.salon.records.tables import TOMB  # noqa: PLC0415

    rows = connection.execute(select(TOMB).order_by(TOMB.c.digest)).mappings()
    return tuple(Tomb(**row) for row in rows)


def put_ledger(connection: Connection, ledger: Iterable[Tomb]) -> None:
    """Put a ledger in the place of the database's."""
    from sqlalchemy import delete, insert  # noqa: PLC0415  # slow

    from strandline.salon.records.tables import TOMB  # noqa: PLC0415

    connection.execute(delete(TOMB))
    rows = [asdict(tomb) for tomb in ledger]
    if rows:
        connection.execute(insert(TOMB), rows)


def joined(*ledgers: Sequence[Tomb] | None) -> tuple[Tomb, ...]:
    """Join ledgers; a tomb that one of them knows as lifted is lifted."""
    out: dict[str, Tomb] = {}
    for tomb in (tomb for ledger in ledgers for tomb in ledger or ()):
        if tomb.digest not in out or tomb.lifted:
            out[tomb.digest] = tomb
    return tuple(out[digest] for digest in sorted(out))


def ledger_text(ledger: Iterable[Tomb]) -> str:
    """Write a ledger as its file."""
    return json.dumps({"erasures": [asdict(tomb) for tomb in ledger]}, indent=1) + "\n"


def ledger_of(text: str, where: str) -> tuple[Tomb, ...]:
    """Read a ledger's file.

    Raises
    ------
    ReadError   it is none
    """
    try:
        found = tuple(Tomb(**row) for row in json.loads(text)["erasures"])
        good = all(_good(tomb) for tomb in found)
    except (ValueError, KeyError, TypeError, RecursionError):
        found, good = (), False
    if not good:
        raise ReadError(
            "The ledger of erasures cannot be read.",
            "Put it back from where you keep copies, or take the file away: then an older backup "
            "may bring back a client who was erased.",
            where,
        )
    return found


def _good(tomb: Tomb) -> bool:
    texts = (tomb.digest, tomb.salt, tomb.erased, tomb.by_whom, tomb.lifted or "")
    return all(isinstance(one, str) for one in texts) and bool(_HEX.fullmatch(tomb.digest))


def read_ledger_file(folder: Path) -> tuple[Tomb, ...] | None:
    """Read the ledger beside the database; None where there is none."""
    path = folder / FILE
    return ledger_of(path.read_text("utf-8"), str(path)) if path.exists() else None


def write_ledger_file(folder: Path, ledger: Iterable[Tomb]) -> None:
    """Write the ledger beside the database: whole or as it was."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    beside = folder / f".{FILE}"
    with beside.open("w", encoding="utf-8") as file:
        file.write(ledger_text(ledger))
        file.flush()
        os.fsync(file.fileno())
    beside.replace(folder / FILE)
