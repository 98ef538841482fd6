# mypy: disable-error-code="misc"
# Lambdas inside unpacked rows: mypy does not hand their type inward; each is a plain figure.
"""Checks of the chair against the trade: when a foil is first looked at, and that it is in time."""

from __future__ import annotations

from functools import cache, partial

import numpy as np

from strandline.base.draws import draws
from strandline.base.sources import COMMON_PRACTICE
from strandline.salon.evidence.check import Check
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.service.consultation.model import Band
from strandline.service.formulate.curves import ground_of, minutes_to_stage
from strandline.service.formulate.strengths import first_check_min
from strandline.service.practice.bench import default_bench

BUILT_UP_YEARS = 6.0
TOO_FAR_STAGE = 0.5
"""Past its aim by more than this a foil has run away; common practice, no source."""

HEADS: dict[str, tuple[float, float, float | None, float, float]] = {
    "virgin 6 to 9 at 20 volume": (6.0, 0.0, None, 20.0, 9.0),
    "cover 6 on half white to 9 at 20 volume": (6.0, 0.5, 6.0, 20.0, 9.0),
    "white to 10 at 20 volume": (7.0, 1.0, None, 20.0, 10.0),
    "cover 4 on 40 % white to 8 at 30 volume": (4.0, 0.4, 4.0, 30.0, 8.0),
}
"""By name: natural level, share of white, depth of built-up cover, strength, aim."""


def check_due(name: str) -> float:
    """Give the first check of one of the heads, min."""
    _, gray, cover, _, _ = HEADS[name]
    bench = default_bench()
    dark = cover is not None and cover <= bench["dark_cover_depth"]
    return first_check_min(bench, dark=dark, gray=gray)


@cache
def gone_too_far(name: str) -> float:
    """Give the share of draws that are past the aim by half a stage at the first check [0-1]."""
    level, gray, cover, vol, aim = HEADS[name]
    worn = None
    if cover is not None:
        worn = Band(from_cm=0, to_cm=1, past="permanent", depth=cover, years=BUILT_UP_YEARS)
    ground = ground_of(worn, level, gray)
    best = float(ground.stages()[1][-1])
    if best <= aim + TOO_FAR_STAGE:
        return 0.0
    minutes = minutes_to_stage(ground, vol, aim + TOO_FAR_STAGE, draws(LIFT_DRAWS))
    return float(np.mean(minutes < check_due(name)))


CHECKS: tuple[Check, ...] = (
    *(Check(f"First check of {name}", "practice", COMMON_PRACTICE, minutes,
            partial(check_due, name), unit="min", locator="from the foil's own start")
      for name, minutes in zip(HEADS, (15.0, 15.0, 10.0, 20.0), strict=True)),
    *(Check(f"At the first check of {name}: past its aim by half a stage", "practice",
            COMMON_PRACTICE, 0.1, partial(gone_too_far, name), 0.0, "at most",
            locator="share of the 64 draws; one quick foil in ten is what a check is for")
      for name in HEADS),
    Check("Checks after the first", "practice", COMMON_PRACTICE, 6.5,
          lambda: default_bench()["check_every_min"], 1.5, unit="min", locator="every 5 to 8"),
    Check("Checks near the end", "practice", COMMON_PRACTICE, 3.0,
          lambda: default_bench()["check_near_end_min"], unit="min"),
)  # fmt: skip
