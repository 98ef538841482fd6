"""The grow-out of a plan as its page shows it: bytes of the head, curves, pictures."""

from __future__ import annotations

import gzip
import hashlib
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from strandline.base.errors import ReadError
from strandline.salon.web.charts import (
    MOST_THRESHOLDS,
    Chart,
    Curve,
    chart_svg,
    round_top,
)
from strandline.salon.web.words import Manner, _

if TYPE_CHECKING:
    from strandline.base.quantities import Range
    from strandline.service.plan.assemble import Made
    from strandline.service.plan.curves import Curves

WEEKS = tuple(float(week) for week in range(27))
PICTURE_WEEKS = (0, 4, 8, 12, 16)
PICTURE_PX = 320
FIRST_WEEK = 8
"""The week that is shown first: its pictures stand until hair is drawn."""
LEAST_STRIPES, LEAST_CONTRAST = 4.0, 4.0
"""Axes reach so far at least: dE00, levels."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A chart with its words.

    Parameters
    ----------
    name, why : what it is; what it says
    svg : the drawing
    """

    name: str
    why: str
    svg: str


def content_of(made: Made) -> str:
    """Give the mark of a plan's content: what is made of one plan is that of every plan alike."""
    said = made.plan.model_dump_json() + made.consultation.model_dump_json()
    return hashlib.sha256(said.encode("utf-8")).hexdigest()


def strand_bytes(made: Made) -> bytes:
    """Give the head for a screen that turns it, as gzip."""
    from strandline.salon.report.growout_strands import strands_of  # noqa: PLC0415  # slow

    return gzip.compress(strands_of(made), 9, mtime=0)


def curves(made: Made) -> tuple[Curves, ...]:
    """Give the curves of every way."""
    from strandline.service.plan.curves import curves_of  # noqa: PLC0415  # slow

    return curves_of(made)


def pictures(made: Made, week: int) -> dict[str, bytes]:
    """Give the head from the front in a week as PNG, by 'kept' or 'planned'."""
    from strandline.salon.report.growout_pictures import front_heads  # noqa: PLC0415  # slow

    found = front_heads(made, (week,), PICTURE_PX)
    today = today_way([name for name, _week in found if name != "as planned"])
    return {"kept": found[today, week], "planned": found["as planned", week]}


def check_picture(look: str, week: int) -> None:
    """Refuse a picture that is not made.

    Raises
    ------
    ReadError   there is none of that name
    """
    if look not in ("kept", "planned") or week not in PICTURE_WEEKS:
        raise ReadError(
            _("There is no picture of '%(look)s' in week %(week)d.")
            % {"look": look[:20], "week": week},
            _("Ask for kept or planned in week 0, 4, 8, 12 or 16."),
            "week",
        )


def today_way(kept: list[str]) -> str:
    """Give how it is kept today: covered again where it is, else left as it is."""
    return kept[-1]


def shown_ways(ways: tuple[Curves, ...]) -> tuple[Curves, ...]:
    """Give the two ways beside each other: as it is kept today, and as planned."""
    kept = [way for way in ways if not way.planned]
    return (kept[-1], next(way for way in ways if way.planned))


def charts(ways: tuple[Curves, ...], threshold: float, manner: Manner) -> list[Drawn]:
    """Draw line, stripes and contrast of every way."""

    def styled(of: str) -> tuple[Curve, ...]:
        return tuple(Curve(way.name, style(way, ways), getattr(way, of)) for way in ways)

    def most(of: str) -> float:
        return max(float(one.high) for way in ways for one in getattr(way, of))

    line = Chart(
        _("Root line"),
        "dE00 cm",
        WEEKS,
        styled("line"),
        min(round_top(most("line"), 2 * threshold), MOST_THRESHOLDS * threshold),
        threshold,
        tuple((style(way, ways), way.passes) for way in ways),
    )
    stripes = Chart(
        _("Stripes"), "dE00", WEEKS, styled("stripes"), round_top(most("stripes"), LEAST_STRIPES)
    )
    contrast = Chart(
        _("Contrast"),
        _("levels"),
        WEEKS,
        styled("contrast"),
        round_top(most("contrast"), LEAST_CONTRAST),
    )
    why = {
        line.title: _(
            "How strongly growth shows along the parting: its length times how far its colour "
            "differs (dE00 cm). Across: from where on she sees a line."
        ),
        stripes.title: _(
            "What the work adds across the parting, at the mirror, over hair left alone: how "
            "far colours differ (dE00)."
        ),
        contrast.title: _(
            "How many levels lie between light and dark hair, over the first %(length)s."
        )
        % {"length": manner.length(6)},
    }
    if not most("stripes"):
        why[stripes.title] = _("The work adds none across the parting in half a year.")
    return [
        Drawn(one.title, why[one.title], chart_svg(one, _words(one)))
        for one in (line, stripes, contrast)
    ]


def style(way: Curves, ways: tuple[Curves, ...]) -> str:
    """Give the class by which a page tells a way from the others."""
    if way.planned:
        return "planned"
    return "kept" if way is shown_ways(ways)[0] else "stopped"


def passes_words(way: Curves) -> str:
    """Say when a line passes her threshold."""
    said = seen_words(way.passes)
    if not way.renewed:
        return said
    if not math.isfinite(way.passes.middle):
        return _("covered before a line is seen")
    return _("{week}, and so after each cover").format(week=said)


def seen_words(passes: Range) -> str:
    """Say in which week a line is seen, with its range."""
    if not math.isfinite(passes.low):
        return _("no line in half a year")
    if not math.isfinite(passes.middle):
        return _("hardly; from week {low} on with fast growth").format(low=f"{passes.low:.0f}")
    if not math.isfinite(passes.high):
        return _("week {middle}, from {low} on or not at all").format(
            middle=f"{passes.middle:.0f}", low=f"{passes.low:.0f}"
        )
    if round(passes.low) == round(passes.high):
        return _("week {middle}").format(middle=f"{passes.middle:.0f}")
    return _("week {middle} ({low}–{high})").format(
        middle=f"{passes.middle:.0f}", low=f"{passes.low:.0f}", high=f"{passes.high:.0f}"
    )


def told_weeks(ways: tuple[Curves, ...], manner: Manner) -> list[dict[str, Any]]:
    """Give each way's figures by week for the words under the slider."""
    return [
        {
            "name": way.name,
            "planned": way.planned,
            "grown": [manner.length(round(one, 1)) for one in way.grown_cm],
            "line": [[round(one.low), round(one.middle), round(one.high)] for one in way.line],
        }
        for way in ways
    ]


def _words(chart: Chart) -> str:
    out = []
    for curve in chart.curves:
        ends = ", ".join(
            f"{_('week')} {chart.weeks[at]:g}: {curve.ranges[at].middle:.1f} "
            f"({curve.ranges[at].low:.1f}–{curve.ranges[at].high:.1f})"
            for at in (0, 8, 16, len(chart.weeks) - 1)
        )
        out.append(f"{curve.name}: {ends}.")
    return " ".join(out)
