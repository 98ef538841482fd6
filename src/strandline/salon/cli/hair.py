"""`strandline hair`: what hair of a level looks like, or what a reading of hair says of it."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.salon.cli.main import UsageError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from strandline.science.hair.figures import Figures
    from strandline.science.hair.naming.numbering import Numbering

LARGEST_BYTES = 2_000_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    named = parser.add_argument_group("hair that is named")
    named.add_argument("--level", metavar="L", help="natural level, 1-10, halves allowed")
    named.add_argument("--stage", metavar="S", help="lightened from that level to a stage, 3-10.5")
    named.add_argument("--gray", metavar="PERCENT", help="white hair among it, 0-100")
    named.add_argument("--clump-mm", metavar="MM", help="mean run of white; none: salt and pepper")
    read = parser.add_argument_group("hair that was read")
    read.add_argument("--fit-lab", metavar="L,a,b", help="a colour: CIELAB, D65, 10 degrees")
    read.add_argument("--fit-reflectance", metavar="FILE", help="a .csv: wavelength, reflectance")
    read.add_argument("--column", metavar="NAME", help="its column; needed where there are several")
    read.add_argument("--geometry", metavar="G", help="45/0 (or a camera kept off "
                      "the glare), sphere-excluded, sphere-included")  # fmt: skip
    read.add_argument("--wet", action="store_true", help="it was read wet; figures are of it dry")
    shade = parser.add_argument_group("a shade by its name")
    shade.add_argument("--shade", metavar="NAME", help="such as 8.12 or 8AV")
    shade.add_argument(
        "--on", choices=("white", "lightened"), help="hair it lies on, white if not said"
    )
    both = parser.add_argument_group("for all")
    both.add_argument("--light", metavar="LIGHT", default="D65", help="such as A, LED-B2, FL11")
    both.add_argument("--numbering", metavar="LINE", help="how the line names its shades: "
                      "international, letters, or a line of --lines")  # fmt: skip
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
    ways = ("level", "fit_lab", "fit_reflectance", "shade")
    said = [way for way in ways if getattr(args, way) is not None]
    if len(said) != 1:
        options = ", ".join("--" + way.replace("_", "-") for way in ways)
        what = "Hair is described in more than one way." if said else "No hair is described."
        raise UsageError(what, f"Give one of {options}.")
    _refuse_idle(args, said[0])
    if said[0] == "shade":
        from strandline.salon.cli.hair_shade import show_shade  # noqa: PLC0415  # slow

        return show_shade(args, _lines(args.lines))
    from strandline.salon.cli.hair_words import as_json, as_text  # noqa: PLC0415  # slow
    from strandline.science.hair.naming.near import names_of  # noqa: PLC0415

    figures, title = _figures(args, said[0])
    names = {
        name: names_of(figures.daylight, numbering, "level" if args.stage is None else "stage")
        for name, numbering in chosen_lines(args.numbering, args.lines).items()
    }
    if args.json:
        json.dump(as_json(figures, names), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(as_text(title, figures, names))
    return 0


_WITH = {
    "level": ("stage", "gray", "clump_mm"),
    "fit_lab": ("geometry", "wet"),
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


def _refuse_idle(args: argparse.Namespace, way: str) -> None:
    """Refuse an option that this way of describing hair does not use."""
    for option in ("stage", "gray", "clump_mm", "column", "geometry", "wet", "on"):
        if getattr(args, option) and option not in _WITH[way]:
            word = option.replace("_", "-")
            raise UsageError(
                f"--{word} says nothing beside --{way.replace('_', '-')}.", f"Leave --{word} out."
            )
    if args.clump_mm and not args.gray:
        raise UsageError("--clump-mm says nothing without --gray.", "Give the share of white too.")


def _figures(args: argparse.Namespace, way: str) -> tuple[Figures, str]:
    from strandline.science.colour.lights import light  # noqa: PLC0415  # slow
    from strandline.science.hair.figures import (  # noqa: PLC0415
        figures_of_asked,
        figures_of_reading,
    )
    from strandline.science.hair.spread import Asked  # noqa: PLC0415
    from strandline.science.hair.wet import wet_levels  # noqa: PLC0415

    under = light(args.light)
    if way == "level":
        level = _number(args.level, "--level")
        stage = None if args.stage is None else _number(args.stage, "--stage")
        gray = 0.0 if args.gray is None else _number(args.gray, "--gray")
        clump = None if args.clump_mm is None else _number(args.clump_mm, "--clump-mm")
        title = f"NATURAL LEVEL {level:g}"
        title += "" if stage is None else f", lightened to stage {stage:g}"
        title += f", {gray:g} % white" if gray else ""
        title += f" in runs of {clump:g} mm" if gray and clump else ""
        return figures_of_asked(Asked(level, stage, gray / 100, clump), under), title
    geometry = args.geometry or "45/0"
    wet = (wet_levels().value, wet_levels().spread) if args.wet else (0.0, 0.0)
    if way == "fit_lab":
        read, title = _lab(args.fit_lab), f"A READING OF {args.fit_lab}"
    else:
        column, read = _spectrum(args.fit_reflectance, args.column)
        title = f"A SPECTRUM, {column}"
    title += f", {geometry}" + (", read wet, here dry" if args.wet else "")
    return figures_of_reading(read, geometry, wet, under), title


def _number(text: str, where: str) -> float:
    thing, low, high = _THINGS[where]
    value = _figure(text, where)
    if not low <= value <= high:
        raise OutOfRangeError(
            f"The {thing} is {value:g}; it must be {low:g}-{high:g}.",
            "Look at the figure again.",
            where,
        )
    return value


def _figure(text: str, where: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise OutOfRangeError(
            f"'{text.strip()}' is no number.",
            "Write figures alone, with a point for the decimals.",
            where,
        ) from None


def _lab(text: str) -> NDArray[np.float64]:
    import numpy as np  # noqa: PLC0415  # slow

    parts = text.split(",")
    if len(parts) != 3:
        raise OutOfRangeError(
            f"'{text}' holds {len(parts)} figures; a colour is three.",
            "Write L*, a*, b* with commas between and points for decimals: 38.5,12.9,23.1",
            "--fit-lab",
        )
    return np.array([_figure(part, "--fit-lab") for part in parts])


def _spectrum(file: str, column: str | None) -> tuple[str, NDArray[np.float64]]:
    from strandline.science.colour.measured import columns_of, spectrum_of  # noqa: PLC0415

    columns = columns_of(_text(file), file)
    _, *others = columns
    if column is None:
        if len(others) != 1:
            raise UsageError(
                f"The table has {len(others)} columns of reflectance.",
                f"Name one with --column: {', '.join(others)}.",
            )
        column = others[0]
    return column, spectrum_of(columns, column, file)


def _text(file: str) -> str:
    path = Path(file)
    try:
        raw = path.read_bytes() if path.stat().st_size <= LARGEST_BYTES else b"\xff"
        return raw.decode("utf-8-sig")
    except OSError as error:
        raise ReadError(
            f"The file cannot be read: {error.strerror or error}.",
            "Look at its name and folder.",
            file,
        ) from None
    except UnicodeDecodeError:
        raise ReadError(
            "The file is not a table in plain text, or it holds more than 2 MB.",
            "Save it as .csv, UTF-8, with a line for each wavelength.",
            file,
        ) from None


def _lines(file: str | None) -> Mapping[str, Numbering]:
    from strandline.science.hair.naming.lines import numberings  # noqa: PLC0415  # slow

    return numberings(None if file is None else _text(file))


def chosen_lines(name: str | None, file: str | None) -> Mapping[str, Numbering]:
    """Give the numberings asked for: one by its name, or all, her own among them."""
    lines = _lines(file)
    if name is None:
        return lines
    if name not in lines:
        raise OutOfRangeError(
            f"There is no numbering '{name}'.", f"Name one of: {', '.join(lines)}.", "--numbering"
        )
    return {name: lines[name]}
