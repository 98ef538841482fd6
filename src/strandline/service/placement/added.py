"""A place on the map for a foil that was added at the chair: the next that is free.

Fixed units inside: cm in the chart, mm for thickness, pick, left and pitch.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace

from strandline.science.head.zones import Zone, Zones
from strandline.service.placement.foil import Foil
from strandline.service.placement.parting import SHORTEST_CM, Strip, height_cm, partings
from strandline.service.placement.places import SECTION_OF

THINNER = 0.5
"""Where no zone has room for the whole thickness, a section of this share of it is taken."""
SAME = 1e-6
"""Foils that share no more than this, cm, lie beside each other."""


def next_free(
    like: Foil,
    zones: Zones,
    keys: Sequence[str],
    taken: Sequence[Foil],
    max_parting_cm: float,
    after: Foil | None = None,
) -> Foil | None:
    """Give a foil its place in hair that no other foil takes.

    Parameters
    ----------
    like : what it is: kind, grade, thickness, picks; hair and product for a square centimetre
    zones : of the head
    keys : of the zones in which it may lie, in the order of work
    taken : foils that are in, and those of visits before
    max_parting_cm : no parting is wider, cm, 2-20
    after : the foil after which the place is sought; its zone comes first

    Returns
    -------
    Foil   with the number of `like`; None where no zone has room for half its
    thickness

    Notes
    -----
    From that foil on upward at the pitch of its zone, then in the spaces between the foils from
    below, then in the next zones in turn; then so again with a thinner section. Hair and product
    go with the scalp that it takes.
    """
    start = keys.index(after.key) if after is not None and after.key in keys else 0
    turned = (*keys[start:], *keys[:start])
    for share, key in itertools.product((1.0, THINNER), turned):
        zone = zones[key]
        here = [foil for foil in taken if foil.key == key]
        tilt = here[-1].tilt_deg if here else 0.0
        floor = after.up_cm if after is not None and after.key == key else None
        thickness = share * like.thickness_mm / 10
        for up in _heights(zones, zone, here, thickness, tilt, floor):
            for strip in partings(zones, zone, up, thickness, max_parting_cm, tilt):
                if strip.length_cm >= SHORTEST_CM and _is_free(strip, up, thickness, here):
                    return _laid(like, zones, zone, (up, thickness), strip, tilt)
    return None


def _heights(
    zones: Zones,
    zone: Zone,
    here: Sequence[Foil],
    thickness: float,
    tilt: float,
    floor: float | None,
) -> Iterator[float]:
    """Give the heights to try: on at the pitch, then the middles of the spaces from below."""
    end = height_cm(zones, zone, tilt)
    rows = sorted({round(foil.up_cm, 6): foil.thickness_mm / 10 for foil in here}.items())
    if floor is not None:
        yield floor  # beside the last foil, where its parting takes more than one
        pitch = max(_pitch(rows, thickness), thickness)
        up = floor + pitch
        while up + thickness <= end + SAME:
            yield up
            up += pitch
    tops = [0.0, *(up + thick for up, thick in rows)]
    lows = [*(up for up, _ in rows), end]
    for low, high in zip(tops, lows, strict=True):
        if high - low >= thickness - SAME:
            yield low + (high - low - thickness) / 2


def _pitch(rows: Sequence[tuple[float, float]], thickness: float) -> float:
    """Give the middle distance from row to row; where there is one alone, its thickness twice."""
    steps = sorted(b - a for (a, _), (b, _) in itertools.pairwise(rows))
    return steps[len(steps) // 2] if steps else 2 * thickness


def _is_free(strip: Strip, up: float, thickness: float, here: Sequence[Foil]) -> bool:
    """Tell whether no foil takes hair of a strip."""
    first, last = sorted(strip.across)
    for foil in here:
        low, high = sorted(foil.across_cm)
        apart = foil.up_cm + foil.thickness_mm / 10 <= up + SAME or up + thickness <= (
            foil.up_cm + SAME
        )
        if not apart and min(last, high) - max(first, low) > SAME:
            return False
    return True


def _laid(
    like: Foil, zones: Zones, zone: Zone, at: tuple[float, float], strip: Strip, tilt: float
) -> Foil:
    """Lay a foil in a strip; its hair and product go with the scalp it takes."""
    picked = like.pick_mm / (like.pick_mm + like.left_mm) if like.left_mm else 1.0
    takes = strip.area_cm2 * picked
    share = takes / (like.hair_share * zones[like.key].area_cm2)
    return replace(
        like,
        zone=zone.name,
        side=zone.side,
        section=like.section
        if like.kind in ("tip-out", "lowlight weave")
        else SECTION_OF[zone.name],
        up_cm=at[0],
        thickness_mm=at[1] * 10,
        across_cm=strip.across,
        line=strip.line,
        outline=strip.outline,
        length_cm=strip.length_cm,
        flipped=False,
        roots=round(like.roots * share),
        hair_share=takes / zone.area_cm2,
        hair_grams=like.hair_grams * share,
        lightener_grams=like.lightener_grams * share,
        colour_grams=like.colour_grams * share,
        tilt_deg=tilt,
        turned=bool(zones.whirls.get(zone.key)),
    )
