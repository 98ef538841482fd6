"""The foil map: the face of the plan, drawn from the geometry of the head.

Every measure is in millimetres on paper; the sheet is half an A4 page.
"""

from __future__ import annotations

from collections.abc import Sequence

from strandline.salon.report import foil_strip
from strandline.salon.report.ear import TALL, ear
from strandline.salon.report.foil_column import HEIGHT_MM, WIDTH_MM, Fact, column
from strandline.salon.report.foil_details import details
from strandline.salon.report.foil_number import SIZE_MM, drawn, labels
from strandline.salon.report.foil_words import ranges
from strandline.salon.report.palette import LIGHT, Palette
from strandline.salon.report.svg import (
    group,
    path,
    points,
    rectangle,
    sheet,
    text,
)
from strandline.salon.report.view import View
from strandline.science.head.polygon import Polygon
from strandline.science.head.zones import Zones
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.places import ZONE_WORDS

MIDDLE = (66.0, 80.0)
MM_PER_CM = 3.25
RULER_MM = 18.5
HEAD_MM = 20.4
"""What is named above the head stays below this, clear of the title."""


def foil_map_svg(  # noqa: PLR0913 - each is named where it is called
    foil_map: FoilMap,
    *,
    ghosts: FoilMap | None = None,
    older: Sequence[FoilMap] = (),
    title: str = "Foil map",
    subtitle: str = "",
    facts: Sequence[Fact] = (),
    colours: Sequence[Fact] = (),
    next_section: str | None = None,
    parting_cm: float | None = None,
    palette: Palette = LIGHT,
) -> str:
    """Draw a foil map.

    Parameters
    ----------
    foil_map : FoilMap
    ghosts : FoilMap | None   last visit's foils, dashed
    older : FoilMap each      those of the visits before that, dotted, on the unrolled head alone
    title, subtitle : str     whose head and which visit
    facts : (words, figure)   said under the order of work, such as ('lightener', '154 g')
    colours : (words, hex)    computed hair colours, shown on neutral gray
    next_section : str        the section to do next; the first if None
    parting_cm : float | None how far her parting lies from the middle, above 0 to her right
    palette : Palette         LIGHT or DARK

    Returns
    -------
    str   an SVG drawing, 262 x 144 mm; no filter, clip, pattern or style sheet
    """
    view = View(foil_map.zones.scalp, MIDDLE, MM_PER_CM)
    parting = _parting_line(foil_map.zones, parting_cm)
    parts = [
        rectangle((0, 0), (WIDTH_MM, HEIGHT_MM), fill=palette.paper),
        text((8, 10.5), title, size=5.2, colour=palette.ink, weight=600),
        text((8, 15.6), subtitle, size=3.1, colour=palette.quiet) if subtitle else "",
        _ears(view, palette),
        _ground(foil_map.zones, view, palette),
        group(
            "older", [foil_strip.ghost(f, view, palette, old=True) for one in older for f in one]
        ),
        group("ghosts", [foil_strip.ghost(foil, view, palette) for foil in ghosts or ()]),
        group("foils", [foil_strip.draw(foil, view, palette) for foil in foil_map]),
        _parting(parting, view, palette),
        _numbers(foil_map, view, palette),
        _ruler(foil_map.zones, view, palette),
        _side_names(foil_map.zones, view, palette),
        details(foil_map, ghosts, parting, palette),
    ]
    parts += column(foil_map, ghosts, older, facts, colours, next_section, palette)
    words = f"{len(foil_map)} foils: " + "; ".join(
        f"{name} {ranges(foil.number for foil in foil_map.section(name))}"
        for name in foil_map.order
    )
    return sheet(WIDTH_MM, HEIGHT_MM, title, words, parts)


def _ground(zones: Zones, view: View, palette: Palette) -> str:
    outline = points(view.ring(zones.scalp.outline), closed=True)
    borders = "".join(points(view.ring(zone.outline), closed=True) for zone in zones)
    return group(
        "head",
        [
            path(outline, fill=palette.ground),
            path(borders, stroke=palette.line, width=0.16),
            path(outline, stroke=palette.ink, width=0.32),
        ],
    )


def _parting_line(zones: Zones, parting_cm: float | None) -> Polygon:
    """Give the parting from the hairline to the crown, in the chart; empty without one."""
    if parting_cm is None:
        return ()
    scalp = zones.scalp
    u = scalp.u_of_arc(parting_cm)
    end = zones.cuts.top_end_share * scalp.front_to_nape_cm
    start = next(y / 50 for y in range(round(50 * end)) if scalp.half_u(y / 50) >= abs(u))
    return ((u, start), (u, end))


def _parting(parting: Polygon, view: View, palette: Palette) -> str:
    """Draw the parting and name it above the head."""
    if not parting:
        return ""
    line = view.line(parting)
    x, y = line[0]
    leader = max(0.8, min(4.4, y - HEAD_MM))
    return group(
        "parting",
        [
            path(points(line), stroke=palette.paper, width=0.9),
            path(points(line), stroke=palette.ink, width=0.3, more='stroke-dasharray="2.2 1.1"'),
            path(points([(x, y), (x, y - leader)]), stroke=palette.line, width=0.16),
            text((x, y - leader - 0.6), "parting", size=2.6, colour=palette.quiet, anchor="middle"),
        ],
    )


def _ears(view: View, palette: Palette) -> str:
    """Draw an ear at each pole of the chart."""
    x, y = view.centre
    parts = [
        one for back in (-1.0, 1.0) for one in ear((x + back * 39.3, y - 1.1), TALL, back, palette)
    ]
    words = (("her left", -1.0), ("her right", 1.0))
    parts += [
        text((x + s * 40.5, y + 12.5), w, size=2.5, colour=palette.quiet, anchor="middle")
        for w, s in words
    ]
    return group("ears", parts)


def _numbers(foil_map: FoilMap, view: View, palette: Palette) -> str:
    return group("numbers", drawn(labels(foil_map.foils, view), SIZE_MM, palette))


def _ruler(zones: Zones, view: View, palette: Palette) -> str:
    """Write the zones of the centre strip beside it, and centimetres from the fringe."""
    centre = sorted(
        (min(y for _, y in zone.outline), max(y for _, y in zone.outline), zone.name)
        for zone in zones
        if zone.side == "centre"
    )
    nape = zones.scalp.front_to_nape_cm
    marks = [(0.0, centre[0][0])]
    parts = []
    for low, high, name in centre:
        top, bottom = view.y_of(low if low > 1 else 0.0), view.y_of(high)
        marks.append((top, high))
        small = bottom - top < 5
        parts.append(
            text(
                (RULER_MM - 1.6, (top + bottom) / 2 + (2.6 if small else 0.9)),
                ZONE_WORDS[name],
                size=2.6,
                colour=palette.quiet,
                anchor="end",
            )
        )
    edges = sorted({0.0, nape, *(high for _, high, _ in centre)})
    data = points([(RULER_MM, view.y_of(0.0)), (RULER_MM, view.y_of(nape))])
    data += "".join(
        points([(RULER_MM - 0.9, view.y_of(y)), (RULER_MM + 0.9, view.y_of(y))]) for y in edges
    )
    parts.append(path(data, stroke=palette.line, width=0.2))
    return group("ruler", parts)


def _side_names(zones: Zones, view: View, palette: Palette) -> str:
    parts = []
    for key, share, dx in (
        ("temples right", 0.45, 13.0),
        ("sides right", 0.93, 11.0),
    ):
        zone = zones[key]
        low, high = min(y for _, y in zone.outline), max(y for _, y in zone.outline)
        y = low + share * (high - low)
        edge = zones.scalp.half_u(y)
        start = view.at((0.97 * edge - 0.35, y))
        end = (view.at((edge, y))[0] + dx - 6, start[1])
        parts.append(path(points([start, end]), stroke=palette.line, width=0.16))
        parts.append(
            text(
                (end[0] + 0.8, end[1] + 0.9), ZONE_WORDS[zone.name], size=2.6, colour=palette.quiet
            )
        )
    return group("names", parts)
