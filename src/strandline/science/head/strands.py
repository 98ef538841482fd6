"""Strands of a head: derived, never stored.

A head's key, the sampler's version and what grows in its zones give the same strands for ever. A
strand is a cell of the scalp's chart, 5 mm wide, and its place among the cell's strands; everything
else about it is drawn from those integers. Zones only say how many of a cell's strands there are
and what they are like, so that a cut line that moves shuffles nothing.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.head.growth import STRAND_SPREAD, TELOGEN_DAYS, TELOGEN_SHARE
from strandline.science.head.mass import hairs
from strandline.science.head.polygon import Polygon
from strandline.science.head.zones import Zones

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Raw = NDArray[np.uint64]
Flags = NDArray[np.bool_]

SAMPLER = 1
"""Version of the derivation; another one is another head."""
STRANDS = 20_000
MOST_STRANDS = 200_000
CELL_CM = 0.5
COLUMNS, ROWS = 48, 96
"""Cells of the chart: u from -12 to 12 cm, y from -2 to 46 cm; no scalp reaches farther."""
LEAST_U, LEAST_Y = -12.0, -2.0
DRAWS = 8
ACROSS, ALONG, KEPT, WHITE, DIAMETER, GROWTH, SHED, SEEN = range(DRAWS)
"""What each of a strand's eight draws decides; the last is the hand's, visit by visit."""
DIAMETER_SPREAD = 0.2
"""Spread of diameters on one head, share of the mean; from memory (published occipital heads show
.18 to .22)."""
_NORMAL_BITS = 12
"""A normal is one of 4096 quantiles: the same on every machine."""


@dataclass(frozen=True, slots=True)
class Grown:
    """What grows in a zone.

    Parameters
    ----------
    density_per_cm2 : hairs/cm2, above 0 to 500
    gray : share of white [1], 0-1
    diameter_um : mean, 20-200
    growth_um_per_day : mean, 50-900
    """

    density_per_cm2: float
    gray: float
    diameter_um: float
    growth_um_per_day: float

    def __post_init__(self) -> None:
        """Refuse what grows on no head."""
        for thing, value, low, high, unit in (
            ("density", self.density_per_cm2, 1.0, 500.0, "hairs/cm2"),
            ("share of white", self.gray, 0.0, 1.0, ""),
            ("strand diameter", self.diameter_um, 20.0, 200.0, "um"),
            ("growth", self.growth_um_per_day, 50.0, 900.0, "um/day"),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(
                    f"The {thing} is {value:g} {unit}".rstrip()
                    + f"; it must be {low:g}-{high:g} {unit}".rstrip()
                    + ".",
                    "Give it in that unit.",
                )


@dataclass(frozen=True, eq=False)
class Strands:
    """Strands of a head, N of them; each stands for `weight` hairs.

    Parameters
    ----------
    cell, index : shape (N,)   who it is
    raw : shape (N, 8)   its draws as they came
    u, y : shape (N,)   its root in the chart, cm
    zone : shape (N,)   place of its zone among `keys`
    keys : of the zones
    white : shape (N,)
    diameter_um, growth_um_per_day : shape (N,)
    shed_day : shape (N,)   day it is first shed, counted from the first visit
    weight : shape (N,)   hairs it stands for
    """

    cell: Whole
    index: Whole
    raw: Raw
    u: Floats
    y: Floats
    zone: Whole
    keys: tuple[str, ...]
    white: Flags
    diameter_um: Floats
    growth_um_per_day: Floats
    shed_day: Floats
    weight: Floats

    def __len__(self) -> int:
        """Give how many there are."""
        return len(self.cell)

    def in_zone(self, key: str) -> Flags:
        """Say which grow in a zone."""
        return np.asarray(self.zone == self.keys.index(key))

    def share(self, which: Flags) -> float:
        """Give the share of the head's hairs that some strands stand for [1]."""
        return float(self.weight[which].sum() / self.weight.sum())

    def digest(self) -> str:
        """Give a fingerprint of who the strands are: of their integers alone."""
        ours = hashlib.sha256(f"sampler {SAMPLER}".encode())
        for part in (self.cell, self.index):
            ours.update(part.astype("<i8").tobytes())
        ours.update(self.raw.astype("<u8").tobytes())
        return ours.hexdigest()


def key_of(name: str) -> int:
    """Give the key of a head by a name that stays, such as its client's in the record."""
    return int.from_bytes(hashlib.sha256(name.encode("utf-8")).digest()[:16], "little")


def derive(zones: Zones, grown: Mapping[str, Grown], key: int, count: int = STRANDS) -> Strands:
    """Derive the strands of a head.

    Parameters
    ----------
    zones : of the head
    grown : what grows in each zone, by its key; every zone is named
    key : of the head, of `key_of`
    count : strands wanted, 1,000-200,000; met in the mean

    Returns
    -------
    Strands   weights of a zone sum to its hairs

    Raises
    ------
    OutOfRangeError   a count outside its range, a zone without its hair

    Notes
    -----
    Candidate k of a cell has eight 64-bit draws from Philox4x64-10, keyed by the head, at counter
    2 (k cells + cell) + 1: a strand does not move when there are more of them. It stands at a
    uniform place in its cell and is there where k + its draw is below the strands wanted of such
    a cell: sampled densities follow the zones', so that weights are alike. Diameters are
    log-normal, rates normal, the day of shedding exponential: telogen share / telogen days a day.
    Valid for a head in balance. A hair is shed once: of a quarter that is shed in three visits
    about three in a hundred would be shed twice.

    References
    ----------
    salmon2011; loussouarn2005 for the share at rest
    """
    if not 1000 <= count <= MOST_STRANDS:
        raise OutOfRangeError(
            f"{count} strands are asked for; it must be 1,000-{MOST_STRANDS:,}.",
            f"Ask for {STRANDS:,}; weights make them a whole head.",
        )
    missing = [zone.key for zone in zones if zone.key not in grown]
    if missing:
        raise OutOfRangeError(
            f"It is not said what grows in: {', '.join(missing)}.", "Describe every zone."
        )
    table = [grown[zone.key] for zone in zones]
    each = np.array([one.density_per_cm2 for one in table])
    whole = sum(one.density_per_cm2 * zone.area_cm2 for one, zone in zip(table, zones, strict=True))
    wanted = each * CELL_CM**2 * count / whole  # of a cell, by zone
    deep = math.ceil(float(wanted.max()))
    cells = COLUMNS * ROWS
    raw = np.random.Philox(counter=0, key=key).random_raw(deep * cells * DRAWS)
    raw = raw.reshape(deep * cells, DRAWS)
    index, cell = np.divmod(np.arange(deep * cells), cells)
    row, column = np.divmod(cell, COLUMNS)
    u = LEAST_U + CELL_CM * (column + unit(raw[:, ACROSS]))
    y = LEAST_Y + CELL_CM * (row + unit(raw[:, ALONG]))
    zone = zone_of(zones, u, y)
    there = (zone >= 0) & (index + unit(raw[:, KEPT]) < wanted[zone])
    raw, zone = raw[there], zone[there]
    gray = np.array([one.gray for one in table])[zone]
    diameter = np.array([one.diameter_um for one in table])[zone]
    growth = np.array([one.growth_um_per_day for one in table])[zone]
    counted = np.bincount(zone, minlength=len(table))
    real = np.array(
        [hairs(one.density_per_cm2, z.area_cm2) for one, z in zip(table, zones, strict=True)]
    )
    spread = math.sqrt(math.log1p(DIAMETER_SPREAD**2))
    return Strands(
        cell=cell[there],
        index=index[there],
        raw=raw,
        u=u[there],
        y=y[there],
        zone=zone,
        keys=tuple(one.key for one in zones),
        white=unit(raw[:, WHITE]) < gray,
        diameter_um=diameter * np.exp(spread * normal(raw[:, DIAMETER]) - spread**2 / 2),
        growth_um_per_day=growth * (1 + STRAND_SPREAD * normal(raw[:, GROWTH])),
        shed_day=-np.log1p(-unit(raw[:, SHED])) * TELOGEN_DAYS / TELOGEN_SHARE,
        weight=(real / np.maximum(counted, 1))[zone],
    )


def unit(raw: Raw) -> Floats:
    """Give the uniform of each draw, 0 to below 1, in steps of 2^-53."""
    return np.asarray((raw >> np.uint64(11)) * 2.0**-53)


def normal(raw: Raw) -> Floats:
    """Give the standard normal of each draw: one of 4096 quantiles."""
    return np.asarray(_quantiles()[(raw >> np.uint64(64 - _NORMAL_BITS)).astype(np.int64)])


def spare(raw: Raw) -> Floats:
    """Give a second uniform of each draw that `normal` reads, from the bits which that leaves."""
    return unit(raw << np.uint64(_NORMAL_BITS))


@cache
def _quantiles() -> Floats:
    steps, inverse = 1 << _NORMAL_BITS, NormalDist().inv_cdf
    values = np.array([inverse((k + 0.5) / steps) for k in range(steps)])
    return np.asarray(values / math.sqrt(np.mean(values**2)))


def zone_of(zones: Zones, u: Floats, y: Floats) -> Whole:
    """Give the place of the zone that holds each point of the chart, -1 outside the scalp."""
    found = np.full(u.shape, -1, dtype=np.int64)
    for place, zone in enumerate(zones):
        found[(found < 0) & inside(zone.outline, u, y)] = place
    return found


def inside(outline: Polygon, u: Floats, y: Floats) -> Flags:
    """Say which points lie inside a polygon, by the edges that a ray crosses.

    Parameters
    ----------
    u, y : shape (N,)   cm in the chart
    """
    held = np.zeros(u.shape, dtype=bool)
    us, ys = (np.array([point[axis] for point in outline]) for axis in (0, 1))
    near = np.flatnonzero((u >= us.min()) & (u <= us.max()) & (y >= ys.min()) & (y <= ys.max()))
    if not near.size:
        return held
    at_u, at_y = u[near], y[near]
    odd = np.zeros(near.shape, dtype=bool)
    for (u0, y0), (u1, y1) in zip(outline, outline[1:] + outline[:1], strict=True):
        if y0 != y1:
            between = (y0 > at_y) != (y1 > at_y)
            odd ^= between & (at_u < u0 + (at_y - y0) / (y1 - y0) * (u1 - u0))
    held[near] = odd
    return held
