"""Strands as bytes for a screen that turns them: short whole numbers behind a JSON header.

Four bytes, the length of the header (little-endian); the header; then the arrays it names, each at
its offset from the header's end, little-endian, in C order. A week is one number for whoever draws
them: a vertex born on day b shows on day d the hair that is d - b days old.
"""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.service.growout.pictures.fall import Fallen

Floats = NDArray[np.float64]

FORMAT, VERSION = "strandline strands", 1
NO_STATE = 65535
"""State of a vertex without hair, as written."""
_STEPS = 32767
_TYPES = {"position": "<i2", "state": "<u2", "birthday": "<i2"}
_EIGHT = 8


@dataclass(frozen=True, eq=False)
class Exported:
    """Strands as a screen gets them, N with V vertices each.

    Parameters
    ----------
    position : shape (N, V, 3)   whole steps of `step_cm` from `middle_cm`
    state : shape (N, V)         place in the palette; 65535 where no hair is
    birthday : shape (N, V)      day it grew, days from the first visit
    step_cm : cm
    middle_cm : shape (3,)       to the right, to the front, up
    """

    position: NDArray[np.int16]
    state: NDArray[np.uint16]
    birthday: NDArray[np.int16]
    step_cm: float
    middle_cm: tuple[float, float, float]

    @property
    def paths(self) -> Floats:
        """Give the vertices in head space, shape (N, V, 3), cm."""
        return np.asarray(self.position * self.step_cm + np.array(self.middle_cm))


def exported(
    fallen: Fallen, state: NDArray[np.int32], growth_um_per_day: Floats, day: float
) -> Exported:
    """Bring strands into short whole numbers.

    Parameters
    ----------
    fallen : N strands in J pieces
    state : shape (N, J)   of each piece, -1 where no hair is, at most 65534
    growth_um_per_day : shape (N,)   above 0
    day : on which they hang so, days from the first visit

    Raises
    ------
    OutOfRangeError   states of other pieces, more states than fit, hair older than 32,767 days

    Notes
    -----
    A vertex has the state of the piece that begins there, the tip that of the last one. Positions
    are within half a step, birthdays within half a day.
    """
    count, vertices, _ = fallen.paths.shape
    if state.shape != (count, vertices - 1):
        raise OutOfRangeError(
            f"States are of shape {state.shape}; the strands have {count} x {vertices - 1} pieces.",
            "Bring them to the pieces by `states_along`.",
        )
    if state.size and int(state.max()) >= NO_STATE:
        raise OutOfRangeError(
            f"There are {int(state.max()) + 1} states; it must be at most {NO_STATE}.",
            "Merge states that look alike.",
        )
    share = np.arange(vertices) / (vertices - 1)
    age = fallen.length_cm[:, None] * share / (np.asarray(growth_um_per_day) * 1e-4)[:, None]
    born = np.rint(day - age)
    if not np.all(np.abs(born) <= _STEPS):
        raise OutOfRangeError(
            f"Hair was born {np.abs(born).max():g} days from the first visit; it must be at most "
            f"{_STEPS}.",
            "Give growth above 50 um a day and days from the first visit.",
        )
    low, high = fallen.paths.min(axis=(0, 1)), fallen.paths.max(axis=(0, 1))
    middle = (low.astype(float) + high) / 2
    step = max(float((high.astype(float) - low).max()) / 2 / (_STEPS - 1), 1e-6)
    at_vertex = np.concatenate([state, state[:, -1:]], axis=1)
    return Exported(
        position=np.rint((fallen.paths - middle) / step).astype("<i2"),
        state=np.where(at_vertex < 0, NO_STATE, at_vertex).astype("<u2"),
        birthday=born.astype("<i2"),
        step_cm=step,
        middle_cm=(float(middle[0]), float(middle[1]), float(middle[2])),
    )


def packed(one: Exported) -> bytes:
    """Give the strands as bytes."""
    arrays: dict[str, Any] = {}
    body = b""
    for name, kind in _TYPES.items():
        array = np.ascontiguousarray(getattr(one, name).astype(kind))
        content = array.tobytes()
        arrays[name] = {"type": kind, "shape": list(array.shape), "offset": len(body)}
        body += content + bytes(-len(content) % _EIGHT)
    header = json.dumps(
        {
            "format": FORMAT,
            "version": VERSION,
            "step_cm": one.step_cm,
            "middle_cm": list(one.middle_cm),
            "axes": ["right", "front", "up"],
            "birthday": "days from the first visit",
            "no_state": NO_STATE,
            "arrays": arrays,
        }
    ).encode("utf-8")
    header += b" " * (-(len(header) + 4) % _EIGHT)
    return struct.pack("<I", len(header)) + header + body


def unpacked(content: bytes) -> Exported:
    """Read what `packed` gave.

    Raises
    ------
    ReadError   bytes that are something else, of another version, or cut short
    """
    try:
        (size,) = struct.unpack_from("<I", content)
        header = json.loads(content[4 : 4 + size].decode("utf-8"))
        if (header["format"], header["version"]) != (FORMAT, VERSION):
            raise ReadError(
                f"These bytes are '{header['format']}' of version {header['version']}.",
                f"Give strands of version {VERSION}.",
            )
        arrays = {}
        for name, kind in _TYPES.items():
            shape, offset = header["arrays"][name]["shape"], header["arrays"][name]["offset"]
            count = int(np.prod(shape))
            arrays[name] = np.frombuffer(content, kind, count, 4 + size + offset).reshape(shape)
        x, y, z = header["middle_cm"]
        return Exported(**arrays, step_cm=float(header["step_cm"]), middle_cm=(x, y, z))
    except (struct.error, UnicodeDecodeError, ValueError, KeyError, TypeError):
        raise ReadError(
            "These bytes are no strands, or are cut short.", "Export the strands again."
        ) from None
