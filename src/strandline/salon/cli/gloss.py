"""`strandline gloss`: the recipe from the shelf that comes nearest to an aim."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.given import figure, within
from strandline.salon.cli.planned import read_file

if TYPE_CHECKING:
    from strandline.service.formulate.asking import Wanted

PLACES = ("mids", "ends", "roots", "white")
USUAL_GRAMS = {"mids": 100.0, "ends": 60.0, "roots": 60.0, "white": 60.0}
"""Mixed for a place where nothing is said; common practice, no source."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument(
        "--on-lab",
        required=True,
        action="append",
        metavar="L,a,b",
        help="the hair as it reads, dry, D65; again for each kind of strand, with --shares",
    )
    parser.add_argument("--shares", metavar="P,P", help="of the hair, in percent: 70,30")
    parser.add_argument(
        "--apart",
        action="store_true",
        help="the readings are grounds of their own: one bowl is set against one for each",
    )
    parser.add_argument("--aim-lab", required=True, metavar="L,a,b", help="the colour to wear")
    parser.add_argument(
        "--shelf", required=True, metavar="FILE", help="a .toml file with [shelf], as practice.toml"
    )
    parser.add_argument("--place", default="mids", choices=PLACES, help="mids if not said")
    parser.add_argument(
        "--as-asked",
        action="store_true",
        help="aim at that very colour on day one, not half a level deeper and cooler",
    )
    parser.add_argument("--damp", action="store_true", help="the hair is damp when it goes on")
    parser.add_argument(
        "--came-to-lab",
        metavar="L,a,b",
        help="the gloss is on and reads so, dry: the steps back to the aim",
    )
    parser.add_argument("--grams", metavar="G", help="shade and developer together")
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Find the recipe, and print it.

    Raises
    ------
    OutOfRangeError    a reading, share or bowl off its range
    ReadError          a shelf that cannot be read
    UnreachableError   what the aim lacks, with the best that can be done
    """
    raw = read_file(Path(args.shelf))
    from strandline.salon.cli.gloss_words import as_json, as_text  # noqa: PLC0415  # slow
    from strandline.service.consultation.reader import read_shelf  # noqa: PLC0415
    from strandline.service.formulate.answer import answer, steps_back  # noqa: PLC0415

    wanted = read(args)
    shelf = read_shelf(raw, Path(args.shelf).name)
    found = answer(wanted, shelf.gloss)
    back = None
    if args.came_to_lab is not None:
        back = steps_back(found, shelf.gloss, _lab(args.came_to_lab, "--came-to-lab"))
    if args.json:
        json.dump(as_json(found, back), sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(as_text(found, back))
    return 0


def read(args: argparse.Namespace) -> Wanted:
    """Give what the words ask for; errors as `run`."""
    from strandline.service.formulate.asking import Wanted  # noqa: PLC0415  # slow

    on = tuple(_lab(text, "--on-lab") for text in args.on_lab)
    grams = USUAL_GRAMS[args.place] if args.grams is None else figure(args.grams, "--grams")
    return Wanted(
        on=on,
        shares=_shares(args.shares, len(on)),
        aim=_lab(args.aim_lab, "--aim-lab"),
        place=args.place,
        apart=args.apart,
        damp=args.damp,
        as_asked=args.as_asked,
        mixed_grams=grams,
    )


def _lab(text: str, where: str) -> tuple[float, float, float]:
    parts = text.split(",")
    if len(parts) != 3:
        raise OutOfRangeError(
            f"The colour '{text}' is not three figures.", "Write L,a,b, such as 71.2,1.9,18.", where
        )
    lightness, a, b = (figure(part, where) for part in parts)
    return (lightness, a, b)


def _shares(text: str | None, count: int) -> tuple[float, ...]:
    if text is None:
        return (1.0 / count,) * count
    percent = [
        within(figure(part, "--shares"), "--shares", "share", 0.1, 100, " %")
        for part in text.split(",")
    ]
    return tuple(part / sum(percent) for part in percent)
