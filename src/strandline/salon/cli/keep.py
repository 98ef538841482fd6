"""`strandline keep FILE`: a client's consultation, plan and visit taken into the record."""

from __future__ import annotations

import argparse
from pathlib import Path

from strandline.salon.cli.planned import read_beside, read_facts, read_file
from strandline.salon.cli.record import add_record, opened, show, writer


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("file", metavar="FILE", help="the consultation, a .toml file")
    parser.add_argument("--plan", metavar="DIR", help="the folder that strandline plan wrote")
    parser.add_argument("--facts", metavar="FILE", help="what the chair recorded, JSON Lines")
    parser.add_argument(
        "--signed", metavar="NAME", help="her signature: she consents to record and health answers"
    )
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Take the files in; what is here already is left as it is.

    Raises
    ------
    StrandlineError   a file that cannot be read, a consent that is missing, or no room
    """
    from strandline.salon.records.intake import take_in  # noqa: PLC0415  # slow
    from strandline.service.consultation.reader import read_consultation  # noqa: PLC0415

    path = Path(args.file)
    raw = read_file(path)
    name = read_consultation(
        raw, path.name, beside=lambda other: read_beside(path, other)
    ).client.name
    plan = read_file(Path(args.plan) / "plan.json").decode("utf-8") if args.plan else None
    visit = read_facts(args.facts) if args.facts else None
    with opened(args, create=True) as store:
        done = take_in(
            store, writer(args), name, raw.decode("utf-8-sig"),
            plan=plan, visit=visit, signed=args.signed,
        )  # fmt: skip
    facts = done.visit.new if done.visit else 0
    document = {
        "client": done.client, "new_client": done.new_client, "consultation": done.consultation,
        "plan": done.plan, "facts": facts, "not_on_shelf": done.not_on_shelf,
    }  # fmt: skip
    new = [word for word, is_new in (("consultation", done.consultation), ("plan", done.plan))
           if is_new]  # fmt: skip
    what = ", ".join([*new, f"{facts} facts"]) if new or facts else "nothing new"
    words = [f"{name}: {what} taken in{' for a new client' if done.new_client else ''}."]
    if done.not_on_shelf:
        words.append(f"Used, but not on the shelf: {', '.join(done.not_on_shelf)}.")
    show(document, words, as_json=args.json)
    return 0
