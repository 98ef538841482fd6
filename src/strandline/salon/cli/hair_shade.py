"""`strandline hair --shade`: the colour behind a name, and its name in other lines."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.hair_words import ENDS, light_lines, lights_json
from strandline.science.colour.lights import lab_under, light, seen_under
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.hair.naming.colour import ShadeColour, colour_of, ground, shade_of
from strandline.science.hair.naming.name import Named, read_name, translate, write_name
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.pigment import reflectance
from strandline.science.hair.shades import Scale

Floats = NDArray[np.float64]


def show_shade(args: argparse.Namespace, lines: Mapping[str, Numbering]) -> int:
    """Print the colour of a named shade on its ground, with its range.

    Raises
    ------
    OutOfRangeError   a name that no line, or not the one asked for, can read
    """
    numbering, named = _read(args.shade, args.numbering, lines)
    on = args.on or "white"
    scale: Scale = "level" if on == "white" else "stage"
    found = colour_of(named, numbering, scale)
    name = write_name(named, numbering)
    others = _others(name, numbering, lines)
    under = light(args.light)
    hair = ground(scale)
    dyes = shade_of(named, numbering, scale).amounts()
    spectrum = reflectance(hair.with_(dyes=dyes[None]))[0]
    labs, seen = (_ends(found, f(spectrum, under)) for f in (lab_under, seen_under))
    if args.json:
        document = {
            "name": name,
            "line": numbering.name,
            "main": named.main,
            "second": named.second,
            "on": on,
            "light": under.name,
            "lab": {end: [round(float(v), 2) for v in lab] for end, lab in labs.items()},
            "srgb": {end: hex_from_lab(lab)[0] for end, lab in seen.items()},
            "depth": found.depth.as_json(),
            "in_other_lines": {line: other for line, (other, _) in others.items()},
            "lights": lights_json(spectrum),
        }
        json.dump(document, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
        return 0
    L, a, b = labs["middle"]
    low, high = labs["low"][0], labs["high"][0]
    shown = hex_from_lab(seen["middle"])[0]
    second = f", second {named.second}" if named.second else ""
    where = "white hair" if on == "white" else "hair lightened to the end"
    colour_line = f"L* {L:.1f} ({low:.1f} to {high:.1f})   a* {a:.1f}   b* {b:.1f}"
    depth = f"depth {found.depth.middle:.1f} ({found.depth.low:.1f} to {found.depth.high:.1f})"
    told = [
        f"SHADE {name} of the numbering '{numbering.name}', on {where}, at full uptake",
        "",
        f"SAYS      depth {named.depth}, main {named.main}{second}",
        f"COLOUR    {colour_line}   {shown}",
        f"READS     {depth} of its line",
        *(
            f"ALSO      {other} in '{line}'" if other else f"NOT IN    '{line}': {why}"
            for line, (other, why) in others.items()
        ),
        "",
        *light_lines(spectrum, under),
        "",
        "The dyes of a name stand on priors from memory: a swatch of the line replaces them.",
        "The product's label comes first.",
    ]
    sys.stdout.write("\n".join(told) + "\n")
    return 0


def _ends(found: ShadeColour, lab: Floats) -> dict[str, Floats]:
    """Move a colour to the ends of its lightness, as far as those lie from its middle by day."""
    places = (found.lightness.low, found.lab[0], found.lightness.high)
    return {
        end: lab + np.array([place - found.lab[0], 0.0, 0.0])
        for end, place in zip(ENDS, places, strict=True)
    }


def _read(text: str, asked: str | None, lines: Mapping[str, Numbering]) -> tuple[Numbering, Named]:
    if asked is not None:
        if asked not in lines:
            raise OutOfRangeError(
                f"There is no numbering '{asked}'.", f"Name one of: {', '.join(lines)}."
            )
        return lines[asked], read_name(text, lines[asked])
    slips = []
    for numbering in lines.values():
        try:
            return numbering, read_name(text, numbering)
        except OutOfRangeError as slip:
            slips.append(slip)
    raise slips[0]


def _others(
    name: str, numbering: Numbering, lines: Mapping[str, Numbering]
) -> dict[str, tuple[str | None, str]]:
    """Give the name in every other line, or none and why."""
    out: dict[str, tuple[str | None, str]] = {}
    for other in lines.values():
        if other.name == numbering.name:
            continue
        try:
            out[other.name] = translate(name, numbering, other), ""
        except OutOfRangeError as lacking:
            out[other.name] = None, f"{lacking.what} {lacking.do}"
    return out
