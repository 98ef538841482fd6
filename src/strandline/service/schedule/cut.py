"""Foils in the order of work cut into blocks that are timed as one."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.service.schedule.blocks import Band, Block, Spot, in_range

MOST = 8
"""Blocks that are searched in a second or two."""
LONGEST = 12
"""Foils in a block: her last of them starts about a quarter of an hour after the first; common
practice, no source."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A foil to be placed: itself, its section, its kind of hair by name, may it be left out."""

    spot: Spot
    section: str
    hair: str
    may_drop: bool = False


def cut(
    foils: Sequence[Laid],
    hair: Mapping[str, tuple[Band, ...]],
    first_check_min: Mapping[str, float],
    *,
    most: int = MOST,
    longest: int = LONGEST,
) -> tuple[Block, ...]:
    """Cut foils into blocks of one section and one kind of hair.

    Parameters
    ----------
    foils : in the order of work
    hair : bands by kind of hair
    first_check_min : by kind of hair, from a foil's own start, min
    most : blocks, >= 1
    longest : foils in a block where `most` allows it, >= 1

    Returns
    -------
    tuple of Block   neighbours of one kind joined where there would be more than `most`, the
    shortest first; the longest halved where there are fewer

    Raises
    ------
    OutOfRangeError   no foils, hair that is not described, or kinds that change too often to join
    """
    in_range("The number of blocks", most, "")
    in_range("The number of foils in a block", longest, "")
    if not foils:
        raise OutOfRangeError("There are no foils to cut into blocks.", "Place foils first.")
    for foil in foils:
        if foil.hair not in hair or foil.hair not in first_check_min:
            raise OutOfRangeError(
                f"The hair '{foil.hair}' of foil {foil.spot.number} is not described.",
                "Give its bands and its first check.",
            )
    runs = [list(g) for _, g in itertools.groupby(foils, key=lambda f: (f.section, f.hair))]
    runs = _halved(_joined(runs, most), most, longest)
    return tuple(_block(run, hair, first_check_min) for run in runs)


def _joined(runs: list[list[Laid]], most: int) -> list[list[Laid]]:
    while len(runs) > most:
        pairs = [
            (len(a) + len(z), at)
            for at, (a, z) in enumerate(itertools.pairwise(runs))
            if a[0].hair == z[0].hair
        ]
        if not pairs:
            raise OutOfRangeError(
                f"The hair changes {len(runs) - 1} times in the order of work; it may at most "
                f"{most - 1} times.",
                "Name kinds alike that may be timed as one, or allow more blocks.",
            )
        _, at = min(pairs)
        runs[at : at + 2] = [runs[at] + runs[at + 1]]
    return runs


def _halved(runs: list[list[Laid]], most: int, longest: int) -> list[list[Laid]]:
    while len(runs) < most:
        at = max(range(len(runs)), key=lambda i: len(runs[i]))
        size = len(runs[at])
        if size <= longest:
            break
        runs[at : at + 1] = [runs[at][: -(-size // 2)], runs[at][-(-size // 2) :]]
    return runs


def _block(
    run: list[Laid], hair: Mapping[str, tuple[Band, ...]], first_check_min: Mapping[str, float]
) -> Block:
    kind = run[0].hair
    first, last = run[0].spot.number, run[-1].spot.number
    section = ", ".join(dict.fromkeys(foil.section for foil in run))
    spare = sum(1 for _ in itertools.takewhile(lambda foil: foil.may_drop, reversed(run)))
    name = f"foils {first}-{last}" if len(run) > 1 else f"foil {first}"
    return Block(
        f"{name} ({section})",
        section,
        tuple(foil.spot for foil in run),
        hair[kind],
        first_check_min[kind],
        spare,
    )
