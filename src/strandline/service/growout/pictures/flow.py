"""Where strands are combed to: away from the parting, round the crown, forward in a fringe.

Chart coordinates in cm as in `Scalp`; u is used as it is, not as an arc.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.head.course import Whirl
from strandline.science.head.scalp import Scalp
from strandline.science.head.strands import Raw, Strands, unit
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.style import HairStyle

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]

_STEP = 0x9E3779B97F4A7C15
_MIX = (0xBF58476D1CE4E5B9, 0x94D049BB133111EB)


@dataclass(frozen=True, eq=False)
class Combed:
    """How each strand is combed.

    Parameters
    ----------
    across, along : shape (N,)   direction in the chart, of length 1: to the right, to the nape
    fringe : shape (N,)          which belong to the fringe
    clear_cm : shape (N,)        from the parting, cm in the chart
    side : shape (N,)            of the parting: -1, 1; 0 where there is none
    """

    across: Floats
    along: Floats
    fringe: Flags
    clear_cm: Floats
    side: Whole


def own_draws(raw: Raw, count: int) -> Floats:
    """Give uniforms of a strand's own, 0 to below 1, shape (count, N), by mixing its draws.

    Integers alone, so that they are the same on every machine.
    """
    kept = raw[:, 0] ^ (raw[:, 2] << np.uint64(1)) ^ (raw[:, 4] >> np.uint64(1))
    return mixed(kept, count)


def mixed(seed: Raw, count: int) -> Floats:
    """Give `count` uniforms of each seed, shape (count, N)."""
    out = np.empty((count, seed.shape[0]))
    state = seed.astype(np.uint64).copy()
    for k in range(count):
        state = state + np.uint64(_STEP)
        word = state.copy()
        for shift, factor in ((30, _MIX[0]), (27, _MIX[1])):
            word = (word ^ (word >> np.uint64(shift))) * np.uint64(factor)
        out[k] = unit(word ^ (word >> np.uint64(31)))
    return out


def short_of(length_cm: float) -> float:
    """Give how far hair of a length is cut and worn as short hair [1]: 1 to 10 cm, 0 from 18 on."""
    return min(max((18.0 - length_cm) / 8.0, 0.0), 1.0)


def in_fringe(scalp: Scalp, u: Floats, y: Floats, style: HairStyle) -> Flags:
    """Say which roots belong to the fringe: a triangle from its depth to the hairline's corners."""
    if style.fringe == "none":
        return np.zeros(u.shape, dtype=bool)
    wide = (
        constants("comb")["fringe_half_cm"]
        * scalp.circumference_cm
        / constants("chart")["head_round"]
    )
    return np.asarray(y < style.fringe_depth_cm * (1 - 0.75 * np.minimum(np.abs(u) / wide, 1.4)))


def parting_u(y: Floats, scalp: Scalp, style: HairStyle) -> Floats:
    """Give u of the parting at places on the midline, cm."""
    number = constants("comb")
    parted_at = {
        "left": -style.parting_off_cm,
        "right": style.parting_off_cm,
        "wandering": number["wandering_cm"],
    }
    crown = number["crown_share"] * scalp.front_to_nape_cm
    place = np.full(np.shape(y), parted_at.get(style.parting, 0.0))
    if style.parting == "wandering":
        share = np.asarray(y) / crown
        place = place + 1.5 * np.sin(7.0 * share) + 0.6 * np.sin(17.0 * share)
    fade = np.clip((crown - np.asarray(y)) / 4.0, 0.0, 1.0)
    return np.asarray(place * fade**0.5)


def combed(scalp: Scalp, strands: Strands, style: HairStyle) -> Combed:
    """Comb the strands.

    Notes
    -----
    Before the crown a strand is combed away from the parting and a little back; from the crown on
    away from the parting's end. Without a parting hair goes back from the face, or over a fringe
    forward and to the sides. A fringe goes forward; a long one to the side that the parting leaves
    it. Round a whorl hair leads away from its middle, turned as whorls are.
    """
    u, y = strands.u, strands.y
    own = own_draws(strands.raw, 14)
    number = constants("comb")
    crown = number["crown_share"] * scalp.front_to_nape_cm
    aside = u - parting_u(y, scalp, style) + number["within_cm"] * (own[12] + own[13] - 1)
    beyond = y - crown
    back = np.maximum(beyond, 0.0)
    away = np.hypot(aside, back)
    across, along = aside / np.maximum(away, 1e-3), back / np.maximum(away, 1e-3)
    parted = style.parting != "none"
    if parted:
        along = along + (number["back"] + number["back_front"] * np.exp(-y / 4.0)) * np.clip(
            -beyond / 3.0, 0.0, 1.0
        )
    else:
        across, along = _unparted(u, beyond, crown, style, (across, along))
    fringe = in_fringe(scalp, u, y, style)
    sideways = 0.12 * u if style.fringe == "short" else 0.75 * np.sign(aside) + 0.05 * u
    across, along = np.where(fringe, sideways, across), np.where(fringe, -1.0, along)
    across, along = _turned(u, y, across, along, whorls(scalp, style))
    # hair that would hang over the face is not left to lie as it grows, but laid back
    ahead = np.maximum(-short_of(style.length_cm) - along, 0.0)
    along = np.where(fringe, along, along + (1.0 + number["laid_back"]) * ahead)
    size = np.maximum(np.hypot(across, along), 1e-6)
    clear = np.where(beyond < 0, np.abs(aside), away) if parted else np.full(u.shape, 9.0)
    side = np.where((beyond < 0) & parted, np.sign(aside), 0).astype(np.int64)
    return Combed(across / size, along / size, fringe, clear, side)


def _unparted(
    u: Floats, beyond: Floats, crown: float, style: HairStyle, from_crown: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Comb hair without a parting: back from the face, or over a fringe.

    Over a fringe short hair goes forward from the crown, longer hair falls to the sides.
    """
    number = constants("comb")
    ahead = np.clip(-beyond / crown, 0.0, 1.0) ** 0.5
    across, along = u / np.maximum(np.hypot(u, beyond), 1e-3), 1.3 * ahead
    if style.fringe != "none":
        short = short_of(style.length_cm)
        falls = u / np.hypot(u, number["fall_cm"])
        across = short * across + (1 - short) * falls
        along = (short * -1.0 + (1 - short) * number["fall_back"]) * ahead
    before = beyond < 0
    return np.where(before, across, from_crown[0]), np.where(before, along, from_crown[1])


def whorls(scalp: Scalp, style: HairStyle) -> tuple[Whirl, ...]:
    """Give where hair turns: as the style says, and at the crown, clockwise, as on most heads.

    The crown's own is left out where the style has one near it.
    """
    number = constants("comb")
    crown = number["crown_share"] * scalp.front_to_nape_cm
    if any(math.hypot(one.u, one.y - crown) < number["one_crown_cm"] for one in style.whirls):
        return style.whirls
    return (*style.whirls, Whirl(0.0, crown, number["whorl_cm"], number["whorl_deg"]))


def _turned(
    u: Floats, y: Floats, across: Floats, along: Floats, whirls: tuple[Whirl, ...]
) -> tuple[Floats, Floats]:
    """Turn combing round whorls: near one hair leads away from its middle, and round it.

    Between two their ways add up: hair neither crosses over nor lies on the other's.
    """
    free = np.ones(u.shape)
    sums = np.zeros((2, *u.shape))
    for one in whirls:
        du, dy = u - one.u, y - one.y
        away = np.maximum(np.hypot(du, dy), 1e-3)
        near = np.exp(-((away / one.radius_cm) ** 2))
        turn = math.radians(one.angle_deg)
        out, round_ = math.cos(turn), math.sin(turn)
        sums += near / away * np.stack([out * du - round_ * dy, out * dy + round_ * du])
        free *= 1 - near
    return free * across + sums[0], free * along + sums[1]


def locks(strands: Strands, comb: Combed, draws: Floats, wide: float) -> tuple[Whole, Whole]:
    """Put strands together in locks, none over the parting or half in the fringe.

    Parameters
    ----------
    draws : shape (2, N)   uniforms by which a lock's edge frays
    wide : how wide locks are against those of straight hair

    Returns
    -------
    lock : shape (N,)     place of its lock
    guide : shape (L,)    the strand that leads it
    """
    width = wide * constants("fall")["lock_cm"]
    u = strands.u + 0.4 * np.sin(1.3 * strands.y + 1.0) + 0.7 * width * (draws[0] - 0.5)
    y = strands.y + 0.4 * np.sin(1.1 * strands.u + 2.0) + 0.7 * width * (draws[1] - 0.5)
    row = np.floor(y / width).astype(np.int64)
    column = np.floor(u / width + 0.5 * (row % 2)).astype(np.int64)
    _, guide, lock = np.unique(
        ((row * 1000 + column) * 3 + comb.side) * 2 + comb.fringe,
        return_index=True,
        return_inverse=True,
    )
    return lock, guide
