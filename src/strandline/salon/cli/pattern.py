"""`strandline pattern NAME|FILE`: a pattern of foils as a file to edit, checked and drawn."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strandline.base.errors import ReadError, StoreError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.planned import read_file

if TYPE_CHECKING:
    from strandline.service.placement.foil import FoilMap
    from strandline.service.placement.pattern import Pattern

ON = "on the average head"
"""A pattern alone is counted and drawn on the mean head, its hair 30 cm long."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument(
        "pattern",
        metavar="NAME|FILE",
        nargs="?",
        help="a pattern by its name, or a .toml file of your own; without it they are listed",
    )
    parser.add_argument("--out", metavar="FILE", help="save it there, to edit; a new file")
    parser.add_argument("--map", metavar="FILE", help=f"draw its foils {ON}, an .svg; a new file")
    parser.add_argument("--json", action="store_true", help="print JSON, each row whole, in mm")


def run(args: argparse.Namespace) -> int:
    """Print a pattern as a file, or list the patterns; write what was asked for, or nothing.

    Raises
    ------
    UsageError        a file to be written without a pattern, or one file for both
    ReadError         neither a pattern's name nor a file
    OutOfRangeError   a slip in a file, with its place
    StoreError        a file that is there already, or a place that cannot be written
    """
    if args.pattern is None:
        if args.out or args.map:
            raise UsageError("No pattern is named.", "Name one, or a file: strandline pattern soft")
        _list(as_json=args.json)
        return 0
    if args.out and args.out == args.map:
        raise UsageError("--out and --map name the same file.", "Give each a name of its own.")
    from strandline.service.placement.pattern_text import pattern_text  # noqa: PLC0415  # slow

    made = _named(args.pattern)
    text, laid = pattern_text(made), _laid(made, args.pattern)
    files = {}
    if args.out:
        files[Path(args.out)] = text
    if args.map:
        files[Path(args.map)] = _drawn(made, laid)
    _write(files)
    if args.json:
        _print(_as_json(made, laid))
    else:
        sys.stdout.write(text)
    return 0


def _named(name: str) -> Pattern:
    """Give a pattern by its name, else the one that a file holds."""
    from strandline.service.placement.pattern import pattern, pattern_names  # noqa: PLC0415
    from strandline.service.placement.pattern_file import read_pattern  # noqa: PLC0415
    from strandline.service.placement.pattern_values import nearest  # noqa: PLC0415

    if name in pattern_names():
        return pattern(name)
    path = Path(name)
    try:
        raw = read_file(path)
    except ReadError:
        if path.suffix == ".toml" or os.path.isdir(name):  # noqa: PTH112 - no error, however long
            raise
        raise ReadError(
            f"'{name:.60}' is neither a pattern nor a file that can be read.",
            f"{nearest(name, pattern_names())} A file of your own ends in .toml.",
        ) from None
    return read_pattern(raw, path.name)


def _laid(made: Pattern, name: str) -> FoilMap:
    from strandline.base.errors import UnreachableError  # noqa: PLC0415
    from strandline.science.head.zones import cut_zones  # noqa: PLC0415
    from strandline.service.placement.place import place  # noqa: PLC0415

    try:
        return place(cut_zones(), made, foil_budget=made.foils)
    except UnreachableError as never:
        raise UnreachableError(never.what, never.do, f"{Path(name).name}: foils") from None


def _drawn(made: Pattern, laid: FoilMap) -> str:
    from strandline.salon.report.foil_map import foil_map_svg  # noqa: PLC0415

    title = made.name[:1].upper() + made.name[1:]
    return foil_map_svg(laid, title=title, subtitle=f"A pattern of {len(laid)} foils {ON}")


def _list(*, as_json: bool) -> None:
    """Say of each pattern what it is for and how many foils it comes to."""
    from strandline.service.choose.technique import NAMES  # noqa: PLC0415
    from strandline.service.placement.pattern import pattern, pattern_names  # noqa: PLC0415

    words: Mapping[str, str] = {str(scale): name for scale, name in NAMES.items()}
    found = [
        {"name": name, "for": words[name], "foils_on_average_head": len(_laid(pattern(name), name))}
        for name in pattern_names()
    ]
    if as_json:
        _print({"patterns": found})
        return
    width = max(len(name) for name in pattern_names())
    for one in found:
        sys.stdout.write(
            f"{one['name']:<{width}}  {one['for']}; {one['foils_on_average_head']} foils {ON}\n"
        )


def _as_json(made: Pattern, laid: FoilMap) -> dict[str, Any]:
    from dataclasses import asdict  # noqa: PLC0415

    from strandline.service.placement.takes import take_word  # noqa: PLC0415

    return {
        "name": made.name,
        "foils": made.foils,
        "zones": {
            zone: [{"take": take_word(row.kind, row.grade), **asdict(row)} for row in rows]
            for zone, rows in made.items()
        },
        "foils_on_average_head": len(laid),
        "taken_percent_on_average_head": round(100 * laid.taken_share(), 1),
    }


def _print(document: dict[str, Any]) -> None:
    json.dump(document, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
    sys.stdout.write("\n")


def _write(files: Mapping[Path, str]) -> None:
    """Write new files, all of them or none.

    Raises
    ------
    StoreError   one is there already, or cannot be written
    """
    made: list[Path] = []
    for path, text in files.items():
        try:
            with path.open("x", encoding="utf-8", newline="\n") as file:
                made.append(path)
                file.write(text)
        except OSError as error:
            for one in made:
                one.unlink(missing_ok=True)
            if isinstance(error, FileExistsError):
                raise StoreError(
                    "There is a file of that name already.",
                    "Give a new name; what is there is left as it is.",
                    str(path),
                ) from None
            raise StoreError(
                f"The file cannot be written: {error.strerror or error}.",
                "Name a place that you may write to, with room on its disk.",
                str(path),
            ) from None
