"""Checks of the grow-out as counted on a head's own strands: practice, and the law of many."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, partial

import numpy as np

from strandline.base.sources import ARITHMETIC, COMMON_PRACTICE
from strandline.salon.evidence.check import Check
from strandline.salon.evidence.seeing import (
    LIGHT_SHARE,
    RATE_CM_PER_WEEK,
    SHADOW_CM,
    WEEKS,
    covered_pair,
    lifted,
    natural_pair,
    reference_cover,
    shadowed,
    without_fade,
)
from strandline.science.colour.difference import delta_e00
from strandline.science.head.strands import (
    DIAMETER,
    GROWTH,
    Grown,
    derive,
    key_of,
    normal,
    spare,
)
from strandline.science.head.zones import cut_zones
from strandline.science.seeing.line import START_BLUR_CM, THRESHOLD
from strandline.service.growout.grow import GrowOut, grow_out
from strandline.service.growout.look import HairClass, Layer
from strandline.service.growout.spread import OfStrands

BESIDE_CM, TO_CROWN_CM = 1.5, 17.0


@cache
def _strands(gray: float) -> OfStrands:
    """Give the strands beside a parting in the middle; class 0-3: white or not, in foils or not."""
    zones = cut_zones()
    grown = {zone.key: Grown(223, gray, 70, 367) for zone in zones}
    head = derive(zones, grown, key_of("the head of the evidence"))
    near = (np.abs(head.u) < BESIDE_CM) & (head.y < TO_CROWN_CM)
    left = spare(head.raw[:, DIAMETER]) >= LIGHT_SHARE
    return OfStrands(
        kind=2 * ~head.white + left,
        area=head.weight * head.diameter_um,
        pace=head.growth_um_per_day / 367,
        start_cm=START_BLUR_CM * normal(head.raw[:, GROWTH] << np.uint64(12)),
        shed_week=head.shed_day / 7,
        tip_cm=np.full(len(head), 30.0),
    ).some(near)


@cache
def on_strands(gray: float, *, blend: bool, shed: bool = True) -> GrowOut:
    """Grow out the reference head on its strands: covered with level 5, or blended."""
    classes = []
    for root, covered in zip(natural_pair(), covered_pair(), strict=True):
        foil = (Layer(0.0, SHADOW_CM, shadowed(root)), Layer(SHADOW_CM, np.inf, lifted(root)))
        left = (Layer(0.0, np.inf, root if blend else covered),)
        classes += [
            HairClass("foils", 1.0, foil if blend else left, root, strand="foils"),
            HairClass("left out", 1.0, left, root, strand="left out"),
        ]
    hair = _strands(gray)
    if not shed:
        hair = replace(hair, shed_week=np.full(len(hair), np.inf))
    return grow_out(
        classes, WEEKS, rate_cm_per_week=RATE_CM_PER_WEEK, fade=without_fade, strands=hair
    )


def _passes(gray: float, *, blend: bool = False) -> float:
    return on_strands(gray, blend=blend).week_line_passes().middle


def _order() -> str:
    passes = [_passes(gray) for gray in (0.8, 0.5, 0.3)]
    return "80, 50, 30" if passes == sorted(passes) else "another order"


def _from_law() -> float:
    """Give the greatest difference of the line from the law's, unshed, over half a year."""
    law, found = reference_cover(0.8), on_strands(0.8, blend=False, shed=False)
    pairs = zip(law.weeks, found.weeks, strict=True)
    return max(abs(a.line - b.line) / max(a.line, 10.0) for a, b in pairs)


def _weeks_apart() -> float:
    """Give the least mean difference along the part line of weeks that lie four apart, dE00."""
    seen = {week.week: week.lab for week in on_strands(0.8, blend=True).weeks}
    steps = [(0.0, 4.0), (4.0, 8.0), (8.0, 12.0), (12.0, 16.0)]
    return min(float(delta_e00(seen[a], seen[b]).mean()) for a, b in steps)


def _least_step() -> float:
    return min(float(np.diff([w.line for w in on_strands(g, blend=False, shed=False).weeks]).min())
               for g in (0.1, 0.5, 0.8))  # fmt: skip


CHECKS: tuple[Check, ...] = (
    *(Check(f"Strands: level-5 cover on {100 * gray:.0f} % white passes {THRESHOLD:g} in weeks "
            f"2 to 7", "practice", COMMON_PRACTICE, 4.5, partial(_passes, gray), 2.5, unit="weeks")
      for gray in (0.8, 0.5, 0.3)),
    Check("Strands: which share of white passes first", "practice", COMMON_PRACTICE,
          "80, 50, 30", _order),
    Check("Strands: the blend on 80 % white, natural hair left out, passes", "practice",
          COMMON_PRACTICE, 8.0, partial(_passes, 0.8, blend=True), 0.0, "at least", unit="weeks"),
    Check("Strands, none shed, no fade: least step of the line from week to week", "identity",
          ARITHMETIC, 0.0, _least_step, 1e-9, "at least", unit="dE00 cm"),
    Check("Strands, none shed: line against that of the law, share", "identity",
          ARITHMETIC, 0.0, _from_law, 0.05, unit="1"),
    Check("Strands: the blend on 80 % white, part line four weeks on, mean difference",
          "practice", COMMON_PRACTICE, 1.0, _weeks_apart, 0.0, "at least", unit="dE00"),
)  # fmt: skip
"""Every check of the grow-out by strands, in the order shown."""
