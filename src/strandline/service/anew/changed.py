"""Things changed: late, brighter, darker, stop, a bleed, a helper; what that leaves to do."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from strandline.base.facts.visit import Visit
from strandline.service.anew.habits import habit
from strandline.service.anew.work import Work
from strandline.service.plan.parts import FoilRow
from strandline.service.schedule.clock import Clock, Placing

FRONT = "front, brighter"
LEAST_SEEN = ("sides", "centre strip", "tip-outs", "side hairlines", "nape hairline", "fringe")
"""From which sections foils go first when time is short; common practice, no source."""
SPOILT = ("bleed", "slip")


@dataclass(frozen=True)
class Changes:
    """What the facts say has changed.

    Parameters
    ----------
    late_min : the client came later than booked, in all
    brighter, darker, stop, helper : said and not taken back
    spoilt : foils that bled or slipped
    """

    late_min: float
    brighter: bool
    darker: bool
    stop: bool
    helper: bool
    spoilt: frozenset[int]


def changes_of(visit: Visit) -> Changes:
    """Sum up what changed; of 'brighter' and 'darker' the later one stands."""
    told = [change.what for change in visit.changes]
    tone = [word for word in told if word in ("brighter", "darker")]
    return Changes(
        sum(change.minutes or 0.0 for change in visit.changes if change.what == "late"),
        bool(tone) and tone[-1] == "brighter",
        bool(tone) and tone[-1] == "darker",
        "stop" in told,
        "helper" in told,
        frozenset(
            foil for change in visit.changes if change.what in SPOILT for foil in change.foils or ()
        ),
    )


def added_foils(changes: Changes, work: Work) -> tuple[Placing, ...]:
    """Give the fine weaves that a brighter front adds, after all others; none once one is in."""
    is_in = any(foil.section == FRONT for foil in work.placed.values())
    if not changes.brighter or changes.stop or is_in:
        return ()
    last = max([*work.bowls, *work.placed], default=0)
    bowls = list(work.bowls.values())
    bowl = "main" if "main" in bowls or not bowls else bowls[-1]
    return tuple(
        Placing(last + i, "weave", FRONT, bowl) for i in range(1, round(habit("front_weaves")) + 1)
    )


def left_out(
    changes: Changes, work: Work, ends_at: Callable[[frozenset[int]], float], until: float
) -> frozenset[int]:
    """Choose the foils to come that are left out.

    Parameters
    ----------
    changes, work : as they stand
    ends_at : the minute the visit ends with a set left out
    until : the minute it is booked to end

    Returns
    -------
    numbers: all of them after a stop; a share of them where it is to be darker; else the fewest,
    least seen first and from the end of their section, with which it ends in time

    Notes
    -----
    Only where something changed: a plan that was too long to begin with is not cut here. As many
    foils are let go as regain the minutes that are past, or all of the sides.
    """
    rows = [row for row in work.to_come if row.kind != "lowlight weave"]
    if changes.stop:
        return frozenset(row.number for row in work.to_come)
    order = sorted(rows, key=_seen_least)
    gone: set[int] = set()
    if changes.darker:
        share = habit("leave_out_darker") / 100
        gone |= {row.number for row in order[: math.ceil(share * len(order))]}
    spare = habit("in_hand_min")
    if changes.late_min > 0 or changes.brighter:
        for row in order:
            if row.section != LEAST_SEEN[0] or ends_at(frozenset(gone)) <= until - spare:
                break
            gone.add(row.number)
    return frozenset(gone)


def _seen_least(row: FoilRow) -> tuple[int, int]:
    place = LEAST_SEEN.index(row.section) if row.section in LEAST_SEEN else len(LEAST_SEEN)
    return place, -row.number


def end_of(clock: Clock | None, now: float, after_min: float) -> float:
    """Give the minute the visit ends: the rinse, then all that follows it."""
    return (clock.rinse if clock else now) + after_min
