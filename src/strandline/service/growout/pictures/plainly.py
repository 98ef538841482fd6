"""What `raster` draws, walked piece by piece: to compare with, too slow to use."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.bust import bust
from strandline.service.growout.pictures.camera import Camera
from strandline.service.growout.pictures.fall import Fallen
from strandline.service.growout.pictures.raster import BEHIND_CM, NO_HAIR

Places = NDArray[np.int32]


def plain_pieces(fallen: Fallen, camera: Camera, size: int, fine: int) -> Places:
    """Find the nearest piece at each place of a picture; one place wide.

    Returns
    -------
    shape (size fine, size fine)   strand x J + piece, -1 where no hair is
    """
    edge = size * fine
    right, up, eye = camera.axes.tolist()
    _, depth = bust(fallen.shape, camera, size)
    image = np.full((edge, edge), NO_HAIR, dtype=np.int32)
    height = np.full((edge, edge), -np.inf)
    for strand, path in enumerate(fallen.paths.astype(float).tolist()):
        seen = []
        for vertex in path:
            at = [a - m for a, m in zip(vertex, camera.middle_cm, strict=True)]
            x, y, z = (
                sum(a * b for a, b in zip(axis, at, strict=True)) for axis in (right, up, eye)
            )
            scale = edge / camera.height_cm
            seen.append((x * scale + edge / 2, edge / 2 - y * scale, z))
        for j, ((x0, y0, z0), (x1, y1, z1)) in enumerate(itertools.pairwise(seen)):
            middle_x, middle_y, near = (x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2
            if not (0 <= middle_x < edge and 0 <= middle_y < edge):
                continue
            if near <= depth[int(middle_y / fine), int(middle_x / fine)] - BEHIND_CM:
                continue
            steps = max(math.ceil(max(abs(x1 - x0), abs(y1 - y0))), 1)
            for k in range(steps):
                share = (k + 0.5) / steps
                column = math.floor(x0 + share * (x1 - x0))
                row = math.floor(y0 + share * (y1 - y0))
                if 0 <= column < edge and 0 <= row < edge and near >= height[row, column]:
                    height[row, column] = near
                    image[row, column] = strand * fallen.pieces + j
    return image
