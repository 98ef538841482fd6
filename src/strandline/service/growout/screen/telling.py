"""A head that a screen turns, to bytes and back.

Every figure of a strand is a whole number of steps; the steps stand in the head of the bytes, and
so do views, names and the numbers of the light, so that a screen holds none of its own.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.screen.head_mesh import Mesh
from strandline.service.growout.screen.packing import Array, Coding, packed, unpacked
from strandline.service.growout.screen.turned import Turned, Way

Floats = NDArray[np.float64]

NONE = 65535
"""As written: never shed, or longer than it is worn."""
STEPS = {
    "place": 0.01,
    "light": 1 / 64,
    "length": 0.004,
    "growth": 2e-5,
    "start": 1e-4,
    "shed": 0.01,
    "tip": 0.004,
    "wide": 1e-5,
    "head_place": 0.01,
    "head_normal": 1 / 127,
    "head_light": 1 / 128,
}
"""Of places, lengths and widths in cm, growth in cm a week, shedding in weeks, factors in 1."""
_LIGHT = (
    *("diffuse", "gloss", "gloss_power", "form", "strand"),
    *("ground", "head", "head_warmth", "head_pink", "cape", "round", "order_cm"),
)


def told(one: Turned) -> bytes:
    """Give a head as bytes.

    Raises
    ------
    OutOfRangeError   more classes than a byte counts
    """
    if max(int(way.kind.max()) for way in one.ways) > 255:
        raise OutOfRangeError(
            f"There are {max(int(way.kind.max()) for way in one.ways) + 1} classes of hair; a "
            "screen gets at most 256.",
            "Merge classes that look alike.",
        )
    arrays: dict[str, tuple[Array, Coding]] = {
        "place": (_whole(one.place.transpose(2, 0, 1), "place", "<i2"), "bend"),
        "light": (_whole(one.light, "light", "u1"), "plain"),
        "length": (_whole(one.length_cm, "length", "<u2"), "plain"),
        "growth": (_whole(one.growth, "growth", "<u2"), "plain"),
        "start": (_whole(one.start_cm, "start", "<i2"), "plain"),
        "shed": (_whole(one.shed_week, "shed", "<u2"), "plain"),
        "tip": (_whole(one.tip_cm, "tip", "<u2"), "plain"),
        "wide": (_whole(one.wide_cm, "wide", "<u2"), "plain"),
        "head_place": (_whole(one.head.place, "head_place", "<i2"), "plain"),
        "head_normal": (_whole(one.head.normal, "head_normal", "i1"), "plain"),
        "head_light": (_whole(one.head_light, "head_light", "u1"), "plain"),
        "head_cape": (one.head.cape.astype(np.uint8), "plain"),
        "head_corners": (one.head.corners.astype("<u2"), "plain"),
    }
    for number, way in enumerate(one.ways):
        arrays[f"kind_{number}"] = (way.kind.astype(np.uint8), "plain")
        arrays[f"colour_{number}"] = (way.colour, "plain")
    light = constants("light")
    head: dict[str, Any] = {
        "strands": len(one),
        "places": one.place.shape[1],
        "axes": ["right", "front", "up"],
        "steps": STEPS,
        "none": NONE,
        "rate": one.rate,
        "weeks": list(one.weeks),
        "ways": [
            {
                "name": way.name,
                "planned": way.planned,
                "starts_cm": [round(float(start), 4) for start in way.starts_cm],
                "grown": [bool(one) for one in way.grown],
                "ages": [round(float(age), 6) for age in way.ages],
            }
            for way in one.ways
        ],
        "views": {name: [round(x, 4) for x in view] for name, view in one.views.items()},
        "light": {name: light[name] for name in _LIGHT},
    }
    return packed(head, arrays)


def heard(content: bytes) -> Turned:
    """Read what `told` gave, within half a step of each figure.

    Raises
    ------
    ReadError   bytes that are no strands
    """
    head, arrays = unpacked(content)

    def of(name: str) -> Floats:
        found = arrays[name]
        value = found.astype(float) * head["steps"][name]
        return np.where(found == head["none"], np.inf, value) if name in ("shed", "tip") else value

    return Turned(
        place=of("place").transpose(1, 2, 0),
        light=of("light"),
        length_cm=of("length"),
        growth=of("growth"),
        start_cm=of("start"),
        shed_week=of("shed"),
        tip_cm=of("tip"),
        wide_cm=of("wide"),
        rate=head["rate"],
        weeks=tuple(head["weeks"]),
        ways=tuple(
            Way(
                way["name"],
                way["planned"],
                arrays[f"kind_{number}"].astype(np.int64),
                np.array(way["starts_cm"]),
                np.array(way["grown"], dtype=bool),
                arrays[f"colour_{number}"],
                tuple(way["ages"]),
            )
            for number, way in enumerate(head["ways"])
        ),
        views={name: tuple(view) for name, view in head["views"].items()},
        head=Mesh(
            of("head_place"),
            of("head_normal"),
            arrays["head_corners"].astype(np.int64),
            arrays["head_cape"].astype(bool),
        ),
        head_light=of("head_light"),
    )


def _whole(values: Floats, name: str, kind: str) -> Array:
    """Give values in whole steps; what is infinite or past the most that fits is `NONE`."""
    most = np.iinfo(kind)
    with np.errstate(invalid="ignore"):
        steps = np.rint(np.asarray(values, dtype=float) / STEPS[name])
    if name in ("shed", "tip"):
        return np.where(steps < NONE, np.clip(steps, 0, NONE), NONE).astype(kind)
    if steps.size and not (most.min <= steps.min() and steps.max() <= most.max):
        raise OutOfRangeError(
            f"'{name}' runs from {np.min(values):g} to {np.max(values):g}; a screen gets at most "
            f"{most.max * STEPS[name]:g}.",
            "Look at what the head was made from.",
        )
    return steps.astype(kind)
