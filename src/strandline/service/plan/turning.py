"""Where hair turns: her words for cowlicks, swirls and a widow's peak, and the partings round them.

A swirl turns the partings about its middle; a widow's peak draws them towards the face between two
turns of opposite sense. None reaches beyond its zone, so that no hair changes zones.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from strandline.science.head.course import Whirl
from strandline.science.head.polygon import extent
from strandline.science.head.zones import ALONG, Zone, Zones
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.words import AND_YET, NONE_SAID, WHIRLS
from strandline.service.placement.pattern import pattern_numbers

LEAST_CM = 0.8
"""Where a zone has less room than this its hair is woven and its partings stay straight."""
LEFTWARD = frozenset({"anticlockwise", "counterclockwise"})
TWO = frozenset({"double", "two"})
SIDE_SHARE = 0.25
"""A place on one side of the middle lies a quarter of the zone's width from it."""


def said_to_turn(c: Consultation) -> list[str]:
    """Give the answers that name a place where hair turns, without those that say there is none."""
    return [one for one in c.hair.cowlicks if not _says_none(_words(one))]


def turns_at(said: str) -> tuple[str, ...]:
    """Give the zones of one answer, none where its place is not clear."""
    words = _words(said)
    if NONE_SAID & set(words):
        return ()
    return tuple(dict.fromkeys(zone for word in words for zone in WHIRLS.get(word, ())))


def whirl_zones(c: Consultation) -> tuple[str, ...]:
    """Give the zones where hair turns: cowlicks, swirls, a widow's peak."""
    found = [zone for said in said_to_turn(c) for zone in turns_at(said)]
    return tuple(dict.fromkeys(found))


def whirls_of(c: Consultation, zones: Zones) -> dict[str, tuple[Whirl, ...]]:
    """Give the whirls of a head by zone key, from her words.

    Parameters
    ----------
    c : `hair.cowlicks`; 'left' and 'right' are the client's, 'double' or 'two' gives a pair,
        'anticlockwise' the other sense; her own reach and turn in `placement`
    zones : as they are cut

    Returns
    -------
    mapping   none for a place that is not clear or a zone without room, such as a hairline

    Notes
    -----
    Hair turns clockwise unless she says otherwise: most do (from memory). Of places in one zone
    whose middles are closer than LEAST_CM the first named counts.
    """
    out: dict[str, tuple[Whirl, ...]] = {}
    turn, reach = (placement_number(c, name) for name in ("whirl_turn_deg", "whirl_radius_cm"))
    for said in said_to_turn(c):
        words = set(_words(said))
        for name in turns_at(said):
            for zone in zones:
                sides = words & {"left", "right"}
                if zone.name != name or (
                    zone.side != "centre" and sides and zone.side not in sides
                ):
                    continue
                found = _in_zone(zones, zone, words, turn, reach)
                before = out.get(zone.key, ())
                out[zone.key] = (*before, *(one for one in found if _apart(one, before)))
    return {key: found for key, found in out.items() if found}


def _apart(one: Whirl, before: Sequence[Whirl]) -> bool:
    """Tell whether a whirl is another place than those named before it."""
    return all(math.dist((one.u, one.y), (two.u, two.y)) >= LEAST_CM for two in before)


def _in_zone(
    zones: Zones, zone: Zone, words: set[str], turn: float, reach: float
) -> tuple[Whirl, ...]:
    (u0, u1), (y0, y1) = extent(zone.outline, 0), extent(zone.outline, 1)
    middle = 0.0 if u0 < 0 < u1 else (u0 + u1) / 2  # of the head, else of the zone
    height, half = (y0 + y1) / 2, min(middle - u0, u1 - middle)
    if zone.rows == "hairline":
        return ()
    if zone.name == "fringe" and words & {"widow", "widows", "peak"}:
        apart = min(0.7 * reach, 0.4 * half)
        pair = [
            _whirl(zones, zone, (middle + s * apart, height), s * turn, reach) for s in (-1.0, 1.0)
        ]
        return tuple(one for one in pair if one is not None) if all(pair) else ()
    sense = -1.0 if words & LEFTWARD else 1.0
    if zone.side == "left":
        sense = -sense  # the sides mirror each other
    if words & TWO:
        places = [(middle - half / 2, -sense), (middle + half / 2, sense)]
    else:
        side = {"left": -1.0, "right": 1.0}
        only = words & set(side) if zone.name not in ALONG else set()
        shift = side[next(iter(only))] * 2 * SIDE_SHARE * half if len(only) == 1 else 0.0
        places = [(middle + shift, sense)]
    found = [
        _whirl(zones, zone, (u, height), one * turn, min(reach, half / 2) if words & TWO else reach)
        for u, one in places
    ]
    return tuple(one for one in found if one is not None)


def _whirl(
    zones: Zones, zone: Zone, at: tuple[float, float], turn: float, reach: float
) -> Whirl | None:
    """Give a whirl that ends within its zone, None where there is no room."""
    room = min(reach, 0.98 * _room(zones, zone, at))
    return Whirl(at[0], at[1], room, turn) if room >= LEAST_CM else None


def _room(zones: Zones, zone: Zone, at: tuple[float, float]) -> float:
    """Give the true distance from a place to the edge of its zone, near that place, cm."""
    c = math.cos(math.asin(at[0] / zones.scalp.radius_cm))
    edge = [((u - at[0]) / c, (y - at[1]) * c) for u, y in zone.outline]
    return min(_to_edge(a, b) for a, b in zip(edge, [*edge[1:], edge[0]], strict=True))


def _to_edge(a: tuple[float, float], b: tuple[float, float]) -> float:
    along = (b[0] - a[0], b[1] - a[1])
    size = along[0] ** 2 + along[1] ** 2
    share = 0.0 if size == 0 else max(0.0, min(1.0, -(a[0] * along[0] + a[1] * along[1]) / size))
    return math.hypot(a[0] + share * along[0], a[1] + share * along[1])


def placement_number(c: Consultation, name: str) -> float:
    """Give a number of `patterns.toml`, or her own in its place."""
    return c.placement.get(name, pattern_numbers()[name].value)


def _says_none(words: Sequence[str]) -> bool:
    return bool(words) and words[0] in NONE_SAID and not AND_YET & set(words)


def _words(said: str) -> list[str]:
    return re.findall(r"[a-z]+", said.lower())
