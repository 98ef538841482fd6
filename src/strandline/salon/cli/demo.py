"""`strandline demo`: an invented practice, three visits deep, in a record of its own."""

from __future__ import annotations

import argparse
import dataclasses
import sys
import tempfile
from pathlib import Path

from strandline.base.errors import StoreError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.record import show


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("--db", metavar="FILE", help="a new file; else one in a scratch folder")
    parser.add_argument(
        "--client", metavar="NAME", action="append", help="only this example, such as noor"
    )
    parser.add_argument("--visits", metavar="N", type=int, default=3, help="how deep, 1-3")
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Build the practice and say where it is; it takes a minute or two.

    Raises
    ------
    UsageError   no such example, or a depth that is not 1 to 3
    StoreError   the file is there already
    """
    from strandline.salon.records.demo import HEADS, TODAY, build  # noqa: PLC0415  # slow
    from strandline.salon.records.place import FILE, Place  # noqa: PLC0415
    from strandline.salon.records.store import open_store  # noqa: PLC0415

    heads = args.client or HEADS
    unknown = [name for name in heads if name not in HEADS]
    if unknown or not 1 <= args.visits <= 3:
        what = f"There is no example '{unknown[0]:.40}'." if unknown else "The depth is not 1 to 3."
        raise UsageError(what, f"Name some of {', '.join(HEADS)}; and --visits 1, 2 or 3.")
    file = Path(args.db) if args.db else Path(tempfile.mkdtemp(prefix="strandline-")) / FILE
    if file.exists():
        raise StoreError(
            "There is a file of that name already.",
            "Give a new name; what is there is left as it is.",
            str(file),
        )

    def tell(words: str) -> None:
        if not args.json:
            sys.stdout.write(f"{words}\n")
            sys.stdout.flush()

    # Built beside and renamed, so that one that is stopped on the way is not taken for whole.
    begun = file.with_name(f".{file.name}-begun")
    _remove(begun)  # of one that was killed
    try:
        with open_store(Place(file.parent, begun)) as store:
            built = build(store, heads, visits=args.visits, tell=tell)
        begun.rename(file)
    finally:
        _remove(begun)
    document = {
        "db": str(file),
        "today": TODAY.isoformat(),
        "clients": [dataclasses.asdict(one) for one in built],
    }
    words = [
        f"\nThe record is {file}. Look around:",
        f"  strandline serve --db {file} --on {TODAY} --open",
        f"  strandline shelf --db {file}",
        f"  strandline export --calendar returns.ics --db {file}",
        f"  strandline doctor --db {file}",
    ]
    show(document, words, as_json=args.json)
    return 0


def _remove(begun: Path) -> None:
    for left in begun.parent.glob(f"{begun.name}*"):
        left.unlink()
