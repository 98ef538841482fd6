"""The colour of a gloss at every moment: when to look, first sign, window, overdoing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.difference import delta_e00
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.rules import rule

Floats = NDArray[np.float64]

STEP_MIN = 0.25
"""A quarter of a minute: what a clock at the chair is read to."""
_PLAIN = 1.5
"""L*, a* or b* past the aim from which a miss has a name, from memory."""
MISSES = {
    "deep": "Too deep: wash at once; clarify if it stays.",
    "violet": "Violet or dull: wash at once, then clarify.",
    "pink": "Pink: too much red-violet; a little ash next time.",
    "green": "Green: too much ash; a copper or gold gloss takes it back.",
    "warm": "Warm: too little; tone again, with more violet.",
}
"""What a miss is called, and its remedy; common practice, no source."""


@dataclass(frozen=True)
class Clock:
    """What the clock shows of one bowl on one place.

    Parameters
    ----------
    minutes : shape (T,)   from 0 to the label, min
    lab : shape (T, 3)     the colour at each
    away : shape (T,)      dE00 from the aim
    first_look : when to look first, min
    first_sign : when a change is first seen on wiped hair, min; None within the label
    window : the minutes near the best
    overdone_from : when it is first past the aim, min; None within the label
    overdone : which way it goes then, a key of `MISSES`
    """

    minutes: Floats
    lab: Floats
    away: Floats
    first_look: float
    first_sign: float | None
    window: tuple[float, float]
    overdone_from: float | None
    overdone: str


def clock_of(
    ground: Ground,
    dyes_at: Callable[[float], Floats],
    best_min: float,
    label_min: float,
    usual_first_look: float,
    kind: str = "",
) -> Clock:
    """Follow a bowl on a place from the first minute to its label's last.

    Parameters
    ----------
    ground : the place and its aim
    dyes_at : from minutes to the dyes on sound mids, shape (D,)
    best_min : when it comes nearest
    label_min : longest time on the label
    usual_first_look : of its kind, min
    kind : of the gloss, where it may warm natural pigment

    Notes
    -----
    Colour moves steadily away from the ground, so the window is one stretch of time about the
    best minute. It is looked at first no later than the window opens.
    """
    grid = np.append(np.arange(0.0, label_min, STEP_MIN), label_min)
    lab = np.concatenate(
        [
            ground.under(kind, float(minute), label_min).look(dyes_at(float(minute))[None])
            for minute in grid
        ]
    )
    away = delta_e00(lab, np.broadcast_to(ground.aim_lab, lab.shape))
    turned = delta_e00(lab, np.broadcast_to(lab[0], lab.shape)) >= rule("turns")
    at = int(np.argmin(np.abs(grid - best_min)))
    near = away <= away[at] + rule("window")
    low, high = at, at
    while low > 0 and near[low - 1]:
        low -= 1
    while high + 1 < len(grid) and near[high + 1]:
        high += 1
    window = (float(grid[low]), float(grid[high]))
    past = None if high + 1 >= len(grid) else high + 1
    return Clock(
        grid,
        lab,
        away,
        max(STEP_MIN, min(usual_first_look, float(np.floor(window[0])) or window[0])),
        float(grid[np.argmax(turned)]) if turned.any() else None,
        window,
        None if past is None else float(grid[past]),
        "" if past is None else miss_of(lab[past], ground.aim_lab, plain=0.0),
    )


def miss_of(lab: Floats, aim: Sequence[float] | Floats, plain: float = _PLAIN) -> str:
    """Name how a colour misses its aim: a key of `MISSES`, empty where it is near.

    Parameters
    ----------
    lab, aim : shape (3,)   CIELAB
    plain : step from which it has a name, L*, a* or b*

    Notes
    -----
    The greatest step past the aim names it: lower L* deep, lower b* violet, higher b* warm, higher
    a* pink, lower a* green.
    """
    step = np.asarray(lab, dtype=float) - np.asarray(aim, dtype=float)
    ways = {
        "deep": -step[0],
        "violet": -step[2],
        "warm": step[2],
        "pink": step[1],
        "green": -step[1],
    }
    name = max(ways, key=lambda way: ways[way])
    return name if ways[name] >= plain else ""
