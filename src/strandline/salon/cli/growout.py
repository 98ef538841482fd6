"""`strandline growout FILE`: how the hair looks as it grows, in figures and in pictures."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.planned import add_consultation, add_learned, made_from
from strandline.salon.cli.progress import shown

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
        "--still",
        metavar="FILE",
        help="the head as planned in the first of those weeks, traced path by path, a .png; "
        "needs the extra 'stills' and some minutes",
    )
    parser.add_argument(
        "--size", metavar="PIXELS", type=int, default=480, help="of each picture, 480 if left out"
    )
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Plan, look, print, and draw what was asked for.

    Raises
    ------
    OutOfRangeError    weeks or a size that are none
    StoreError         a place that cannot be written
    UnreachableError   a still, and no path tracer is installed
    """
    weeks = weeks_of(args.weeks)
    asked = _drawings(args)
    made, others = _made(args)

    from strandline.salon.report.growout_text import growout_text, views_text  # noqa: PLC0415
    from strandline.service.plan.growing import growing_json, ways_grown  # noqa: PLC0415

    ways = ways_grown(made, weeks, others)
    views = _drawn(made, others, weeks, asked) if asked else {}
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
    for told in (
        asked.pictures and f"Pictures from {len(views)} sides are in {asked.pictures}",
        asked.film and f"The film is {asked.film}",
        asked.still and f"The still is {asked.still}",
    ):
        if told:
            sys.stdout.write(f"\n{told}\n")
    return 0


@dataclass(frozen=True, slots=True)
class _Drawings:
    """What is to be drawn, each None where it is not asked for; pictures of `size` pixels."""

    pictures: Path | None
    film: Path | None
    still: Path | None
    size: int

    def __bool__(self) -> bool:
        """Say whether anything is."""
        return any(one is not None for one in (self.pictures, self.film, self.still))


def _drawings(args: argparse.Namespace) -> _Drawings:
    """Give what is to be drawn, and see that it can be, before anything is computed."""
    pictures, film, still = (
        None if one is None else Path(one) for one in (args.pictures, args.film, args.still)
    )
    asked = _Drawings(pictures, film, still, args.size)
    if not asked:
        return asked
    from strandline.salon.report import growout_pictures as drawn  # noqa: PLC0415  # slow
    from strandline.salon.report.picture_file import check_place  # noqa: PLC0415

    drawn.check_size(asked.size)
    if asked.pictures is not None:
        drawn.check_folder(asked.pictures)
    if asked.film is not None:
        check_place(asked.film, ".webp", "The film is an animated WebP", "--film")
    if asked.still is not None:
        from strandline.salon.stills.trace import renderer  # noqa: PLC0415

        check_place(asked.still, ".png", "The still is a PNG", "--still")
        renderer()
    return asked


def _drawn(
    made: Made, others: Mapping[str, Made], weeks: Sequence[float], asked: _Drawings
) -> Views:
    """Draw all that was asked for, then write it: what fails or is stopped leaves nothing."""
    from strandline.salon.report import growout_pictures as drawn  # noqa: PLC0415  # slow
    from strandline.salon.report.picture_file import write_whole  # noqa: PLC0415

    files: dict[str, bytes] = {}
    views: Views = {}
    alone: list[tuple[Path, bytes]] = []
    if asked.pictures is not None:
        files, views = drawn.week_sheets(made, weeks, asked.size, others)
    if asked.film is not None:
        alone.append((asked.film, drawn.film(made, asked.size)))
    if asked.still is not None:
        from strandline.salon.report.growout_still import still_png  # noqa: PLC0415

        with shown("tracing the still") as progress:
            alone.append((asked.still, still_png(made, weeks[0], asked.size, progress)))
    if asked.pictures is not None:
        drawn.write_pictures(files, asked.pictures)
    for path, content in alone:
        write_whole(path, content)
    return views


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

    try:
        check_weeks(weeks)
    except OutOfRangeError as none:
        raise OutOfRangeError(none.what, none.do, "--weeks") from None
    return weeks
