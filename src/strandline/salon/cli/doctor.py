"""`strandline doctor`: what is wrong with the record, each finding with its mend."""

from __future__ import annotations

import argparse
import dataclasses

from strandline.salon.cli.record import add_record, opened, show, today_of

EXIT_BAD = 1


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("--mend", action="store_true", help="do the mends that lose nothing")
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Look at everything; mend what mends itself where that is asked.

    Returns
    -------
    1 where something is bad, else 0

    Raises
    ------
    StrandlineError   there is no record, or it cannot be opened: then that is the finding
    """
    from strandline.salon.records.doctor import examine, mend  # noqa: PLC0415  # slow

    today = today_of(args)
    with opened(args) as store:
        done = mend(store, today) if args.mend else []
        found = examine(store, today)
    words = [f"done: {one}" for one in done]
    for one in found:
        words.append(f"{one.weight:<4}  {one.about}: {one.what}")
        if one.mend:
            words.append(f"      {one.mend}")
    document = {"done": done, "findings": [dataclasses.asdict(one) for one in found]}
    show(document, words, as_json=args.json)
    return EXIT_BAD if any(one.weight == "bad" for one in found) else 0
