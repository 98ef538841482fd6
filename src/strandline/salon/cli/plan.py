"""`strandline plan FILE`: from a consultation to the plan, its foil map and its two sheets."""

from __future__ import annotations

import argparse
import datetime as dt
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.salon.cli.main import UsageError

if TYPE_CHECKING:
    from strandline.base.facts.jsonl import Reading
    from strandline.service.plan.assemble import Made


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("file", metavar="FILE", help="the consultation, a .toml file")
    parser.add_argument("--out", metavar="DIR", help="write plan.json, the foil map and the sheets")
    parser.add_argument("--on", metavar="DATE", help="day of the visit, YYYY-MM-DD")
    parser.add_argument(
        "--after", metavar="DIR", help="an earlier plan's folder, with its visit.jsonl if kept"
    )
    parser.add_argument("--facts", metavar="FILE", help="what the chair recorded today, JSON Lines")
    parser.add_argument(
        "--now", metavar="HH:MM", help="local time: what is left of the visit is planned anew"
    )
    parser.add_argument("--json", action="store_true", help="print JSON instead of a summary")


def run(args: argparse.Namespace) -> int:
    """Plan, print, and write what was asked for; nothing half written."""
    if (args.facts is None) != (args.now is None):
        raise UsageError(
            "--facts and --now go together.", "Give the visit's file, and the time as HH:MM."
        )
    if args.facts is not None and args.out:
        raise UsageError("--out says nothing beside --facts.", "Leave --out out.")
    visit = None if args.facts is None else _facts(args.facts, args.now)
    today = dt.datetime.now(tz=dt.UTC).astimezone().date()
    day = _day(args.on) if args.on else None
    path = Path(args.file)
    raw = read_file(path)

    from strandline.service.consultation.reader import read_consultation  # noqa: PLC0415  # slow
    from strandline.service.plan.assemble import make_plan  # noqa: PLC0415
    from strandline.service.plan.earlier import read_earlier  # noqa: PLC0415

    consultation = read_consultation(
        raw, path.name, beside=lambda name: read_beside(path, name), on=day, today=today
    )
    earlier = None
    if args.after:
        folder = Path(args.after)
        facts = folder / "visit.jsonl"
        earlier = read_earlier(
            read_file(folder / "plan.json"), read_file(facts) if facts.is_file() else b""
        )
    made = make_plan(consultation, day or consultation.visit.date or today, earlier=earlier)
    if visit is not None:
        return _anew(made, visit, args)
    if args.out:
        from strandline.salon.report.folder import write_folder  # noqa: PLC0415

        write_folder(made, Path(args.out))
    if args.json:
        json.dump(made.plan.model_dump(mode="json"), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
        return 0
    from strandline.salon.report.summary import summary  # noqa: PLC0415

    sys.stdout.write(summary(made.plan))
    if args.out:
        sys.stdout.write(f"\nThe plan, the foil map and both sheets are in {args.out}\n")
    return 0


def _facts(name: str, now: str) -> Reading:
    """Read the visit's facts, and see that the time is one, before anything is planned."""
    from strandline.base.facts.jsonl import read_lines  # noqa: PLC0415  # slow
    from strandline.service.anew.times import time_of_day  # noqa: PLC0415

    time_of_day(now)
    raw = read_file(Path(name))
    try:
        return read_lines(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise ReadError(
            "The file is not text.", "Name the visit's own file, JSON Lines in UTF-8.", name
        ) from None


def _anew(made: Made, visit: Reading, args: argparse.Namespace) -> int:
    from strandline.salon.report.anew_words import anew_text  # noqa: PLC0415  # slow
    from strandline.service.anew.assemble import plan_anew  # noqa: PLC0415

    rest = plan_anew(made, visit.facts, args.now, unread=visit.unread)
    if args.json:
        json.dump(rest.model_dump(mode="json"), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(anew_text(rest, made.plan.client))
    return 0


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise OutOfRangeError(
            f"The day '{text}' is not a date.", "Write it as YYYY-MM-DD.", "--on"
        ) from None


def read_file(path: Path) -> bytes:
    """Read a file that a person named.

    Raises
    ------
    ReadError   it is missing, a folder, too large, or may not be read
    """
    from strandline.service.consultation.reader import LARGEST_BYTES  # noqa: PLC0415

    largest = LARGEST_BYTES * 20
    try:
        if path.is_dir():
            raise ReadError("That is a folder, not a file.", "Name a file in it.", str(path))
        if path.stat().st_size > largest:
            raise ReadError(
                f"The file holds {path.stat().st_size / 1e6:.0f} MB; it must be at most "
                f"{largest / 1e6:.0f} MB.",
                "Name a file of words, not a picture or an archive.",
                str(path),
            )
        return path.read_bytes()
    except OSError as error:
        raise ReadError(
            f"The file cannot be read: {error.strerror or error}.",
            "Look at its name and folder; examples/noor.toml is one to start from.",
            str(path),
        ) from None


def read_beside(path: Path, name: str) -> bytes:
    """Read a file that `uses` names, from the same folder and no other.

    Raises
    ------
    ReadError   a name that leaves the folder, or a file that cannot be read
    """
    if Path(name).name != name:
        raise ReadError(
            f"'uses' names '{name}', which leaves the folder.",
            "Put that file beside the consultation and name it alone.",
            f"{path.name}: uses",
        )
    beside = path.parent / name
    if not beside.is_file():
        raise ReadError(
            f"'uses' names '{name}', which is not beside the consultation.",
            "Copy examples/practice.toml there, or take the line out.",
            f"{path.name}: uses",
        )
    return read_file(beside)
