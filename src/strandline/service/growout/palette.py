"""The palette of a look: every distinct state coloured once a week, never once a point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spectra import xyz
from strandline.science.fibre import Fibre, stack
from strandline.science.hair.pigment import reflectance
from strandline.service.growout.look import Fade, HairClass

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Coloured:
    """Classes cut at every boundary any of them has, coloured week by week.

    Parameters
    ----------
    starts_cm : shape (K,)          where each interval begins on the day, from 0; the last runs on
    grown : shape (K,)              which of these lie on each strand by its own growth
    shares : shape (C,)             of the classes [1]
    roots : shape (C, 3)            XYZ of the natural hair of each class
    lengths : shape (T, C, K, 3)    XYZ of each class in each interval, each week
    """

    starts_cm: Floats
    grown: NDArray[np.bool_]
    shares: Floats
    roots: Floats
    lengths: Floats


def coloured(
    classes: Sequence[HairClass], weeks: Sequence[float], fade: Fade, specular: float
) -> Coloured:
    """Colour the classes for the weeks.

    Parameters
    ----------
    classes : those of one look
    weeks : shape (T,)   since the day, >= 0
    fade : how states fade where a layer has no fade of its own
    specular : float     part the surface reflects [1]

    Notes
    -----
    States are told apart by content, so that foils of one bowl are coloured once. Natural hair
    that grows in has no dye to lose and is coloured as grown.

    Raises
    ------
    OutOfRangeError   a fade that does not give back as many states as it got
    """
    starts = sorted({layer.from_cm for c in classes for layer in c.layers})
    cells = [[_layer_at(c, start) for start in starts] for c in classes]
    shades: dict[tuple[bytes, Fade], int] = {}
    states: list[tuple[Fibre, Fade]] = []
    index = np.zeros((len(classes), len(starts)), dtype=np.intp)
    for row, c in enumerate(classes):
        for column, which in enumerate(cells[row]):
            layer = c.layers[which]
            own = layer.fade or fade
            key = (_content(layer.fibre), own)
            if key not in shades:
                shades[key] = len(states)
                states.append((layer.fibre, own))
            index[row, column] = shades[key]
    palette = np.stack([_week(states, week, specular) for week in weeks])
    return Coloured(
        starts_cm=np.array(starts),
        grown=np.isin(starts, [one.from_cm for c in classes for one in c.layers if one.grown]),
        shares=np.array([c.share for c in classes]),
        roots=xyz(reflectance(stack([c.root for c in classes]), specular)),
        lengths=palette[:, index, :],
    )


def _layer_at(c: HairClass, start: float) -> int:
    return max(i for i, layer in enumerate(c.layers) if layer.from_cm <= start + 1e-9)


def _content(fibre: Fibre) -> bytes:
    return b"".join(
        np.ascontiguousarray(getattr(fibre, field.name)).tobytes() for field in fields(fibre)
    )


def _week(states: Sequence[tuple[Fibre, Fade]], week: float, specular: float) -> Floats:
    """Colour the palette in one week, shape (states, 3); each fade is asked once."""
    out = np.zeros((len(states), 3))
    for fade in dict.fromkeys(own for _, own in states):
        where = [i for i, (_, own) in enumerate(states) if own == fade]
        faded = fade(stack([states[i][0] for i in where]), week)
        if len(faded) != len(where):
            raise OutOfRangeError(
                f"A fade of {len(where)} states gave back {len(faded)}.",
                "Let it return the states it is given, each faded.",
            )
        out[where] = xyz(reflectance(faded, specular))
    return out
