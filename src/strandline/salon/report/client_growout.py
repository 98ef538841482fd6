"""The grow-out for the client: pictures by week, a bar and a word beneath each, one chart."""

from __future__ import annotations

import re
from typing import Any

from strandline.salon.report.strands import LOOKS, Look
from strandline.service.plan.model import GrowOutWeek, ServicePlan
from strandline.service.plan.parts import Figure

BEGINS = 0.5
"""From this share of her threshold on a line begins to show."""
FULL_BAR = 3.0
"""Thresholds that fill a bar; what is more is drawn as full, with an arrow."""
CHART_TOP = (2.0, 4.0)
"""The chart is at least and at most so many thresholds high."""


TOLD_BY_CHART = ("If colour stops ", "Left as it is ", "As planned a line", "As planned no line")
"""How the plan's sentences on weeks begin."""


def growout_words(plan: ServicePlan, *, shown: bool) -> dict[str, Any]:
    """Give weeks with their pictures, bars and words, and the chart; empty where not shown."""
    weeks = plan.growout.weeks if shown and plan.growout.strands else []
    return {
        "weeks": [
            {
                "label": "on the day" if week.week == 0 else f"{week.week:g} weeks",
                "looks": [_look(plan, look, number, week) for look in LOOKS],
            }
            for number, week in enumerate(weeks)
        ],
        "growout": _sentence(plan) if weeks else "",
        "chart": _chart(plan) if any(_line(w, look) for w in weeks for look in LOOKS) else None,
    }


def picture_name(look: Look, number: int) -> str:
    """Give the file name of a picture."""
    return f"{look.replace(' ', '-')}-{number}.svg"


def head_name(look: Look, number: int) -> str:
    """Give the file name of a picture of the head."""
    return f"head-{look.replace(' ', '-')}-{number}.png"


def _look(plan: ServicePlan, look: Look, number: int, week: GrowOutWeek) -> dict[str, Any]:
    share = _line(week, look) / plan.growout.threshold
    return {
        "picture": picture_name(look, number),
        "head": head_name(look, number),
        "bar": min(1.0, share / FULL_BAR),
        "beyond": share > FULL_BAR,
        "tick": 1 / FULL_BAR,
        "word": seen_word(share),
    }


def seen_word(share: float) -> str:
    """Say a line in words.

    Parameters
    ----------
    share : the line over her threshold
    """
    if share >= 1:
        return "shows"
    return "begins to show" if share >= BEGINS else "not seen"


def _line(week: GrowOutWeek, look: Look) -> float:
    return week.as_kept.line if look == "as kept" else week.planned.line


def _sentence(plan: ServicePlan) -> str:
    """Give what the plan says of the grow-out, but for the weeks that the chart tells."""
    told = re.split(r"(?<=\.) ", plan.growout.sentence)
    kept = " ".join(one for one in told if not one.startswith(TOLD_BY_CHART))
    return kept.replace("lowlights", "darker strands")


def _chart(plan: ServicePlan) -> dict[str, Any]:
    grown = plan.growout
    passes: dict[Look, Figure] = {
        "as kept": grown.as_kept_passes_week,
        "planned": grown.planned_passes_week,
    }
    lines = {look: [_line(week, look) for week in grown.weeks] for look in LOOKS}
    low, high = (x * grown.threshold for x in CHART_TOP)
    return {
        "weeks": [week.week for week in grown.weeks],
        "threshold": grown.threshold,
        "top": min(high, max(low, 1.05 * max(max(values) for values in lines.values()))),
        "curves": [
            {
                "name": "as it is kept today" if look == "as kept" else "as we plan it",
                "planned": look == "planned",
                "values": lines[look],
                "passes": _passes(passes[look]),
                "words": _passes_words(passes[look]),
            }
            for look in LOOKS
        ],
    }


def _passes(figure: Figure) -> dict[str, float | None]:
    return {"low": figure.low, "middle": figure.middle, "high": figure.high}


def _passes_words(figure: Figure) -> str:
    """Say when a line shows, with its range."""
    if figure.middle is None:
        return "no line in half a year"
    usual = f"{figure.middle:g}"
    low = usual if figure.low is None else f"{figure.low:g}"
    if figure.high is None:
        return f"shows after about {usual} weeks, from {low} on or not at all"
    high = f"{figure.high:g}"
    spread = "" if low == usual == high else f" ({low} to {high})"
    return f"shows after about {usual} weeks{spread}"
