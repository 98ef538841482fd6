"""`strandline export CLIENT`: all that is kept of one client; or the days of return."""

from __future__ import annotations

import argparse
from pathlib import Path

from strandline.base.errors import StoreError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.record import add_record, opened, show, today_of, writer
from strandline.salon.report.picture_file import write_whole


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("client", metavar="CLIENT", nargs="?", help="her name, or a part of it")
    parser.add_argument("--out", metavar="FILE", help="a new .zip for all that is kept of her")
    parser.add_argument(
        "--calendar",
        metavar="FILE",
        help="a new .ics of the days of return and of the test before; of all without CLIENT",
    )
    parser.add_argument(
        "--names", action="store_true", help="whole names in the calendar, else initials"
    )
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Write the export, the calendar, or both.

    Raises
    ------
    UsageError        nothing that says what to write
    StrandlineError   no such client, a file of that name, or no room
    """
    if not (args.out or args.calendar) or (args.out and not args.client):
        raise UsageError(
            "An export is of a client, into a file.",
            "Give both: strandline export NAME --out FILE.zip; or --calendar FILE.ics",
        )
    from strandline.salon.records.export import export_client  # noqa: PLC0415  # slow
    from strandline.salon.records.look import the_client  # noqa: PLC0415
    from strandline.salon.records.returns import calendar, returns  # noqa: PLC0415

    document: dict[str, object] = {}
    words = []
    with opened(args) as store:
        client = the_client(store, args.client) if args.client else None
        if args.calendar:
            days = returns(store, today_of(args), client=client)
            _write_new(Path(args.calendar), calendar(days, writer(args).clock(), names=args.names))
            document["calendar"] = {"file": args.calendar, "days": len(days)}
            words.append(f"{args.calendar}: {len(days)} days of return.")
        if args.out and client:
            done = export_client(store, client, Path(args.out))
            document |= {"file": str(done.path), "facts": done.facts, "photos": done.photos,
                         "missing_photos": list(done.missing)}  # fmt: skip
            words.append(f"{done.path}: {done.facts} facts, {done.photos} photos, client.html.")
            if done.missing:
                words.append(f"{len(done.missing)} photos are missing: see strandline doctor.")
    show(document, words, as_json=args.json)
    return 0


def _write_new(path: Path, raw: bytes) -> None:
    if path.exists():
        raise StoreError(
            "There is a file of that name already.",
            "Give a new name; what is there is left as it is.",
            str(path),
        )
    write_whole(path, raw)
