"""The light of a head on a screen: what is told of it, and what it comes to in the mean."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.service.growout.pictures.bust import lamp
from strandline.service.growout.pictures.camera import VIEWS, Camera, camera_on
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.fall import Fallen
from strandline.service.growout.pictures.raster import NO_HAIR, seen_of
from strandline.service.growout.pictures.weeks import Figure
from strandline.service.growout.screen.head_mesh import Mesh, head_mesh
from strandline.service.growout.screen.shade import openness

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

DEEP = 0.85
"""How far openness darkens and lightens hair [1], by eye."""
LEAST, MOST = 0.3, 1.7
SHADE = 0.7
"""What the head loses where nothing comes through to it [1], by eye."""
OVER_HEAD_CM = 0.7
"""Where over the head its own openness is read."""
_SEEN_PX = 200


@dataclass(frozen=True, eq=False)
class Lighting:
    """What light does on a head, all factors of a colour [1].

    Parameters
    ----------
    strands : shape (N, V)   how open each place of the strands told lies
    mesh : Mesh              the head beneath
    head : shape (M,)        how open each of its corners lies
    means : by view, what openness and `fibre_light` come to in the mean of the hair seen
    """

    strands: Floats
    mesh: Mesh
    head: Floats
    means: dict[str, float]


def lighting(figure: Figure, told: Whole) -> Lighting:
    """Light a figure.

    Parameters
    ----------
    told : shape (N,)   places of the strands that a screen gets
    """
    fallen = figure.fallen
    around = openness(fallen, figure.wide_cm)
    mesh = head_mesh(fallen.shape, float(fallen.paths[..., 2].min()))
    open_ = around.at((fallen.paths[:, :-1] + fallen.paths[:, 1:]) / 2)
    cameras = {view: camera_on(fallen, view) for view in VIEWS}
    seen = {
        view: found[found != NO_HAIR]
        for view, found in (
            (view, seen_of(fallen, camera, _SEEN_PX, figure.wide_cm).piece)
            for view, camera in cameras.items()
        )
    }
    mean = float(open_.ravel()[np.concatenate(list(seen.values()))].mean())

    def factor(of: NDArray[np.float32]) -> Floats:
        return np.asarray(np.clip(1 + DEEP * (of / mean - 1), LEAST, MOST), dtype=np.float64)

    near = factor(open_.ravel())
    means = {
        view: float(np.mean(near[place] * fibre_light(fallen, cameras[view], place)))
        for view, place in seen.items()
    }
    at_head = around.at(mesh.place + OVER_HEAD_CM * mesh.normal).astype(float)
    shaded = 1 - SHADE * (1 - at_head)
    return Lighting(factor(around.at(fallen.paths[told])), mesh, shaded, means)


def fibre_light(fallen: Fallen, camera: Camera, place: Whole) -> Floats:
    """Give the factor of lit fibres [1]: sine law, highlight, roundness of the head.

    Parameters
    ----------
    place : shape (P,)   strand x J + piece

    References
    ----------
    kajiya1989
    """
    number = constants("light")
    toward, eye = lamp(camera), camera.axes[2]
    strand, piece = np.divmod(place, fallen.pieces)
    start, end = fallen.paths[strand, piece], fallen.paths[strand, piece + 1]
    along = (end - start) / np.maximum(np.linalg.norm(end - start, axis=1), 1e-6)[:, None]
    by_lamp, by_eye = along @ toward, along @ eye
    sine, other = (np.sqrt(np.maximum(1 - by**2, 0)) for by in (by_lamp, by_eye))
    gloss = np.maximum(sine * other - by_lamp * by_eye, 0) ** number["gloss_power"]
    out = (start + end) / 2 - np.array([0.0, 0.0, 2.0])
    out[:, 2] = np.maximum(out[:, 2], 0)
    out /= np.maximum(np.linalg.norm(out, axis=1), 1e-6)[:, None]
    return np.asarray(
        1
        + number["diffuse"] * (sine - math.pi / 4)
        + number["gloss"] * (gloss - 0.25)
        + number["form"] * (out @ toward - 0.55)
    )
