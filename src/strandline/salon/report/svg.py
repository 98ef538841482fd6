"""A few words of SVG, in millimetres: only what paper and screen both draw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from strandline.salon.report.palette import FONT

Place = tuple[float, float]

DIGIT_EM = 0.5
"""Width of a tabular figure of the bundled font, in its size."""


def figure(value: float) -> str:
    """Give a coordinate to a hundredth of a millimetre, without idle zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def points(line: Iterable[Place], *, closed: bool = False) -> str:
    """Give path data for a polyline."""
    pairs = [f"{figure(x)} {figure(y)}" for x, y in line]
    return f"M{'L'.join(pairs)}{'Z' if closed else ''}" if pairs else ""


def path(
    data: str, *, stroke: str = "none", width: float = 0.2, fill: str = "none", more: str = ""
) -> str:
    """Draw a path."""
    if not data:
        return ""
    pen = f' stroke="{stroke}" stroke-width="{figure(width)}"' if stroke != "none" else ""
    return f'<path d="{data}" fill="{fill}"{pen}{_extra(more)}/>'


def text(
    at: Place,
    words: str,
    *,
    size: float,
    colour: str,
    weight: int = 400,
    anchor: str = "start",
    more: str = "",
) -> str:
    """Set a line of words; `size` in mm."""
    return (
        f'<text x="{figure(at[0])}" y="{figure(at[1])}" font-family="{FONT}" '
        f'font-size="{figure(size)}" font-weight="{weight}" text-anchor="{anchor}" '
        f'fill="{colour}"{_extra(more)}>{escape(words)}</text>'
    )


def rectangle(at: Place, size: Place, *, fill: str, radius: float = 0.0, more: str = "") -> str:
    """Draw a filled rectangle from its upper left corner."""
    corner = f' rx="{figure(radius)}"' if radius else ""
    return (
        f'<rect x="{figure(at[0])}" y="{figure(at[1])}" width="{figure(size[0])}" '
        f'height="{figure(size[1])}"{corner} fill="{fill}"{_extra(more)}/>'
    )


def circle(at: Place, radius: float, *, fill: str, stroke: str = "none", width: float = 0.2) -> str:
    """Draw a circle."""
    pen = f' stroke="{stroke}" stroke-width="{figure(width)}"' if stroke != "none" else ""
    return (
        f'<circle cx="{figure(at[0])}" cy="{figure(at[1])}" r="{figure(radius)}" '
        f'fill="{fill}"{pen}/>'
    )


def group(name: str, parts: Sequence[str], more: str = "") -> str:
    """Hold parts under a class name; nothing where there are none."""
    inside = "".join(part for part in parts if part)
    return f'<g class="{name}"{_extra(more)}>{inside}</g>' if inside else ""


def sheet(width: float, height: float, title: str, words: str, parts: Sequence[str]) -> str:
    """Give a whole drawing with its title and description for those who listen."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{figure(width)}mm" '
        f'height="{figure(height)}mm" viewBox="0 0 {figure(width)} {figure(height)}" '
        f'role="img"><title>{escape(title)}</title><desc>{escape(words)}</desc>'
        f"{''.join(parts)}</svg>"
    )


def _extra(more: str) -> str:
    return f" {more}" if more else ""
