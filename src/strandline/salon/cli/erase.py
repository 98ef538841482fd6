"""`strandline erase CLIENT`: everything of one client but what law keeps."""

from __future__ import annotations

import argparse
import dataclasses

from strandline.salon.cli.main import UsageError
from strandline.salon.cli.record import add_record, opened, show, writer


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("client", metavar="CLIENT", help="her name, or her number in the record")
    parser.add_argument("--yes", action="store_true", help="it is meant, and cannot be undone")
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Erase a client and say what is left, and why.

    Raises
    ------
    UsageError        it is not said that it is meant
    StrandlineError   no such client, or the disk cannot
    """
    from strandline.salon.records.erase import erase  # noqa: PLC0415  # slow
    from strandline.salon.records.look import head_today, the_client  # noqa: PLC0415

    with opened(args) as store:
        client = the_client(store, args.client)
        if not args.yes:
            head = head_today(store, client)
            raise UsageError(
                f"This erases {head.client.name} for good: {len(head.visits)} visits, "
                f"{len(head.plans)} plans, {len(head.client.photos)} photos.",
                "Export her record first if she wants it; then say --yes.",
            )
        done = erase(store, writer(args), client)
    words = [f"{done.facts} facts in {done.streams} streams and {done.photos} photos are erased."]
    words += [f"Kept until {one.until}: {one.what}; {one.reason}." for one in done.kept]
    if done.mentions:
        words.append("Her name still stands in what is another's; look whether it must:")
        words += [f"  {one}" for one in done.mentions]
    if done.backups:
        words.append("Backups from before hold her still; a restore of one erases her again:")
        words += [f"  {one}" for one in done.backups]
    show(dataclasses.asdict(done), words, as_json=args.json)
    return 0
