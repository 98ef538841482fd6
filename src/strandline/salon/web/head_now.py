"""What a head is on a day, in the few figures that its page shows."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from strandline.base.facts.fold import Visit
    from strandline.salon.records.look import Document, Head

DAYS_PER_WEEK = 7


@dataclass(frozen=True, slots=True)
class HeadNow:
    """A head on a day, from its last visit and what has grown since.

    Parameters
    ----------
    weeks : since the last visit
    grown_cm : since then, at the rate of its plan
    old_percent : of the hair, that still carries old colour; low, middle, high
    stage : that the light hair came to, None where nobody looked
    passes_week : in which its line is seen, as planned; low, middle, high
    colours : along the first 6 cm on the part, root first, as hex; as planned, this week
    plan : the last visit's
    """

    weeks: float
    grown_cm: float
    old_percent: tuple[int, int, int]
    stage: float | None
    passes_week: Mapping[str, Any]
    colours: tuple[str, ...]
    plan: str


def head_now(head: Head, today: dt.date) -> HeadNow | None:
    """Give the head on a day; None where no visit of it was done by a plan.

    Parameters
    ----------
    head : all that is known of it
    today : the day
    """
    done = [one for one in head.visits if one.ended and (one.date or "") <= today.isoformat()]
    for visit in reversed(done):
        document = _plan_of(head, visit)
        if document is not None:
            return _now(json.loads(document.text), document, visit, today)
    return None


def _plan_of(head: Head, visit: Visit) -> Document | None:
    """Give the plan a visit followed: the one of its day."""
    return next((one for one in head.plans if one.date == visit.date), None)


def _now(plan: dict[str, Any], document: Document, visit: Visit, today: dt.date) -> HeadNow | None:
    weeks = plan["growout"]["weeks"]
    if not weeks:
        return None
    days = (today - dt.date.fromisoformat(plan["date"])).days
    last = weeks[-1]
    rate = last["grown_cm"] / last["week"] if last["week"] else 0.0
    since = days / DAYS_PER_WEEK
    nearest = min(weeks, key=lambda one: abs(one["week"] - since))
    left = plan["next_visit"]["old_share_after"]
    seen = [one.stage for one in visit.results if one.stage is not None]
    old = tuple(round(100 * (left[end] or 0.0)) for end in ("low", "middle", "high"))
    return HeadNow(
        weeks=since,
        grown_cm=rate * since,
        old_percent=(old[0], old[1], old[2]),
        stage=sum(seen) / len(seen) if seen else None,
        passes_week=plan["growout"]["planned_passes_week"],
        colours=tuple(nearest["planned"]["colours"]),
        plan=document.stream,
    )
