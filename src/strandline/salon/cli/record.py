"""What every command on the record shares: where it is, who writes, how an answer is shown."""

from __future__ import annotations

import argparse
import getpass
import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from strandline.salon.records.place import Place
    from strandline.salon.records.scribe import Scribe
    from strandline.salon.records.store import Store

DEVICE = "desk"
"""Facts that a command writes come from here."""


def add_place(parser: argparse.ArgumentParser) -> None:
    """Say what names the record."""
    parser.add_argument(
        "--db",
        metavar="PLACE",
        help="the record: a file, or postgresql://...; else STRANDLINE_DB, else the data folder",
    )


def add_record(parser: argparse.ArgumentParser) -> None:
    """Say what names the record and its writer."""
    add_place(parser)
    parser.add_argument("--by", metavar="NAME", help="who does this; else the name of the login")
    parser.add_argument("--json", action="store_true", help="print JSON")


def place_named(args: argparse.Namespace) -> Place:
    """Give the place of the record.

    Raises
    ------
    ReadError   no database that a record is kept in
    """
    from strandline.salon.records.place import place_of  # noqa: PLC0415  # slow

    return place_of(args.db)


@contextmanager
def opened(args: argparse.Namespace, *, create: bool = False) -> Iterator[Store]:
    """Open the record and close it again.

    Raises
    ------
    StrandlineError   there is none, or it cannot be read
    """
    from strandline.salon.records.store import open_store  # noqa: PLC0415  # slow

    with open_store(place_named(args), create=create) as store:
        yield store


def writer(args: argparse.Namespace) -> Scribe:
    """Give whoever writes."""
    from strandline.salon.records.scribe import Scribe  # noqa: PLC0415  # slow

    name = args.by
    if not name:
        try:
            name = getpass.getuser()
        except (KeyError, OSError):
            name = "colourist"
    return Scribe(name[:60], DEVICE)


def today_of(args: argparse.Namespace) -> str:
    """Give the day as facts write it."""
    return writer(args).clock().date().isoformat()


def show(document: Mapping[str, Any], words: list[str], *, as_json: bool) -> None:
    """Print an answer as JSON or as lines."""
    if as_json:
        json.dump(document, sys.stdout, ensure_ascii=False, indent=1, default=str)
        sys.stdout.write("\n")
    else:
        sys.stdout.write("".join(f"{line}\n" for line in words))
