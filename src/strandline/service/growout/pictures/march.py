"""The march of strands from their roots, all of them a step at a time.

Fixed units inside: cm; arrays of points are (3, N), single precision. See `fall` for what is drawn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.science.head.strands import Strands
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.flow import Combed, locks, mixed, short_of
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.style import HairStyle

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Whole = NDArray[np.int64]

SCALP_CM2 = 492.0
"""Mean area of a scalp (scalp_area), over which the hairs are spread."""
_FORWARD = np.array([[0.0], [1.0], [0.0]], dtype=np.float32)
_DOWN = np.array([[0.0], [0.0], [-1.0]], dtype=np.float32)
_OWN = np.float32


@dataclass(frozen=True, eq=False)
class Traits:
    """What a strand keeps from its root to its end.

    Parameters
    ----------
    step_cm : shape (N,)    of the march
    fly : shape (3, N)      sideways pull, per cm
    wander : shape (N,)     where that pull begins its turns, radians
    wobble : shape (N,)     where the lock's curl begins to go unevenly, radians
    spin : shape (N,)       turn of the curl, radians per stretched cm; the sign is its hand
    sway : shape (3, N)     pull to and fro on the lock, per cm: tight curls do not hang straight
    phase : shape (N,)      radians
    angle : shape (N,)      of the curl to its own path, radians; None for straight hair
    curl : float            curl factor less 1, at most 1
    before : shape (N,)     to the front of this, cm, it falls before the shoulder
    reach : float           how far hair of this length is brought before or behind it [1]
    rise_cm : shape (N,)    over what lies beneath, its own and its lock's
    thick : float           by how much hair thickens for each cm of scalp it comes over
    lie : float             pull towards the head where it is near, per cm: short hair lies close
    lock, guide : shapes (N,) and (L,)   place of the lock; the strand that leads it
    """

    step_cm: Singles
    fly: Singles
    wander: Singles
    wobble: Singles
    sway: Singles
    spin: Singles
    phase: Singles
    angle: Singles | None
    curl: float
    rise_cm: Singles
    thick: float
    lie: float
    lock: Whole
    guide: Whole
    before: Singles
    reach: float


@dataclass(eq=False)
class Tips:
    """Where the strands have come to: vertex, middle of the curl, direction, side, combing."""

    at: Singles
    centre: Singles
    toward: Singles
    side: Singles
    flow: Singles


def march(
    shape: HeadShape,
    strands: Strands,
    style: HairStyle,
    comb: Combed,
    own: Floats,
    step_cm: Floats,
    count: int,
) -> Singles:
    """March `count` steps.

    Parameters
    ----------
    own : shape (12, N)     uniforms of each strand's own
    step_cm : shape (N,)    stretched

    Returns
    -------
    shape (N, count + 1, 3)   cm
    """
    lock, guide = locks(strands, comb, own[1:3], 1 - 0.45 * min(style.curl_factor - 1, 1.0))
    of_lock = mixed(strands.raw[guide, 0], 9)[:, lock]
    traits = _traits(strands, style, own, of_lock, step_cm, lock, guide)
    tips = _roots(shape, strands, comb, own, of_lock)
    paths = np.empty((len(strands), count + 1, 3), dtype=np.float32)
    paths[:, 0] = tips.at.T
    for j in range(count):
        run = traits.step_cm * _OWN(j + 0.5)
        _turn(shape, tips, traits, run)
        _step(shape, tips, traits, run)
        paths[:, j + 1] = tips.at.T
    return paths


def _traits(
    strands: Strands,
    style: HairStyle,
    own: Floats,
    of_lock: Floats,
    step_cm: Floats,
    lock: Whole,
    guide: Whole,
) -> Traits:
    number = constants("fall")
    curl = min(style.curl_factor - 1, 1.0)
    tight = min(1.5 * curl, 1.0)
    factor = 1 + (style.curl_factor - 1) * (0.75 + 0.5 * own[4])
    curled = math.isfinite(style.turn_cm)
    spin = (
        2
        * math.pi
        / style.turn_cm
        * (1 + (0.24 + 0.3 * curl) * (of_lock[1] - 0.5) + 0.03 * (own[8] - 0.5))
    )
    turn, high = 2 * math.pi * own[5], 2 * own[6] - 1
    flat = np.sqrt(1 - high**2)
    away = np.stack([flat * np.cos(turn), flat * np.sin(turn), high])
    hairs = float(strands.weight.sum()) / SCALP_CM2
    area = math.pi / 4 * (style.diameter_um * 1e-4) ** 2
    turn, high = 2 * math.pi * of_lock[7], 2 * of_lock[8] - 1
    flat = np.sqrt(1 - high**2)
    sway = np.stack([flat * np.cos(turn), flat * np.sin(turn), high])
    few = own[11] < number["fly_share"]
    return Traits(
        step_cm=step_cm.astype(_OWN),
        fly=(away * np.where(few, number["fly_few"], number["fly"])).astype(_OWN),
        sway=(number["sway"] * tight * sway).astype(_OWN),
        wander=(2 * math.pi * own[7]).astype(_OWN),
        wobble=(2 * math.pi * of_lock[6]).astype(_OWN),
        spin=np.where(
            (of_lock[3] < 0.5) ^ (own[8] < number["against"] * tight), spin, -spin
        ).astype(_OWN),
        phase=(2 * math.pi * of_lock[2] + (2.2 - curl) * (own[9] - 0.5)).astype(_OWN),
        angle=np.arccos(1 / factor).astype(_OWN) if curled else None,
        curl=curl,
        rise_cm=(0.02 + number["rise_cm"] * own[10] + number["rise_lock_cm"] * of_lock[4]).astype(
            _OWN
        ),
        thick=hairs * area * style.curl_factor**2 / number["packing"],
        lie=number["lie_per_cm"] * short_of(style.length_cm),
        lock=lock,
        guide=guide,
        before=(number["before_cm"] + number["before_spread_cm"] * (2 * of_lock[5] - 1)).astype(
            _OWN
        ),
        reach=min(max((style.worn_cm - number["shoulder_from_cm"]) / 6.0, 0.0), 1.0),
    )


def _roots(shape: HeadShape, strands: Strands, comb: Combed, own: Floats, of_lock: Floats) -> Tips:
    """Give the strands at the scalp, leaving it along the way they are combed."""
    root = shape.place(strands.u, strands.y)
    out = shape.normal(root)
    near = np.exp(-((comb.clear_cm / 0.6) ** 2))
    astray = 0.5 * (of_lock[0] - 0.5) + (0.3 + 0.5 * near) * (own[3] - 0.5)
    cos, sin = np.cos(astray), np.sin(astray)
    across, along = cos * comb.across - sin * comb.along, sin * comb.across + cos * comb.along
    flow = _unit(shape.place(strands.u + 0.2 * across, strands.y + 0.2 * along) - root)
    lift = math.radians(constants("fall")["lift_deg"]) * (0.5 + own[4]) * (1 + 0.2 * comb.fringe)
    toward = np.cos(lift) * flow + np.sin(lift) * out
    side = _unit(np.cross(out, toward, axis=0))
    at = root.astype(_OWN)
    return Tips(at, at.copy(), toward.astype(_OWN), side.astype(_OWN), flow.astype(_OWN))


def _turn(shape: HeadShape, tips: Tips, traits: Traits, run: Singles) -> None:
    """Turn the strands to where they are combed, gathered, blown and pulled."""
    number = constants("fall")
    ds, curl = traits.step_cm, traits.curl
    out, over = shape.over_cranium(tips.centre)
    near = np.clip(1.5 - 0.6 * over, 0, 1)
    bend = _OWN(number["bend_cm"] * (1 + 1.2 * curl))
    tips.flow -= near * np.maximum(_dot(tips.flow, out), 0) * out
    gather = tips.centre[:, traits.guide][:, traits.lock] - tips.centre
    loose = np.maximum(
        1
        - _OWN(number["gather_free_cm"] * (1 - 0.85 * curl))
        / np.maximum(np.sqrt(_dot(gather, gather)), 0.05),
        0,
    )
    drawn = (
        loose
        * ds
        * _OWN(number["gather"] + number["gather_curl"] * curl)
        * np.minimum(run / _OWN(10 - 6 * curl), 1)
    )
    low = _near_shoulder(shape, tips.centre)
    toward = (
        tips.toward
        + ds / bend * (0.25 + 0.75 * np.minimum(run / 2, 1)) * _DOWN
        + ds / _OWN(number["flow_cm"]) * np.exp(-run / _OWN(number["flow_reach_cm"])) * tips.flow
        + drawn * np.clip(gather, -1.2, 1.2)
        - _OWN(traits.lie) * ds * near * out
        + ds * _over_shoulder(shape, tips.centre, traits, low) * _FORWARD
        + ds * np.sin(traits.wander + _OWN(0.35) * run) * traits.fly
        + ds * np.sin(traits.wobble + _OWN(0.7) * run) * traits.sway
    )
    aside = np.maximum(toward[0] * np.sign(tips.centre[0]), 0) * np.sign(tips.centre[0])
    toward[0] -= np.minimum(ds * _OWN(number["hold"] * traits.reach) * low, 1) * aside
    outward = _dot(toward, out)
    held = np.where(outward > 0, np.minimum(_OWN(0.2) * ds * near, 1), near >= 1)
    toward -= held * outward * out
    tips.toward = _unit(toward)
    tips.side = _unit(tips.side - _dot(tips.side, tips.toward) * tips.toward)


def _near_shoulder(shape: HeadShape, at: Singles) -> Singles:
    """Give how far strands have come down to the shoulders, [1]."""
    middle, half = shape.parts["shoulders"]
    top = middle[2] + half[2] + constants("fall")["sweep_over_cm"] * shape.grown
    return np.asarray(np.clip((_OWN(top) - at[2]) / 5, 0, 1))


def _over_shoulder(shape: HeadShape, at: Singles, traits: Traits, low: Singles) -> Singles:
    """Give the pull to the front, per cm, that brings strands before or behind the shoulder."""
    number = constants("fall")
    middle, half = shape.parts["shoulders"]
    way = at[1] / _OWN(shape.grown) - traits.before
    way = np.where(way > 0, np.clip(way, 0.4, 1), np.clip(way, -1, -0.4))
    ahead = (at[1] - _OWN(middle[1])) / _OWN(half[1])
    short = np.clip(0.7 - ahead * np.sign(way), 0, 1)
    return np.asarray(_OWN(number["sweep"] * traits.reach) * low * short * way)


def _step(shape: HeadShape, tips: Tips, traits: Traits, run: Singles) -> None:
    """Go on by a step along the curl, and out of what is in the way."""
    ds = traits.step_cm
    if traits.angle is not None:
        theta = traits.angle * np.minimum(run / _OWN(1.5), 1)
        other = np.cross(tips.toward, tips.side, axis=0)
        turned = traits.spin * run + traits.phase + np.sin(traits.wobble + _OWN(0.3) * run)
        turned += _OWN(0.3) * np.sin(traits.wander + _OWN(0.3) * run)
        lean = np.sin(theta)
        bent = np.cos(turned) * tips.side + np.sin(turned) * other
        way = np.cos(theta) * tips.toward + lean * bent
        turned += traits.spin * ds / 2  # the step ends half a step on
        wide = lean / np.abs(traits.spin)
        offset = lean / traits.spin * (np.sin(turned) * tips.side - np.cos(turned) * other)
    else:
        way, offset, wide = tips.toward, np.float32(0), np.float32(0)
    wanted = tips.at + ds * way
    beneath = _OWN(traits.thick) * np.minimum(run, 22)
    clear = traits.rise_cm * np.minimum(run / 3, 1) + beneath + _OWN(0.6) * wide
    middle = wanted - offset
    freed = shape.push_out(middle, clear * np.minimum(run / _OWN(0.6), 1))
    wanted = shape.push_out(wanted + (freed - middle), 0) if traits.angle is not None else freed
    moved = _unit(freed - tips.centre)
    gone = tips.at + ds * _unit(wanted - tips.at)
    gone = tips.at + ds * _unit(shape.push_out(gone, 0) - tips.at)
    pushed = _dot(freed - middle, freed - middle) > _OWN(1e-8)
    tips.at, tips.centre = gone, gone - offset
    tips.toward = np.where(pushed, (tips.toward + moved) / 2, tips.toward)


def _dot(a: NDArray[Any], b: NDArray[Any]) -> NDArray[Any]:
    return np.asarray(np.einsum("kn,kn->n", a, b))


def _unit(a: NDArray[Any]) -> NDArray[Any]:
    return np.asarray(a / np.maximum(np.sqrt(_dot(a, a)), a.dtype.type(1e-9)))
