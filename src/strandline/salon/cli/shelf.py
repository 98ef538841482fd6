"""`strandline shelf`: what is there, what coming plans need, what to order."""

from __future__ import annotations

import argparse
import dataclasses
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.salon.cli.given import figure, within
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.planned import read_file
from strandline.salon.cli.record import add_record, opened, show, today_of, writer

if TYPE_CHECKING:
    from strandline.salon.records.scribe import Scribe
    from strandline.salon.records.shelf import ShelfRow
    from strandline.salon.records.store import Store

MOST_GRAMS = 1_000_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument(
        "--from",
        dest="source",
        metavar="FILE",
        help="put a consultation's or practice's shelf and costs in",
    )
    parser.add_argument(
        "--received", metavar="NAME=GRAMS", action="append", default=[], help="a lot that came"
    )
    parser.add_argument("--lot", metavar="NUMBER", default="not said", help="of what came")
    parser.add_argument(
        "--counted", metavar="NAME=GRAMS", action="append", default=[], help="what is really there"
    )
    parser.add_argument("--order", action="store_true", help="print the order list as CSV")
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Write down what is said, then show the shelf or the order list.

    Raises
    ------
    UsageError        a word without its grams
    StrandlineError   no such product, or no record
    """
    from strandline.salon.records.shelf import order_csv, shelf  # noqa: PLC0415  # slow

    changes = bool(args.source or args.received or args.counted)
    with opened(args, create=changes) as store:
        if args.source:
            _put(store, writer(args), Path(args.source))
        for word in args.received:
            _stock(store, writer(args), word, "lot.received", lot=args.lot)
        for word in args.counted:
            _stock(store, writer(args), word, "stock.counted")
        rows = shelf(store, today_of(args))
    if args.order and not args.json:
        sys.stdout.write(order_csv(rows))
        return 0
    show({"products": [dataclasses.asdict(row) for row in rows]}, _words(rows), as_json=args.json)
    return 0


def _words(rows: list[ShelfRow]) -> list[str]:
    if not rows:
        return ["Nothing is on the shelf. Put it in with: strandline shelf --from practice.toml"]
    width = max(len(row.name) for row in rows)
    words = []
    for row in rows:
        line = f"{row.name:<{width}}  {row.grams:7.0f} g, {row.reserved:5.0f} g for coming plans"
        words.append(line + (f"; LOW, order {row.order_grams:.0f} g" if row.low else ""))
    return words


def _put(store: Store, scribe: Scribe, path: Path) -> None:
    from strandline.salon.records.bench import put_costs  # noqa: PLC0415  # slow
    from strandline.salon.records.stock import put_shelf  # noqa: PLC0415
    from strandline.service.consultation.reader import read_toml  # noqa: PLC0415

    document = read_toml(read_file(path), path.name)
    put_shelf(store, scribe, document.get("shelf", {}), path.name)
    if "money" in document:
        put_costs(store, scribe, document["money"])


def _stock(store: Store, scribe: Scribe, word: str, kind: str, **more: str) -> None:
    from strandline.salon.records.keep import write  # noqa: PLC0415
    from strandline.salon.records.stock import named_product  # noqa: PLC0415  # slow

    name, sign, text = word.rpartition("=")
    where = f"--{kind.partition('.')[2]}"
    if not sign:
        raise UsageError(f"'{word:.60}' has no grams.", f"Write it as: {where} 'NAME=GRAMS'")
    grams = within(figure(text, where), where, "amount", 0, MOST_GRAMS, " g")
    stream = named_product(store, name)
    write(store, scribe, stream, kind, {"grams": grams, **more}, sort="product")
