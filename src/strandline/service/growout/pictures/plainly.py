"""What `raster` draws, walked piece by piece: to compare with, too slow to use."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.bust import bust
from strandline.service.growout.pictures.camera import Camera
from strandline.service.growout.pictures.fall import Fallen
from strandline.service.growout.pictures.raster import BEHIND_CM, NO_HAIR, own_order_cm

Places = NDArray[np.int32]


def plain_pieces(fallen: Fallen, camera: Camera, size: int, fine: int) -> Places:
    """Find the nearest piece at each place of a picture; one place wide.

    Returns
    -------
    shape (size fine, size fine)   strand x J + piece, -1 where no hair is
    """
    edge = size * fine
    axes = camera.axes.tolist()
    _, depth, _ = bust(fallen.shape, camera, size)
    image = np.full((edge, edge), NO_HAIR, dtype=np.int32)
    height = np.full((edge, edge), -np.inf)
    scale = edge / camera.height_cm
    paths = [
        [
            _on_picture([a - m for a, m in zip(vertex, camera.middle_cm, strict=True)], axes, scale)
            for vertex in path
        ]
        for path in fallen.paths.astype(float).tolist()
    ]
    points = max(
        math.ceil(max(abs(b[0] - a[0]), abs(b[1] - a[1])))
        for path in paths
        for a, b in itertools.pairwise(path)
    )
    depths = np.array([[at[2] for at in path] for path in paths], dtype=np.float32)
    order = own_order_cm(depths).tolist()
    for strand, path in enumerate(paths):
        for j, (start, end) in enumerate(itertools.pairwise(path)):
            x, y, near = ((a + b) / 2 for a, b in zip(start, end, strict=True))
            column, row = math.floor(x + edge / 2), math.floor(y + edge / 2)
            if not (0 <= column < edge and 0 <= row < edge):
                continue
            if near <= depth[row // fine, column // fine] - BEHIND_CM:
                continue
            over = near + order[strand][j]
            for k in range(points):
                share = (k + 0.5) / points
                column = math.floor(start[0] + share * (end[0] - start[0]) + edge / 2)
                row = math.floor(start[1] + share * (end[1] - start[1]) + edge / 2)
                if 0 <= column < edge and 0 <= row < edge and over >= height[row, column]:
                    height[row, column] = over
                    image[row, column] = strand * fallen.pieces + j
    return image


def _on_picture(at: list[float], axes: list[list[float]], scale: float) -> list[float]:
    """Give places to the right and down from the middle, and cm towards the eye."""
    right, up, eye = (sum(a * b for a, b in zip(axis, at, strict=True)) for axis in axes)
    return [right * scale, -up * scale, eye]
