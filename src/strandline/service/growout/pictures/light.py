"""Light on strands: weak factors of their own colour, so that colour stays the computed one."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.bust import lamp
from strandline.service.growout.pictures.camera import Camera
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.fall import Fallen
from strandline.service.growout.pictures.flow import mixed
from strandline.service.growout.pictures.soft import softened

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Places = NDArray[np.int32]


def light_on(fallen: Fallen, camera: Camera, piece: Places, z: Singles, size: int) -> Singles:
    """Give the factor of colour at each place of a picture.

    Parameters
    ----------
    piece : shape (H s, W s)   strand x J + piece, -1 where no hair is
    z : shape (N, J + 1)       towards the eye, cm

    Returns
    -------
    shape (H s, W s)   [1]; 1 where no hair is

    Notes
    -----
    A cylinder lit from l and seen from v, its tangent t, spreads sin(t, l) and mirrors
    cos(angle between the cones of l and v)^p. Both stand here about their mean over directions and
    with small weights; the mirror is a factor of the colour too, since the colours that come in
    hold the surface's part already. To these come the roundness of the head, a spread between
    strands, and what lies under its neighbours is darker. In the mean over the hair that is seen
    the factor is 1, so that a picture has the brightness of its colours.

    References
    ----------
    kajiya1989
    """
    import cv2  # noqa: PLC0415 - slow, used here alone

    number = constants("light")
    toward, eye = lamp(camera).astype(np.float32), camera.axes[2].astype(np.float32)
    held = piece >= 0
    count = fallen.pieces
    shown = np.zeros(len(fallen.paths) * count, dtype=bool)
    shown[piece[held]] = True
    which = np.flatnonzero(shown)
    strand, step = np.divmod(which, count)
    start, end = fallen.paths[strand, step], fallen.paths[strand, step + 1]
    along = end - start
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), np.float32(1e-6))
    by_lamp, by_eye = along @ toward, along @ eye
    sine, other = np.sqrt(np.maximum(1 - by_lamp**2, 0)), np.sqrt(np.maximum(1 - by_eye**2, 0))
    gloss = np.maximum(sine * other - by_lamp * by_eye, 0) ** np.float32(number["gloss_power"])
    out = (start + end) / 2 - np.array([0, 0, 2.0], dtype=np.float32)
    out[:, 2] = np.maximum(out[:, 2], 0)
    out /= np.maximum(np.linalg.norm(out, axis=1, keepdims=True), np.float32(1e-6))
    spread = (mixed(strand.astype(np.uint64), 1)[0] - 0.5) * math.sqrt(12.0) * number["strand"]
    factor = np.ones(shown.size + 1, dtype=np.float32)
    factor[which] += (
        number["diffuse"] * (sine - math.pi / 4)
        + number["gloss"] * (gloss - 0.25)
        + number["form"] * (out @ toward - 0.55)
        + spread
    )
    near = np.zeros(shown.size + 1, dtype=np.float32)
    near[which] = (z[strand, step] + z[strand, step + 1]) / 2
    light, height = factor[piece], near[piece]  # the last is that of no hair
    places = number["around_cm"] * size / camera.height_cm
    there = cv2.resize(held.astype(np.float32), (size, size), interpolation=cv2.INTER_AREA)
    there = softened(np.asarray(there, dtype=np.float32), places)
    level = cv2.resize(height, (size, size), interpolation=cv2.INTER_AREA)
    level = softened(np.asarray(level, dtype=np.float32), places)
    around = level / np.maximum(there, np.float32(1e-3))
    beside = cv2.resize(around, held.shape[::-1], interpolation=cv2.INTER_LINEAR)
    under = np.clip((beside - height) / number["depth_cm"] + 0.15, -0.5, 1.0)
    light *= 1 - np.float32(number["depth"]) * np.where(held, under, np.float32(0))
    mean = float(light[held].mean(dtype=np.float64)) if held.any() else 1.0
    return np.asarray(np.where(held, light / mean, 1), dtype=np.float32)
