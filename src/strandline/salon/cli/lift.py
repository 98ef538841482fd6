"""`strandline lift`: how far and how fast hair lifts at a strength, with ranges."""

from __future__ import annotations

import argparse
import json
import math
import sys
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.given import figure, within
from strandline.salon.cli.main import UsageError
from strandline.science.chemistry.developer import check_ready_mix, percent_nominal

MOST_STEPS = 500
"""More minutes than this no one reads."""
LONGEST_ASKED_MIN = 240.0
PASTS = {
    "permanent": ("depth of the old colour", 1.0, 10.0),
    "lightened": ("stage it was lightened to", 3.0, 10.5),
    "direct": ("depth of the direct colour", 1.0, 10.0),
}
"""Each past with what its figure is called, and its range."""
_THINGS = {
    "--from-level": ("natural level", "", 1, 10),
    "--years": ("time of cover", " years", 0, 70),
    "--gray": ("share of white", " per cent", 0, 100),
    "--aim-stage": ("stage aimed for", "", 3, 10.5),
    "--powder-ratio": ("developer for one part of powder", " parts", 1, 4),
}
"""What each figure is called, its unit, and its range."""


@dataclass(frozen=True, slots=True)
class AskedLift:
    """What is asked.

    Parameters
    ----------
    level : natural level of the pigmented hairs, 1-10
    past, figure : what happened to the hair, and its depth or stage (0 where virgin)
    gray : share of white hair [0-1]
    aim_stage : 3-10.5
    developer_vol : above 0 to 40
    minutes : from the hair's own start, rising
    years : of cover, None where not said
    powder_ratio : parts of developer to one of powder, or None
    label_max_min : the longest time on the label, or None
    first_cm : it lies in the warm first centimetre at the scalp
    fresh_bowl_min : when the bowl is renewed, or None
    """

    level: float
    past: str
    figure: float
    gray: float
    aim_stage: float
    developer_vol: float
    minutes: tuple[float, ...]
    years: float | None = None
    powder_ratio: float | None = None
    label_max_min: float | None = None
    first_cm: bool = False
    fresh_bowl_min: float | None = None

    @property
    def before_min(self) -> float:
        """Give what the chance is counted to: the label's maximum, else the last minute asked."""
        return self.minutes[-1] if self.label_max_min is None else self.label_max_min


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    hair = parser.add_argument_group("the hair")
    hair.add_argument(
        "--from-level", required=True, metavar="L", help="natural level, 1-10, parts allowed"
    )
    hair.add_argument(
        "--past",
        default="virgin",
        metavar="PAST",
        help="virgin, permanent:DEPTH, lightened:STAGE or direct:DEPTH; virgin if not said",
    )
    hair.add_argument("--years", metavar="Y", help="of cover; not said: taken as built up")
    hair.add_argument("--gray", metavar="PERCENT", help="white hair with it, 0-100")
    hair.add_argument("--first-cm", action="store_true", help="the warm first 1 to 1.5 cm")
    work = parser.add_argument_group("the work")
    work.add_argument("--aim-stage", required=True, metavar="S", help="stage aimed for, 3-10.5")
    work.add_argument(
        "--developer-vol", required=True, metavar="VOL", help="strength poured, in volume: 20"
    )
    work.add_argument("--powder-ratio", metavar="R", help="developer to one of powder, by weight")
    work.add_argument(
        "--label-max-min",
        metavar="MIN",
        help="longest time on the lightener's label; it has no default",
    )
    work.add_argument(
        "--minutes", default="0:60:5", metavar="A:B:STEP", help="minutes shown, 0:60:5 if not said"
    )
    work.add_argument("--fresh-bowl", metavar="MIN", help="minute at which the bowl is renewed")
    parser.add_argument(
        "--json", action="store_true", help="print JSON, each figure with low, high"
    )


def run(args: argparse.Namespace) -> int:
    """Compute, and print the figures with their ranges.

    Raises
    ------
    UsageError        an option that says nothing beside the others, an unknown past
    OutOfRangeError   a figure off its range, an aim darker than where the hair starts
    LegalLimitError   a strength over the legal limit
    """
    asked = read(args)
    from strandline.salon.cli.lift_words import as_json, as_text, found  # noqa: PLC0415  # slow

    answer = found(asked)
    if args.json:
        document = as_json(asked, answer)
        json.dump(document, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(as_text(asked, answer))
    return 0


def read(args: argparse.Namespace) -> AskedLift:
    """Give what the words ask for; errors as `run`."""
    past, depth = _past(args.past)
    if args.years is not None and past != "permanent":
        raise UsageError("--years says nothing without --past permanent.", "Leave --years out.")
    asked = AskedLift(
        level=_number(args.from_level, "--from-level"),
        past=past,
        figure=depth,
        gray=0.0 if args.gray is None else _number(args.gray, "--gray") / 100,
        aim_stage=_number(args.aim_stage, "--aim-stage"),
        developer_vol=_strength(args.developer_vol),
        minutes=_minutes(args.minutes),
        years=None if args.years is None else _number(args.years, "--years"),
        powder_ratio=None
        if args.powder_ratio is None
        else _number(args.powder_ratio, "--powder-ratio"),
        label_max_min=None
        if args.label_max_min is None
        else _above_zero(args.label_max_min, "--label-max-min", "longest time on the label", 120),
        first_cm=args.first_cm,
        fresh_bowl_min=None
        if args.fresh_bowl is None
        else _above_zero(args.fresh_bowl, "--fresh-bowl", "minute of the fresh bowl", 240),
    )
    if asked.fresh_bowl_min is not None and asked.fresh_bowl_min >= asked.before_min:
        until = "the last minute asked" if asked.label_max_min is None else "the label's maximum"
        raise UsageError(
            f"A fresh bowl at {asked.fresh_bowl_min:g} min says nothing: {until} is "
            f"{asked.before_min:g} min.",
            "Name an earlier minute, or leave --fresh-bowl out.",
        )
    return asked


def _past(text: str) -> tuple[str, float]:
    name, colon, depth = text.strip().partition(":")
    if name == "virgin" and not colon:
        return name, 0.0
    if name not in PASTS or not depth.strip():
        raise UsageError(
            f"The past '{text}' is not known.",
            "Name virgin, permanent:DEPTH, lightened:STAGE or direct:DEPTH, such as permanent:5.",
        )
    thing, low, high = PASTS[name]
    return name, within(figure(depth, "--past"), "--past", thing, low, high)


def _strength(text: str) -> float:
    value = figure(text, "--developer-vol")
    if not value > 0:
        raise OutOfRangeError(
            f"The developer is {value:g} volume; it must be above 0 and at most 40 volume.",
            "Give the nominal strength of what is poured.",
            "--developer-vol",
        )
    check_ready_mix(percent_nominal(value))
    return value


def _minutes(text: str) -> tuple[float, ...]:
    """Read `A:B:STEP`, or one minute alone; B is shown where a step falls on it."""
    where = "--minutes"
    parts = [figure(part, where) for part in text.split(":")]
    if len(parts) not in (1, 3):
        raise OutOfRangeError(
            f"The minutes '{text}' are not a grid.", "Write A:B:STEP, such as 0:60:5.", where
        )
    first, last, step = parts if len(parts) == 3 else (parts[0], parts[0], 1.0)
    for value in (first, last):
        within(value, where, "minute asked", 0.0, LONGEST_ASKED_MIN, " min")
    if last < first or not 0 < step < math.inf:
        raise OutOfRangeError(
            f"The minutes run from {first:g} to {last:g} by {step:g}; they must rise.",
            "Write the earlier minute first and a step above 0, such as 0:60:5.",
            where,
        )
    ratio = (last - first) / step
    if ratio >= MOST_STEPS:
        raise OutOfRangeError(
            f"From {first:g} to {last:g} by {step:g} are {ratio:.0f} steps; it must be fewer than "
            f"{MOST_STEPS}.",
            "Take a longer step.",
            where,
        )
    return tuple(round(first + i * step, 9) for i in range(math.floor(ratio + 1e-9) + 1))


def _number(text: str, where: str) -> float:
    thing, unit, low, high = _THINGS[where]
    return within(figure(text, where), where, thing, low, high, unit)


def _above_zero(text: str, where: str, thing: str, high: float) -> float:
    value = figure(text, where)
    if not 0 < value <= high:
        raise OutOfRangeError(
            f"The {thing} is {value:g} min; it must be above 0 and at most {high:g} min.",
            "Read it off the label." if "label" in where else "Look at the figure again.",
            where,
        )
    return value
