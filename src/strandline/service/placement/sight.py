"""Which strands a round of foils really takes: on a first visit what lies in them, later by sight.

Partings repeat to about 3 mm, which at a pitch of 6 is chance. So a later round goes by sight: what
was left out is seen and taken. The share that is hit is hers, .8 +- .1 until she knows it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.science.head.strands import SEEN, Flags, Floats, Strands, inside, unit
from strandline.science.head.zones import Zones
from strandline.service.placement.foil import Foil, FoilMap, picks

TURN = (5**0.5 - 1) / 2
"""By so much a strand's draw turns from one visit to the next."""


def lies_in(foil: Foil, zones: Zones, strands: Strands) -> Flags:
    """Say which strands a foil takes, as `foil.takes` says of one root, shape (N,).

    By its outline alone: where zones were cut another day says nothing of whose hair it was.
    """
    out = inside(foil.outline, strands.u, strands.y)
    if foil.left_mm:
        held = np.flatnonzero(out)
        along = _along(foil, zones, strands.u[held], strands.y[held])
        cell = along * picks(foil) + (0.5 if foil.flipped else 0.0)
        out[held] = np.abs(cell % 1.0 - 0.5) < foil.pick_mm / (foil.pick_mm + foil.left_mm) / 2
    return out


def in_foils(foil_map: FoilMap, strands: Strands, kinds: Sequence[str]) -> Flags:
    """Say which strands lie in any foil of some kinds, shape (N,)."""
    out = np.zeros(len(strands), dtype=bool)
    for foil in foil_map:
        if foil.kind in kinds:
            out |= lies_in(foil, foil_map.zones, strands)
    return out


def by_sight(strands: Strands, wanted: Flags, light: Flags, hit: float, visit: int) -> Flags:
    """Say which strands a later round takes, shape (N,).

    Parameters
    ----------
    wanted : shape (N,)   lie in the round's foils
    light : shape (N,)   are light already
    hit : share of the hair taken that was not light yet [0-1]
    visit : its number, so that each round has draws of its own

    Returns
    -------
    shape (N,)   as much hair of each zone as lies in its foils; `hit` of it was left out before, as
    far as the zone has so much, first from the foils and then from beside them

    Raises
    ------
    OutOfRangeError   a share outside 0-1
    """
    if not 0 <= hit <= 1:
        raise OutOfRangeError(
            f"The share of left-out hair that is hit is {hit:g}; it must be 0-1.",
            "Give it as a share: .8 for 80 %.",
        )
    draw = (unit(strands.raw[:, SEEN]) + TURN * visit) % 1.0
    out = np.zeros(len(strands), dtype=bool)
    for place in np.unique(strands.zone[wanted]):
        here = strands.zone == place
        whole = float(strands.weight[here & wanted].sum())
        left, taken = here & ~light, here & light
        aim = min(hit * whole, float(strands.weight[left].sum()))
        order = np.where(wanted, draw, 1.0 + draw)  # the foils first, then beside them
        out |= _most(strands.weight, left, order, aim)
        out |= _most(strands.weight, taken, draw, whole - aim)
    return out


def _most(weight: Floats, among: Flags, order: Floats, most: float) -> Flags:
    """Take strands in an order until their weight is reached."""
    index = np.flatnonzero(among)
    index = index[np.argsort(order[index], kind="stable")]
    enough = np.cumsum(weight[index]) <= most + 1e-9
    out = np.zeros(len(weight), dtype=bool)
    out[index[enough]] = True
    return out


def _along(foil: Foil, zones: Zones, u: Floats, y: Floats) -> Floats:
    """Give how far along the parting each root lies, as a share of its length [1]."""
    first, last = foil.across_cm
    if foil.bent:
        u, y = zones.course(foil.key, foil.tilt_deg).own(u, y)
    if foil.tilt_deg:
        return np.asarray(((u if foil.across else y) - first) / (last - first))
    if not foil.across:
        return np.asarray((y - first) / (last - first))
    radius = zones.scalp.radius_cm
    start, end = (radius * np.arcsin(one / radius) for one in (first, last))
    return np.asarray((radius * np.arcsin(np.clip(u / radius, -1, 1)) - start) / (end - start))
