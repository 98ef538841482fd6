"""What a database or a disk says when it cannot, as an error with what to do."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from strandline.base.errors import ReadError, StoreError, StrandlineError


class StaleError(StrandlineError):
    """An edit of something that another has changed since it was read."""

    code = "stale"


class LaterVersionError(ReadError):
    """A database or an archive made by a newer Strandline."""

    code = "later_version"


class DamagedError(ReadError):
    """A database whose file is damaged, or is none."""

    code = "damaged"


class ConsentError(StrandlineError):
    """Something that wants a consent which was not given."""

    code = "no_consent"


class ContendedError(StoreError):
    """A transaction that the database broke off so that another could end: worth another turn."""


BROKEN_OFF = ("40001", "40P01")
"""What SQL calls a serialization failure and a deadlock (ISO 9075, and PostgreSQL's own)."""
LEAST_ROOM_BYTES = 1 << 18
"""What a database wants beside its file before it can be read."""
NOTHING_LOST = "What was acknowledged before is kept."


@contextmanager
def telling(where: str) -> Iterator[None]:
    """Turn what the disk or the database says into an error a person can act on.

    Parameters
    ----------
    where : the place in words

    Raises
    ------
    StoreError     full, not writable, held by another, or not to be reached
    DamagedError   damaged, or no database
    """
    from sqlalchemy.exc import DBAPIError  # noqa: PLC0415  # slow

    try:
        with telling_disk(where):
            yield
    except DBAPIError as error:
        if getattr(error.orig, "sqlstate", None) in BROKEN_OFF:
            raise ContendedError(
                "Another was writing the same at once, and the database let that go first.",
                f"Do this again in a moment. {NOTHING_LOST}",
                where,
            ) from error
        raise _of_database(str(error.orig), where) from error


@contextmanager
def telling_disk(where: str) -> Iterator[None]:
    """Turn what the disk alone says into an error a person can act on.

    Raises
    ------
    StoreError   full, not writable, or broken
    """
    try:
        yield
    except OSError as error:
        raise of_disk(error, where) from error


def of_disk(error: OSError, where: str) -> StoreError:
    """Give what a disk's error means."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return _full(where)
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return StoreError(
            "That place may not be written to.",
            f"Give yourself the right to write to its folder, or name another. {NOTHING_LOST}",
            where,
        )
    return StoreError(
        f"The disk says: {error.strerror or error}.",
        f"Look at the place and try again. {NOTHING_LOST}",
        where,
    )


def _full(where: str) -> StoreError:
    return StoreError(
        "The disk is full; this was not kept.",
        f"Make room, then do it again. {NOTHING_LOST}",
        where,
    )


def _unwritable(where: str) -> StoreError:
    return StoreError(
        "The record's folder may not be written to, and reading the record wants that too.",
        "Give yourself the right to, or copy the record with the files beside it to a folder of "
        f"yours and name it with --db. {NOTHING_LOST}",
        where,
    )


def _no_room(where: str) -> bool:
    """Tell whether the disk of a file has no room left; a server's disk is not looked at."""
    folder = Path(where).parent
    return folder.is_dir() and shutil.disk_usage(folder).free < LEAST_ROOM_BYTES


def _of_database(said: str, where: str) -> StrandlineError:
    text = said.strip().splitlines()[0] if said.strip() else "nothing more"
    low = text.lower()
    if "disk is full" in low or "no space left" in low or "disk full" in low:
        return _full(where)
    if "disk i/o error" in low and _no_room(where):  # its shared memory found none
        return _full(where)
    if "readonly" in low or "read-only" in low or "unable to open" in low:
        return _unwritable(where)
    if "locked" in low or "busy" in low:
        return StoreError(
            "Another program holds the record.",
            f"Wait for it to finish, or close it, then do this again. {NOTHING_LOST}",
            where,
        )
    if "not a database" in low or "malformed" in low or "corrupt" in low:
        return DamagedError(
            f"The database is damaged or is none: {text}.",
            "Leave the file as it is, and restore the newest backup into a new one: "
            "strandline restore BACKUP.zip --db NEW.db",
            where,
        )
    return StoreError(
        f"The database says: {text}.",
        f"See what it is with: strandline doctor. {NOTHING_LOST}",
        where,
    )
