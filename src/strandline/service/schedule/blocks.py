"""Blocks of foils: their hair in stretches, and what each strength that may be poured does there.

What a strength does is handed in as arrays; nothing here knows the law of lift.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError

Floats = NDArray[np.float64]


def in_range(thing: str, value: float, unit: str, *, zero: bool = False) -> None:
    """Refuse a value that is not a number above 0, or 0 where that is allowed.

    Raises
    ------
    OutOfRangeError   with the thing, its value and unit
    """
    if not (math.isfinite(value) and (value > 0 or (zero and value == 0))):
        raise OutOfRangeError(
            f"{thing} is {value:g} {unit}; it must be a number "
            f"{'of 0 or more' if zero else 'above 0'}.",
            "Give it in that unit, with a point for the decimals.",
        )


@dataclass(frozen=True, eq=False)
class Choice:
    """A strength that a stretch may get, and what it does there.

    Parameters
    ----------
    vol : what is poured, vol, > 0
    minutes_to_aim : median, min, >= 0; infinite where it never comes
    minutes : shape (M,)   from the stretch's own start, min, rising from 0 past the label
    low, middle, high : shape (M,)   stage at these minutes, none falling; 10th to 90th percentile
    harm_per_min : dose, minutes at 6 % per minute, >= 0
    """

    vol: float
    minutes_to_aim: float
    minutes: Floats
    low: Floats
    middle: Floats
    high: Floats
    harm_per_min: float

    def __post_init__(self) -> None:
        """Refuse what is no curve of lift."""
        for thing, value, unit in (
            ("The strength of a bowl", self.vol, "vol"),
            ("The harm of a bowl", self.harm_per_min, "min at 6 % a minute"),
        ):
            in_range(thing, value, unit, zero=unit != "vol")
        if not self.minutes_to_aim >= 0:
            raise OutOfRangeError(
                f"The minutes to the aim at {self.vol:g} vol are {self.minutes_to_aim:g}; "
                "they must be 0 or more.",
                "Give the median time, or infinity where the aim is never reached.",
            )
        rising = (
            self.minutes.size > 1 and self.minutes[0] == 0 and np.all(np.diff(self.minutes) > 0)
        )
        if not rising:
            raise OutOfRangeError(
                f"The minutes of the curve at {self.vol:g} vol do not rise from 0.",
                "Give at least two, the first 0, each above the one before.",
            )
        for curve in (self.low, self.middle, self.high):
            rises = np.all(np.isfinite(curve)) and np.all(np.diff(curve) >= 0)
            if curve.shape != self.minutes.shape or not rises:
                raise OutOfRangeError(
                    f"A curve of stages at {self.vol:g} vol falls or is not one for each minute.",
                    "Give stages that never fall, as many as minutes.",
                )


@dataclass(frozen=True, eq=False)
class Band:
    """A stretch of one kind of hair within a block's foils, and what is painted with it at once.

    Parameters
    ----------
    name : what it is, in words
    aim_stage : stage aimed for
    choices : strengths it may get
    label_min : what the label allows from its own start, min, > 0
    share : of the hair in each foil [0-1], above 0
    after_min : the delays after the foil's start that may be chosen, min, >= 0
    harm_max : dose she allows, minutes at 6 %, > 0; infinite for no limit
    ahead : it runs ahead of its foil and is covered afterwards: `Wishes.ahead_ok` holds for it
    together : stretches that get the same bowl at the same time; each may get the same strengths,
        and their delays are not read
    """

    name: str
    aim_stage: float
    choices: tuple[Choice, ...]
    label_min: float
    share: float = 1.0
    after_min: tuple[float, ...] = (0.0,)
    harm_max: float = math.inf
    ahead: bool = False
    together: tuple[Band, ...] = ()

    @property
    def stretches(self) -> tuple[Band, ...]:
        """The stretch itself, and those painted with it."""
        return (self, *self.together)

    @property
    def share_of_all(self) -> float:
        """The share of the hair in each foil that is painted at once [0-1]."""
        return sum(stretch.share for stretch in self.stretches)

    def choice(self, vol: float) -> Choice:
        """Give what a strength does on the stretch itself."""
        return next(choice for choice in self.choices if choice.vol == vol)

    def __post_init__(self) -> None:
        """Refuse a stretch without a strength or a label."""
        in_range(f"The label's longest time for {self.name}", self.label_min, "min")
        in_range(f"The aim of {self.name}", self.aim_stage, "stage")
        in_range(f"The share of {self.name}", self.share, "of the hair")
        if not self.harm_max > 0:
            raise OutOfRangeError(
                f"The harm allowed to {self.name} is {self.harm_max:g} min at 6 %; it must be "
                "above 0.",
                "Give her limit, or leave it out.",
            )
        if not self.choices:
            raise OutOfRangeError(
                f"No strength is allowed on {self.name}.",
                "Allow at least one that the bottles on the shelf can be poured to.",
            )
        if len({choice.vol for choice in self.choices}) < len(self.choices):
            raise OutOfRangeError(
                f"A strength is given twice for {self.name}.", "Give each strength once."
            )
        own = {choice.vol for choice in self.choices}
        for other in self.together:
            if other.together or {choice.vol for choice in other.choices} != own:
                raise OutOfRangeError(
                    f"{self.name} and {other.name} are painted of one bowl, but may not get the "
                    "same strengths.",
                    "Give both the same strengths, or paint them apart.",
                )
        if not self.after_min:
            raise OutOfRangeError(
                f"No delay is allowed to {self.name}.", "Give 0 for a stretch painted at once."
            )
        for delay in self.after_min:
            in_range(f"The delay of {self.name}", delay, "min", zero=True)
        for choice in self.choices:
            if choice.minutes[-1] < self.label_min:
                raise OutOfRangeError(
                    f"The curve of {self.name} at {choice.vol:g} vol ends at "
                    f"{choice.minutes[-1]:g} min; the label allows {self.label_min:g} min.",
                    "Give the curve up to the label's longest time.",
                )


@dataclass(frozen=True, slots=True)
class Spot:
    """A foil to be placed: its number, the seconds it takes, the hair in it in g."""

    number: int
    seconds: float
    grams: float

    def __post_init__(self) -> None:
        """Refuse a foil of no hair or of no time."""
        in_range(f"The hair in foil {self.number}", self.grams, "g")
        in_range(f"The time to place foil {self.number}", self.seconds, "s", zero=True)


@dataclass(frozen=True, eq=False)
class Block:
    """Consecutive foils of one section and one kind of hair; wiped or rinsed together.

    Parameters
    ----------
    name, section : what and where
    foils : in the order of work
    bands : stretches in each foil, the first painted at the foil's start
    first_check_min : from a foil's own start, min
    may_drop : foils at its end that may be left out
    may_wipe : it may be wiped out; colour is only rinsed
    shows : it frames the face: of two days it belongs to the first
    """

    name: str
    section: str
    foils: tuple[Spot, ...]
    bands: tuple[Band, ...]
    first_check_min: float = 15.0
    may_drop: int = 0
    may_wipe: bool = True
    shows: bool = False

    def __post_init__(self) -> None:
        """Refuse a block of nothing."""
        if not self.foils:
            raise OutOfRangeError(
                f"There are no foils in {self.name}.", "Leave the block out, or give its foils."
            )
        if not self.bands:
            raise OutOfRangeError(
                f"There is no hair described in {self.name}.", "Give at least one band."
            )
        in_range(f"The first check of {self.name}", self.first_check_min, "min")
        if not 0 <= self.may_drop <= len(self.foils):
            raise OutOfRangeError(
                f"{self.may_drop} foils of {self.name} may be left out; it must be "
                f"0-{len(self.foils)}.",
                "Give a number of foils that the block has.",
            )
