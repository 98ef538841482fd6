"""A thick curtain of parallel hair: where its fibres run, and which of them are white.

Lengths in mm. x runs across the curtain, y along the fibres, z towards the eye; the front row
lies at z = 0. Draws are handed in.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]

DIAMETER_MM = 0.07
"""Diameter of a fibre, mm; from memory."""
PITCH_MM = 0.09
"""Distance of the axes of neighbours, mm; from memory. Hair fills 55 % of the space."""
JITTER_MM = 0.004
"""How far a fibre may lie off its place, mm; with the next it keeps fibres from meeting."""
WANDER_MM = 0.005
"""How far a fibre may swing about its line, mm."""
WAVE_MM = (4.0, 12.0)
"""Shortest and longest wave of that swing, mm; from memory."""
ROW_STEP = np.sqrt(3.0) / 2.0
"""Distance of rows over the pitch: each row lies in the gaps of the one before."""


@dataclass(frozen=True, slots=True)
class Packing:
    """How a curtain is laid.

    Parameters
    ----------
    across : int         fibres in a row, >= 2
    through : int        rows behind each other, >= 1
    length_mm : float    length of the fibres, mm, > 0
    step_mm : float      distance of the points that guide a fibre, mm, > 0
    diameter_mm : float  of a fibre, mm
    pitch_mm : float     distance of axes, mm

    Raises
    ------
    OutOfRangeError   no fibres, no length, or a pitch at which fibres could meet
    """

    across: int
    through: int
    length_mm: float
    step_mm: float = 1.0
    diameter_mm: float = DIAMETER_MM
    pitch_mm: float = PITCH_MM

    def __post_init__(self) -> None:
        """Refuse a curtain that cannot be laid."""
        if self.across < 2 or self.through < 1 or not (self.length_mm > 0 and self.step_mm > 0):
            raise OutOfRangeError(
                f"A curtain has {self.across} fibres across, {self.through} rows and "
                f"{self.length_mm:g} mm of length by steps of {self.step_mm:g} mm; it must have "
                "2 fibres or more, 1 row or more and lengths above 0.",
                "Give a curtain that can be laid.",
            )
        least = self.diameter_mm + 2.0 * (JITTER_MM + WANDER_MM)
        if not (self.diameter_mm > 0 and self.pitch_mm >= least):
            raise OutOfRangeError(
                f"Fibres of {self.diameter_mm:g} mm lie {self.pitch_mm:g} mm apart; they must lie "
                f"{least:g} mm or more apart so as not to meet.",
                "Widen the pitch.",
            )

    @property
    def width_mm(self) -> float:
        """Width of the curtain, mm."""
        return self.across * self.pitch_mm

    @property
    def thickness_mm(self) -> float:
        """From the front of the first row to the back of the last, mm."""
        return (self.through - 1) * self.pitch_mm * float(ROW_STEP) + self.diameter_mm


def fibre_axes(packing: Packing, draws: Generator) -> Floats:
    """Guide points of the axes of all fibres.

    Parameters
    ----------
    packing : Packing
    draws : Generator   of random numbers

    Returns
    -------
    shape (across, through, points, 3)   x, y, z in mm; one point beyond each end, as a cubic
    B-spline needs them

    Notes
    -----
    A fibre lies on a triangular lattice, moved off its place by up to `JITTER_MM`, and swings in
    one plane by up to `WANDER_MM`. Axes stay a diameter apart or more, so that fibres never meet.
    Valid for combed straight hair; not for curls or for fibres that cross.
    """
    shape = (packing.across, packing.through)
    column, row = np.meshgrid(*map(np.arange, shape), indexing="ij")
    x = (column - (packing.across - 1) / 2.0 + 0.5 * (row % 2) - 0.25) * packing.pitch_mm
    z = -row * packing.pitch_mm * ROW_STEP - packing.diameter_mm / 2.0
    steps = int(np.ceil(packing.length_mm / packing.step_mm))
    y = (np.arange(steps + 3) - (steps + 2) / 2.0) * packing.step_mm
    away = JITTER_MM * np.sqrt(draws.random(shape))
    towards, plane, phase = 2.0 * np.pi * draws.random((3, *shape))
    wave = draws.uniform(*WAVE_MM, shape)
    swing = WANDER_MM * np.sin(2.0 * np.pi * y / wave[..., None] + phase[..., None])
    axes = np.empty((*shape, y.size, 3))
    axes[..., 0] = (x + away * np.cos(towards))[..., None] + swing * np.cos(plane)[..., None]
    axes[..., 1] = y
    axes[..., 2] = (z + away * np.sin(towards))[..., None] + swing * np.sin(plane)[..., None]
    return axes


def block_fibres(clump_mm: float, diameter_mm: float = DIAMETER_MM) -> int:
    """Whole fibres in a clump of a width, mm, hair laid side by side; 1 or more.

    Raises
    ------
    OutOfRangeError   a width or diameter not above 0
    """
    if not (clump_mm > 0 and diameter_mm > 0):
        raise OutOfRangeError(
            f"A clump is {clump_mm:g} mm wide of fibres of {diameter_mm:g} mm; both must be "
            "above 0.",
            "Give the width of a clump in mm.",
        )
    return max(1, round(clump_mm / diameter_mm))


def white_fibres(packing: Packing, share: float, draws: Generator, block: int = 1) -> Bools:
    """Which fibres are white.

    Parameters
    ----------
    packing : Packing
    share : float       share of white [1], 0-1
    draws : Generator   of random numbers
    block : int         fibres across and rows through that are alike; 1 for natural white

    Returns
    -------
    shape (across, through)   True where white

    Raises
    ------
    OutOfRangeError   a share outside 0-1 or a block below 1

    Notes
    -----
    Each layer of blocks holds the share as near as whole blocks can, the odd one by lot, in an
    order by lot: as drawn one by one, but for the lesser scatter of the share, which is kept low
    on purpose. Runs are then geometric as if drawn one by one, but for a part of order 1/across.
    """
    if not (0.0 <= share <= 1.0 and block >= 1):
        raise OutOfRangeError(
            f"A curtain has a white share of {share:g} in blocks of {block}; the share must be "
            "0-1, a block 1 fibre or more.",
            "Give the share as a part of one.",
        )
    columns, layers = -(-packing.across // block), -(-packing.through // block)
    whites = np.floor(share * columns + draws.random(layers)).astype(int)
    order = np.argsort(draws.random((layers, columns)), axis=1).argsort(axis=1)
    blocks = order < whites[:, None]
    fibres = np.repeat(np.repeat(blocks, block, axis=0), block, axis=1)
    return np.asarray(fibres[: packing.through, : packing.across].T)


def mean_run_mm(white: Bools, diameter_mm: float = DIAMETER_MM) -> float:
    """Mean run of white hair along a row, hair laid side by side, mm.

    Parameters
    ----------
    white : shape (across, through)
    diameter_mm : float   of a fibre, mm

    Returns
    -------
    mm; white fibres over the number of runs of them, times the diameter

    Raises
    ------
    OutOfRangeError   a curtain without a white fibre
    """
    starts = int(np.count_nonzero(white[0])) + int(np.count_nonzero(white[1:] & ~white[:-1]))
    if starts == 0:
        raise OutOfRangeError(
            "A curtain of 0 white fibres has no run of white; it must have 1 or more.",
            "Give a larger share or a wider curtain.",
        )
    return float(np.count_nonzero(white)) / starts * diameter_mm


def least_distance_mm(axes: Floats) -> float:
    """Least distance at which guide points of neighbours lie, at like height, mm.

    Parameters
    ----------
    axes : shape (across, through, points, 3), mm
    """
    plane = axes[..., (0, 2)]
    pairs = [(plane[1:], plane[:-1])]
    if plane.shape[1] > 1:
        pairs += [
            (plane[:, 1:], plane[:, :-1]),
            (plane[1:, 1:], plane[:-1, :-1]),
            (plane[1:, :-1], plane[:-1, 1:]),
        ]
    return float(min(np.linalg.norm(a - b, axis=-1).min() for a, b in pairs))


def seen_fibres(
    axes: Floats, window_mm: float, diameter_mm: float = DIAMETER_MM
) -> tuple[Ints, Ints]:
    """Which fibres an eye in front meets along a line across the middle.

    Parameters
    ----------
    axes : shape (across, through, points, 3), mm
    window_mm : float     width of the window in the middle, mm
    diameter_mm : float   of a fibre, mm

    Returns
    -------
    column, row : shape (n,)   of the fibre at n even places, forty a diameter; row -1 where the
    eye sees past all of them
    """
    places = int(np.ceil(40.0 * window_mm / diameter_mm))
    looked = (np.arange(places) + 0.5) / places * window_mm - window_mm / 2.0
    x = axes[:, :, axes.shape[2] // 2, 0]
    column, row = np.full((2, places), -1, dtype=np.intp)
    for behind in range(x.shape[1]):
        order = np.argsort(x[:, behind])
        line = x[order, behind]
        right = np.clip(np.searchsorted(line, looked), 1, line.size - 1)
        nearer_left = looked - line[right - 1] < line[right] - looked
        nearest = np.where(nearer_left, right - 1, right)
        met = (row < 0) & (np.abs(looked - line[nearest]) <= diameter_mm / 2.0)
        column[met], row[met] = order[nearest[met]], behind
    return column, row


def bare_share(axes: Floats, window_mm: float, diameter_mm: float = DIAMETER_MM) -> float:
    """Share of a window through which an eye sees past all rows [1]; see `seen_fibres`."""
    return float(np.mean(seen_fibres(axes, window_mm, diameter_mm)[1] < 0))


def seen_share(
    axes: Floats, white: Bools, window_mm: float, diameter_mm: float = DIAMETER_MM
) -> float:
    """Share of white among what is seen in a window [1], 0-1; see `seen_fibres`.

    Raises
    ------
    OutOfRangeError   a window in which no fibre is seen
    """
    column, row = seen_fibres(axes, window_mm, diameter_mm)
    met = row >= 0
    if not np.any(met):
        raise OutOfRangeError(
            f"A window of {window_mm:g} mm shows 0 fibres; it must show 1 or more.",
            "Look at the middle of a curtain.",
        )
    return float(np.mean(white[column[met], row[met]]))
