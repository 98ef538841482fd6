"""How strands fall: from the scalp, along the head, down by their weight, each a polyline.

Fixed units inside: cm; head space as in `shape`. The distance along a strand is stretched length,
whatever its curl: a wave is drawn shorter, never a colour moved.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.head.on_date import NONE
from strandline.science.head.scalp import Scalp
from strandline.science.head.strands import Strands
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.flow import combed, in_fringe, own_draws, short_of
from strandline.service.growout.pictures.march import march
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.style import HairStyle

Floats = NDArray[np.float64]
Paths = NDArray[np.float32]
States = NDArray[np.int32]

LEAST_CM, MOST_CM = 0.05, 200.0
_DRAWS = 12


@dataclass(frozen=True, eq=False)
class Fallen:
    """Strands as they hang, N of them in J pieces each.

    Parameters
    ----------
    paths : shape (N, J + 1, 3)   cm to the right, to the front, up; from the root
    length_cm : shape (N,)        stretched; piece j of a strand runs from j / J of it on
    shape : the head they grow on
    """

    paths: Paths
    length_cm: Floats
    shape: HeadShape

    @property
    def pieces(self) -> int:
        """Give J."""
        return int(self.paths.shape[1]) - 1


def worn_lengths(scalp: Scalp, strands: Strands, style: HairStyle) -> Floats:
    """Give the stretched length of each strand, cm, shape (N,): cut, uneven at the ends.

    Notes
    -----
    The mean over the hairs stays the style's length but for a fringe and what is uneven. Hair past
    the ears is cut mostly to one height, so that the lowest is the shortest; short hair shorter
    towards the nape.
    """
    own = own_draws(strands.raw, _DRAWS)
    fringe = in_fringe(scalp, strands.u, strands.y, style)
    number = constants("fall")
    shape = HeadShape(scalp)
    up = shape.place(strands.u, strands.y)[2]
    short = short_of(style.length_cm)
    taper = 1.0 - number["taper"] * short * np.clip((9.0 - up / shape.grown) / 15.0, 0.0, 1.0)
    way = _way_down(shape, up)
    higher = style.curl_factor * (way - float(np.average(way, weights=strands.weight)))
    cut = style.length_cm + (1.0 - short) * number["one_length"] * higher
    cut = np.maximum(cut, number["least_share"] * style.length_cm)
    at_brow = np.minimum(style.fringe_cm + strands.y, style.length_cm)
    length = np.where(fringe, at_brow, cut * taper)
    uneven = number["ends_share"] * own[0] ** 1.5
    return np.asarray(length * (1.0 - np.where(fringe, 0.6, 1.0) * uneven))


def _way_down(shape: HeadShape, up: Floats) -> Floats:
    """Give the way from roots down over the head to its broadest place, cm: below it less than 0.

    Over the head it is an arc of the circle that is as high as the cranium.
    """
    middle, half = shape.parts["cranium"]
    over = up - middle[2]
    arc = half[2] * np.arcsin(np.clip(over / half[2], 0.0, 1.0))
    return np.asarray(np.where(over > 0, arc, over))


def fall(
    scalp: Scalp,
    strands: Strands,
    style: HairStyle,
    length_cm: Floats | float | None = None,
    pieces: int | None = None,
) -> Fallen:
    """Let the strands of a head fall.

    Parameters
    ----------
    scalp : they grow on
    strands : N
    style : how they are worn
    length_cm : shape () or (N,)   stretched, 0.05-200; `worn_lengths` if left out
    pieces : J, 4-400; by length and curl if left out

    Returns
    -------
    Fallen   the same for the same strands: what varies is drawn from each strand's own integers

    Raises
    ------
    OutOfRangeError   a length or a number of pieces outside its range

    Notes
    -----
    Strands are marched from the root in equal stretched steps. The direction turns to where the
    strand is combed (which tells near the scalp) and to where its weight pulls it, each over a
    length; what would enter the head, or the hair that lies there, is brought out. The hair under a
    strand is as thick as density x fibre area x run over the scalp / packing: nothing lies beneath
    it at its root. Curl is a helix about that path whose angle makes the worn length of the
    stretched one; strands of a lock share its phase. Drawn, not solved: no elasticity, no strand
    rests on another one. On scalps of another round the head is scaled.
    """
    own = own_draws(strands.raw, _DRAWS)
    length = worn_lengths(scalp, strands, style) if length_cm is None else length_cm
    length = np.broadcast_to(np.asarray(length, dtype=float), len(strands)).copy()
    count = style.pieces if pieces is None else pieces
    if not np.all((length >= LEAST_CM) & (length <= MOST_CM)):
        raise OutOfRangeError(
            f"Strands are {length.min():g} to {length.max():g} cm long; they must be "
            f"{LEAST_CM:g}-{MOST_CM:g} cm.",
            "Give stretched lengths in cm.",
        )
    if not 4 <= count <= 400:
        raise OutOfRangeError(
            f"A strand is to be drawn in {count} pieces; it must be 4-400.", "Ask for 40."
        )
    shape = HeadShape(scalp)
    comb = combed(scalp, strands, style)
    return Fallen(march(shape, strands, style, comb, own, length / count, count), length, shape)


def states_along(edge_cm: Floats, state: States, length_cm: Floats, pieces: int) -> States:
    """Give the state of each piece of each strand.

    Parameters
    ----------
    edge_cm : shape (K + 1,)   ends of stretches of one width, cm from the scalp
    state : shape (N, K)       as in `Pasts`; -1 where no hair is
    length_cm : shape (N,)     of the strands as they fall
    pieces : J of them

    Returns
    -------
    shape (N, J)   state at the middle of each piece; -1 where a strand has no hair. Up to a stretch
                   past the last hair, that of the last: stretches are whole, strands are not
    """
    kept = state != NONE
    last = state.shape[1] - 1 - np.argmax(kept[:, ::-1], axis=1)
    width = float(edge_cm[1] - edge_cm[0])
    middle = (np.arange(pieces) + 0.5) / pieces * np.asarray(length_cm)[:, None]
    column = np.minimum((middle / width).astype(np.int64), state.shape[1] - 1)
    found = np.take_along_axis(state, np.minimum(column, last[:, None]), axis=1)
    return np.where(column <= last[:, None] + 1, found, NONE).astype(np.int32)


def length_on(strands: Strands, day: float, length_cm: Floats | float) -> Floats:
    """Give the stretched length of each strand on a day, shape (N,), cm: less where it was shed.

    Parameters
    ----------
    day : days from the first visit
    length_cm : shape () or (N,)   of strands that were not shed

    Notes
    -----
    As in `pasts_on`; a strand that has hardly come again is taken as .05 cm long. What was not shed
    keeps its length: hair is trimmed by what grows, or else hand in what it has grown to.
    """
    grown = strands.growth_um_per_day * 1e-4 * (day - strands.shed_day)
    shed = (strands.shed_day > 0) & (strands.shed_day <= day)
    return np.where(shed, np.maximum(np.minimum(grown, length_cm), LEAST_CM), length_cm)
