"""The last visit under this one: what was really done, grown out, as this head's past.

What carries is what was done (which foils, from which distance, to which stage), never its look:
the lanes of the head then, with the foils' hair split off, moved outward by what has grown.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.base.facts.fold import Visit, fold
from strandline.base.facts.jsonl import read_lines
from strandline.base.quantities import DAYS_PER_MONTH, growth_cm
from strandline.service.consultation.bands import Lane, Stretch, lanes, length_cm
from strandline.service.consultation.model import Band, Consultation
from strandline.service.placement.foil import FoilMap, grown_out
from strandline.service.plan.carried import VisitKept
from strandline.service.plan.model import LaneKept, ServicePlan
from strandline.service.plan.parts import FoilRow
from strandline.service.plan.placing import LIGHTENER_KINDS, map_of_rows, zones_of
from strandline.service.practice.bench import Bench


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
        """Give the foils that were placed."""
        if self.visit is None:
            return list(self.plan.foils)
        return [row for row in self.plan.foils if row.number in self.visit.foils_done]

    def kept(self) -> list[VisitKept]:
        """Give every visit until then as it is kept, the earliest first."""
        before = self.plan.carried.visits if self.plan.carried else []
        own = VisitKept(
            date=self.plan.date, visit=self.plan.visit, stage=self.stage(), foils=self.done()
        )
        return [*before, own]

    def stage(self) -> float:
        """Give the stage that was seen at the end, else the one that was expected."""
        seen = [result.stage for result in self.visit.results if result.stage] if self.visit else []
        if seen:
            return sum(seen) / len(seen)
        expected = self.plan.expected_stage
        return (expected.middle if expected else None) or self.plan.aim_stage


@dataclass(frozen=True)
class Under:
    """What lies under today's visit.

    Parameters
    ----------
    consultation : with the bands that the head now has
    last : the last visit's foils, grown out
    older : those of the visits before it, the earliest first
    visits : all of them as they are kept
    """

    consultation: Consultation
    last: FoilMap
    older: tuple[FoilMap, ...]
    visits: tuple[VisitKept, ...]


def read_earlier(plan_raw: bytes, facts_raw: bytes) -> Earlier:
    """Read an earlier plan and its facts.

    Raises
    ------
    ReadError   a plan.json that is not one
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
    return Earlier(plan, fold(reading.facts, reading.unread))


def carried(c: Consultation, earlier: Earlier, day: dt.date, bench: Bench) -> Under:
    """Put the earlier visits under this consultation.

    Parameters
    ----------
    c : today's answers; a regrowth measured today is believed over the mean growth
    earlier : the last plan and what was done
    day : of this visit
    bench : growth and hit rate

    Returns
    -------
    Under   the consultation with the bands that the head now has, and the foils of every visit
    before, each grown out to this day

    Raises
    ------
    OutOfRangeError   a last visit that lies after this one, or of another client
    """
    if earlier.plan.client != c.client.name:
        raise OutOfRangeError(
            f"The earlier plan is of {earlier.plan.client}; the consultation is of "
            f"{c.client.name}.",
            "Name the folder of this client's last visit.",
            "--after",
        )
    days = (day - earlier.plan.date).days
    if days <= 0:
        raise OutOfRangeError(
            f"The earlier visit is dated {earlier.plan.date.isoformat()}, not before this one on "
            f"{day.isoformat()}.",
            "Give the day of this visit with --on, or the right folder with --after.",
            "--after",
        )
    grown = _grown_cm(c, days, bench)
    done = earlier.done()
    zones = zones_of(earlier.plan.scalp)
    ghosts = map_of_rows(done, zones)
    taken = ghosts.taken_share(*LIGHTENER_KINDS)
    before = [_lane(kept) for kept in earlier.plan.lanes]
    after = _split(before, taken, earlier.stage(), bench["hit_rate"] / 100)
    bands = _bands(after, grown, length_cm(c))
    changed = c.model_copy(
        update={
            "bands": bands,
            "hair": c.hair.model_copy(update={"regrowth_cm": round(grown, 2)}),
            "visit": c.visit.model_copy(update={"number": earlier.plan.visit + 1}),
        }
    )
    kept = earlier.kept()
    older = [
        grown_out(map_of_rows(one.foils, zones), _grown_cm(c, (day - one.date).days, bench))
        for one in kept[:-1]
    ]
    return Under(changed, grown_out(ghosts, grown), tuple(older), tuple(kept))


def lanes_kept(c: Consultation) -> list[LaneKept]:
    """Write down the lanes of the head as they are before the visit."""
    return [
        LaneKept(
            share=lane.share,
            bands=[
                stretch.band.model_copy(
                    update={"from_cm": stretch.from_cm, "to_cm": stretch.to_cm, "share": 100.0}
                )
                for stretch in lane.stretches
                if stretch.band is not None
            ],
        )
        for lane in lanes(c)
    ]


def _grown_cm(c: Consultation, days: int, bench: Bench) -> float:
    if c.client.growth_cm_per_month is not None:
        return c.client.growth_cm_per_month * days / DAYS_PER_MONTH
    return growth_cm(bench["growth_um_per_day"], days)


def _lane(kept: LaneKept) -> Lane:
    return Lane(kept.share, tuple(Stretch(b.from_cm, b.to_cm, b) for b in kept.bands))


def _is_light(lane: Lane) -> bool:
    return any(s.band is not None and s.band.past == "lightened" for s in lane.stretches)


def _split(before: Sequence[Lane], taken: float, stage: float, hit: float) -> list[Lane]:
    """Take the foils' hair out of the lanes that were not light yet.

    Where some hair was light before, the foils find what was left at the hit rate; the rest of
    what they take was light already and stays as it is.
    """
    dark = [lane for lane in before if not _is_light(lane)]
    light = [lane for lane in before if _is_light(lane)]
    share = sum(lane.share for lane in dark)
    found = min(share, taken * (hit if light else 1.0))
    out = list(light)
    new = Band(from_cm=0.0, to_cm=150.0, past="lightened", stage=min(10.5, max(3.0, stage)))
    if found > 0:
        out.insert(0, Lane(found, (Stretch(0.0, 150.0, new),)))
    if share > found:
        out += [Lane(lane.share * (1 - found / share), lane.stretches) for lane in dark]
    return out


def _bands(after: Sequence[Lane], grown: float, end: float) -> list[Band]:
    """Move every stretch outward by what has grown; lanes in the order their past begins."""
    moved = [
        (
            lane.share,
            [
                stretch.band.model_copy(
                    update={
                        "from_cm": round(stretch.from_cm + grown, 3),
                        "to_cm": round(min(stretch.to_cm + grown, end), 3),
                        "share": round(lane.share * 100, 4),
                    }
                )
                for stretch in lane.stretches
                if stretch.band is not None and stretch.from_cm + grown < end
            ],
        )
        for lane in after
    ]
    moved.sort(key=lambda one: one[1][0].from_cm if one[1] else end)
    return [band for _, bands in moved for band in bands]
