"""A still of a plan's head: traced path by path, where the extra `stills` is installed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from strandline.salon.stills.head import strung, trace_head
from strandline.service.growout.pictures.camera import camera_on
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.raster import encoded, linear_rgb
from strandline.service.growout.pictures.strip import Frame, sheet_png
from strandline.service.growout.screen.head_mesh import head_mesh
from strandline.service.plan.assemble import Made
from strandline.service.plan.growing import PLANNED, dressed, figure

Floats = NDArray[np.float64]

STRANDS = 8000
"""Strands that are traced, each as wide as the hairs it then stands for."""
SAMPLES = 32
"""Paths a pixel."""
VIEW = "front"
PLAIN = ("nose",)
"""Not drawn: in traced light it reads as a thing of its own, and no hair lies on it."""


def still_png(
    made: Made,
    week: float,
    size: int,
    told: Callable[[float], None] = lambda _: None,
    *,
    strands: int = STRANDS,
    samples: int = SAMPLES,
) -> bytes:
    """Trace the head as planned from the front, as PNG.

    Parameters
    ----------
    week : since the visit, 0-104
    size : of the picture, pixels, 64-4000
    told : told the share that is done [0-1]
    strands, samples : as many are traced; paths a pixel

    Raises
    ------
    UnreachableError   Mitsuba is not installed
    StoppedError       it was interrupted
    """
    traced = still(made, week, size, told, strands=strands, samples=samples)
    ground = constants("light")["ground"]
    whole = traced[..., :3] + (1 - traced[..., 3:]) * ground
    return sheet_png([[Frame("", encoded(whole))]])


def still(
    made: Made,
    week: float,
    size: int,
    told: Callable[[float], None],
    *,
    strands: int,
    samples: int,
) -> Floats:
    """Give linear sRGB times cover, and cover, shape (H, W, 4): see `still_png`."""
    head, look = figure(made, [week]), dressed(made, [week])[PLANNED]
    state, fallen = head.states(look, week), head.fallen
    some = np.unique(np.linspace(0, len(state) - 1, min(strands, len(state))).astype(np.int64))
    wide = head.wide_cm[some] * head.wide_cm.sum() / head.wide_cm[some].sum()
    hair = strung(fallen.paths[some].astype(float), wide, state[some])
    palette = linear_rgb(look.palette(week))
    camera = camera_on(fallen, VIEW)
    shape = replace(fallen.shape, without=PLAIN)
    plain = head_mesh(shape, float(fallen.paths[..., 2].min()))
    return trace_head(hair, palette, plain, camera, size, samples, told)
