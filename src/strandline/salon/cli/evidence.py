"""`strandline evidence`: every figure against its outside source, what fails shown as failing."""

from __future__ import annotations

import argparse
import json
import sys
import textwrap
from collections.abc import Iterable, Iterator

from strandline.salon.evidence.check import Result
from strandline.salon.evidence.table import results, unexpected

KINDS = ("standard", "measured", "identity", "practice", "regression")
WIDTH = 100


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("--json", action="store_true", help="print a list of rows")


def run(args: argparse.Namespace) -> int:
    """Compute, print, and give 1 where something is not as it is known to be."""
    found = list(results())
    if args.json:
        json.dump([one.as_json() for one in found], sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write("\n".join(lines(found)) + "\n")
    return 1 if any(unexpected(one) for one in found) else 0


def lines(found: Iterable[Result]) -> Iterator[str]:
    """Write the table for a terminal, kind by kind."""
    rows = list(found)
    for kind in KINDS:
        group = [one for one in rows if one.check.kind == kind]
        if not group:
            continue
        held = sum(one.holds for one in group)
        yield f"{kind.upper()}: {held} of {len(group)} hold"
        for one in group:
            yield from _row(one)
        yield ""
    yield f"{sum(one.holds for one in rows)} of {len(rows)} hold"


def _row(one: Result) -> Iterator[str]:
    check = one.check
    mark = "holds  " if one.holds else "FAILING"
    fitted = ", fitted" if check.fitted else ""
    relation = "" if check.relation in ("near", "is") else f"{check.relation} "
    tolerance = f" +- {check.tolerance:g}" if check.tolerance else ""
    said = (
        f"{mark} {check.name}: {_shown(one.computed)} against {relation}"
        f"{_shown(check.expected)}{tolerance} {check.unit}".rstrip()
        + fitted
    )
    yield from textwrap.wrap(said, WIDTH, initial_indent="  ", subsequent_indent=" " * 10)
    source = str(one.as_json()["source"])
    yield from textwrap.wrap(source, WIDTH, initial_indent=" " * 10, subsequent_indent=" " * 10)
    if check.failing:
        reason = f"known: {check.failing}"
        yield from textwrap.wrap(reason, WIDTH, initial_indent=" " * 10, subsequent_indent=" " * 10)


def _shown(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.5g}"
