"""The maps of a plan as it was kept: its foils, and those of the visits before, grown out."""

from __future__ import annotations

from dataclasses import dataclass

from strandline.service.placement.foil import FoilMap, grown_out
from strandline.service.placement.place import place
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.placing import map_of_rows, zones_of

DAYS_PER_WEEK = 7


@dataclass(frozen=True, slots=True)
class KeptMaps:
    """What a drawing of a kept plan is made from.

    Parameters
    ----------
    foils : of the plan, none where it has none
    ghosts : last visit's as it was done, None where there was none
    older : those of the visits before it, the earliest first
    """

    foils: FoilMap
    ghosts: FoilMap | None
    older: tuple[FoilMap, ...]


def kept_maps(plan: ServicePlan) -> KeptMaps:
    """Give the maps that a kept plan holds.

    Parameters
    ----------
    plan : as it was read back

    Notes
    -----
    Growth is that of the plan's own grow-out: centimetres in its last week.
    """
    zones = zones_of(plan.scalp)
    foils = map_of_rows(plan.foils, zones) if plan.foils else place(zones, {})
    last = max(plan.growout.weeks, key=lambda one: one.week, default=None)
    a_day = last.grown_cm / (last.week * DAYS_PER_WEEK) if last and last.week else 0.0
    before = [
        grown_out(map_of_rows(one.foils, zones_of(one.scalp)), a_day * (plan.date - one.date).days)
        for one in (plan.carried.visits if plan.carried else ())
    ]
    return KeptMaps(foils, before[-1] if before else None, tuple(before[:-1]))
