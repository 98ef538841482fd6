"""The last visit as it was kept: its plan, and the facts of what was really done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pydantic import ValidationError

from strandline.base.errors import ReadError
from strandline.base.facts.fold import Visit, fold
from strandline.base.facts.jsonl import read_lines
from strandline.service.plan.as_done import AsDone, as_done
from strandline.service.plan.carried import VisitKept
from strandline.service.plan.model import LaneKept, ServicePlan
from strandline.service.plan.parts import FoilRow

OLD = frozenset({"permanent", "unknown"})


@dataclass(frozen=True)
class Earlier:
    """An earlier plan, and the visit's facts where they were kept.

    Parameters
    ----------
    plan : as it was made
    visit : what was done, None where nothing was recorded: then as planned
    """

    plan: ServicePlan
    visit: Visit | None

    def done(self) -> list[FoilRow]:
        """Give the foils where they were placed; those of the plan where nothing says which."""
        return self._as_done.rows

    @cached_property
    def _as_done(self) -> AsDone:
        if self.visit is None or self._says_nothing(self.visit):
            return AsDone(list(self.plan.foils))
        before = self.plan.carried.visits if self.plan.carried else []
        return as_done(self.plan.foils, self.plan.scalp, before, self.visit)

    @staticmethod
    def _says_nothing(visit: Visit) -> bool:
        return not visit.foils_done and visit.ended is None

    def told(self) -> list[str]:
        """Say what of the facts could not be gone by, a sentence each."""
        visit = self.visit
        if visit is None:
            return []
        out = []
        if self._says_nothing(visit):
            out.append("Its facts name no foil and no end: its foils are taken as planned.")
        elif visit.ended is None:
            out.append("Its facts do not end: only the foils they name are taken as placed.")
        elif not visit.foils_done and self.plan.foils:
            out.append("Its facts end and name no foil: none is taken as placed.")
        if visit.flagged:
            out.append(f"{len(visit.flagged)} of its facts could not be read and were left out.")
        return [*out, *self._as_done.told()]

    def kept(self) -> list[VisitKept]:
        """Give every visit until then as it is kept, the earliest first."""
        before = self.plan.carried.visits if self.plan.carried else []
        light, coloured = _shares(self.plan.lanes)
        own = VisitKept(
            date=self.plan.date,
            visit=self.plan.visit,
            stage=self.stage(),
            light_percent=100 * light,
            coloured_percent=100 * coloured,
            scalp=self.plan.scalp,
            foils=self.done(),
            length_cm=self.plan.length_cm,
            old_line_cm=_old_line(self.plan.lanes),
        )
        return [*before, own]

    def stage(self) -> float:
        """Give the stage that was seen at the end, else the one that was expected."""
        seen = [result.stage for result in self.visit.results if result.stage] if self.visit else []
        if seen:
            return sum(seen) / len(seen)
        expected = self.plan.expected_stage
        return (expected.middle if expected else None) or self.plan.aim_stage


def _old_line(lanes: Sequence[LaneKept]) -> float | None:
    """Give where old colour began, nearest the scalp, on hair that was not light."""
    return min(
        (
            band.from_cm
            for lane in lanes
            if not any(band.past == "lightened" for band in lane.bands)
            for band in lane.bands
            if band.past in OLD
        ),
        default=None,
    )


def _shares(lanes: Sequence[LaneKept]) -> tuple[float, float]:
    """Give the shares of hair that was light, and that carried old colour and was not."""
    light = coloured = 0.0
    for lane in lanes:
        pasts = {band.past for band in lane.bands}
        if "lightened" in pasts:
            light += lane.share
        elif pasts & OLD:
            coloured += lane.share
    return min(1.0, light), min(1.0, coloured)


def read_earlier(plan_raw: bytes, facts_raw: bytes) -> Earlier:
    """Read an earlier plan and its facts.

    Raises
    ------
    ReadError   a plan.json that is not one; facts of another client or another day
    """
    try:
        plan = ServicePlan.model_validate_json(plan_raw)
    except ValidationError as found:
        first = found.errors(include_url=False)[0]
        field = ".".join(str(part) for part in first["loc"])
        raise ReadError(
            f"The earlier plan does not read: {field} {first['msg'].lower()}.",
            "Name the folder that --out wrote, with its plan.json untouched.",
            "--after",
        ) from None
    if not facts_raw:
        return Earlier(plan, None)
    try:
        text = facts_raw.decode("utf-8")
    except UnicodeDecodeError:
        raise ReadError(
            "The earlier visit.jsonl is not text.", "Name the folder of the visit.", "--after"
        ) from None
    reading = read_lines(text)
    visit = fold(reading.facts, reading.unread)
    _refuse_others(plan, visit)
    return Earlier(plan, visit)


def _refuse_others(plan: ServicePlan, visit: Visit) -> None:
    """Refuse facts that are not of the plan beside them."""
    day = plan.date.isoformat()
    if visit.client not in (None, plan.client):
        raise ReadError(
            f"The facts beside the earlier plan are of {visit.client}; the plan is of "
            f"{plan.client}.",
            "Put this client's visit.jsonl beside it, or take the file away.",
            "--after",
        )
    if visit.date not in (None, day):
        raise ReadError(
            f"The facts beside the earlier plan are of {visit.date}; the plan is of {day}.",
            "Plan that visit for the day it was done, or put its own facts beside it.",
            "--after",
        )
