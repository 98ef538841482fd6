"""Photos: taken in with place, device and time off them, kept by what they hold."""

from __future__ import annotations

import hashlib
import io
import os
import re
from collections.abc import Iterator
from pathlib import Path

from strandline.base.errors import ReadError

FOLDER = "photos"
LARGEST_BYTES = 40_000_000
LARGEST_PIXELS = 120_000_000
"""A phone's largest picture is about 100 million; a file that unfolds to more is refused."""
QUALITY = 92
NAME = re.compile(r"[0-9a-f]{64}\.jpg")


def clean_photo(raw: bytes, where: str) -> bytes:
    """Give a photo as JPEG with its pixels alone, upright.

    Parameters
    ----------
    raw : a picture's file of any common format
    where : its name, for the error

    Raises
    ------
    ReadError   it is no picture, is cut short, or unfolds to more than a camera takes
    """
    if len(raw) > LARGEST_BYTES:
        raise ReadError(
            f"The file holds {len(raw) / 1e6:.0f} MB; a photo is at most "
            f"{LARGEST_BYTES / 1e6:.0f} MB.",
            "Name a photo, not a film.",
            where,
        )
    import warnings  # noqa: PLC0415

    from PIL import Image, ImageOps  # noqa: PLC0415  # slow

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(raw)) as found:
                width, height = found.size
                if width * height > LARGEST_PIXELS:
                    raise _too_many(width * height, where)
                upright = ImageOps.exif_transpose(found).convert("RGB")
    except Image.DecompressionBombError:
        raise _too_many(None, where) from None
    except (OSError, ValueError, SyntaxError, EOFError):
        raise ReadError(
            "This is no photo, or one that is cut short.",
            "Name a JPEG, PNG, WebP or TIFF as the camera wrote it.",
            where,
        ) from None
    # a picture of its own: nothing of the file but its pixels comes along
    plain = Image.frombytes("RGB", upright.size, upright.tobytes())
    out = io.BytesIO()
    plain.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _too_many(pixels: int | None, where: str) -> ReadError:
    most = f"{LARGEST_PIXELS / 1e6:.0f} million"
    said = f"more than {most}" if pixels is None else f"{pixels / 1e6:.0f} million"
    return ReadError(
        f"The picture unfolds to {said} pixels; a photo has at most {most}.",
        "Name a photo as the camera wrote it.",
        where,
    )


def path_of(folder: Path, digest: str) -> Path:
    """Give the file a photo stands in."""
    return folder / FOLDER / f"{digest}.jpg"


def put_photo(folder: Path, clean: bytes) -> str:
    """Keep a photo and give its digest; one that is there already is there once.

    Raises
    ------
    OSError   the disk cannot; nothing half written is left
    """
    digest = hashlib.sha256(clean).hexdigest()
    path = path_of(folder, digest)
    if path.exists():
        return digest
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    beside = path.with_name(f".{path.name}")
    try:
        beside.touch(mode=0o600)
        with beside.open("wb") as file:
            file.write(clean)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    return digest


def kept_photos(folder: Path) -> Iterator[str]:
    """Give the digests of all photos that are there."""
    if (folder / FOLDER).is_dir():
        for path in sorted((folder / FOLDER).iterdir()):
            if NAME.fullmatch(path.name):
                yield path.stem
