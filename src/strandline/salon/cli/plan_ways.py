"""`strandline plan FILE --alternatives`: a few whole plans side by side; `--choose` one of them."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strandline.base.errors import StoppedError, UnreachableError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.planned import asked_from
from strandline.salon.cli.progress import shown

Rows = Sequence[Mapping[str, Any]]
"""The ways as the client sheet has them."""

if TYPE_CHECKING:
    from strandline.service.plan.assemble import Made
    from strandline.service.plan.ways import ManyMade

    Tell = Callable[[Made, argparse.Namespace, Rows], int]


def run_ways(
    args: argparse.Namespace, tell_plan: Callable[[Made, argparse.Namespace, Rows], int]
) -> int:
    """Plan the visit in several ways, print them, and write what was asked for.

    Parameters
    ----------
    tell_plan : prints one plan and writes its folder
    """
    if args.facts is not None or args.timed:
        raise UsageError(
            "--alternatives and --choose go with neither --facts nor --timed.",
            "Choose first; then run the visit from the folder that --out wrote.",
        )
    many = many_made(args)
    if args.choose:
        return tell_plan(_chosen(many, args.choose), args, _for_her(many, args.choose))
    if args.out:
        _write(many, Path(args.out))
    if args.json:
        json.dump(many.ways.model_dump(mode="json"), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
        return 0
    from strandline.salon.report.ways_words import ways_text  # noqa: PLC0415  # slow

    sys.stdout.write(ways_text(many.ways))
    if args.out:
        sys.stdout.write(f"\nEach plan has a folder of its own in {args.out}\n")
    return 0


def many_made(args: argparse.Namespace) -> ManyMade:
    """Plan the visit in several ways, telling how far it is; Ctrl+C stops.

    Raises
    ------
    StoppedError      it was stopped
    StrandlineError   what cannot be read, is missing or contradicts
    """
    asked = asked_from(args)

    from strandline.service.plan.ways import make_ways  # noqa: PLC0415  # slow

    try:
        with shown("planning several ways") as progress:
            return make_ways(
                asked.consultation,
                asked.day,
                earlier=asked.earlier,
                pooled=asked.pooled,
                progress=progress,
            )
    except KeyboardInterrupt:
        raise StoppedError(
            "The plans were stopped.", "Start them again when there is time."
        ) from None


def _chosen(many: ManyMade, name: str) -> Made:
    """Give the plan of a kind.

    Raises
    ------
    UnreachableError   it is none of those that this visit holds
    """
    kinds = list(many.made)
    if name not in kinds:
        held = f"Choose one of: {', '.join(kinds)}." if kinds else "Nothing is planned today."
        raise UnreachableError(f"There is no plan '{name:.40}' for this visit.", held, "--choose")
    return many.made[name]


def _write(many: ManyMade, out: Path) -> None:
    from strandline.salon.report.folder import write_folder  # noqa: PLC0415

    for name, made in many.made.items():
        write_folder(made, out / name.replace(" ", "-"), _for_her(many, name))


def _for_her(many: ManyMade, name: str) -> Rows:
    from strandline.salon.report.client_ways import ways_for_her  # noqa: PLC0415

    return ways_for_her(many.ways, name)
