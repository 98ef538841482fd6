"""The last visit under this one: what was really done, grown out, as this head's past.

What carries is what was done (which foils, from which distance, to which stage), never its look:
the lanes of the head then, with the foils' hair split off, moved outward by what has grown.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import DAYS_PER_MONTH, growth_cm
from strandline.service.consultation.bands import Lane, Stretch, lanes, length_cm
from strandline.service.consultation.model import Band, Consultation
from strandline.service.placement.foil import FoilMap, grown_out
from strandline.service.plan.carried import VisitKept
from strandline.service.plan.earlier import Earlier
from strandline.service.plan.model import LaneKept
from strandline.service.plan.placing import LIGHTENER_KINDS, map_of_rows, zones_of
from strandline.service.plan.trimming import Worn, worn_on
from strandline.service.practice.bench import Bench


@dataclass(frozen=True)
class Under:
    """What lies under today's visit.

    Parameters
    ----------
    consultation : with the bands that the head now has
    last : the last visit's foils, grown out
    older : those of the visits before it, the earliest first
    visits : all of them as they are kept
    told : what of the last visit's facts could not be gone by
    worn : today's length, where the consultation says when hair was cut
    """

    consultation: Consultation
    last: FoilMap
    older: tuple[FoilMap, ...]
    visits: tuple[VisitKept, ...]
    told: tuple[str, ...]
    worn: Worn | None = None


def carried(c: Consultation, earlier: Earlier, day: dt.date, bench: Bench) -> Under:
    """Put the earlier visits under this consultation.

    Parameters
    ----------
    c : today's answers; her own growth a month is believed over the mean growth, and the regrowth
        and bands of the file give way to what was done
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
    then_cm = earlier.plan.length_cm or length_cm(c)
    worn = worn_on(c.trims, earlier.plan.date, then_cm, day, 10_000 * grown / days)
    if worn is not None:
        c = c.model_copy(
            update={"hair": c.hair.model_copy(update={"length_cm": round(worn.now_cm, 2)})}
        )
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
        grown_out(
            map_of_rows(one.foils, zones_of(one.scalp)), _grown_cm(c, (day - one.date).days, bench)
        )
        for one in kept[:-1]
    ]
    return Under(
        changed,
        grown_out(ghosts, grown),
        tuple(older),
        tuple(kept),
        tuple(earlier.told()),
        worn,
    )


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
