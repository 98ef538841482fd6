"""Stripes: how unlike neighbouring strands look once the eye has blurred them.

Colours are tristimulus values with Y = 100 for the perfect white, widths in mm, distances in m.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.colour.spectra import WHITE_XYZ
from strandline.science.seeing.constants import kernels
from strandline.science.seeing.scielab import (
    opponent_from_xyz,
    strand_transfer,
    transfer,
    visual_degrees,
    xyz_from_opponent,
)

Floats = NDArray[np.float64]

FIBRE_MM = 0.07
"""Diameter of a hair where none is said, mm; within the 40-120 um of BioNumbers 116402."""
_FINEST_CPD = 64.0
"""Nothing of a grating finer than this passes: 1e-15 of luminance is left."""
_ASYMPTOTIC = 20.0
_ROUNDING = 1e-9


def peak_to_trough(xyz_1: Floats, xyz_2: Floats, width_mm: float, distance_m: float) -> float:
    """Difference between the middles of neighbouring stripes of a square grating.

    Parameters
    ----------
    xyz_1, xyz_2 : shape (3,)   the two colours, stripes of one width
    width_mm : float            of one stripe, half the period, mm, > 0
    distance_m : float          from the eye, m, > 0

    Returns
    -------
    dE00

    Raises
    ------
    OutOfRangeError   a width or distance not above 0

    Notes
    -----
    mean +- half the difference x sum over odd k of 4/(pi k) (-1)^((k - 1)/2) T(k f). It can pass
    the flat difference: the eye sharpens broad stripes.

    References
    ----------
    scielab1996
    """
    _above_zero(width_mm, "a stripe")
    frequency = 1.0 / float(visual_degrees(2.0 * width_mm, distance_m))
    harmonic = np.arange(1.0, max(2.0, _FINEST_CPD / frequency), 2.0)
    sign = np.where((harmonic - 1.0) / 2.0 % 2.0 == 0, 1.0, -1.0)
    gain = (4.0 / (math.pi * harmonic) * sign) @ transfer(harmonic * frequency)
    one, two = (opponent_from_xyz() @ np.asarray(c, dtype=float) for c in (xyz_1, xyz_2))
    mean, half = (one + two) / 2.0, gain * (one - two) / 2.0
    seen = lab_from_xyz(np.stack([mean + half, mean - half]) @ xyz_from_opponent().T)
    return float(delta_e00(seen[0], seen[1]))


def isolated_peak(
    strand_xyz: Floats, ground_xyz: Floats, width_mm: float, distance_m: float
) -> float:
    """Difference between the middle of one strand and the even ground it lies on, dE00.

    Parameters
    ----------
    strand_xyz, ground_xyz : shape (3,)
    width_mm : float     of the strand, mm, > 0
    distance_m : float   from the eye, m, > 0

    Raises
    ------
    OutOfRangeError   a width or distance not above 0

    References
    ----------
    scielab1996
    """
    _above_zero(width_mm, "a strand")
    gain = strand_transfer(float(visual_degrees(width_mm, distance_m)))
    matrix = opponent_from_xyz()
    ground = matrix @ np.asarray(ground_xyz, dtype=float)
    strand = matrix @ np.asarray(strand_xyz, dtype=float)
    seen = xyz_from_opponent() @ (ground + gain * (strand - ground))
    return float(delta_e00(lab_from_xyz(seen), lab_from_xyz(np.asarray(ground_xyz, dtype=float))))


@dataclass(frozen=True, slots=True)
class Lie:
    """How hair of several kinds lies side by side across a stretch.

    Parameters
    ----------
    shares : n shares [1]             of kinds of fibre, >= 0, summing to 1
    strand_of : n indices             the strand group each kind belongs to, 0 to g - 1
    run_mm : g lengths, mm            mean run of each group across the stretch, > 0
    fibre_mm : float                  diameter of a fibre, mm, > 0
    """

    shares: tuple[float, ...]
    strand_of: tuple[int, ...]
    run_mm: tuple[float, ...]
    fibre_mm: float = FIBRE_MM

    def __post_init__(self) -> None:
        """Refuse shares that do not close, groups that are not there, runs of no length."""
        if not (min(self.shares) >= 0 and abs(sum(self.shares) - 1.0) <= 1e-6):
            raise OutOfRangeError(
                f"The shares of the hair sum to {sum(self.shares):g}, the least is "
                f"{min(self.shares):g}; they must be 0 or more and sum to 1.",
                "Divide each by their sum.",
            )
        if len(self.strand_of) != len(self.shares) or set(self.strand_of) != set(
            range(len(self.run_mm))
        ):
            raise OutOfRangeError(
                f"The kinds of hair point to groups {sorted(set(self.strand_of))}; there are "
                f"{len(self.run_mm)} groups.",
                "Give each kind one group, counted from 0, and each group at least one kind.",
            )
        for run in (*self.run_mm, self.fibre_mm):
            _above_zero(run, "a run of like hair")


def seen_variance(xyz: Floats, lie: Lie, distance_m: float) -> float:
    """Variance of what is seen across a stretch.

    Parameters
    ----------
    xyz : shape (n, 3)   colour of each kind of fibre of `lie`
    lie : Lie
    distance_m : float   from the eye, m, > 0

    Returns
    -------
    dE00 squared

    Notes
    -----
    Groups lie in a random row in which the group of share F and mean run m keeps its kind over
    m (1 - F); within a group fibres lie at random, each as wide as a fibre. Indicators then
    decorrelate as exp(-|x|/l), and two channels keep of their covariance the sum over their
    Gaussians of w w' exp(b^2) erfc(b), b = sqrt(h^2 + h'^2)/(4 l sqrt(ln 2)). The covariance is
    carried to CIELAB by its slope at the mean and weighed by dE00 one sd to either side along its
    axes. Valid to a few dE in ten; rare light strands are better told by `isolated_peak`.

    References
    ----------
    scielab1996
    """
    shares = np.array(lie.shares)
    opponent = np.asarray(xyz, dtype=float) @ opponent_from_xyz().T
    mean = shares @ opponent
    kept = np.zeros((3, 3))
    for group, run in enumerate(lie.run_mm):
        inside = np.array(lie.strand_of) == group
        whole = float(shares[inside].sum())
        if whole <= 0.0:
            continue
        middle = shares[inside] @ opponent[inside] / whole
        away = middle - mean
        kept += whole * np.outer(away, away) * _kept(run * (1.0 - whole), distance_m)
        apart = opponent[inside] - middle
        grain = (shares[inside, None] * apart).T @ apart
        kept += grain * _kept(lie.fibre_mm, distance_m)
    return _weighed(kept, xyz_from_opponent() @ mean)


def stripes(planned_xyz: Floats, untreated_xyz: Floats, lie: Lie, distance_m: float) -> float:
    """Stripes that treatment added: the spread seen above that of the untreated hair.

    Parameters
    ----------
    planned_xyz, untreated_xyz : shape (n, 3)   colour of each kind of fibre, treated and as grown
    lie : Lie
    distance_m : float                          from the eye, m, > 0

    Returns
    -------
    dE00, >= 0; exactly 0 where nothing was changed, and 0 where treatment evened the hair

    Notes
    -----
    sqrt(max(0, var planned - var untreated)), `seen_variance` of each; what is rounding alone
    (1e-9 of the variance) counts as nothing added.
    """
    untreated = seen_variance(untreated_xyz, lie, distance_m)
    added = seen_variance(planned_xyz, lie, distance_m) - untreated
    return math.sqrt(added) if added > _ROUNDING * untreated else 0.0


@lru_cache(maxsize=1024)
def _kept(length_mm: float, distance_m: float) -> Floats:
    """Share of a covariance that passes, channel by channel, shape (3, 3)."""
    if length_mm <= 0.0:
        return np.zeros((3, 3))
    length = float(visual_degrees(length_mm, distance_m))

    def passed(one: Sequence[tuple[float, float]], two: Sequence[tuple[float, float]]) -> float:
        return sum(
            w_1 * w_2 * _scaled_erfc(math.hypot(h_1, h_2) / (4.0 * length * math.log(2.0) ** 0.5))
            for h_1, w_1 in one
            for h_2, w_2 in two
        )

    share = np.array([[passed(one, two) for two in kernels()] for one in kernels()])
    share.setflags(write=False)
    return share


def _scaled_erfc(b: float) -> float:
    """exp(b^2) erfc(b) for b >= 0, by its asymptotic series where the factors run off."""
    if b < _ASYMPTOTIC:
        return math.exp(b * b) * math.erfc(b)
    q = 1.0 / (2.0 * b * b)
    return (1.0 - q + 3.0 * q * q - 15.0 * q**3) / (b * math.sqrt(math.pi))


def _weighed(covariance: Floats, mean_xyz: Floats) -> float:
    """Turn a covariance in opponent colour into a variance in dE00 about a mean."""
    step = 1e-4 * WHITE_XYZ
    ahead, behind = (lab_from_xyz(mean_xyz + sign * np.diag(step)) for sign in (1.0, -1.0))
    slope = ((ahead - behind) / (2.0 * step[:, None])).T @ xyz_from_opponent()
    spread, axes = np.linalg.eigh(slope @ covariance @ slope.T)
    lab = lab_from_xyz(mean_xyz)
    out = np.sqrt(np.maximum(spread, 0.0)) * axes  # rounding alone takes a spread below 0
    both = np.concatenate([lab + out.T, lab - out.T])
    return float(np.sum(delta_e00(both, lab) ** 2) / 2.0)


def _above_zero(length_mm: float, thing: str) -> None:
    if not (math.isfinite(length_mm) and length_mm > 0):
        raise OutOfRangeError(
            f"The width of {thing} is {length_mm:g} mm; it must be above 0 and finite.",
            "Give it in mm; a hair is about 0.07, the pick of a weave 1 to 4.",
        )
