"""What a wish asks of each zone: how much of its hair is light, or dark, in the end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from strandline.base.sources import Number, numbers, toml_beside
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.words import Wish

BACK = ("nape_hairline", "nape", "back_lower", "back_upper")
FRONT = ("fringe", "side_hairlines", "temples")
FEW_GRAY = 0.25
"""Where less of the back is white, it asks for less light; common practice, no source."""
MOST = 0.9
"""No zone is wished light to more than this; the rest is what grows."""


@cache
def _document() -> dict[str, Any]:
    return toml_beside(__package__, "kinds.toml")


@cache
def constants() -> Mapping[str, Number]:
    """Give the numbers of `kinds.toml`, each with unit and source."""
    return numbers(_document()["numbers"], "kinds.toml")


@dataclass(frozen=True)
class Wished:
    """What is wished for, by zone name.

    Parameters
    ----------
    share : of a zone's hair that is light (or dark, for lowlights) in the end [0-1]
    missing : what is to be taken for it, of the zone's hair [0-1]
    shows : the zone's part of the wish: by its hair, how much is missing, and how much it shows;
        summing to 1
    soft_weighs : of a wish met, what no line at all is worth [1]
    """

    share: Mapping[str, float]
    missing: Mapping[str, float]
    shows: Mapping[str, float]
    soft_weighs: float


def wished_for(
    c: Consultation, head: HeadReading, sizes: Mapping[str, float], hit: float, *, depth: bool
) -> Wished:
    """Say what the wish asks of each zone.

    Parameters
    ----------
    c : with the wish, and the client's picture where she has one: its light share is the wish's
    head : its white, and what is light already
    sizes : share of the head's hair by zone name, summing to 1
    hit : of left-out hair, the share that a later round takes [0-1]
    depth : what is wished for is depth, not light

    Notes
    -----
    Where part of the hair is light already, old colour that was left out is taken too, down to
    `old_left_ok`, however light the head is by then.
    """
    zones, values = _document()["zones"], constants()
    whole = values["depth_wished"].value if depth else _light(c)
    by_zone = {name: float(zones[name]["light"]) for name in sizes}
    if not c.aim.lighter_front:
        by_zone = {n: min(1.0, x) if n in FRONT else x for n, x in by_zone.items()}
    if head.gray["back"] < FEW_GRAY and not depth:
        few = values["little_back"].value
        by_zone = {n: few * x if n in BACK else x for n, x in by_zone.items()}
    if depth:  # the white hairline is kept
        by_zone = {n: 0.0 if n in FRONT or n == "nape_hairline" else x for n, x in by_zone.items()}
    mean = sum(by_zone[n] * sizes[n] for n in sizes)
    share = {n: min(MOST, whole * x / mean) for n, x in by_zone.items()}
    have = 0.0 if depth else head.share_with("lightened")
    goes = 0.0 if depth else _old_that_goes(head, hit) if have else 0.0
    missing = {n: min(1 - have, max(0.0, x - have, goes * by_zone[n])) for n, x in share.items()}
    seen = {n: sizes[n] * float(zones[n]["shows"]) * missing[n] for n in sizes}
    total = sum(seen.values()) or 1.0
    soft = "soft_weighs" if c.aim.wish == "soft" else "bright_weighs"
    return Wished(share, missing, {n: x / total for n, x in seen.items()}, values[soft].value)


def _old_that_goes(head: HeadReading, hit: float) -> float:
    """Give the share of the hair to take, so that little old colour is left [1]."""
    old = head.share_with("permanent") + head.share_with("unknown")
    return max(0.0, old - constants()["old_left_ok"].value) / max(hit, 0.1)


def _light(c: Consultation) -> float:
    if c.aim.picture is not None:
        return c.aim.picture.light_percent / 100
    of_wish: Mapping[Wish, str] = {"brighter": "light_brighter", "lightest": "light_lightest"}
    return constants()[of_wish.get(c.aim.wish, "light_soft")].value
