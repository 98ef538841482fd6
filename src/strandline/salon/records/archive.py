"""The archive: a zip with the facts of a record or of one client, checked before it is believed.

`manifest.json` names the version, every member with its length and SHA-256. Members are JSON
Lines and photos. What is read is bounded before it is unfolded.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, Self

from strandline.base.errors import ReadError
from strandline.salon.records.migrate import later
from strandline.salon.records.tables import KNOWN
from strandline.salon.records.wall import LaterVersionError

VERSION = 1
MANIFEST = "manifest.json"
LARGEST_TEXT = 4_000_000_000
LARGEST_MEMBERS = 400_000
LARGEST_MANIFEST = 200_000_000
LARGEST_LINE = 16_000_000
DAMAGE = (
    zipfile.BadZipFile, OSError, EOFError, zlib.error, NotImplementedError, RuntimeError,
)  # fmt: skip
"""What reading a damaged zip may raise."""
NOT_OF = {
    "record": ("This is no backup of a record.", "Name a file that strandline backup wrote."),
    "client": (
        "This is no export of a client.",
        "Name a file that strandline export wrote; a backup is put back by restore.",
    ),
}
EPOCH = (1980, 1, 1, 0, 0, 0)
"""Members carry no time of their own; the manifest says when."""


class Writer:
    """Writes an archive beside its place, and puts it there whole.

    Parameters
    ----------
    path : where it goes; must be free
    about : what the manifest says besides its members: `of`, `made`, `schema`
    """

    def __init__(self, path: Path, about: Mapping[str, Any]) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        self._path, self._beside = path, Path(name)
        self._file = os.fdopen(handle, "wb")
        self._zip = zipfile.ZipFile(self._file, "w", zipfile.ZIP_DEFLATED)
        self._about = dict(about)
        self._members: dict[str, dict[str, Any]] = {}

    def lines(self, name: str, rows: Iterable[Mapping[str, Any]]) -> int:
        """Write a member of JSON Lines and count them."""
        digest, size, count = hashlib.sha256(), 0, 0
        with self._zip.open(_member(name), "w", force_zip64=True) as out:
            for row in rows:
                raw = json.dumps(row, separators=(",", ":")).encode("ascii") + b"\n"
                out.write(raw)
                digest.update(raw)
                size, count = size + len(raw), count + 1
        self._members[name] = {"bytes": size, "sha256": digest.hexdigest(), "lines": count}
        return count

    def put(self, name: str, raw: bytes) -> None:
        """Write a member as it is."""
        packed = zipfile.ZIP_STORED if name.endswith(".jpg") else zipfile.ZIP_DEFLATED
        self._zip.writestr(_member(name), raw, packed)
        self._members[name] = {"bytes": len(raw), "sha256": hashlib.sha256(raw).hexdigest()}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        try:
            if kind is None:
                manifest = {"strandline_archive": VERSION, **self._about, "members": self._members}
                self._zip.writestr(_member(MANIFEST), json.dumps(manifest, indent=1))
            self._zip.close()
            if kind is None:
                self._file.flush()
                os.fsync(self._file.fileno())
                self._file.close()
                self._beside.replace(self._path)
        finally:
            self._beside.unlink(missing_ok=True)  # first: closing may fail on a full disk
            self._file.close()


def _member(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, EPOCH)
    info.external_attr = 0o600 << 16
    info.compress_type = zipfile.ZIP_DEFLATED
    return info


class Archive:
    """An archive that was read and checked: every member is whole, none is more than it says.

    Parameters
    ----------
    manifest : as written
    """

    def __init__(self, opened: zipfile.ZipFile, manifest: Mapping[str, Any], where: str) -> None:
        self._zip = opened
        self.manifest = manifest
        self.where = where

    def has(self, name: str) -> bool:
        """Tell whether there is such a member."""
        return name in self.manifest["members"]

    def names(self, folder: str) -> list[str]:
        """Give the members below a folder."""
        return sorted(name for name in self.manifest["members"] if name.startswith(folder))

    def read(self, name: str) -> bytes:
        """Give a member whole."""
        with self._zip.open(name) as found:
            return found.read(self.manifest["members"][name]["bytes"] + 1)

    def rows(self, name: str) -> Iterator[dict[str, Any]]:
        """Give the lines of a member.

        Raises
        ------
        ReadError   a line that is no JSON object
        """
        with self._zip.open(name) as found:
            for number, raw in enumerate(iter(lambda: found.readline(LARGEST_LINE), b""), start=1):
                try:
                    row = json.loads(raw)
                except (ValueError, RecursionError):
                    row = None
                if not isinstance(row, dict):
                    raise _broken(f"line {number} of {name} cannot be read", self.where)
                yield row


class opened:  # noqa: N801  # used as a word: with opened(path) as archive
    """Open an archive, check it whole, and close it again.

    Parameters
    ----------
    of : what it must be of, 'record' or 'client'; None for either

    Raises
    ------
    ReadError           no archive, cut short, damaged, unfolding to more than it says, or not of
                        what it must be
    LaterVersionError   written by a newer Strandline
    """

    def __init__(self, path: Path, of: str | None = None) -> None:
        self._path = path
        self._of = of

    def __enter__(self) -> Archive:
        where = str(self._path)
        try:
            self._zip = zipfile.ZipFile(self._path)
        except FileNotFoundError:
            raise ReadError("There is no such file.", "Look at its name.", where) from None
        except OSError as error:
            raise ReadError(
                f"The file cannot be read: {error.strerror or error}.",
                "Name an archive that you may read.",
                where,
            ) from None
        except (zipfile.BadZipFile, ValueError):
            raise _broken("it is no zip, or its end is missing", where) from None
        try:
            return _checked(self._zip, where, self._of)
        except BaseException:
            self._zip.close()
            raise

    def __exit__(self, *_: object) -> None:
        self._zip.close()


def _checked(found: zipfile.ZipFile, where: str, of: str | None) -> Archive:
    infos = found.infolist()
    if len(infos) > LARGEST_MEMBERS:
        raise _broken(f"it holds {len(infos)} members", where)
    manifest = _manifest(found, where)
    members = manifest["members"]
    if sorted(info.filename for info in infos) != sorted([*members, MANIFEST]):
        raise _broken("what it holds is not what its list says", where)
    if sum(said["bytes"] for said in members.values()) > LARGEST_TEXT:
        raise _broken("it unfolds to more than 4 GB", where)
    for name, said in members.items():
        if _digest(found, name, said["bytes"], where) != said["sha256"]:
            raise _broken(f"{name:.80} is not what was written", where)
    if of is not None and manifest.get("of") != of:
        raise ReadError(*NOT_OF[of], where)
    if of is not None and manifest.get("schema") not in KNOWN:
        raise later(str(manifest.get("schema")), "archive", where)
    return Archive(found, manifest, where)


def _manifest(found: zipfile.ZipFile, where: str) -> dict[str, Any]:
    try:
        with found.open(MANIFEST) as member:
            raw = member.read(LARGEST_MANIFEST + 1)
        if len(raw) > LARGEST_MANIFEST:
            raise _broken("its list is too long", where)
        manifest = json.loads(raw)
        version = manifest["strandline_archive"]
        good = all(
            isinstance(said["bytes"], int)
            and said["bytes"] >= 0
            and isinstance(said["sha256"], str)
            for said in manifest["members"].values()
        )
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
        raise _broken("its list is missing or cannot be read", where) from None
    except DAMAGE:
        raise _broken("its list is damaged", where) from None
    if not isinstance(version, int) or version > VERSION:
        raise LaterVersionError(
            f"The archive has version {version!s:.10}; this Strandline reads up to {VERSION}.",
            "Install the newer Strandline that wrote it; nothing was changed.",
            where,
        )
    if not good:
        raise _broken("its list cannot be read", where)
    return dict(manifest)


def _digest(found: zipfile.ZipFile, name: str, size: int, where: str) -> str:
    """Unfold a member in small pieces, never past the length its list gives."""
    digest, left = hashlib.sha256(), size
    try:
        with found.open(name) as member:
            read: Callable[[], bytes] = lambda: member.read(1 << 20)  # noqa: E731  # for iter
            for piece in iter(read, b""):
                left -= len(piece)
                if left < 0:
                    raise _broken(f"{name:.80} unfolds to more than its list says", where)
                digest.update(piece)
    except DAMAGE:
        raise _broken(f"{name:.80} is damaged or cut short", where) from None
    return digest.hexdigest()


def _broken(why: str, where: str) -> ReadError:
    return ReadError(
        f"The archive cannot be trusted: {why}.",
        "Take another backup; this file and the record are left as they are.",
        where,
    )
