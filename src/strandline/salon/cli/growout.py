"""`strandline growout FILE`: how the hair looks as it grows, in figures and in pictures."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.planned import add_consultation, add_learned, made_from

if TYPE_CHECKING:
    from strandline.salon.report.growout_pictures import Views
    from strandline.service.plan.assemble import Made

WEEKS = "0,4,8,12,16"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    add_consultation(parser)
    add_learned(parser)
    parser.add_argument(
        "--weeks", metavar="LIST", default=WEEKS, help=f"since the visit, {WEEKS} if left out"
    )
    parser.add_argument(
        "--alternatives",
        action="store_true",
        help="the other ways this visit could go beside it, as strandline plan names them",
    )
    parser.add_argument(
        "--pictures", metavar="DIR", help="draw front, side, back and top in those weeks, as PNG"
    )
    parser.add_argument(
        "--film", metavar="FILE", help="half a year week by week, an animated .webp"
    )
    parser.add_argument(
        "--size", metavar="PIXELS", type=int, default=480, help="of each picture, 480 if left out"
    )
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Plan, look, print, and draw what was asked for.

    Raises
    ------
    OutOfRangeError   weeks or a size that are none
    StoreError        a place that cannot be written
    """
    weeks = weeks_of(args.weeks)
    pictures = None if args.pictures is None else Path(args.pictures)
    film = None if args.film is None else Path(args.film)
    if pictures is not None or film is not None:
        _check(args.size, pictures, film)
    made, others = _made(args)

    from strandline.salon.report.growout_text import growout_text, views_text  # noqa: PLC0415
    from strandline.service.plan.growing import growing_json, ways_grown  # noqa: PLC0415

    ways = ways_grown(made, weeks, others)
    files: dict[str, bytes] = {}
    views: Views = {}
    if pictures is not None or film is not None:
        from strandline.salon.report import growout_pictures as drawn  # noqa: PLC0415  # slow
        from strandline.salon.report.picture_file import write_whole  # noqa: PLC0415

        if pictures is not None:
            files, views = drawn.week_sheets(made, weeks, args.size, others)
        moving = None if film is None else drawn.film(made, args.size)
        if pictures is not None:
            drawn.write_pictures(files, pictures)
        if film is not None and moving is not None:
            write_whole(film, moving)
    if args.json:
        out = growing_json(made, ways)
        if views:
            out["views"] = {
                view: {look: [round(one, 3) for one in seen] for look, seen in looks.items()}
                for view, looks in views.items()
            }
        json.dump(out, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
        return 0
    sys.stdout.write(growout_text(made, ways))
    if views:
        sys.stdout.write(views_text(views))
        sys.stdout.write(f"\nPictures from {len(files)} sides are in {pictures}\n")
    if film is not None:
        sys.stdout.write(f"\nThe film is {film}\n")
    return 0


def _made(args: argparse.Namespace) -> tuple[Made, dict[str, Made]]:
    """Plan the visit, and where that is asked the other ways it could go."""
    if not args.alternatives:
        return made_from(args), {}
    from strandline.salon.cli.plan_ways import many_made  # noqa: PLC0415  # slow

    many = many_made(args)
    return many.stands, many.made


def weeks_of(text: str) -> tuple[float, ...]:
    """Read weeks as a person writes them, and see that they are some.

    Raises
    ------
    OutOfRangeError   not numbers with commas, before the visit, or not rising
    """
    try:
        weeks = tuple(float(part) for part in text.split(","))
    except ValueError:
        raise OutOfRangeError(
            f"The weeks '{text:.60}' are no numbers.",
            f"Write them with commas between: {WEEKS}.",
            "--weeks",
        ) from None
    from strandline.service.growout.pictures.weeks import check_weeks  # noqa: PLC0415  # slow

    check_weeks(weeks)
    return weeks


def _check(size: int, pictures: Path | None, film: Path | None) -> None:
    from strandline.salon.report import growout_pictures as drawn  # noqa: PLC0415  # slow

    drawn.check_size(size)
    if pictures is not None:
        drawn.check_folder(pictures)
    if film is not None:
        drawn.check_film(film)
