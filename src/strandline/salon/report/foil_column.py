"""Beside the foil map: the order of work in words, facts, and the key."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.salon.report.foil_strip import dashes, paint, ribbon
from strandline.salon.report.foil_words import ranges, section_lines
from strandline.salon.report.palette import Palette
from strandline.salon.report.svg import Place, circle, group, path, points, rectangle, text
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.pattern import Kind

DETAILS_MM = 116.0
"""Between the unrolled head and the column: side, back and top."""
WIDTH_MM = 262.0
HEIGHT_MM = 144.0
COLUMN_MM = 198.0
TOP_MM = 19.0
RIGHT_MM = WIDTH_MM - 4.0

NOTE = "True to scale along the middle; strips drawn 1 mm thick at least."

Fact = tuple[str, str]

_KEY: tuple[tuple[Kind, str], ...] = (
    ("slice", "slice"),
    ("weave", "weave, in its picks"),
    ("tip-out", "ends only"),
    ("lowlight weave", "lowlight weave"),
)


def column(
    foil_map: FoilMap,
    ghosts: FoilMap | None,
    older: Sequence[FoilMap],
    facts: Sequence[Fact],
    colours: Sequence[Fact],
    next_section: str | None,
    palette: Palette,
) -> list[str]:
    """Draw the column at the right of the map; where it is long its lines stand closer."""
    key, floor = _key(foil_map, ghosts, older, palette)
    tight = 1.0
    for _ in range(3):
        order, below = _order(foil_map, next_section, palette, tight)
        shown, end = _facts(facts, colours, below + 0.6, palette, tight)
        if end <= floor:
            break
        tight *= (floor - TOP_MM) / (end - TOP_MM)
    return [order, shown, key]


def _order(
    foil_map: FoilMap, next_section: str | None, palette: Palette, tight: float
) -> tuple[str, float]:
    """Write the order of work as a numbered path; give the drawing and where it ends."""
    x, y, right = COLUMN_MM, TOP_MM, RIGHT_MM
    total = f"{len(foil_map)} foils"
    parts = [
        text((x, 10.5), "Order of work", size=3.4, colour=palette.ink, weight=600),
        text((right, 10.5), total, size=3.4, colour=palette.ink, weight=600, anchor="end"),
    ]
    due = next_section or (foil_map.order[0] if foil_map.order else "")
    stops: list[Place] = []
    for name in foil_map.order:
        lines = section_lines(foil_map, name)
        colour = palette.accent if name == due else palette.ink
        stops.append((x + 1.9, y - 1.0))
        parts.append(text((x + 5.6, y), name, size=3.0, colour=colour, weight=600))
        parts.append(
            text(
                (right, y),
                ranges(foil.number for foil in foil_map.section(name)),
                size=3.0,
                colour=colour,
                weight=600,
                anchor="end",
            )
        )
        y += 3.5 * tight
        for line in lines:
            parts.append(text((x + 5.6, y), line.words, size=2.6, colour=palette.ink))
            if len(lines) > 1:
                parts.append(
                    text((right, y), line.numbers, size=2.6, colour=palette.quiet, anchor="end")
                )
            y += 3.3 * tight
        y += 1.3 * tight
    route = [path(points(stops), stroke=palette.line, width=0.25)] if len(stops) > 1 else []
    for place, stop in enumerate(stops, start=1):
        here = foil_map.order[place - 1] == due
        route.append(
            circle(
                stop,
                1.9,
                fill=palette.accent if here else palette.paper,
                stroke=palette.accent if here else palette.ink,
                width=0.25,
            )
        )
        route.append(
            text(
                (stop[0], stop[1] + 0.95),
                str(place),
                size=2.7,
                colour=palette.paper if here else palette.ink,
                weight=600,
                anchor="middle",
            )
        )
    return group("order", [*route, *parts]), y


def _facts(
    facts: Sequence[Fact], colours: Sequence[Fact], y: float, palette: Palette, tight: float
) -> tuple[str, float]:
    parts = []
    right = RIGHT_MM
    for words, figure in facts:
        parts.append(text((COLUMN_MM, y), words, size=2.8, colour=palette.ink))
        parts.append(
            text((right, y), figure, size=2.8, colour=palette.ink, weight=600, anchor="end")
        )
        y += 3.6 * tight
    if colours:
        y += 0.6
        step = (right - COLUMN_MM) / len(colours)
        for k, (words, colour) in enumerate(colours):
            x = COLUMN_MM + k * step
            parts.append(rectangle((x, y), (step - 2, 6), fill=palette.neutral))
            parts.append(rectangle((x + 1.2, y + 1.2), (step - 4.4, 3.6), fill=colour))
            parts.append(text((x, y + 9), words, size=2.4, colour=palette.quiet))
        y += 11
    return group("facts", parts), y


def _key(
    foil_map: FoilMap, ghosts: FoilMap | None, older: Sequence[FoilMap], palette: Palette
) -> tuple[str, float]:
    """Draw the key; give it and how far down the column above it may reach."""
    present = {foil.kind for foil in foil_map}
    samples = [(words, _sample(kind, palette)) for kind, words in _KEY if kind in present]
    samples.append(("hair left out", _open(palette)))
    if ghosts is not None and len(ghosts):
        grown = f", its light starts {ghosts.grown_cm:.1f} cm out" if ghosts.grown_cm else ""
        if len(samples) % 2:
            samples.append(("", ""))
        sample: list[Place] = [(0.0, 0.0), (4.5, 0.0), (9.0, 0.0)]
        samples.append((f"last visit{grown}", dashes([ribbon(sample, 1.1)], palette)))
        if older:
            samples.append(("", ""))
            words = "the visit before" if len(older) == 1 else "visits before"
            far = f", from {older[-1].grown_cm:.1f} cm out" if len(older) == 1 else ""
            samples.append((f"{words}{far}", dashes([ribbon(sample, 1.1)], palette, old=True)))
    rows = (len(samples) + 1) // 2
    top = HEIGHT_MM - 10.0 - 4.4 * (rows - 1)
    parts = [path(points([(COLUMN_MM, top - 4.6), (RIGHT_MM, top - 4.6)]), stroke=palette.line)]
    for k, (words, drawing) in enumerate(samples):
        if not words:
            continue
        x, y = COLUMN_MM + (k % 2) * 29.5, top + 4.4 * (k // 2)
        parts.append(f'<g transform="translate({x:.2f} {y - 0.9:.2f})">{drawing}</g>')
        parts.append(text((x + 10.6, y), words, size=2.6, colour=palette.ink))
    parts.append(text((COLUMN_MM, HEIGHT_MM - 4.6), NOTE, size=2.3, colour=palette.quiet))
    return group("key", parts), top - 6.0


def _sample(kind: Kind, palette: Palette) -> str:
    whole: list[Place] = [(0.0, 0.0), (4.5, 0.0), (9.0, 0.0)]
    taken = [whole]
    if kind != "slice":
        taken = [[(x, 0.0), (x + 0.6, 0.0), (x + 1.2, 0.0)] for x in (0.4, 2.7, 5.0, 7.3)]
    ribbons = [ribbon(one, 1.1) for one in taken]
    return paint(kind, [whole], ribbons, (whole[0], whole[-1]), palette)


def _open(palette: Palette) -> str:
    return rectangle((0, -0.9), (9, 1.8), fill=palette.ground) + path(
        points([(0, -0.9), (9, -0.9), (9, 0.9), (0, 0.9)], closed=True),
        stroke=palette.line,
        width=0.16,
    )
