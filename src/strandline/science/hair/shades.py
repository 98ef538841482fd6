"""Shades of gloss and colour: a depth and its reflects, as amounts of dye."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES, natural
from strandline.science.hair.levels import lightness_of_stage, natural_palette
from strandline.science.hair.pigment import absorption, lab, reflectance_from_ks
from strandline.science.hair.pigment import dye_bands as bands_of_dyes

Floats = NDArray[np.float64]
Scale = Literal["level", "stage"]

LEAST_STAGE, MOST_STAGE = 3.0, 10.5
"""Depths of a toner, read on hair lightened to the end."""
_HALVINGS = 60
_MOST = 1e4
"""Absorption beyond which hair is black at any reading, K/S."""


@dataclass(frozen=True, slots=True)
class Shade:
    """A shade as it stands on a shelf.

    Parameters
    ----------
    name : str                    her name for it
    depth : float | None          depth of the line's own chart; None for a clear
    reflects : mapping            dye of `DYES` but 'depth' to its peak K/S as a share of the
                                  depth's K/S at 550 nm [1], >= 0
    kind : str                    how long it lasts, as `chemistry` names it
    scale : 'level' or 'stage'    whether the depth is read on white or on lightened hair
    label_min : float             longest time on its label, min
    """

    name: str
    depth: float | None
    reflects: Mapping[str, float] = field(default_factory=dict)
    kind: str = "acid demi"
    scale: Scale = "stage"
    label_min: float = 20.0

    def amounts(self) -> Floats:
        """Give the dyes it leaves at full uptake, shape (D,); zeros for a clear."""
        if self.depth is None:
            return np.zeros(len(DYES))
        return dye_amounts(self.depth, self.reflects, scale=self.scale)


def dye_amounts(depth: float, reflects: Mapping[str, float], *, scale: Scale = "level") -> Floats:
    """Dyes that a shade of a depth leaves at full uptake.

    Parameters
    ----------
    depth : a natural level 1-10 on white hair, or a stage 3-10.5 on lightened hair
    reflects : dye of `DYES` but 'depth' to its share, peak K/S over the depth's K/S at 550 nm
    scale : 'level' sets the depth on white hair, 'stage' on hair lightened to the end

    Returns
    -------
    shape (D,)   K/S at each band's peak, over `DYES`

    Raises
    ------
    OutOfRangeError   a depth off its scale, an unknown dye, a share below 0

    Notes
    -----
    A shade of depth d, its reflects included, gives white hair the L* of the natural level d
    (common practice); a toner's depth is a stage: it gives hair at the end of the path the L* of
    that stage. Amount by bisection. On white hair depth 10 leaves nothing: white is level 10.
    """
    share = np.zeros(len(DYES))
    share[DYES.index("depth")] = 1.0
    for dye, value in reflects.items():
        if dye not in DYES or dye == "depth" or not value >= 0:
            raise OutOfRangeError(
                f"A reflect is '{dye}' at {value:g}; it must be one of {', '.join(DYES[1:])} at "
                "0 or more.",
                "Name a reflect of the line and its share of the depth.",
            )
        share[DYES.index(dye)] = value
    ground, aim = _ground(depth, scale)
    band = share @ bands_of_dyes()
    return share * _strength(ground, band, aim)


def _ground(depth: float, scale: Scale) -> tuple[Floats, float]:
    """Give the K/S of the hair that sets a depth, shape (81,), and the L* it comes to."""
    white = natural(np.array([0.0]), 0.0, white=1.0)
    if scale == "level":
        level = natural_palette([depth], with_white=False)
        return absorption(white)[0], float(lab(level)[0, 0])
    if not LEAST_STAGE <= depth <= MOST_STAGE:
        raise OutOfRangeError(
            f"The depth of a toner is {depth:g}; on lightened hair it is a stage, 3-10.5.",
            "Give the stage whose lightness it leaves on pale hair.",
        )
    end = natural(np.array([0.0]), 0.0).with_(progress=np.array([100.0]))
    return absorption(end)[0], float(lightness_of_stage(depth))


def _strength(ground: Floats, band: Floats, aim: float) -> float:
    def lightness(amount: float) -> float:
        return float(lab_from_reflectance(reflectance_from_ks(ground + amount * band))[0])

    if lightness(0.0) <= aim:
        return 0.0
    low, high = 1e-6, _MOST
    for _ in range(_HALVINGS):
        middle = float(np.sqrt(low * high))
        low, high = (middle, high) if lightness(middle) > aim else (low, middle)
    return float(np.sqrt(low * high))
