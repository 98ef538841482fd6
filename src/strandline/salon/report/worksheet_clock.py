"""Minutes for the worksheet: group clocks, steps after them, strengths and their ranges."""

from __future__ import annotations

import math
import re
from typing import Any

from strandline.service.plan.model import ClockGroup, ServicePlan, Strength

AXIS_STEPS_MIN = (5, 10, 20, 30, 60)
"""Minutes between the figures of an axis."""
MOST_FIGURES = 10
BEYOND_LABEL = 1.3
"""The bars of strengths run on past the label by this factor, so that late is seen as late."""


def dashed(text: str) -> str:
    """Write ranges of figures with a dash of their own: '1-24' as '1–24'."""
    return re.sub(r"(?<=\d)-(?=\d)", "–", text)


def label_minutes(plan: ServicePlan) -> float:
    """Give the label's longest time as the clocks keep it, min; 0 without clocks.

    Starts are rounded to the nearest minute and latest times down, so the largest difference
    is the label's own.
    """
    groups = plan.clock.groups if plan.clock else []
    return max((g.latest_min - g.start_min for g in groups), default=0.0)


def axis(end_min: float) -> list[float]:
    """Give the minutes that an axis from 0 to `end_min` names."""
    step = next((s for s in AXIS_STEPS_MIN if end_min / s <= MOST_FIGURES), AXIS_STEPS_MIN[-1])
    return [float(x) for x in range(0, math.floor(end_min) + 1, step)]


def clock_words(plan: ServicePlan) -> dict[str, Any] | None:
    """Give the timeline: a row for every group, then the steps; None without a clock."""
    clock = plan.clock
    if clock is None:
        return None
    last = max(
        [*(g.latest_min for g in clock.groups), *(g.out_min for g in clock.groups)], default=0
    )
    steps = [*clock.steps, ("end", clock.end_min)]
    placed = [one for one in steps if one[0] == "all foils placed"]
    return {
        "end": last,
        "axis": axis(last),
        "from": "minutes from the first parting"
        if clock.groups
        else "minutes from the first gloss",
        "rows": [_row(group) for group in clock.groups],
        "placed": placed[0][1] if placed else None,
        "steps": [
            {"what": what, "at": f"{at:.0f}"} for what, at in steps if what != "all foils placed"
        ],
        "notes": clock.notes,
        "whole": f"{plan.quote.minutes:.0f} min",
    }


def _row(group: ClockGroup) -> dict[str, Any]:
    return {
        "foils": dashed(group.foils),
        "section": group.section,
        "bowl": group.bowl,
        "start": group.start_min,
        "placed": group.placed_min,
        "check": group.first_check_min,
        "due": group.due_min,
        "latest": group.latest_min,
        "out": group.out_min,
        "how": group.how,
    }


def strength_words(strength: Strength, plan: ServicePlan) -> dict[str, Any]:
    """Give a stretch's bar in minutes of the foil's own clock, and what is seen at its end.

    A stretch that is filled later starts later; its range moves with it.
    """
    label = label_minutes(plan) or strength.due_min
    after, aim, seen = strength.after_min, strength.minutes_to_aim, strength.stage_when_due

    def at(value: float | None) -> float | None:
        return None if value is None else value + after

    return {
        "bowl": f"{strength.poured_vol:.4g} vol",
        "band": strength.band,
        "where": f"{strength.from_cm:g}–{strength.to_cm:g} cm",
        "foils": dashed(strength.foils),
        "after": after,
        "low": at(aim.low),
        "middle": at(aim.middle),
        "high": at(aim.high),
        "due": after + strength.due_min,
        "end": label * BEYOND_LABEL,
        "minutes": _minutes([at(aim.low), at(aim.middle), at(aim.high)]),
        "aim": f"{strength.aim_stage:g}",
        "stage": [seen.low, seen.middle, seen.high],
        "stage_words": "–".join("?" if x is None else f"{x:g}" for x in (seen.low, seen.high)),
        "stage_middle": "?" if seen.middle is None else f"{seen.middle:g}",
        "underlying": strength.underlying,
        "neutraliser": strength.neutraliser,
        "chance": f"{strength.chance_before_label:.0%}",
    }


def _minutes(ends: list[float | None]) -> str:
    """Write early, usual and late; what is not reached is said: '19 · 44 min · may not'."""
    reached = [f"{x:g}" for x in ends if x is not None]
    if not reached:
        return "does not reach it"
    return " · ".join(
        [*reached[:-1], f"{reached[-1]} min", *["may not"] * (len(ends) - len(reached))]
    )
