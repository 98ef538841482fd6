"""A stretch of hair by classes: what each carries along its length on the day of the visit."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.science.fibre import Fibre
from strandline.science.seeing.stripes import FIBRE_MM, Lie

Fade = Callable[[Fibre, float], Fibre]
"""States and weeks since the day to the same states, faded; given all states at once."""

_CLOSED = 1e-6


@dataclass(frozen=True, slots=True)
class Layer:
    """A stretch of a class in one state on the day.

    Parameters
    ----------
    from_cm, to_cm : float    distance from the scalp, cm; infinity for 'to the ends'
    fibre : Fibre             one state
    fade : callable or None   how this stretch fades, None for the fade of the whole look
    grown : bool              it begins where hair had grown to: on each strand by its own rate
    """

    from_cm: float
    to_cm: float
    fibre: Fibre
    fade: Fade | None = None
    grown: bool = False

    def __post_init__(self) -> None:
        """Refuse a stretch of no length or of several states."""
        if not 0 <= self.from_cm < self.to_cm:
            raise OutOfRangeError(
                f"A stretch runs from {self.from_cm:g} to {self.to_cm:g} cm; it must begin at 0 "
                "or more and end farther out.",
                "Give its distances from the scalp in cm.",
            )
        _one_state(self.fibre, "A stretch of hair")


@dataclass(frozen=True, slots=True)
class HairClass:
    """Hair of one kind: the same natural hair with the same past.

    Parameters
    ----------
    name : str             'foils, white'
    share : float          of the hair [1], 0-1
    layers : Layers        from the scalp out, each beginning where the last ended; hair past the
                           last is taken as the last
    root : Fibre           one state: its natural hair, which grows in from the day on
    run_mm : float         mean run of its strand across the part line, mm, > 0: a fibre's
                           diameter for hair that lies singly, the pick of a weave for a foil
    strand : str           classes that lie in the same picks share this name, and must share
                           `run_mm`; empty for a class that lies by itself
    """

    name: str
    share: float
    layers: tuple[Layer, ...]
    root: Fibre
    run_mm: float = FIBRE_MM
    strand: str = ""

    def __post_init__(self) -> None:
        """Refuse gaps, overlaps, and what cannot be."""
        if not 0 <= self.share <= 1:
            raise OutOfRangeError(
                f"The share of '{self.name}' is {self.share:g}; it must be 0-1.",
                "Give it as a share of the hair.",
            )
        if not (math.isfinite(self.run_mm) and self.run_mm > 0):
            raise OutOfRangeError(
                f"The run of '{self.name}' is {self.run_mm:g} mm; it must be above 0 and finite.",
                "Give the pick of the weave in mm, or a fibre's diameter, about 0.07.",
            )
        _one_state(self.root, f"The natural hair of '{self.name}'")
        end = 0.0
        for layer in self.layers:
            if abs(layer.from_cm - end) > 1e-9:
                raise OutOfRangeError(
                    f"In '{self.name}' a stretch begins at {layer.from_cm:g} cm where the last "
                    f"ended at {end:g} cm.",
                    "Give the stretches from the scalp out, without gap or overlap.",
                )
            end = layer.to_cm
        if not self.layers:
            raise OutOfRangeError(
                f"'{self.name}' has no stretch of hair.", "Give at least one, from 0 cm."
            )


def checked(classes: Sequence[HairClass]) -> tuple[HairClass, ...]:
    """Give the classes that have a share, and refuse shares that do not close.

    Raises
    ------
    OutOfRangeError   shares that do not sum to 1; strands of one name with unlike runs
    """
    total = sum(c.share for c in classes)
    if abs(total - 1.0) > _CLOSED:
        raise OutOfRangeError(
            f"The shares of the hair sum to {total:.4g}; they must sum to 1.",
            "Add what is missing as hair left out, or divide each by their sum.",
        )
    kept = tuple(c for c in classes if c.share > 0)
    runs: dict[str, float] = {}
    for c in kept:
        if c.strand and runs.setdefault(c.strand, c.run_mm) != c.run_mm:
            raise OutOfRangeError(
                f"The strand '{c.strand}' has runs of {runs[c.strand]:g} and {c.run_mm:g} mm.",
                "Give every class of a strand the same run.",
            )
    return kept


def lie_of(classes: Sequence[HairClass], fibre_mm: float = FIBRE_MM) -> Lie:
    """Say how the classes lie side by side: strands of one name together."""
    keys = [f"in {c.strand}" if c.strand else f"alone {i}" for i, c in enumerate(classes)]
    groups = list(dict.fromkeys(keys))
    total = sum(c.share for c in classes)
    return Lie(
        shares=tuple(c.share / total for c in classes),
        strand_of=tuple(groups.index(key) for key in keys),
        run_mm=tuple(classes[keys.index(group)].run_mm for group in groups),
        fibre_mm=fibre_mm,
    )


def _one_state(fibre: Fibre, thing: str) -> None:
    if len(fibre) != 1:
        raise OutOfRangeError(
            f"{thing} has {len(fibre)} states; it must have one.",
            "Give each state a stretch or a class of its own.",
        )
