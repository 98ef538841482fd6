"""`strandline learn`: keep what a visit taught of a lightener, a client, her eye and her pace."""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import ReadError, StoreError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.planned import add_learned, made_from, read_facts, read_file

if TYPE_CHECKING:
    from strandline.service.learning.kept import Record
    from strandline.service.learning.pool import VisitTaught


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument(
        "file", metavar="FILE", nargs="?", help="the consultation of the visit, a .toml file"
    )
    parser.add_argument("--facts", metavar="FILE", help="what the chair recorded, JSON Lines")
    parser.add_argument(
        "--kept",
        metavar="FILE",
        required=True,
        help="where what was learned is kept; made where it is missing",
    )
    parser.add_argument("--on", metavar="DATE", help="day of the visit, YYYY-MM-DD")
    parser.add_argument(
        "--after", metavar="DIR", help="the earlier plan's folder that the visit followed on"
    )
    add_learned(parser)
    parser.add_argument("--timed", action="store_true", help="the visit was planned with --timed")
    parser.add_argument(
        "--replace",
        action="store_true",
        help="let a visit that tells less take the place of what is kept of it",
    )
    parser.add_argument("--json", action="store_true", help="print JSON, each figure with its sd")


def run(args: argparse.Namespace) -> int:
    """Add a visit to what is kept, or show what is kept; nothing half written.

    Raises
    ------
    UsageError        a consultation without its facts, or facts without it
    StrandlineError   what cannot be read, is of another client, or has nothing to teach
    """
    if (args.file is None) != (args.facts is None):
        raise UsageError(
            "A visit is its consultation and its facts.",
            "Give both: strandline learn FILE --facts VISIT.jsonl --kept KEPT.json",
        )
    path = Path(args.kept)
    record = read_kept(path, missing_ok=args.file is not None)
    name, unread = None, 0
    if args.file is not None:
        from strandline.service.anew.taught import taught_of  # noqa: PLC0415  # slow

        reading = read_facts(args.facts)
        unread = len(reading.unread)
        name, taught = taught_of(made_from(args), reading.facts)
        _refuse_less(record, name, taught, unread, replace=args.replace)
        record = record.with_visit(name, taught)
    from strandline.salon.report.learned_words import learned_json, learned_text  # noqa: PLC0415

    pooled = record.pooled()
    if name is not None:
        _write(path, record)
    if args.json:
        document = {**learned_json(record, pooled, name), "lines_not_read": unread}
        json.dump(document, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(learned_text(record, pooled, name, path.name, unread))
    return 0


def _refuse_less(
    record: Record, name: str, taught: VisitTaught, unread: int, *, replace: bool
) -> None:
    """Refuse to let a file that tells less take the place of what is kept of its visit."""
    before = record.visits.get(name)
    if before is None or replace or len(taught.observations) >= len(before.observations):
        return
    lines = f", {unread} of its lines could not be read" if unread else ""
    raise UsageError(
        f"{len(before.observations)} readings are kept of {name}; this file gives "
        f"{len(taught.observations)}{lines}.",
        "Look at the file; with --replace it takes their place.",
    )


def read_kept(path: Path, *, missing_ok: bool = False) -> Record:
    """Read what was learned.

    Raises
    ------
    ReadError   it is missing where it must be there, no JSON, or no record of today's shape
    """
    from strandline.service.learning.kept import Record, record_from  # noqa: PLC0415  # slow

    if missing_ok and not path.exists():
        return Record()
    try:
        data = json.loads(read_file(path).decode("utf-8"))
    except (ValueError, RecursionError):  # no text, no JSON, numbers or nesting beyond reading
        raise ReadError(
            "The file holds no JSON.", "Name the file that strandline learn keeps.", str(path)
        ) from None
    try:
        return record_from(data)
    except ReadError as error:
        raise ReadError(error.what, error.do, str(path)) from None


def _write(path: Path, record: Record) -> None:
    """Write it beside, then rename."""
    from strandline.service.learning.kept import record_json  # noqa: PLC0415  # slow

    text = json.dumps(record_json(record), ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    beside = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        Path(beside).replace(path)
    except OSError as error:
        if beside is not None:
            Path(beside).unlink(missing_ok=True)
        raise StoreError(
            f"What was learned cannot be kept: {error.strerror or error}.",
            "Name a file that you may write to, with room on its disk.",
            str(path),
        ) from None
