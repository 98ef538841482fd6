"""`strandline restore FILE`: a backup put back, or a client who comes back with her export."""

from __future__ import annotations

import argparse
from pathlib import Path

from strandline.salon.cli.record import add_record, opened, place_named, show


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("file", metavar="FILE", help="what backup or export wrote")
    parser.add_argument(
        "--replace",
        action="store_true",
        help="put a backup in the place of the record that is there, which is backed up first",
    )
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Put a backup back, or take one client's export in; whole or not at all.

    Raises
    ------
    StrandlineError   the archive cannot be trusted, a record is there, or the disk cannot
    """
    from strandline.salon.records.archive import opened as archive  # noqa: PLC0415  # slow

    path = Path(args.file)
    with archive(path) as found:
        of = found.manifest.get("of")
    return _client(args, path) if of == "client" else _record(args, path)


def _client(args: argparse.Namespace, path: Path) -> int:
    from strandline.salon.records.export import bring_back  # noqa: PLC0415  # slow

    with opened(args, create=True) as store:
        new = bring_back(store, path)
    show({"client": True, "facts_new": new}, [f"Her record is back: {new} facts were not here."],
         as_json=args.json)  # fmt: skip
    return 0


def _record(args: argparse.Namespace, path: Path) -> int:
    from strandline.salon.records.restore import restore  # noqa: PLC0415  # slow

    place = place_named(args)
    done = restore(place, path, replace=args.replace)
    document = {"place": place.said, "facts": done.facts, "photos": done.photos,
                "erased_again": done.erased, "before": done.before}  # fmt: skip
    words = [f"{place.said}: {done.facts} facts and {done.photos} photos are back."]
    if done.erased:
        words.append(f"{done.erased} streams were erased since, and are erased again.")
    if done.before:
        words.append(f"What was there before is kept in {done.before}; delete it when all is well.")
    show(document, words, as_json=args.json)
    return 0
