"""The plain head as triangles: its ellipsoids, lit as one surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.shape import HeadShape

Floats = NDArray[np.float64]

ROUND, RINGS = 48, 32
"""Corners round each ellipsoid, and rings of them."""
UNDER_HAIR_CM = 6.0
"""How much farther than the hair: more than pictures show beneath it."""
UNDER_CM = 0.1
"""How far the drawn head lies under the one that hair grows on, so that no root sinks in it."""
SEAMS = 2.0
"""How much wider seams are smoothed than in pictures, which smooth what is seen of them."""
LOWEST_CM = -32.0
"""What lies lower is left out, where hair does not reach so far."""


@dataclass(frozen=True, eq=False)
class Mesh:
    """A surface.

    Parameters
    ----------
    place : shape (M, 3)    cm, to the right, to the front, up
    normal : shape (M, 3)   of length 1, bent over the seams
    corners : shape (T, 3)  places of each triangle
    cape : shape (M,)       which places the cape covers
    """

    place: Floats
    normal: Floats
    corners: NDArray[np.int64]
    cape: NDArray[np.bool_]


def head_mesh(shape: HeadShape, low_cm: float = 0.0) -> Mesh:
    """Give head, neck and the cape over the shoulders; what lies inside another is left out.

    Parameters
    ----------
    low_cm : how far down the hair reaches: the cape goes on behind it
    """
    lowest = min(LOWEST_CM * shape.grown, low_cm - UNDER_HAIR_CM)
    around = np.arange(ROUND) / ROUND * 2 * np.pi
    down = (np.arange(RINGS + 1) / RINGS * np.pi)[:, None]
    ball = np.stack(
        [
            np.sin(down) * np.cos(around),
            np.sin(down) * np.sin(around),
            np.cos(down) + 0 * around,
        ],
        axis=-1,
    ).reshape(-1, 3)
    ring, turn = np.meshgrid(np.arange(RINGS), np.arange(ROUND), indexing="ij")
    a, b = ring * ROUND + turn, ring * ROUND + (turn + 1) % ROUND
    below_a, below_b = a + ROUND, b + ROUND
    faces = np.concatenate(
        [np.stack([a, below_a, b], -1), np.stack([b, below_a, below_b], -1)]
    ).reshape(-1, 3)
    places, corners = [], []
    for number, (middle, half) in enumerate(shape.parts.values()):
        places.append(middle + ball * (half - UNDER_CM))
        corners.append(faces + number * len(ball))
    place, corner = np.concatenate(places), np.concatenate(corners)
    # Within its own part a corner lies at most about UNDER_CM deep; deeper is inside another.
    hidden = (shape.depth_cm(place.T) > 4 * UNDER_CM) | (place[:, 2] < lowest)
    corner = corner[~hidden[corner].all(axis=1)]
    used, again = np.unique(corner, return_inverse=True)
    kept = place[used]
    cape = np.repeat(shape.under_cape, len(ball))[used]
    return Mesh(kept, _normal(shape, kept), again.reshape(-1, 3), cape)


def _normal(shape: HeadShape, place: Floats) -> Floats:
    """Give the direction outwards, that of every part near by, so that seams are smooth."""
    seam = SEAMS * constants("light")["seam_cm"]
    out = np.zeros_like(place)
    for middle, half in shape.parts.values():
        away = (place - middle) / half
        level = np.linalg.norm(away, axis=1)
        steep = away / half
        over = np.maximum(level - 1, 0) * level / np.maximum(np.linalg.norm(steep, axis=1), 1e-9)
        weight = np.exp(-((over / seam) ** 2))
        out += (weight / np.maximum(np.linalg.norm(steep, axis=1), 1e-9))[:, None] * steep
    return np.asarray(out / np.maximum(np.linalg.norm(out, axis=1), 1e-9)[:, None])
