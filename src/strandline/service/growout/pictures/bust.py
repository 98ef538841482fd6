"""The plain head beneath the hair: ellipsoids, so that scalp shows where it truly would."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.camera import Camera
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.soft import softened

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Flags = NDArray[np.bool_]


def lamp(camera: Camera) -> Floats:
    """Give the direction to the lamp, shape (3,): over the eye and to its left."""
    right, up, eye = camera.axes
    toward = eye + 0.75 * up - 0.45 * right
    return np.asarray(toward / np.linalg.norm(toward))


def bust(shape: HeadShape, camera: Camera, size: int) -> tuple[Singles, Singles, Flags]:
    """Draw head, neck and a cape over the shoulders on the ground.

    Returns
    -------
    light : shape (H, W)   linear [1], neutral
    depth : shape (H, W)   towards the eye from the middle of the picture, cm; -inf for ground
    skin : shape (H, W)    where it is neither ground nor cape
    """
    light = constants("light")
    right, up, eye = camera.axes
    step = camera.height_cm / size
    grid = ((np.arange(size) + 0.5) * step - camera.height_cm / 2).astype(np.float32)
    depth = np.full((size, size), -np.inf, dtype=np.float32)
    skin = np.zeros((size, size), dtype=bool)
    for (middle, half), cape in zip(shape.parts.values(), shape.under_cape, strict=True):
        away = middle - np.asarray(camera.middle_cm)
        reach = float(half.max()) + step
        columns = np.flatnonzero(np.abs(grid - right @ away) <= reach)
        rows = np.flatnonzero(np.abs(-grid - up @ away) <= reach)
        if not (columns.size and rows.size):
            continue
        box = np.ix_(rows, columns)
        x, y = grid[columns][None, :] - right @ away, -grid[rows][:, None] - up @ away
        r, v, e = (axis / half for axis in (right, up, eye))
        a, b = e @ e, x * (r @ e) + y * (v @ e)
        c = x**2 * (r @ r) + 2 * x * y * (r @ v) + y**2 * (v @ v) - 1
        root = b**2 - a * c
        at = (-b + np.sqrt(np.maximum(root, 0))) / a + eye @ away
        nearer = (root > 0) & (at > depth[box])
        depth[box] = np.where(nearer, at, depth[box])
        skin[box] = np.where(nearer, not cape, skin[box])
    lit = _lit(depth, camera, step)
    reflects = np.where(skin, light["head"], light["cape"])
    shade = np.where(np.isfinite(depth), reflects * lit, light["ground"]).astype(np.float32)
    return shade, depth, skin


def _lit(depth: Singles, camera: Camera, step: float) -> Singles:
    """Give the light on a surface [1], its seams smoothed over."""
    light = constants("light")
    right, up, eye = camera.axes
    toward = lamp(camera)
    there = np.isfinite(depth)
    held = there.astype(np.float32)
    flat = np.where(there, depth, np.float32(0))
    rows, columns = np.gradient(flat)
    steep = np.maximum(np.hypot(rows, columns) / step, 1e-6)
    bound = np.minimum(steep, 6.0) / steep
    normal = np.stack([-columns / step * bound, rows / step * bound, np.ones_like(flat)], axis=2)
    normal /= np.linalg.norm(normal, axis=2, keepdims=True)
    normal = (normal * held[..., None]).astype(np.float32)
    smooth = softened(normal, light["seam_cm"] / step)
    smooth /= np.maximum(np.linalg.norm(smooth, axis=2, keepdims=True), np.float32(1e-6))
    lit = smooth @ np.array([toward @ right, toward @ up, toward @ eye], dtype=np.float32)
    return np.asarray(1 - light["round"] * (1 - lit), dtype=np.float32)
