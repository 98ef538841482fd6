"""A file written whole, or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from strandline.base.errors import StoreError


def check_place(path: Path, suffix: str, kind: str, flag: str) -> None:
    """Refuse a file that could not be written, before anything is computed.

    Parameters
    ----------
    suffix : that its name must have: '.png'
    kind : what is written, in words: 'The film is an animated WebP'
    flag : that named it

    Raises
    ------
    StoreError   no such folder, a folder of that name, another suffix, or a place that takes none
    """
    if path.is_dir() or not path.parent.is_dir():
        what = "is a folder" if path.is_dir() else "lies in a folder that is not there"
        raise StoreError(f"'{path}' {what}.", "Name a file in a folder that is there.", flag)
    if path.suffix.lower() != suffix:
        raise StoreError(
            f"{kind}; '{path.name}' does not end in {suffix}.",
            f"Name it for instance {path.stem or 'noor'}{suffix}.",
            flag,
        )
    check_folder(path.parent, path, flag)


def check_folder(folder: Path, path: Path, flag: str) -> None:
    """Refuse a folder that takes no file: one is made in it and taken away again.

    Parameters
    ----------
    folder : that is there
    path : what is to be written in it, as it was named
    flag : that named it

    Raises
    ------
    StoreError   nothing can be written there
    """
    try:
        handle, beside = tempfile.mkstemp(prefix=".strandline-", dir=folder)
        os.close(handle)
        Path(beside).unlink()
    except OSError as error:
        raise StoreError(
            f"'{path}' cannot be written: {error.strerror or error}.",
            "Name a place that you may write to.",
            flag,
        ) from None


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all: beside it first, then renamed.

    Raises
    ------
    StoreError   a place that cannot be written
    """
    beside = ""
    try:
        handle, beside = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(beside).chmod(0o644)
        os.replace(beside, path)  # noqa: PTH105 - atomic, over what is there
    except OSError as error:
        if beside:
            Path(beside).unlink(missing_ok=True)
        raise StoreError(
            f"The file cannot be written: {error.strerror or error}.",
            "Name a file in a folder that you may write to, with room on its disk.",
            str(path),
        ) from None
