"""A file written whole, or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from strandline.base.errors import StoreError


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
