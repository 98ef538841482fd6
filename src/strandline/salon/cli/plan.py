"""`strandline plan`: a consultation, in a file or the record, to its plan, foil map and sheets."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strandline.salon.cli.main import UsageError
from strandline.salon.cli.planned import add_consultation, add_learned, made_from, read_facts

if TYPE_CHECKING:
    from strandline.base.facts.jsonl import Reading
    from strandline.service.plan.assemble import Made


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    add_consultation(parser)
    add_learned(parser)
    parser.add_argument(
        "--timed",
        action="store_true",
        help="let the search of timings set strengths, wipes and rinse where it finds better",
    )
    parser.add_argument(
        "--alternatives",
        action="store_true",
        help="a few whole plans that differ in kind, side by side, and the visits to the aim",
    )
    parser.add_argument(
        "--choose", metavar="KIND", help="plan one of the alternatives: gentle, balanced, thorough"
    )
    parser.add_argument("--out", metavar="DIR", help="write plan.json, the foil map and the sheets")
    parser.add_argument("--facts", metavar="FILE", help="what the chair recorded today, JSON Lines")
    parser.add_argument(
        "--now", metavar="HH:MM", help="local time: what is left of the visit is planned anew"
    )
    parser.add_argument("--json", action="store_true", help="print JSON instead of a summary")


def run(args: argparse.Namespace) -> int:
    """Plan, print, and write what was asked for; nothing half written."""
    if (args.facts is None) != (args.now is None):
        raise UsageError(
            "--facts and --now go together.", "Give the visit's file, and the time as HH:MM."
        )
    if args.facts is not None and args.out:
        raise UsageError("--out says nothing beside --facts.", "Leave --out out.")
    if args.alternatives or args.choose:
        from strandline.salon.cli.plan_ways import run_ways  # noqa: PLC0415  # slow

        return run_ways(args, tell_plan)
    visit = None if args.facts is None else _until(args.facts, args.now)
    own = visit.facts[0].stream if visit is not None and visit.facts else None
    made = made_from(args, without=own)
    if visit is not None:
        return _anew(made, visit, args)
    return tell_plan(made, args)


def tell_plan(made: Made, args: argparse.Namespace, ways: Sequence[Mapping[str, Any]] = ()) -> int:
    """Write a plan's folder where that is asked for, and print the plan.

    Parameters
    ----------
    ways : rows of the other ways there were, for the client sheet
    """
    if args.out:
        from strandline.salon.report.folder import write_folder  # noqa: PLC0415

        write_folder(made, Path(args.out), ways)
    if args.json:
        json.dump(made.plan.model_dump(mode="json"), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
        return 0
    from strandline.salon.report.summary import summary  # noqa: PLC0415

    sys.stdout.write(summary(made.plan))
    if args.out:
        sys.stdout.write(f"\nThe plan, the foil map and both sheets are in {args.out}\n")
    return 0


def _until(name: str, now: str) -> Reading:
    """Read the visit's facts, and see that the time is one, before anything is planned."""
    from strandline.service.anew.times import time_of_day  # noqa: PLC0415  # slow

    time_of_day(now)
    return read_facts(name)


def _anew(made: Made, visit: Reading, args: argparse.Namespace) -> int:
    from strandline.salon.report.anew_words import anew_text  # noqa: PLC0415  # slow
    from strandline.service.anew.assemble import plan_anew  # noqa: PLC0415

    rest = plan_anew(made, visit.facts, args.now, unread=visit.unread)
    if args.json:
        json.dump(rest.model_dump(mode="json"), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(anew_text(rest, made.plan.client))
    return 0
