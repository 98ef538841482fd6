"""Pictures of several weeks: side by side as PNG, one after another as an animated WebP."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.raster import encoded

if TYPE_CHECKING:
    from PIL import Image

Picture = NDArray[np.uint8]

ANIMATED = tuple(range(27))
"""Weeks of an animation: half a year."""
WEEK_MS = 220
_INK = (40, 46, 54)
_MOST = 16_000


@dataclass(frozen=True, eq=False)
class Frame:
    """A picture with its label.

    Parameters
    ----------
    label : a few words, 'week 4'; none where it is in the picture
    picture : shape (H, W, 3)   sRGB, 0-255
    """

    label: str
    picture: Picture


def sheet_png(rows: Sequence[Sequence[Frame]]) -> bytes:
    """Put rows of pictures one under another, each picture with its label under it.

    Raises
    ------
    OutOfRangeError   no picture, pictures of several sizes, rows of several lengths, a sheet over
                      16,000 pixels wide or high
    """
    frames = [frame for row in rows for frame in row]
    _check(frames)
    if len({len(row) for row in rows}) != 1:
        raise OutOfRangeError(
            "The rows of pictures are not of one length.", "Draw the same weeks in every row."
        )
    high, wide, _ = frames[0].picture.shape
    if max(wide * len(rows[0]), (high + _bar(high)) * len(rows)) > _MOST:
        raise OutOfRangeError(
            f"A sheet of {len(rows)} x {len(rows[0])} pictures of {wide} pixels is too large; it "
            f"must be at most {_MOST} pixels wide and high.",
            "Ask for fewer weeks or smaller pictures.",
        )
    from PIL import Image  # noqa: PLC0415 - slow, used here alone

    whole = np.vstack([np.hstack([np.asarray(_labelled(frame)) for frame in row]) for row in rows])
    out = io.BytesIO()
    Image.fromarray(whole).save(out, format="PNG", optimize=False, compress_level=6)
    return out.getvalue()


def side_by_side(frames: Sequence[Frame]) -> Frame:
    """Give one frame of several, each with its label under it."""
    _check(frames)
    return Frame("", np.hstack([np.asarray(_labelled(frame)) for frame in frames]))


def animated_webp(frames: Sequence[Frame], week_ms: int = WEEK_MS) -> bytes:
    """Put pictures one after another, without end, the last one held longer.

    Parameters
    ----------
    week_ms : time of each, ms, 100-5000: none flashes

    Raises
    ------
    OutOfRangeError   fewer than two pictures, pictures of several sizes, a time outside its range
    """
    _check(frames)
    if len(frames) < 2 or not 100 <= week_ms <= 5000:
        raise OutOfRangeError(
            f"{len(frames)} pictures of {week_ms} ms are to be shown one after another; it must be "
            "2 or more, 100-5000 ms each.",
            "Give the weeks 0 to 26 at 220 ms.",
        )
    shown = [_labelled(frame) for frame in frames]
    out = io.BytesIO()
    shown[0].save(
        out,
        format="WEBP",
        save_all=True,
        append_images=shown[1:],
        duration=[*[week_ms] * (len(shown) - 1), 6 * week_ms],
        loop=0,
        quality=82,
        method=2,
    )
    return out.getvalue()


def _labelled(frame: Frame) -> Image.Image:
    from PIL import Image, ImageDraw, ImageFont  # noqa: PLC0415 - slow, used here alone

    height, width, _ = frame.picture.shape
    if not frame.label:
        return Image.fromarray(frame.picture)
    bar = _bar(height)
    ground = tuple(int(v) for v in encoded(np.full(3, constants("light")["ground"])))
    out = Image.new("RGB", (width, height + bar), ground)
    out.paste(Image.fromarray(frame.picture), (0, 0))
    ImageDraw.Draw(out).text(
        (width / 2, height + bar / 2),
        frame.label,
        fill=_INK,
        font=ImageFont.load_default(size=0.55 * bar),
        anchor="mm",
    )
    return out


def _bar(height: int) -> int:
    return max(height // 14, 14)


def _check(frames: Sequence[Frame]) -> None:
    sizes = {frame.picture.shape for frame in frames}
    if len(sizes) != 1:
        raise OutOfRangeError(
            f"There are pictures of {len(sizes)} sizes; it must be one.",
            "Draw every week at one size.",
        )
