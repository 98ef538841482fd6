"""Answers so far: each a figure or a word by its key, and the strand as it was drawn."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.base.facts.fact import canonical
from strandline.service.consultation.entry.question import AREAS, Question, Value
from strandline.service.consultation.entry.questions import (
    LEAST,
    QUESTIONS,
    WITHOUT_NO_PLAN,
    fields,
    question,
)
from strandline.service.consultation.model import Band
from strandline.service.consultation.refusals import told

BANDS = "bands"
"""Key of the strand as it was drawn: a list of bands, from the scalp outward."""
MOST_BANDS = 12


@dataclass(frozen=True, slots=True)
class Answers:
    """What was said so far.

    Parameters
    ----------
    said : by key, figures in the unit of the field (lengths in cm)
    bands : the strand as it was drawn; None where it was not
    """

    said: Mapping[str, Value] = field(default_factory=dict)
    bands: tuple[Band, ...] | None = None

    def value(self, name: str, place: str = "") -> Value | None:
        """Give an answer: of a place its own, of crown and back the front's until said."""
        if not place:
            return self.said.get(name)
        own = self.said.get(f"{name}.{place}")
        return self.said.get(f"{name}.front") if own is None and place in AREAS else own

    def figure(self, name: str, place: str = "") -> float | None:
        """Give an answer that is a figure."""
        value = self.value(name, place)
        return None if value is None or isinstance(value, str) else float(value)

    def word(self, name: str) -> str | None:
        """Give an answer that is a word."""
        value = self.value(name)
        return value if isinstance(value, str) else None

    def asked(self, one: Question) -> list[str]:
        """Give the keys that a question needs now, by what is said."""
        out = []
        for item in one.fields:
            open_now = not item.if_field or self.said.get(item.if_field) in item.if_values
            if item.needed and open_now:
                out.append(item.keys[0])
        return out

    def is_answered(self, one: Question) -> bool:
        """Tell whether a question is answered; a drawn strand answers what it shows."""
        if self.bands is not None and one.name in ("cover", "light"):
            return True
        return all(key in self.said for key in self.asked(one))

    @property
    def answered(self) -> tuple[str, ...]:
        """Give the names of questions that are answered, in their order."""
        return tuple(one.name for one in QUESTIONS if self.is_answered(one))

    @property
    def left(self) -> tuple[str, ...]:
        """Give the names of questions that are not answered yet."""
        done = self.answered
        return tuple(one.name for one in QUESTIONS if one.name not in done)

    @property
    def stands(self) -> bool:
        """Tell whether a plan can stand: six answers, gray and level among them."""
        return not self.lacking

    @property
    def lacking(self) -> tuple[str, ...]:
        """Give what a plan still wants: names of questions no default stands for, or 'more'."""
        done = self.answered
        wanted = tuple(name for name in WITHOUT_NO_PLAN if name not in done)
        return wanted or (() if len(done) >= LEAST else ("more",))

    def with_(self, changes: Mapping[str, object]) -> Answers:
        """Change answers; None or '' takes one back.

        Raises
        ------
        OutOfRangeError   the first that cannot be understood, with its key
        """
        said, bands = dict(self.said), self.bands
        for key, given in changes.items():
            if key == BANDS:
                bands = read_bands(given)
            elif key not in fields():
                raise OutOfRangeError(
                    f"'{key:.60}' is no question of the consultation.",
                    "Open the page again.",
                    key[:60],
                )
            elif given is None or (isinstance(given, str) and not given.strip()):
                said.pop(key, None)
            else:
                said[key] = fields()[key][1].read(given, key)
        return Answers(said, bands)

    def supposing(self, more: Mapping[str, Value]) -> Answers:
        """Give them with some supposed, what is said already left as it is."""
        return Answers({**more, **self.said}, self.bands)

    def as_text(self) -> str:
        """Write them down, the same answers always alike."""
        out: dict[str, Any] = dict(self.said)
        if self.bands is not None:
            out[BANDS] = [one.model_dump(mode="json", exclude_defaults=True) for one in self.bands]
        return canonical(out)


def read_bands(given: object) -> tuple[Band, ...] | None:
    """Read the strand as it was drawn.

    Raises
    ------
    OutOfRangeError   a band that is none; the field holds its number, from 1
    """
    if given is None or given == "":
        return None
    if not isinstance(given, Sequence) or isinstance(given, str) or len(given) > MOST_BANDS:
        raise OutOfRangeError(
            "The bands are no list, or too many.", f"Draw at most {MOST_BANDS}.", BANDS
        )
    out = []
    for number, one in enumerate(given, 1):
        try:
            out.append(Band.model_validate(one))
        except ValidationError as found:
            error = told(found, f"{BANDS}.{number}")
            raise OutOfRangeError(error.what, error.do, f"{BANDS}.{number}") from None
    return tuple(out)


def read_answers(text: str) -> Answers:
    """Read answers as `as_text` wrote them.

    Raises
    ------
    ReadError   they are none
    """
    try:
        found = json.loads(text)
        if not isinstance(found, dict):
            raise TypeError  # noqa: TRY301  # told below
        return Answers().with_(found)
    except (ValueError, TypeError, RecursionError, OutOfRangeError):
        raise ReadError(
            "The answers kept for this consultation cannot be read.",
            "Begin a new one; the old facts stay in the record.",
            "consultation.answered",
        ) from None


def words_of(name: str) -> str:
    """Give what a question is called."""
    return question(name).words
