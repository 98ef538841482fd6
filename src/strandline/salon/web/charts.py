"""Curves over weeks as SVG that a page's own colours dress; ranges are drawn, not only written."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from strandline.base.quantities import Range

WIDTH, HEIGHT = 360.0, 232.0
LEFT, RIGHT, TOP, BOTTOM = 38.0, 10.0, 14.0, 34.0
MOST_THRESHOLDS = 4.0
"""A line is drawn up to so many of her thresholds; what is higher leaves the chart."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One way over the weeks: its class in the page's style, and a range for each week."""

    name: str
    style: str
    ranges: tuple[Range, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """What is drawn.

    Parameters
    ----------
    title, unit : of what is drawn
    weeks : shape (T,)   rising
    curves : each with T ranges
    top : of the axis, above 0
    threshold : a level that counts, drawn across; None for none
    passes : style and range of the weeks in which a curve comes over the threshold
    """

    title: str
    unit: str
    weeks: tuple[float, ...]
    curves: tuple[Curve, ...]
    top: float
    threshold: float | None = None
    passes: tuple[tuple[str, Range], ...] = ()


def chart_svg(chart: Chart, says: str) -> str:
    """Draw it.

    Parameters
    ----------
    says : the same in words, for who listens
    """
    place = f'data-left="{LEFT:g}" data-right="{WIDTH - RIGHT:g}"'
    head = (
        f'<svg class="curves" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" {place} '
        f'data-weeks="{chart.weeks[-1]:g}">'
        f"<title>{escape(chart.title)}</title><desc>{escape(says)}</desc>"
    )
    parts = [head, *_axes(chart)]
    # What leaves the chart is cut off by a drawing within the drawing.
    size = f'width="{WIDTH:g}" height="{HEIGHT - TOP - BOTTOM + 2:g}"'
    box = f"0 {TOP:g} {WIDTH:g} {HEIGHT - TOP - BOTTOM + 2:g}"
    parts.append(f'<svg x="0" y="{TOP:g}" {size} viewBox="{box}">')
    parts += [_band(chart, curve) for curve in chart.curves]
    parts += [_line(chart, curve) for curve in chart.curves]
    parts.append("</svg>")
    parts += _threshold(chart)
    low, high = _y(chart, 0), _y(chart, chart.top)
    parts.append(f'<path class="now" d="M{LEFT:g} {high:.1f}V{low:.1f}"/></svg>')
    return "".join(parts)


def _x(chart: Chart, week: float) -> float:
    return LEFT + (WIDTH - LEFT - RIGHT) * week / chart.weeks[-1]


def _y(chart: Chart, value: float) -> float:
    return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * value / chart.top


def _axes(chart: Chart) -> list[str]:
    base = _y(chart, 0)
    out = [f'<path class="axis" d="M{LEFT:g} {base:.1f}H{WIDTH - RIGHT:g}"/>']
    for value in ticks(chart.top):
        y = _y(chart, value)
        out.append(f'<path class="grid" d="M{LEFT:g} {y:.1f}H{WIDTH - RIGHT:g}"/>')
        out.append(f'<text x="{LEFT - 5:g}" y="{y + 4.5:.1f}" text-anchor="end">{value:g}</text>')
    last = int(chart.weeks[-1])
    for week in range(0, last + 1, 4 if last <= 26 else 13):
        x = _x(chart, week)
        out.append(f'<path class="axis" d="M{x:.1f} {base:.1f}v4"/>')
        out.append(f'<text x="{x:.1f}" y="{base + 19:.1f}" text-anchor="middle">{week}</text>')
    return out


def ticks(top: float) -> list[float]:
    """Give three to six round values above 0 up to the top of an axis."""
    step = 10 ** math.floor(math.log10(top))
    for divisor in (1, 2, 4, 5, 10):
        if top / (step / divisor) >= 3:
            step /= divisor
            break
    return [round(step * k, 9) for k in range(1, int(top / step + 1e-9) + 1)]


def round_top(most: float, least: float) -> float:
    """Give the top of an axis: the most that is drawn, at least so much, to two round figures."""
    wanted = max(most * 1.05, least)
    step = float(10 ** math.floor(math.log10(wanted))) / 2
    return math.ceil(wanted / step - 1e-9) * step


def _points(chart: Chart, values: Sequence[float]) -> list[str]:
    return [
        f"{_x(chart, week):.1f} {_y(chart, value):.1f}"
        for week, value in zip(chart.weeks, values, strict=True)
    ]


def _band(chart: Chart, curve: Curve) -> str:
    low = _points(chart, [one.low for one in curve.ranges])
    high = _points(chart, [one.high for one in curve.ranges])
    return f'<path class="band {curve.style}" d="M{"L".join(high + low[::-1])}Z"/>'


def _line(chart: Chart, curve: Curve) -> str:
    middle = _points(chart, [one.middle for one in curve.ranges])
    return f'<path class="line {curve.style}" d="M{"L".join(middle)}"/>'


def _threshold(chart: Chart) -> list[str]:
    if chart.threshold is None:
        return []
    y = _y(chart, chart.threshold)
    out = [f'<path class="threshold" d="M{LEFT:g} {y:.1f}H{WIDTH - RIGHT:g}"/>']
    last = chart.weeks[-1]
    for style, week in chart.passes:
        if not math.isfinite(week.low):
            continue
        low, high = _x(chart, week.low), _x(chart, min(week.high, last))
        out.append(f'<path class="span {style}" d="M{low:.1f} {y:.1f}H{high:.1f}"/>')
        if math.isfinite(week.middle):
            x = _x(chart, week.middle)
            out.append(f'<circle class="passes {style}" cx="{x:.1f}" cy="{y:.1f}" r="5"/>')
    return out
