"""Arrays in few bytes behind a JSON head.

Four bytes, the length of the head (little-endian); the head; then the arrays it names, each at its
offset from the head's end. An array is coded in one of two ways:

- `plain`: its numbers, little-endian, in C order;
- `bend`: of 16-bit whole numbers along its last axis the second differences, as if two zeros stood
  before each row, as 16 bits hold them; folded so that small ones of either sign are small (0, -1,
  1, -2 are 0, 1, 2, 3), all low bytes before all high bytes. What runs smoothly becomes small
  numbers, which gzip makes small.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, ReadError

Coding = Literal["plain", "bend"]
Array = NDArray[Any]

FORMAT, VERSION = "strandline strands", 4
_EIGHT = 8


def packed(head: Mapping[str, Any], arrays: Mapping[str, tuple[Array, Coding]]) -> bytes:
    """Give a head and its arrays as bytes.

    Parameters
    ----------
    head : what JSON can hold; 'format', 'version' and 'arrays' are written here
    arrays : by name, each with its coding; `bend` for 16-bit numbers alone

    Raises
    ------
    OutOfRangeError   an array of other numbers to be coded by its bend
    """
    told: dict[str, Any] = {}
    body = b""
    for name, (array, coding) in arrays.items():
        kind = array.dtype.newbyteorder("<").str
        if coding == "bend" and array.dtype.itemsize != 2:
            raise OutOfRangeError(
                f"'{name}' holds {array.dtype}; only 16-bit numbers are coded by their bend.",
                "Bring it to int16, or code it plainly.",
            )
        content = _bent(array) if coding == "bend" else np.ascontiguousarray(array, kind).tobytes()
        told[name] = {
            "type": kind,
            "shape": list(array.shape),
            "coding": coding,
            "offset": len(body),
            "bytes": len(content),
        }
        body += content + bytes(-len(content) % _EIGHT)
    whole = {"format": FORMAT, "version": VERSION, **head, "arrays": told}
    text = json.dumps(whole, ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    text += b" " * (-(len(text) + 4) % _EIGHT)
    return struct.pack("<I", len(text)) + text + body


def unpacked(content: bytes) -> tuple[dict[str, Any], dict[str, Array]]:
    """Read what `packed` gave.

    Raises
    ------
    ReadError   bytes that are something else, of another version, or cut short
    """
    try:
        (size,) = struct.unpack_from("<I", content)
        head = json.loads(content[4 : 4 + size].decode("utf-8"))
        if (head["format"], head["version"]) != (FORMAT, VERSION):
            raise ReadError(
                f"These bytes are '{head['format']}' of version {head['version']}.",
                f"Give strands of version {VERSION}.",
            )
        return head, {name: _array(content, 4 + size, one) for name, one in head["arrays"].items()}
    except (struct.error, UnicodeDecodeError, ValueError, KeyError, TypeError, AttributeError):
        raise ReadError(
            "These bytes are no strands, or are cut short.", "Make the strands again."
        ) from None


def _bent(array: Array) -> bytes:
    whole = array.astype(np.int64)
    bend = np.diff(whole, n=2, axis=-1, prepend=np.zeros((*array.shape[:-1], 2), dtype=np.int64))
    short = ((bend + 32768) % 65536 - 32768).astype(np.int16)
    folded = (short.astype(np.int32) << 1 ^ short.astype(np.int32) >> 15).astype("<u2")
    return folded.view(np.uint8).reshape(-1, 2).T.tobytes()


def _array(content: bytes, start: int, one: Mapping[str, Any]) -> Array:
    kind, shape = np.dtype(one["type"]), tuple(one["shape"])
    count, offset = int(np.prod(shape)), start + int(one["offset"])
    if one["coding"] == "plain":
        return np.frombuffer(content, kind, count, offset).reshape(shape)
    if one["coding"] != "bend":
        raise ValueError(one["coding"])
    halves = np.frombuffer(content, np.uint8, 2 * count, offset).reshape(2, count)
    folded = halves[0].astype(np.int64) | halves[1].astype(np.int64) << 8
    bend = (folded >> 1 ^ -(folded & 1)).reshape(shape)
    return np.asarray(bend.cumsum(axis=-1).cumsum(axis=-1), dtype=kind)
