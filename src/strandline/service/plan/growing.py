"""The grow-out of a plan in any weeks: as it is kept, renewed or left, and as planned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import Range
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.hair.pigment import SPECULAR
from strandline.service.growout.cover import since_cover
from strandline.service.growout.grow import GrowOut, WeekSeen
from strandline.service.growout.look import HairClass
from strandline.service.growout.palette import coloured
from strandline.service.growout.pictures.fall import LEAST_CM
from strandline.service.growout.pictures.weeks import Dressed, Figure, check_weeks, figure_of
from strandline.service.growout.trims import LEAST_CM as LEAST_LEFT_CM
from strandline.service.plan.assemble import Made
from strandline.service.plan.look import LAST_WEEK
from strandline.service.plan.looks import Looks
from strandline.service.plan.on_top import worn_fresh
from strandline.service.plan.strand_look import HeadLook

PLANNED = "as planned"
"""The name of today's plan among the ways."""
WHITE_LEVEL = 10.0
"""White hair is at least so light."""
SEARCHED = tuple(float(week) for week in range(LAST_WEEK + 1))
"""Weeks among which the line is sought."""


@dataclass(frozen=True, eq=False)
class Grown:
    """One way to keep the hair, over weeks.

    Parameters
    ----------
    name : in words
    planned : it is today's plan
    grown : its figures in the weeks asked for
    passes : the week in which its line is seen; None where it is renewed before
    light_from : level from which hair counts as light, the same for every way
    alternative : it is another plan that the visit could hold
    picture : what of the client's picture that other plan reaches, and why no more
    """

    name: str
    planned: bool
    grown: GrowOut
    passes: Range | None
    light_from: float
    alternative: bool = False
    picture: str = ""


Others = Mapping[str, Made]
"""Other plans of the same visit, by name."""


def kept_name(made: Made) -> str:
    """Name the way of a client who does nothing from today on."""
    return "colour stopped" if worn_fresh(made.head) else "left as it is"


def covers(made: Made) -> float | None:
    """Give the weeks between two covers; None where she does not live by cover."""
    cover = made.consultation.cover
    return cover.every_weeks if cover is not None and worn_fresh(made.head) else None


def light_from_level(made: Made) -> float:
    """Give the level from which hair counts as light: midway between light and dark of the plan.

    Where the plan has no contrast, midway between her natural level and white.
    """
    looks = made.looks
    day = looks.grown(looks.planned, [0.0]).weeks[0].contrast
    if day.even:
        return (made.head.level_mean + WHITE_LEVEL) / 2
    return (day.light_level + day.dark_level) / 2


def ways_grown(made: Made, weeks: Sequence[float], others: Others | None = None) -> list[Grown]:
    """Look at the part line as it is kept, as planned, and as other plans would have it.

    Parameters
    ----------
    weeks : shape (T,)   to look at, rising, 0-104
    others : of the same head and day

    Returns
    -------
    list of Grown   as left, as renewed where cover is, as planned, then the others; measured alike

    Raises
    ------
    OutOfRangeError   weeks that are none
    """
    check_weeks(weeks)
    looks, every, light = made.looks, covers(made), light_from_level(made)
    threshold = made.plan.growout.threshold

    def passes(look: HeadLook, of: Looks = looks) -> Range:
        return of.grown(look, SEARCHED).week_line_passes(threshold, growth_alone=True)

    kept = looks.grown(looks.kept, weeks)
    out = [Grown(kept_name(made), False, kept, passes(looks.kept), light)]
    if every is not None:
        renewed = looks.grown(looks.kept, weeks, every_weeks=every)
        out.append(Grown(f"covered every {every:g} weeks", False, renewed, None, light))
    planned = looks.grown(looks.planned, weeks)
    out.append(Grown(PLANNED, True, planned, passes(looks.planned), light))
    for name, other in (others or {}).items():
        grown, seen = other.looks.grown(other.looks.planned, weeks), other.plan.growout
        line = passes(other.looks.planned, other.looks)
        out.append(Grown(name, False, grown, line, light, True, seen.picture))
    return out


def dressed(made: Made, weeks: Sequence[float], others: Others | None = None) -> dict[str, Dressed]:
    """Colour every strand for weeks, by the name of each way to keep the hair, others last."""
    looks, every = made.looks, covers(made)
    at = [float(week) for week in weeks]
    out = {kept_name(made): _dressed(looks, looks.kept, at, at)}
    if every is not None:
        since = since_cover(at, every)
        out[f"covered every {every:g} weeks"] = _dressed(looks, looks.kept, at, since)
    out[PLANNED] = _dressed(looks, looks.planned, at, at)
    for name, other in (others or {}).items():
        out[name] = _dressed(other.looks, other.looks.planned, at, at)
    return out


def _dressed(
    looks: Looks, look: HeadLook, weeks: Sequence[float], ages: Sequence[float]
) -> Dressed:
    return Dressed(
        looks.cut(look, weeks),
        coloured(look.classes, ages, looks.fade, SPECULAR),
        tuple(weeks),
        looks.rate_cm_per_week,
        _picks(look.classes),
        tuple(ages),
    )


def figure(made: Made, weeks: Iterable[float]) -> Figure:
    """Let a head's strands fall for pictures of weeks: as long as trims let them come."""
    looks, at = made.looks, list(weeks)
    longest = None
    if looks.trims is not None:
        hair = looks.cut(looks.kept, at)
        longest = np.maximum(hair.longest_cm(at, looks.rate_cm_per_week), LEAST_CM)
    return figure_of(looks.zones.scalp, looks.strands, looks.style, longest)


def _picks(classes: Sequence[HairClass]) -> NDArray[np.int64]:
    order = list(dict.fromkeys(one.strand for one in classes))
    return np.array([order.index(one.strand) for one in classes], dtype=np.int64)


def growing_json(made: Made, ways: Sequence[Grown]) -> dict[str, Any]:
    """Give the grow-out as plain data; lengths in cm, lines in dE00 cm, edges in dE00."""
    plan = made.plan
    return {
        "client": plan.client,
        "date": plan.date.isoformat(),
        "parting": made.consultation.hair.parting,
        "growth_cm_per_week": round(made.looks.rate_cm_per_week, 4),
        "trims": trims_json(made, [seen.week for seen in ways[0].grown.weeks]),
        "threshold": plan.growout.threshold,
        "light_from_level": round(ways[0].light_from, 2),
        "words": [text for text in (plan.growout.sentence, plan.growout.picture) if text],
        "ways": [
            {
                "name": way.name,
                "planned": way.planned,
                "alternative": way.alternative,
                "picture": way.picture,
                "line_seen_week": None if way.passes is None else _range(way.passes),
                "weeks": [_week(seen, way.light_from) for seen in way.grown.weeks],
            }
            for way in ways
        ],
        "wear": [one.model_dump() for one in plan.wear],
        "gloss_again": [day and day.isoformat() for day in _gloss_days(made)],
        "law": plan.growout.law,
    }


@dataclass(frozen=True, slots=True)
class KeptLength:
    """The length of hair in a week under her trims, cm.

    Parameters
    ----------
    length_cm : mean
    cut_cm : taken off since the visit
    of_day_cm : what is left of the day's own hair
    """

    week: float
    length_cm: float
    cut_cm: float
    of_day_cm: float


def kept_lengths(made: Made, weeks: Sequence[float]) -> list[KeptLength]:
    """Give the length in each week under her trims; none where no trims are said."""
    looks = made.looks
    if looks.trims is None:
        return []
    rate, (day,), out = looks.rate_cm_per_week, looks.lengths_cm([0.0]), []
    for week, length in zip(weeks, looks.lengths_cm(weeks), strict=True):
        gone = day + rate * week - length
        out.append(KeptLength(week, length, gone, max(length - rate * week, 0.0)))
    return out


def trims_json(made: Made, weeks: Sequence[float]) -> dict[str, Any] | None:
    """Give her trims and what they leave as plain data, cm; None where none are said."""
    trims = made.looks.trims
    if trims is None:
        return None
    return {
        "every_weeks": trims.every_weeks,
        "cut_cm": trims.cut_cm,
        "weeks": [
            {name: round(getattr(one, name), 2) for name in KeptLength.__slots__}
            for one in kept_lengths(made, weeks)
        ],
    }


def trims_words(made: Made) -> str:
    """Say how long hair is taken to be as it grows, in a sentence."""
    trims = made.looks.trims
    if trims is None:
        return "Hair is taken as kept at its length: what grows is trimmed."
    every = f"Every {trims.every_weeks:g} weeks"
    if trims.cut_cm is None:
        return f"{every} what has grown is trimmed off; the tips that are cut no longer show."
    return (
        f"{every} {trims.cut_cm:g} cm are trimmed off, never to less than {LEAST_LEFT_CM:g} cm; "
        "the tips that are cut no longer show."
    )


def _gloss_days(made: Made) -> tuple[dt.date | None, dt.date | None]:
    return made.plan.next_visit.gloss_from, made.plan.next_visit.gloss_to


def _range(of: Range) -> dict[str, float | None]:
    return {
        name: None if value == float("inf") else round(value, 1)
        for name, value in (("low", of.low), ("middle", of.middle), ("high", of.high))
    }


def _week(seen: WeekSeen, light_from: float) -> dict[str, Any]:
    line = seen.line_range
    return {
        "week": seen.week,
        "grown_cm": round(seen.grown_cm, 2),
        "line_of_growth": round(seen.line_of_growth, 1),
        "line": {
            "low": round(line.low, 1),
            "middle": round(seen.line, 1),
            "high": round(line.high, 1),
        },
        "edge": round(seen.edge, 1),
        "edge_cm": round(seen.edge_cm, 1),
        "stripes_mirror": round(seen.stripes_mirror, 2),
        "stripes_table": round(seen.stripes_table, 2),
        "strand_peak": round(seen.strand_peak, 1),
        "lighter_share": round(seen.lighter_than(light_from), 3),
        "light_share": round(seen.contrast.light_share, 3),
        "light_level": round(seen.contrast.light_level, 1),
        "dark_level": round(seen.contrast.dark_level, 1),
        "even": seen.contrast.even,
        "colours": hex_from_lab(seen.lab[::5]),
    }
