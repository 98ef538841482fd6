"""`strandline backup FILE`: the whole record in one file, taken in use and proven."""

from __future__ import annotations

import argparse
from pathlib import Path

from strandline.salon.cli.record import add_record, opened, show


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("file", metavar="FILE", help="a new .zip, best on another disk")
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Take a backup, restore it into a scratch database, compare, and say so.

    Raises
    ------
    StrandlineError   no record, a file of that name, no room, or a backup that is not the same
    """
    from strandline.salon.records.backup import back_up  # noqa: PLC0415  # slow

    with opened(args) as store:
        done = back_up(store, Path(args.file))
    document = {"file": str(done.path), "facts": done.facts, "photos": done.photos,
                "bytes": done.bytes, "proven": True}  # fmt: skip
    words = [
        f"{done.path}: {done.facts} facts, {done.photos} photos, {done.bytes / 1e6:.1f} MB.",
        "It was restored into a scratch database and every fact compared.",
        "It holds health data and pictures: keep it where only you can read it.",
    ]
    show(document, words, as_json=args.json)
    return 0
