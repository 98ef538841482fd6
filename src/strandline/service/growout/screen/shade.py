"""How open a place in the hair lies: the share of the light from around that comes through.

Hair is counted into cells; from each cell rays go out to the faces and corners of a cube, more of
them from above, and lose light in what they pass. Geometry alone, the same for every colour and
week: it darkens or lightens a colour and never turns its hue.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.fall import Fallen
from strandline.service.growout.pictures.shape import HeadShape

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

CELL_CM = 0.6
_EDGE = 3
"""Empty cells round the hair."""
_STEPS = 5
TAKES = 0.11
"""Share of the width of a hair that takes light: hair lets much of it through; set by eye."""
SOLID = 4.0
"""What a head takes, 1/cm."""
FROM_ABOVE = 0.55
"""How much more light comes from straight above than from the side, by eye."""


@dataclass(frozen=True, eq=False)
class Open:
    """Openness by cells.

    Parameters
    ----------
    low : shape (3,)       corner of the first cell, cm
    cells : shape (X, Y, Z)   share of the light that comes through [1]
    """

    low: Floats
    cells: Singles

    def at(self, places: NDArray[np.floating]) -> Singles:
        """Give openness at places, shape (..., 3) to (...), between the middles of cells."""
        far = np.array(self.cells.shape) - 1.001
        where = np.clip((places - self.low) / CELL_CM - 0.5, 0.0, far)
        whole = where.astype(np.int32)
        part = (where - whole).astype(np.float32)
        out = np.zeros(whole.shape[:-1], dtype=np.float32)
        for corner in product((0, 1), repeat=3):
            weight = np.ones_like(out)
            for axis, on in enumerate(corner):
                weight *= part[..., axis] if on else 1 - part[..., axis]
            x, y, z = (whole[..., axis] + corner[axis] for axis in range(3))
            out += weight * self.cells[x, y, z]
        return out


def openness(fallen: Fallen, wide_cm: Floats) -> Open:
    """Count hair into cells and send rays out of each.

    Parameters
    ----------
    fallen : all strands of a head
    wide_cm : shape (N,)   how wide each is drawn
    """
    paths = fallen.paths
    middles = (paths[:, 1:] + paths[:, :-1]) / 2
    low = middles.min(axis=(0, 1)).astype(float) - _EDGE * CELL_CM
    shape = np.ceil((middles.max(axis=(0, 1)) - low) / CELL_CM).astype(int) + _EDGE
    cell = ((middles - low) / CELL_CM).astype(np.int32)
    flat = (cell[..., 0] * shape[1] + cell[..., 1]) * shape[2] + cell[..., 2]
    area = np.repeat((wide_cm * fallen.length_cm / fallen.pieces)[:, None], fallen.pieces, axis=1)
    found = np.bincount(flat.ravel(), area.ravel(), minlength=int(np.prod(shape)))
    takes = _blurred(TAKES * found.reshape(shape) / CELL_CM**3)
    takes += SOLID * _within(fallen.shape, low, shape)
    return Open(low, _rays(takes).astype(np.float32))


def _within(head: HeadShape, low: Floats, shape: NDArray[np.int_]) -> Floats:
    """Say which cells lie well inside the head or body, shape (X, Y, Z), 0 or 1."""
    axes = [low[k] + (np.arange(shape[k]) + 0.5) * CELL_CM for k in range(3)]
    at = np.stack(np.meshgrid(*axes, indexing="ij")).reshape(3, -1)
    return np.asarray((head.depth_cm(at) > CELL_CM).astype(float).reshape(shape))


def _rays(takes: Floats) -> Floats:
    """Give the light that comes to each cell, those from above counting more."""
    total, weight = np.zeros_like(takes), 0.0
    pad = np.pad(takes, _STEPS)
    for way in product((-1, 0, 1), repeat=3):
        if sum(map(abs, way)) not in (1, 3):
            continue
        far = float(np.linalg.norm(way))
        passed = np.zeros_like(takes)
        for step in range(1, _STEPS + 1):
            cut = tuple(
                slice(_STEPS + step * one, _STEPS + step * one + size)
                for one, size in zip(way, takes.shape, strict=True)
            )
            passed += pad[cut]
        share = 1 + FROM_ABOVE * way[2] / far
        total += share * np.exp(-passed * CELL_CM * far)
        weight += share
    return total / weight


def _blurred(cells: Floats) -> Floats:
    """Spread each cell over its neighbours by quarter, half, quarter along each axis."""
    for axis in range(3):
        wide = np.pad(cells, [(1, 1) if k == axis else (0, 0) for k in range(3)])
        one = np.moveaxis(wide, axis, 0)
        cells = np.moveaxis(one[:-2] / 4 + one[1:-1] / 2 + one[2:] / 4, 0, axis)
    return cells
