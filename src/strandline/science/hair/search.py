"""Two numbers that bring a computed colour nearest to one that was read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.difference import delta_e00

Floats = NDArray[np.float64]
Colour = Callable[[Floats, Floats], Floats]

ZOOMS, ZOOMED = 6, 7
"""Times the grid is narrowed by three, and its points on each axis."""


@dataclass(frozen=True, slots=True)
class Axis:
    """What one of the two numbers may be: `steps` values from low to high; 1 step holds it."""

    low: float
    high: float
    steps: int

    def values(self) -> Floats:
        """Give them, shape (steps,)."""
        return np.linspace(self.low, self.high, self.steps)

    def reach(self) -> float:
        """Distance between two of them, 0 where there is one."""
        return (self.high - self.low) / max(self.steps - 1, 1)

    def around(self, at: Floats, reach: float) -> Floats:
        """Give values within reach of each of n, shape (n, p), none outside the axis."""
        offsets = np.linspace(-1.0, 1.0, ZOOMED) if self.steps > 1 else np.zeros(1)
        return np.clip(at[:, None] + reach * offsets, self.low, self.high)


def nearest(wanted: Floats, colour: Colour, first: Axis, second: Axis) -> tuple[Floats, ...]:
    """Find the two numbers of least difference in colour, for n colours at once.

    Parameters
    ----------
    wanted : shape (n, k, 3)   each colour as CIELAB under k lights
    colour : of m pairs of numbers, shapes (m,), to shape (m, k, 3)
    first, second : Axis       where to look

    Returns
    -------
    first, second : shape (n,)
    difference : shape (n,)   dE00 left, root mean square over the k lights

    Notes
    -----
    The whole grid first, then the neighbourhood of the best, six times, each a third as wide.
    A least value at the end of an axis is an answer too; whoever asks must look whether it is.
    """
    one, two = (grid.ravel() for grid in np.meshgrid(first.values(), second.values()))
    away = _difference(wanted[:, None], colour(one, two)[None])
    best = np.argmin(away, axis=1)
    rows = np.arange(best.size)
    one, two, difference = one[best], two[best], away[rows, best]
    reach_one, reach_two = first.reach(), second.reach()
    for _ in range(ZOOMS):
        near_one = first.around(one, reach_one)[:, :, None]
        near_two = second.around(two, reach_two)[:, None, :]
        near_one, near_two = (
            grid.reshape(rows.size, -1) for grid in np.broadcast_arrays(near_one, near_two)
        )
        colours = colour(near_one.ravel(), near_two.ravel())
        away = _difference(wanted[:, None], colours.reshape(*near_one.shape, *colours.shape[1:]))
        best = np.argmin(away, axis=1)
        one, two, difference = near_one[rows, best], near_two[rows, best], away[rows, best]
        reach_one, reach_two = reach_one / 3.0, reach_two / 3.0
    return one, two, difference


def _difference(wanted: Floats, found: Floats) -> Floats:
    each = delta_e00(wanted, found)
    return np.asarray(each[..., 0] if each.shape[-1] == 1 else np.sqrt(np.mean(each**2, axis=-1)))
