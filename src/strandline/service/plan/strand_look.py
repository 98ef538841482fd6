"""Every strand of the head, and the class of hair it is of: as it is kept today, and as planned."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from strandline.science.head.strands import DIAMETER, GROWTH, Flags, Strands, normal, spare
from strandline.science.head.zones import Zones
from strandline.science.seeing.line import START_BLUR_CM
from strandline.service.consultation.bands import Lane
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.words import STRETCH
from strandline.service.growout.look import HairClass
from strandline.service.growout.pictures.fall import length_on, worn_lengths
from strandline.service.growout.pictures.flow import in_fringe, parting_u
from strandline.service.growout.pictures.style import HairStyle
from strandline.service.growout.spread import OfStrands
from strandline.service.plan.lifted import all_lanes, is_light
from strandline.service.plan.on_top import (
    Doing,
    How,
    hair_class,
    is_covered,
    kept_class,
    worn_fresh,
)
from strandline.service.plan.rounds import Today
from strandline.service.plan.turning import placement_number

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

BESIDE_CM = 1.5
"""Hair rooted so near the parting, to either side, lies on top along it; from memory."""
PARTED = ("fringe", "top", "crown")
"""Zones that a parting runs through."""
DAYS_A_WEEK = 7.0
_HOWS: tuple[How, ...] = get_args(How)


@dataclass(frozen=True, eq=False)
class HeadLook:
    """All strands of a head by class.

    Parameters
    ----------
    classes : HairClass each, their shares not yet said
    hair : of all N strands, each with the place of its class
    """

    classes: tuple[HairClass, ...]
    hair: OfStrands


def style_of(c: Consultation, head: HeadReading, zones: Zones) -> HairStyle:
    """Give how the client wears her hair."""
    return HairStyle(
        length_cm=head.length_cm,
        curl_factor=STRETCH[c.hair.curl],
        parting=c.hair.parting,
        fringe=c.hair.fringe,
        fringe_depth_cm=c.hair.fringe_depth_cm,
        diameter_um=head.diameter_um,
        parting_off_cm=placement_number(c, "parting_off_middle_cm"),
        whirls=tuple(one for ones in zones.whirls.values() for one in ones),
    )


def beside_parting(strands: Strands, zones: Zones, style: HairStyle) -> Flags:
    """Say which strands lie on top along the parting, shape (N,).

    Without a parting, and where none is so near it, those of top and crown; never a fringe.
    """
    scalp = zones.scalp
    names = np.array([zone.name for zone in zones])[strands.zone]
    fringe = in_fringe(scalp, strands.u, strands.y, style)
    if style.parting != "none":
        aside = np.abs(strands.u - parting_u(strands.y, scalp, style))
        near = np.isin(names, PARTED) & (aside < BESIDE_CM) & ~fringe
        if near.any():
            return np.asarray(near)
    return np.asarray(np.isin(names, PARTED[1:]) & ~fringe)


def kept_look(head: HeadReading, today: Today, zones: Zones, style: HairStyle) -> HeadLook:
    """Give the head as it is kept: covered fresh where cover is worn, else as it is today."""
    lanes = all_lanes(head)
    fresh = worn_fresh(head)
    lane = np.zeros(len(today.strands), dtype=np.int64) if fresh else lanes_of(head, today)
    how = np.zeros(len(today.strands), dtype=np.int64)
    return _look(
        head,
        today,
        zones,
        style,
        (how, lane),
        lambda _, k, level, white: kept_class(head, lanes[k], k, level, white=white),
    )


def planned_look(doing: Doing, today: Today, zones: Zones, style: HairStyle) -> HeadLook:
    """Give the head after today: foils lifted, glosses on, and what is left out as it is."""
    lanes = all_lanes(doing.head)
    lane = lanes_of(doing.head, today)
    light = np.array([is_light(one) for one in lanes])[lane]
    how = np.where(light, _HOWS.index("light already"), _HOWS.index("left out"))
    if "lowlights" in doing.glosses:
        how = np.where(today.low, _HOWS.index("lowlights"), how)
    if doing.doses:
        again = np.where(light, _HOWS.index("taken again"), _HOWS.index("foils"))
        how = np.where(today.taken, again, how)
    return _look(
        doing.head,
        today,
        zones,
        style,
        (how, lane),
        lambda h, k, level, white: hair_class(doing, h, k, level, white=white),
    )


def lanes_of(head: HeadReading, today: Today) -> Whole:
    """Give the place of each strand's lane among `all_lanes`, shape (N,).

    Light strands are of the light lane that begins nearest to where their own light does; old
    colour is on those that carried it before the first round; hair shed since is new.
    """
    lanes = all_lanes(head)
    virgin = len(lanes) - 1
    own = lanes[:-1]
    light = [k for k, lane in enumerate(own) if is_light(lane)]
    covered = [k for k, lane in enumerate(own) if k not in light and is_covered(lane)]
    rest = [k for k in range(len(own)) if k not in light and k not in covered]
    out = np.full(len(today.strands), virgin, dtype=np.int64)
    dark = ~today.light & ~today.anew
    _share_out(out, dark & today.coloured, covered or rest, own, today.strands)
    _share_out(out, dark & ~today.coloured, rest or covered, own, today.strands)
    if light:
        starts = np.array([_begins(own[k]) for k in light])
        nearest = np.abs(today.light_from_cm[today.light][:, None] - starts).argmin(axis=1)
        out[today.light] = np.array(light)[nearest]
    return out


def _begins(lane: Lane) -> float:
    return next(s.from_cm for s in lane.stretches if s.band and s.band.past == "lightened")


def _share_out(
    out: Whole, which: Flags, among: list[int], lanes: tuple[Lane, ...], strands: Strands
) -> None:
    """Give marked strands the lanes of a kind, by their shares, in the order of their draw."""
    if not among:
        return
    place = np.flatnonzero(which)
    order = place[np.argsort(spare(strands.raw[place, DIAMETER]), kind="stable")]
    weight = np.cumsum(strands.weight[order])
    share = np.cumsum([lanes[k].share for k in among])
    if not order.size or share[-1] <= 0:
        return
    found = np.searchsorted(share / share[-1], (weight / weight[-1]) - 1e-12)
    out[order] = np.array(among)[np.minimum(found, len(among) - 1)]


def _look(
    head: HeadReading,
    today: Today,
    zones: Zones,
    style: HairStyle,
    of: tuple[Whole, Whole],
    made: Callable[[How, int, float, bool], HairClass],
) -> HeadLook:
    """Make a class of every way that hair of one level is, and give each strand its own."""
    strands = today.strands
    by_zone = np.array([head.level_of(zone.answers_for) for zone in zones])
    levels, level = np.unique(np.round(by_zone, 6), return_inverse=True)
    many, deep = len(_HOWS), len(all_lanes(head))
    how, lane = of
    code = ((level[strands.zone] * many + how) * deep + lane) * 2 + ~strands.white
    found, kind = np.unique(code, return_inverse=True)
    classes = []
    for one in found:
        rest, pigmented = divmod(int(one), 2)
        rest, k = divmod(rest, deep)
        place, h = divmod(rest, many)
        classes.append(made(_HOWS[h], k, float(levels[place]), not pigmented))
    return HeadLook(tuple(classes), _hair(today, zones, style, kind))


def _hair(today: Today, zones: Zones, style: HairStyle, kind: Whole) -> OfStrands:
    strands = today.strands
    later = strands.shed_day > today.day
    worn = worn_lengths(zones.scalp, strands, style)
    return OfStrands(
        kind=kind,
        area=strands.weight * strands.diameter_um,
        pace=strands.growth_um_per_day / today.rate_um_per_day,
        start_cm=START_BLUR_CM * normal(strands.raw[:, GROWTH] << np.uint64(12)),
        shed_week=np.where(later, (strands.shed_day - today.day) / DAYS_A_WEEK, np.inf),
        tip_cm=length_on(strands, today.day, worn),
        curl_factor=style.curl_factor,
        outline_cm=worn,
    )
