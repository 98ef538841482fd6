"""A head seen from a side: what of the scalp is seen from there, and where it lies on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from strandline.salon.report.svg import Place
from strandline.service.growout.pictures.camera import Camera
from strandline.service.growout.pictures.shape import HeadShape

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

OUTLINE = ("cranium", "forehead", "face", "nose", "nape", "neck")
"""Parts whose outline is the head's."""
NECK_CM = -12.5
"""Height at which the neck is left open, from the ears."""
NEAR_CM = 0.12
"""What lies before a place by less than this does not hide it."""
_RAYS = 240


@dataclass(frozen=True, eq=False)
class Aspect:
    """A head seen from far away: a plain projection.

    Parameters
    ----------
    name : str               what stands under it
    shape : HeadShape
    turn_deg, tilt_deg : float   of the eye, as of `Camera`: 90 is her right side, 90 from above
    middle : (x, y)          on the sheet, of the place between the ears, mm
    mm_per_cm : float
    """

    name: str
    shape: HeadShape
    turn_deg: float
    tilt_deg: float
    middle: Place
    mm_per_cm: float

    @cached_property
    def _axes(self) -> Floats:
        return Camera(self.turn_deg, self.tilt_deg).axes

    @property
    def upright(self) -> bool:
        """Tell whether her neck is below her head here; from above it is behind it."""
        return self.tilt_deg < 45

    def at(self, points: Floats) -> list[Place]:
        """Give where places of head space, shape (3, N), lie on the sheet, mm."""
        return self.on_sheet(self.flat(points))

    def on_sheet(self, flat: Floats) -> list[Place]:
        """Give where places of the picture, shape (2, N), cm, lie on the sheet, mm."""
        x, y = self.middle
        return [(x + float(a), y - float(b)) for a, b in flat.T * self.mm_per_cm]

    def flat(self, points: Floats) -> Floats:
        """Give places of head space in the picture, shape (2, N), cm."""
        return np.asarray(self._axes[:2] @ points)

    def seen(self, points: Floats) -> Flags:
        """Tell which places on the head no part of it hides, shape (N,)."""
        eye = self._axes[2]
        free = np.ones(points.shape[1], dtype=np.bool_)
        for name in OUTLINE:
            middle, half = self.shape.parts[name]
            way = eye / half
            off = (points - middle[:, None]) / half[:, None]
            a, b, c = way @ way, way @ off, (off**2).sum(axis=0) - 1
            root = b**2 - a * c
            free &= (root <= 0) | (np.sqrt(np.maximum(root, 0.0)) - b <= a * NEAR_CM)
        return free

    def facing(self, out: Floats) -> Floats:
        """Give how far directions, shape (3, N), are turned to the eye: 1 wholly, 0 edge-on."""
        return np.asarray(self._axes[2] @ out)

    @cached_property
    def outline(self) -> Floats:
        """Give the head's outline, shape (2, N), cm to the right and up, by turn.

        Parts are ellipsoids, so each throws an ellipse; the outline is the farthest of them along
        each ray from between the ears. Where she stands upright it begins and ends at the neck,
        clockwise from her neck's right side; from above it goes round.
        """
        turn = -np.pi / 2 - np.linspace(0, 2 * np.pi, _RAYS + 1)
        toward = np.stack([np.cos(turn), np.sin(turn)])
        far = np.max([self._reach(name, toward) for name in OUTLINE], axis=0)
        line = toward * far
        low = NECK_CM * self.shape.grown
        return np.asarray(line[:, line[1] > low] if self.upright else line)

    def ellipse(self, name: str) -> Floats:
        """Give the outline of one part, shape (2, N), cm."""
        middle, half = self.shape.parts[name]
        flat = self._axes[:2]
        root = np.linalg.cholesky((flat * half**2) @ flat.T)
        turn = np.linspace(0, 2 * np.pi, 49)[:-1]
        return np.asarray((flat @ middle)[:, None] + root @ np.stack([np.cos(turn), np.sin(turn)]))

    def toward(self, name: str) -> float:
        """Give how far the middle of a part lies towards the eye, cm."""
        return float(self._axes[2] @ self.shape.parts[name][0])

    def _reach(self, name: str, toward: Floats) -> Floats:
        """Give how far a part's outline lies along rays, cm; 0 where they miss it."""
        middle, half = self.shape.parts[name]
        flat = self._axes[:2]
        thrown = np.linalg.inv((flat * half**2) @ flat.T)
        off = flat @ middle
        a = np.einsum("kn,kj,jn->n", toward, thrown, toward)
        b = off @ thrown @ toward
        root = b**2 - a * (off @ thrown @ off - 1)
        return np.where(root > 0, (b + np.sqrt(np.maximum(root, 0.0))) / a, 0.0)
