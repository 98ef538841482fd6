"""`strandline hair`: what hair of a level looks like, or what a reading of hair says of it."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.given import figure, within
from strandline.salon.cli.main import UsageError

if TYPE_CHECKING:
    from strandline.salon.cli.hair_words import Told
    from strandline.science.hair.shades import Scale


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    named = parser.add_argument_group("hair that is named")
    named.add_argument("--level", metavar="L", help="natural level, 1-10, halves allowed")
    named.add_argument("--stage", metavar="S", help="lightened from that level to a stage, 3-10.5")
    named.add_argument("--gray", metavar="PERCENT", help="white hair among it, 0-100")
    named.add_argument(
        "--clump-mm", metavar="MM", help="mean run of white; leave out for salt and pepper"
    )
    read = parser.add_argument_group("hair that was read")
    read.add_argument("--fit-lab", metavar="L,a,b", help="a colour: CIELAB, D65, 10 degrees")
    read.add_argument("--fit-reflectance", metavar="FILE", help="a .csv: wavelength, reflectance")
    read.add_argument("--column", metavar="NAME", help="its column; needed where there are several")
    read.add_argument(
        "--geometry",
        metavar="G",
        help="45/0 if not said (a camera kept off the glare too), sphere-excluded, sphere-included",
    )
    read.add_argument("--wet", action="store_true", help="it was read wet; figures are of it dry")
    shade = parser.add_argument_group("a shade by its name")
    shade.add_argument("--shade", metavar="NAME", help="such as 8.12 or 8AV")
    both = parser.add_argument_group("for all")
    both.add_argument(
        "--on",
        metavar="HAIR",
        help="white or lightened under a shade, natural or lightened where it was read",
    )
    both.add_argument(
        "--light", metavar="LIGHT", help="day if not said; warm, cool, home, shop, street, LED-B2"
    )
    both.add_argument(
        "--numbering",
        metavar="LINE",
        help="how the line names its shades: international, letters, or a line of --lines",
    )
    both.add_argument("--lines", metavar="FILE", help="a .toml with numberings of your own")
    both.add_argument("--json", action="store_true", help="print JSON, each figure with low, high")


def run(args: argparse.Namespace) -> int:
    """Compute, and print the figures with their ranges.

    Raises
    ------
    UsageError        none, or more than one, of the ways to say which hair
    OutOfRangeError   a value off its range
    ReadError         a file that cannot be read as what it should be
    """
    way = _way(args)
    from strandline.salon.cli.hair_words import as_json, as_text  # noqa: PLC0415  # slow

    told = _told(args, way)
    if args.json:
        json.dump(as_json(told), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(as_text(told))
    return 0


_WITH = {
    "level": ("stage", "gray", "clump_mm"),
    "fit_lab": ("geometry", "wet", "on"),
    "fit_reflectance": ("column", "geometry", "wet"),
    "shade": ("on",),
}
"""What each way of describing hair takes besides what all take."""
_THINGS = {
    "--level": ("natural level", 1, 10),
    "--stage": ("stage", 3, 10.5),
    "--gray": ("share of white in per cent", 0, 100),
    "--clump-mm": ("mean run of white in mm", 0.01, 100),
}
"""What each figure is called, and its range."""


def _way(args: argparse.Namespace) -> str:
    """Give how the hair is described; refuse what that way does not use."""
    said = [way for way in _WITH if getattr(args, way) is not None]
    if len(said) != 1:
        options = ", ".join("--" + way.replace("_", "-") for way in _WITH)
        what = "Hair is described in more than one way." if said else "No hair is described."
        raise UsageError(what, f"Give one of {options}.")
    way = said[0]
    for option in {name for takes in _WITH.values() for name in takes} - set(_WITH[way]):
        if getattr(args, option) not in (None, False):
            word = option.replace("_", "-")
            raise UsageError(
                f"--{word} says nothing beside --{way.replace('_', '-')}.", f"Leave --{word} out."
            )
    if args.clump_mm is not None and args.gray is None:
        raise UsageError("--clump-mm says nothing without --gray.", "Give the share of white too.")
    return way


def _told(args: argparse.Namespace, way: str) -> Told:
    from strandline.salon.cli.hair_input import colour, lines, spectrum  # noqa: PLC0415  # slow
    from strandline.salon.cli.hair_shade import told_of_shade  # noqa: PLC0415
    from strandline.salon.cli.hair_words import Told  # noqa: PLC0415
    from strandline.science.colour.lights import light  # noqa: PLC0415
    from strandline.science.hair.figures.named import figures_of_asked  # noqa: PLC0415
    from strandline.science.hair.figures.read import figures_of_reading  # noqa: PLC0415
    from strandline.science.hair.naming.near import names_of  # noqa: PLC0415
    from strandline.science.hair.spread import Asked  # noqa: PLC0415
    from strandline.science.hair.wet import wet_levels  # noqa: PLC0415

    under = light(args.light or "D65")
    known = lines(args.lines, args.numbering)
    if way == "shade":
        on = _word(args.on, ("white", "lightened"))
        return told_of_shade(args.shade, on, under, args.numbering, lines(args.lines, None))
    lightened = args.stage is not None
    if way == "level":
        level = _number(args.level, "--level")
        stage = None if args.stage is None else _number(args.stage, "--stage")
        gray = 0.0 if args.gray is None else _number(args.gray, "--gray")
        clump = None if args.clump_mm is None else _number(args.clump_mm, "--clump-mm")
        title = f"NATURAL LEVEL {level:g}"
        title += "" if stage is None else f", lightened to stage {stage:g}"
        title += f", {gray:g} % white" if gray else ""
        title += f" in runs of {clump:g} mm" if clump else ""
        title += ", as one from afar" if gray else ""
        figures = figures_of_asked(Asked(level, stage, gray / 100, clump), under)
        sure = "off, of a head so named"
    else:
        geometry = args.geometry if args.geometry is not None else "45/0"
        wet = (wet_levels().value, wet_levels().spread) if args.wet else (0.0, 0.0)
        lightened = _word(args.on, ("natural", "lightened")) == "lightened"
        if way == "fit_lab":
            read, title = colour(args.fit_lab), f"A READING OF {args.fit_lab}"
        else:
            column, read = spectrum(args.fit_reflectance, args.column)
            title = f"A SPECTRUM, {column}"
        title += f", {geometry}" + (", read wet, here dry" if args.wet else "")
        figures = figures_of_reading(read, geometry, wet, under, lightened=lightened)
        sure = "left of the reading by the fit"
    scale: Scale = "stage" if lightened else "level"
    names = {name: names_of(figures.daylight, line, scale) for name, line in known.items()}
    return Told(title, figures, sure, names)


def _word(said: str | None, words: tuple[str, ...]) -> str:
    if said is None:
        return words[0]
    if said not in words:
        raise OutOfRangeError(
            f"The hair is said to be '{said}'.", f"Say {' or '.join(words)}.", "--on"
        )
    return said


def _number(text: str, where: str) -> float:
    return within(figure(text, where), where, *_THINGS[where])
