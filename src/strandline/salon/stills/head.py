"""A head of hair traced path by path with Mitsuba 3: strands as they fall, colours by palette.

Lengths in cm; axes to the right, to the front, up. What a picture draws with a factor for light is
here light that goes through fibres and from one to the next; pigment is the same.
"""

from __future__ import annotations

import itertools
import math
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, StoppedError
from strandline.salon.stills.study import stored_albedo
from strandline.salon.stills.trace import fibre_material, renderer
from strandline.science.hair.pigment import SPECULAR
from strandline.service.growout.pictures.bust import lamp
from strandline.service.growout.pictures.camera import Camera
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.raster import head_tint
from strandline.service.growout.screen.head_mesh import Mesh

Floats = NDArray[np.float64]
States = NDArray[np.int32]

PASS = 4
"""Paths a pixel before it is told how far it is."""
ALL_ROUND = 0.6
"""What of the light comes from everywhere; the rest from a lamp over the eye; by eye."""
LAMP_DEGREES = 12.0
"""How wide the lamp is seen from the head, degrees from its middle; by eye."""
FAR_CM = 400.0
SURE_BOUNCES = 24
"""Bounces before a path may end by lot; none ends by a fixed count."""
THIN = 0.35
"""A strand's width at its tip over that at its root; by eye."""


@dataclass(frozen=True, slots=True)
class Strung:
    """Strands as the renderer wants them: guide points with radii, and a state for each segment.

    Parameters
    ----------
    points : shape (n + 2 a strand, 4)   x, y, z, radius, cm; one point beyond each end
    first : shape (N + 1,)               where each strand's points begin, and the end
    state : shape (S,)                   of each segment, strand after strand
    """

    points: Floats
    first: NDArray[np.int64]
    state: States


def strung(paths: Floats, wide_cm: Floats, state: States) -> Strung:
    """Give strands up to their tips, strung on guide points.

    Parameters
    ----------
    paths : shape (N, J + 1, 3)   cm, from the root
    wide_cm : shape (N,)          hairs that a strand stands for, side by side
    state : shape (N, J)          place in the palette of each piece, -1 past the tip

    Raises
    ------
    OutOfRangeError   no strand has a piece of hair

    Notes
    -----
    A cubic B-spline with a point beyond each end, as far out as its neighbour lies in, begins and
    ends where the strand does; its j-th segment then is the strand's j-th piece.
    """
    there = np.cumprod(state >= 0, axis=1).astype(np.int64)
    long = there.sum(axis=1)
    kept = np.flatnonzero(long > 0)
    if not kept.size:
        raise OutOfRangeError("No strand has hair to trace.", "Look at a week with hair.")
    parts, states = [], []
    for k in kept.tolist():
        last = int(long[k])
        path = paths[k, : last + 1]
        before, after = 2 * path[0] - path[1], 2 * path[-1] - path[-2]
        radius = wide_cm[k] / 2 * np.linspace(1.0, THIN, last + 3)
        parts.append(np.column_stack([np.vstack([before, path, after]), radius]))
        states.append(state[k, :last])
    first = np.concatenate([[0], np.cumsum([len(part) for part in parts])])
    return Strung(np.concatenate(parts), first, np.concatenate(states))


def fibre_absorption(linear: Floats) -> Floats:
    """Give the absorption of fibres whose hair has a colour.

    Parameters
    ----------
    linear : shape (..., 3)   linear sRGB of the hair, its surface in it [1], 0-1

    Returns
    -------
    shape (..., 3)   sigma, per fibre radius [1]; each channel as if it were a wavelength

    Notes
    -----
    The inverse of the traced curtain's albedo (`stored_albedo`): linear between logarithms. Hair
    lighter than its first row, up to 1 for none: the logarithm of the albedo goes by the root of
    the absorption, as in `fibre_absorption_of_colour`, through that row. Darker than its last:
    held there.
    """
    albedo = stored_albedo()
    body = np.clip((linear - SPECULAR) / (1 - SPECULAR), albedo.body[-1], 1.0)
    x, y = np.log(albedo.body[::-1]), np.log(albedo.sigma[::-1])
    weak = albedo.sigma[0] * (np.log(body) / np.log(albedo.body[0])) ** 2
    found = np.exp(np.interp(np.log(body), x, y))
    return np.asarray(np.where(body > albedo.body[0], weak, found))


def trace_head(
    hair: Strung,
    palette: Floats,
    head: Mesh,
    camera: Camera,
    size: int,
    samples: int,
    told: Callable[[float], None] = lambda _: None,
) -> Floats:
    """Trace a head.

    Parameters
    ----------
    hair : strands with the state of each segment
    palette : shape (S, 3)   linear sRGB of each state [1]
    head : what lies beneath
    camera : from where
    size : of the picture, pixels, square
    samples : paths a pixel, 1 on
    told : told the share that is done [0-1]

    Returns
    -------
    shape (H, W, 4)   linear sRGB times cover, and cover [1]; a white diffuser that faces the eye in
    the open has 1

    Raises
    ------
    UnreachableError   Mitsuba is not installed
    StoppedError       it was interrupted

    Notes
    -----
    Light comes from everywhere and from a round lamp where the pictures have theirs. Fibres as in
    `trace`; a strand is one fibre as wide as the hairs that it stands for, which changes no colour:
    absorption is per radius. sRGB channels take the place of wavelengths.

    References
    ----------
    chiang2016; mitsuba3
    """
    mi = renderer()
    try:
        with tempfile.TemporaryDirectory() as folder:
            scene = mi.load_dict(_scene(mi, hair, palette, head, camera, size, Path(folder)))
        out = np.zeros((size, size, 4))
        passes = max(math.ceil(samples / PASS), 1)
        for number in range(passes):
            told(number / passes)
            paths = min(PASS, samples - number * PASS)
            out += paths / samples * np.array(mi.render(scene, seed=number, spp=paths), dtype=float)
    except KeyboardInterrupt:
        raise StoppedError("The still was stopped.", "Start it again when there is time.") from None
    told(1.0)
    return out


def _scene(
    mi: Any,  # noqa: ANN401 - the extra's module, typed only where it is installed
    hair: Strung,
    palette: Floats,
    head: Mesh,
    camera: Camera,
    size: int,
    folder: Path,
) -> dict[str, Any]:
    strands = folder / "hair.txt"
    strands.write_text(_curves(hair), "ascii")
    light = constants("light")
    caped = np.asarray(head.cape[head.corners].all(axis=1))
    skin = np.asarray(light["head"] * head_tint(), dtype=np.float64)
    sigma = fibre_absorption(palette)[hair.state].astype(np.float32)
    along = {
        "type": "bitmap",
        "bitmap": mi.Bitmap(np.ascontiguousarray(sigma[:, None, :])),
        "raw": True,
        "filter_type": "nearest",
        "wrap_mode": "clamp",
    }
    return {
        "type": "scene",
        "integrator": {
            "type": "path",
            "max_depth": -1,
            "rr_depth": SURE_BOUNCES,
            "hide_emitters": True,
        },
        "sky": {"type": "constant", "radiance": {"type": "rgb", "value": [ALL_ROUND] * 3}},
        "lamp": _lamp(mi, camera),
        "sensor": _eye(mi, camera, size),
        "hair": {
            "type": "bsplinecurve",
            "filename": str(strands),
            "bsdf": fibre_material(along),
        },
        "head": _plain(folder / "head.obj", head, ~caped, skin),
        "cape": _plain(folder / "cape.obj", head, caped, np.full(3, light["cape"])),
    }


def _lamp(mi: Any, camera: Camera) -> dict[str, Any]:  # noqa: ANN401 - as above
    """Give a disk far away that brings the rest of the light to what faces the eye."""
    toward, (_, up, eye) = lamp(camera), camera.axes
    radius = FAR_CM * math.tan(math.radians(LAMP_DEGREES))
    solid = math.pi * radius**2 / FAR_CM**2
    radiance = (1 - ALL_ROUND) * math.pi / (solid * float(toward @ eye))
    middle = np.asarray(camera.middle_cm)
    place = mi.ScalarTransform4f().look_at(
        origin=(middle + FAR_CM * toward).tolist(), target=middle.tolist(), up=up.tolist()
    ) @ mi.ScalarTransform4f().scale(radius)
    emits = {"type": "area", "radiance": {"type": "rgb", "value": [radiance] * 3}}
    return {"type": "disk", "to_world": place, "emitter": emits}


def _eye(mi: Any, camera: Camera, size: int) -> dict[str, Any]:  # noqa: ANN401 - as above
    _, up, eye = camera.axes
    middle = np.asarray(camera.middle_cm)
    half = camera.height_cm / 2
    place = mi.ScalarTransform4f().look_at(
        origin=(middle + FAR_CM / 2 * eye).tolist(), target=middle.tolist(), up=up.tolist()
    ) @ mi.ScalarTransform4f().scale([half, half, 1.0])
    return {
        "type": "orthographic",
        "to_world": place,
        "film": {
            "type": "hdrfilm",
            "width": size,
            "height": size,
            "rfilter": {"type": "box"},
            "pixel_format": "rgba",
            "component_format": "float32",
        },
        "sampler": {"type": "independent", "sample_count": PASS},
    }


def _curves(hair: Strung) -> str:
    rows = ["%.4f %.4f %.4f %.5f" % tuple(row) for row in hair.points.tolist()]  # noqa: UP031 - fast
    ends = hair.first.tolist()
    strands = itertools.pairwise(ends)
    return "".join("\n".join(rows[low:high]) + "\n\n" for low, high in strands)


def _plain(file: Path, head: Mesh, faces: NDArray[np.bool_], reflects: Floats) -> dict[str, Any]:
    """Give some faces of the head as a matt surface.

    Parameters
    ----------
    file : where they are written
    faces : shape (T,)      which
    reflects : shape (3,)   red, green and blue of what falls on them [0-1]
    """
    out = [f"v {x:.4f} {y:.4f} {z:.4f}" for x, y, z in head.place.tolist()]
    out += [f"vn {x:.4f} {y:.4f} {z:.4f}" for x, y, z in head.normal.tolist()]
    corners = (head.corners[faces] + 1).tolist()
    out += ["f " + " ".join(f"{k}//{k}" for k in row) for row in corners]
    file.write_text("\n".join(out) + "\n", "ascii")
    matt = {"type": "diffuse", "reflectance": {"type": "rgb", "value": reflects.tolist()}}
    return {
        "type": "obj",
        "filename": str(file),
        "bsdf": {"type": "twosided", "matt": matt},
    }
