"""All strands of a head on one date: which stretch of each has which past, as few states.

Material is named by the day it grew: what lay between two distances on the day of a treatment lies
farther out by what its own strand has grown since. A strand that was shed is new hair from there
on. States are computed once for each past that occurs, not for each strand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.head.strands import Flags, Floats, Strands, Whole

Codes = NDArray[np.uint16]

MOST_DONE = 10
"""Treatments that are told apart: with two colours of hair and 16 zones they fill 16 bits."""
MOST_ZONES = 32
NONE = -1
"""No hair there: beyond the tip, or not grown again yet."""
_ROWS = 4096


@dataclass(frozen=True, eq=False)
class Done:
    """Something done to some strands, on a day.

    Parameters
    ----------
    day : days from the first visit; may lie before it
    from_cm, to_cm : from the scalp on that day, 0 or more and rising; infinity for the ends
    taken : shape (N,)   strands it was done to
    what : what it was, for its effect
    """

    day: float
    from_cm: float
    to_cm: float
    taken: Flags
    what: str

    def __post_init__(self) -> None:
        """Refuse a stretch that is none."""
        if not 0 <= self.from_cm < self.to_cm:
            raise OutOfRangeError(
                f"'{self.what}' runs from {self.from_cm:g} to {self.to_cm:g} cm; it must begin at "
                "0 or more and end farther out.",
                "Give the nearer distance first, both in cm from the scalp.",
            )


@dataclass(frozen=True, eq=False)
class Pasts:
    """Every strand cut into stretches of one width, and the past of each.

    Parameters
    ----------
    edge_cm : shape (J + 1,)   ends of the stretches, cm from the scalp
    state : shape (N, J)   place among the states, `NONE` where no hair is
    zone : shape (S,)   place among the strands' zone keys, by state
    white : shape (S,)
    done : shape (S, T)   which treatments it has had, in the order given
    """

    edge_cm: Floats
    state: NDArray[np.int32]
    zone: Whole
    white: Flags
    done: Flags

    def where(self, wanted: Callable[[bool, Flags], bool]) -> Flags:
        """Say which stretches have a past, shape (N, J); asked of (white, done) by state."""
        held = np.array([wanted(bool(w), d) for w, d in zip(self.white, self.done, strict=True)])
        return np.append(held, False)[self.state]  # NONE is the last


def pasts_on(
    strands: Strands,
    done: Sequence[Done],
    day: float,
    length_cm: Floats | float,
    stretches: int = 40,
) -> Pasts:
    """Say what past each stretch of each strand has on a day.

    Parameters
    ----------
    strands : N
    done : those after `day` do not count; at most `MOST_DONE` count
    day : days from the first visit
    length_cm : shape () or (N,)   worn on that day by strands that were not shed, above 0
    stretches : of equal width, 1-200, from the scalp to the longest tip

    Returns
    -------
    Pasts   states that occur, in the order of their codes

    Raises
    ------
    OutOfRangeError   too many treatments or zones, no length, a number of stretches off its range

    Notes
    -----
    A stretch has the past of its middle. Strand i has grown rate_i (day - d) since a treatment of
    day d, so that the treatment reaches from `from_cm` and `to_cm` so much farther out. A strand
    shed at s > 0, up to `day`, keeps what was done after s to what had grown by then, and is
    rate_i (day - s) long. Distances are along the strand, stretched.
    """
    counted = [one for one in done if one.day <= day]
    length = np.broadcast_to(np.asarray(length_cm, dtype=float), len(strands))
    _check(strands, counted, length, stretches)
    rate = strands.growth_um_per_day * 1e-4
    shed = (strands.shed_day > 0) & (strands.shed_day <= day)
    length = np.where(shed, rate * (day - strands.shed_day), length)
    width = float(length.max()) / stretches
    bits = len(counted)
    base = (2 * strands.zone + strands.white).astype(np.uint16) << np.uint16(bits)
    ends = np.clip(np.ceil(length / width - 0.5), 0, stretches).astype(np.int64)
    bounds = [_bounds(one, strands, rate, shed, day, width, stretches) for one in counted]
    codes = np.empty((len(strands), stretches), dtype=np.uint16)
    for start in range(0, len(strands), _ROWS):
        rows = slice(start, start + _ROWS)
        codes[rows] = _codes(base[rows], [(a[rows], z[rows]) for a, z in bounds], stretches)
    present = np.flatnonzero(np.bincount(codes.ravel(), minlength=1))
    place = np.full(int(present[-1]) + 1, NONE, dtype=np.int32)
    place[present] = np.arange(len(present))
    state = place[codes]
    short = np.flatnonzero(ends < stretches)
    state[short] = np.where(np.arange(stretches) < ends[short, None], state[short], NONE)
    kind, mask = present >> bits, present & ((1 << bits) - 1)
    return Pasts(
        edge_cm=np.arange(stretches + 1, dtype=np.float64) * width,
        state=state,
        zone=kind // 2,
        white=(kind % 2).astype(bool),
        done=np.array([[bool(code >> t & 1) for t in range(bits)] for code in mask]).reshape(
            len(present), bits
        ),
    )


def _bounds(
    one: Done,
    strands: Strands,
    rate: Floats,
    shed: Flags,
    day: float,
    width: float,
    stretches: int,
) -> tuple[Whole, Whole]:
    """Give the first stretch that a treatment reaches, and the first beyond it, by strand."""
    grown = rate * (day - one.day)
    low, high = one.from_cm + grown, one.to_cm + grown
    anew = shed & (strands.shed_day > one.day)  # what was treated is gone
    taken = one.taken & ~anew
    if one.day > 0:  # shed before: only what had grown by the treatment's day was there
        short = shed & ~anew
        grown_then = rate * (one.day - strands.shed_day)
        taken &= ~(short & (grown_then <= one.from_cm))
    first = np.where(taken, np.ceil(low / width - 0.5), stretches)
    last = np.where(taken, np.ceil(np.minimum(high, 1e6) / width - 0.5), stretches)
    return (
        np.clip(first, 0, stretches).astype(np.int64),
        np.clip(last, 0, stretches).astype(np.int64),
    )


def _codes(base: Codes, bounds: Sequence[tuple[Whole, Whole]], stretches: int) -> Codes:
    """Give the code of every stretch of some strands: its kind of hair and the bits of its past."""
    changes = np.zeros((len(base), stretches + 1), dtype=np.uint16)
    flat, row = changes.ravel(), np.arange(len(base)) * (stretches + 1)  # a third of 2-d indexing
    for bit, (first, last) in enumerate(bounds):
        flag = np.uint16(1 << bit)
        flat[row + first] ^= flag
        flat[row + last] ^= flag
    changes[:, 0] ^= base
    return np.asarray(np.bitwise_xor.accumulate(changes[:, :stretches], axis=1))


def _check(strands: Strands, counted: Sequence[Done], length: Floats, stretches: int) -> None:
    if len(counted) > MOST_DONE or len(strands.keys) > MOST_ZONES:
        raise OutOfRangeError(
            f"{len(counted)} treatments on {len(strands.keys)} zones are to be told apart; it "
            f"must be at most {MOST_DONE} and {MOST_ZONES}.",
            "Join those of one day and one effect.",
        )
    if not np.all(length > 0):
        raise OutOfRangeError(
            f"The hair is {float(length.min()):g} cm long; it must be more than 0.",
            "Give the length worn on that day, stretched.",
        )
    if not 1 <= stretches <= 200:
        raise OutOfRangeError(
            f"{stretches} stretches are asked for; it must be 1-200.", "Ask for 40."
        )
