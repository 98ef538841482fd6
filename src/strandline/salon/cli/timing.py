"""`strandline timing FILE`: the best timing of a head's foils, what binds, and the ways out."""

from __future__ import annotations

import argparse
import json
import sys

from strandline.salon.cli.planned import add_consultation, add_learned, made_from


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    add_consultation(parser)
    add_learned(parser)
    parser.add_argument(
        "--helper", action="store_true", help="with a second pair of hands, whatever the file says"
    )
    parser.add_argument("--json", action="store_true", help="print JSON, each figure with its unit")


def run(args: argparse.Namespace) -> int:
    """Plan, search the timing of its foils, and print it beside the plan's own.

    Raises
    ------
    UnreachableError   no lightener is planned
    StrandlineError    what cannot be read, is missing or contradicts
    """
    made = made_from(args)
    from strandline.salon.report.timing_json import timing_json  # noqa: PLC0415
    from strandline.salon.report.timing_words import timing_text  # noqa: PLC0415
    from strandline.service.plan.compared import compare  # noqa: PLC0415  # slow

    helper = args.helper or made.consultation.limits.helper
    compared = compare(made, helper=helper)
    if args.json:
        document = timing_json(made, compared)
        json.dump(document, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(timing_text(made, compared))
    return 0
