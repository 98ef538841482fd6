"""The grow-out of a plan in any weeks: as it is kept, renewed or left, and as planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import Range
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.hair.pigment import SPECULAR
from strandline.service.growout.grow import GrowOut, WeekSeen
from strandline.service.growout.look import HairClass
from strandline.service.growout.palette import coloured
from strandline.service.growout.pictures.weeks import Dressed, check_weeks
from strandline.service.plan.assemble import Made
from strandline.service.plan.look import LAST_WEEK
from strandline.service.plan.on_top import worn_fresh

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
    """

    name: str
    planned: bool
    grown: GrowOut
    passes: Range | None


def ways_grown(made: Made, weeks: Sequence[float]) -> list[Grown]:
    """Look at the part line as it is kept and as planned.

    Parameters
    ----------
    weeks : shape (T,)   to look at, rising, 0-104

    Returns
    -------
    list of Grown   as left, as renewed where cover is, and as planned, measured alike

    Raises
    ------
    OutOfRangeError   weeks that are none
    """
    check_weeks(weeks)
    c, looks = made.consultation, made.looks
    fresh = worn_fresh(made.head)
    threshold = made.plan.growout.threshold

    def passes(grown: GrowOut) -> Range:
        return grown.week_line_passes(threshold, growth_alone=True)

    left = looks.grown(looks.kept, SEARCHED)
    out = [
        Grown(
            "covered, then left" if fresh else "left as it is",
            False,
            looks.grown(looks.kept, weeks),
            passes(left),
        )
    ]
    if fresh and c.cover is not None:
        every = c.cover.every_weeks
        renewed = looks.grown(looks.kept, weeks, every_weeks=every)
        out.append(Grown(f"covered every {every:g} weeks", False, renewed, None))
    planned = looks.grown(looks.planned, SEARCHED)
    out.append(Grown("as planned", True, looks.grown(looks.planned, weeks), passes(planned)))
    return out


def dressed(made: Made, weeks: Sequence[float]) -> dict[str, Dressed]:
    """Colour every strand for weeks: 'as kept' and 'as planned'."""
    looks, at = made.looks, tuple(float(week) for week in weeks)
    return {
        name: Dressed(
            look.hair,
            coloured(look.classes, at, looks.fade, SPECULAR),
            at,
            looks.rate_cm_per_week,
            _picks(look.classes),
        )
        for name, look in (("as kept", looks.kept), ("as planned", looks.planned))
    }


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
        "threshold": plan.growout.threshold,
        "words": [text for text in (plan.growout.sentence, plan.growout.picture) if text],
        "ways": [
            {
                "name": way.name,
                "planned": way.planned,
                "line_seen_week": None if way.passes is None else _range(way.passes),
                "weeks": list(_weeks(way.grown)),
            }
            for way in ways
        ],
        "law": plan.growout.law,
    }


def _range(of: Range) -> dict[str, float | None]:
    return {
        name: None if value == float("inf") else round(value, 1)
        for name, value in (("low", of.low), ("middle", of.middle), ("high", of.high))
    }


def _weeks(grown: GrowOut) -> Iterator[dict[str, Any]]:
    for seen in grown.weeks:
        yield _week(seen)


def _week(seen: WeekSeen) -> dict[str, Any]:
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
        "light_share": round(seen.contrast.light_share, 3),
        "light_level": round(seen.contrast.light_level, 1),
        "dark_level": round(seen.contrast.dark_level, 1),
        "even": seen.contrast.even,
        "colours": hex_from_lab(seen.lab[::5]),
    }
