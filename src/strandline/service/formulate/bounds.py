"""How near to an aim a gloss can come between two of its strengths, from its colour at both.

Every tristimulus value of hair falls and is convex in the strength s of what lies on it, for K/S
is linear in s and the reflectance falls and is convex in K/S. So between two strengths it lies
under its chord, and above the chord less what tangents allow; its cube root, concave, lies a
little above the chord of the cube roots. CIELAB stays near a straight line, in a box that is known.

References
----------
ciede2000: with a' = (1 + G) a, G the same for both, dE00^2 is at least
(dL/S_L)^2 + (1 - |R_T|/2)(da^2 + db^2)/S_C^2, for S_H <= S_C.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.spaces import lab_from_xyz
from strandline.service.formulate.grounds import Ground

Floats = NDArray[np.float64]

_TO_LAB = np.array([116.0, 500.0, 200.0])
_WHITE = np.ones(3)
_CUBE = 25.0**7
_MOST_G = 0.5
_MOST_TURN = np.sin(np.radians(60.0))


@dataclass(frozen=True)
class Spans:
    """M stretches of strength on G grounds.

    Parameters
    ----------
    weak, strong : shape (M, G, 3)   X, Y, Z over the white's at both ends [1]
    width : shape (M,)               of strength [1], > 0
    before, after : shape (M, G, 3)  slopes that the curve had before and will have after; the
                                     slope within lies between them
    """

    weak: Floats
    strong: Floats
    width: Floats
    before: Floats
    after: Floats

    def take(self, keep: NDArray[np.bool_]) -> Spans:
        """Give some of the stretches."""
        return Spans(
            self.weak[keep],
            self.strong[keep],
            self.width[keep],
            self.before[keep],
            self.after[keep],
        )

    def joined(self, more: Spans) -> Spans:
        """Give these stretches, then more."""
        return Spans(
            np.concatenate([self.weak, more.weak]),
            np.concatenate([self.strong, more.strong]),
            np.concatenate([self.width, more.width]),
            np.concatenate([self.before, more.before]),
            np.concatenate([self.after, more.after]),
        )

    def split(self, middle: Floats, first: Floats) -> tuple[Spans, Spans]:
        """Give both parts of each stretch.

        Parameters
        ----------
        middle : shape (M, G, 3)   between the parts
        first : shape (M,)         strength up to there
        """
        second = self.width - first
        into = (middle - self.weak) / first[:, None, None]
        out = (self.strong - middle) / second[:, None, None]
        return (
            Spans(self.weak, middle, first, self.before, out),
            Spans(middle, self.strong, second, into, self.after),
        )


def least_away(grounds: Sequence[Ground], spans: Spans) -> Floats:
    """Give what the weighted mean dE00 cannot be under on each stretch, shape (M,)."""
    total = np.zeros(len(spans.width))
    whole = sum(ground.weight for ground in grounds)
    for number, ground in enumerate(grounds):
        total += ground.weight / whole * _least(ground, spans, number)
    return total


def _least(ground: Ground, spans: Spans, number: int) -> Floats:
    weak, strong = spans.weak[:, number], spans.strong[:, number]
    width = spans.width[:, None]
    over, under = _cube_root_room(
        weak, strong, width, spans.before[:, number], spans.after[:, number]
    )
    ends = lab_from_xyz(weak, _WHITE), lab_from_xyz(strong, _WHITE)
    room = _TO_LAB * np.stack(
        [
            np.maximum(over[:, 1], under[:, 1]),
            np.maximum(over[:, 0] + under[:, 1], under[:, 0] + over[:, 1]),
            np.maximum(over[:, 1] + under[:, 2], under[:, 1] + over[:, 2]),
        ],
        axis=-1,
    )
    scale = _least_weights(ground.aim_lab, ends, room)
    far = _to_line(ground.aim_lab * scale, ends[0] * scale, ends[1] * scale)
    least = np.maximum(0.0, far - np.linalg.norm(room * scale, axis=1))
    return np.where(ends[0][:, 0] < ground.deepest, np.inf, least)


def _cube_root_room(
    weak: Floats, strong: Floats, width: Floats, before: Floats, after: Floats
) -> tuple[Floats, Floats]:
    """Give how far a cube root may lie over and under the chord of its ends, shapes (M, 3)."""
    slope = (strong - weak) / width
    fall, rise = np.maximum(slope - before, 0.0), np.maximum(after - slope, 0.0)
    both = fall + rise
    gap = np.where(both > 0, width * fall * rise / np.where(both > 0, both, 1.0), 0.0)
    over = (weak - strong) ** 2 / 8.0 * (2.0 / 9.0) * strong ** (-5.0 / 3.0)
    under = gap / 3.0 * strong ** (-2.0 / 3.0)
    return over, under


def _least_weights(aim: Floats, ends: tuple[Floats, Floats], room: Floats) -> Floats:
    """Give the least that a step in L*, a*, b* counts for in dE00, shape (M, 3)."""
    light = np.maximum(
        _lightness_weight(ends[0][:, 0] + room[:, 0], aim[0]),
        _lightness_weight(ends[1][:, 0] - room[:, 0], aim[0]),
    )
    side = np.maximum(np.abs(ends[0]), np.abs(ends[1]))[:, 1:] + room[:, 1:]
    stretched = 1.0 + _MOST_G
    chroma = (
        np.hypot(stretched * side[:, 0], side[:, 1]) + np.hypot(stretched * aim[1], aim[2])
    ) / 2.0
    turn = _MOST_TURN * np.sqrt(chroma**7 / (chroma**7 + _CUBE))
    tone = np.sqrt(1.0 - turn) / (1.0 + 0.045 * chroma)
    return np.stack([1.0 / light, tone, tone], axis=-1)


def _lightness_weight(light: Floats, aim: float) -> Floats:
    """S_L of CIEDE2000 for two lightnesses; it is least where their mean is 50."""
    square = ((light + aim) / 2.0 - 50.0) ** 2
    return np.asarray(1.0 + 0.015 * square / np.sqrt(20.0 + square))


def _to_line(aim: Floats, start: Floats, end: Floats) -> Floats:
    """Give the distance of points from the stretches between two others, shape (M,)."""
    along = end - start
    length = np.maximum(np.sum(along**2, axis=1), 1e-30)
    at = np.clip(np.sum((aim - start) * along, axis=1) / length, 0.0, 1.0)
    return np.asarray(np.linalg.norm(aim - start - at[:, None] * along, axis=1))
