"""How a question of the consultation is described, and whether an answer holds."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from strandline.base.errors import OutOfRangeError
from strandline.science.head.zones import NAMES

Value = float | str
AREAS = ("front", "crown", "back")
ZONE = "zone-"
PLACES = (*AREAS, *(ZONE + name for name in NAMES))
"""Where a field may be said: the three areas, and each zone when they are opened; the crown is
the name of one of each."""
Unit = Literal["", "%", "cm", "years", "weeks", "h", "times", "money"]


def N_(text: str) -> str:  # gettext's own word for a text that is looked up later
    """Mark a text for the catalogue."""
    return text


@dataclass(frozen=True, slots=True)
class Chip:
    """An answer that is one tap.

    Parameters
    ----------
    value : what it means
    words : what it says
    """

    value: Value
    words: str


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that is said.

    Parameters
    ----------
    name : its own, such as 'cover.depth'
    words : what it is called
    chips : answers of one tap
    number : another figure may be written, within `low` and `high`
    low, high, unit : of a figure
    places : said for each of these, '' for the head as a whole; crown and back follow the front
        until they are said
    needed : its question is answered once it is said
    if_field, if_values : asked only where another field has one of these values
    """

    name: str
    words: str
    chips: tuple[Chip, ...] = ()
    number: bool = False
    low: float = 0.0
    high: float = 0.0
    unit: Unit = ""
    places: tuple[str, ...] = ("",)
    needed: bool = True
    if_field: str = ""
    if_values: tuple[Value, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """Give the keys of its answers, one for each place."""
        return tuple(f"{self.name}.{place}" if place else self.name for place in self.places)

    def read(self, said: object, where: str) -> Value:
        """Read an answer as it is typed or tapped.

        Raises
        ------
        OutOfRangeError   no answer that is known, or a figure outside its range
        """
        text = str(said).strip()
        for chip in self.chips:
            same = isinstance(chip.value, str) and chip.value == text
            if same:
                return chip.value
        value = _figure(said)
        tapped = [chip.value for chip in self.chips if not isinstance(chip.value, str)]
        if value is not None and (value in tapped or (self.number and self._holds(value))):
            return value
        shown = text[:40]
        if self.number and value is not None:
            raise OutOfRangeError(
                f"It is {value:g}{self._unit}; it must be {self.low:g} to {self.high:g}"
                f"{self._unit}.",
                "Look again, or tap the nearest.",
                where,
            )
        if self.number:
            raise OutOfRangeError(
                f"'{shown}' is no number.",
                f"Write a figure from {self.low:g} to {self.high:g}{self._unit}.",
                where,
            )
        raise OutOfRangeError(
            f"'{shown}' is none of its answers.",
            f"Tap one of: {', '.join(chip.words for chip in self.chips)}.",
            where,
        )

    def _holds(self, value: float) -> bool:
        return self.low <= value <= self.high

    @property
    def _unit(self) -> str:
        return f" {self.unit}" if self.unit not in ("", "money") else ""


def _figure(said: object) -> float | None:
    if isinstance(said, bool):
        return None
    try:
        value = float(str(said).strip().replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) else None


@dataclass(frozen=True, slots=True)
class Question:
    """A question of the list.

    Parameters
    ----------
    name : its own
    words : what is asked, in a few words
    why : what it moves, a sentence
    fields : what is said to it
    """

    name: str
    words: str
    why: str
    fields: tuple[Field, ...]
