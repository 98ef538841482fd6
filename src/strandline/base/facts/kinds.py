"""The vocabulary of a visit: one table of kinds, each with what it says, its unit and range.

Reading, the JSON Schema and the page on facts all come from here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from strandline.base.facts.fact import NAME_PATTERN, canonical, date_holds, whole

Type = Literal["text", "name", "date", "word", "whole", "number", "wholes", "yes"]


@dataclass(frozen=True, slots=True)
class Field:
    """What a payload says in one place.

    Parameters
    ----------
    type : 'text', 'name' (of a fact), 'date', 'word' (one of `words`), 'whole' or 'number' in a
        range, 'wholes' (a list of different ones), 'yes' (true or false)
    about : what it means
    unit : of a number, '' for a pure one
    low, high : range of a number, length of a text
    words : the words it may be
    needed : False where it may be left out
    """

    type: Type
    about: str
    unit: str = ""
    low: float = 0
    high: float = 0
    words: tuple[str, ...] = ()
    needed: bool = True

    def holds(self, value: Any) -> bool:  # noqa: ANN401  # whatever JSON holds
        """Tell whether a value can be understood here."""
        if self.type == "yes":
            return isinstance(value, bool)
        if self.type == "wholes":
            return (
                isinstance(value, list)
                and 1 <= len(value) <= MOST_FOILS
                and all(self._in_range(one) and isinstance(whole(one), int) for one in value)
                and len({whole(one) for one in value}) == len(value)
            )
        if self.type in ("whole", "number"):
            return self._in_range(value) and (
                self.type == "number" or isinstance(whole(value), int)
            )
        return isinstance(value, str) and self._text_holds(value)

    def _in_range(self, value: Any) -> bool:  # noqa: ANN401  # whatever JSON holds
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and self.low <= value <= self.high

    def _text_holds(self, value: str) -> bool:
        if self.type == "word":
            return value in self.words
        if self.type == "date":
            return date_holds(value)
        if self.type == "name":
            return re.fullmatch(NAME_PATTERN, value) is not None
        half = any("\ud800" <= letter <= "\udfff" for letter in value)
        return self.low <= len(value) <= self.high and not half


@dataclass(frozen=True, slots=True)
class Kind:
    """One thing that can happen: its schema's number, what it says, and in words when.

    Parameters
    ----------
    fields : by name
    about : when it is tapped
    schema : newest version of the payload
    one_of : of these fields exactly one is said; empty where that does not apply
    rising : two fields of which the second is not below the first; empty likewise
    """

    fields: Mapping[str, Field]
    about: str
    schema: int = 1
    one_of: tuple[str, ...] = ()
    rising: tuple[str, ...] = ()


MOST_FOILS = 400


def _text(about: str, most: int = 60, *, needed: bool = True) -> Field:
    return Field("text", about, low=1, high=most, needed=needed)


def _word(about: str, *words: str, needed: bool = True) -> Field:
    return Field("word", about, words=words, needed=needed)


def _number(about: str, unit: str, low: float, high: float, *, needed: bool = True) -> Field:
    return Field("number", about, unit, low, high, needed=needed)


_FOIL = Field("whole", "number of the foil", low=1, high=MOST_FOILS, needed=False)
_FOILS = Field("wholes", "numbers of the foils", low=1, high=MOST_FOILS, needed=False)
_SECTION = _text("section of the head, her words", needed=False)
_PLACE = _text("stretch of the head: root shadow, mids, ends, a spot", needed=False)
_BOWL = _text("name of the bowl it was filled from", needed=False)
_MINUTES = _number("minutes it costs or is about", "min", 0, 600, needed=False)

KINDS: Mapping[str, Kind] = {
    "visit.started": Kind(
        {
            "date": Field("date", "local day of the visit"),
            "client": _text("the client, as she is named in the record", 80),
            "plan": _text("the plan that is followed, by its name", 64, needed=False),
        },
        "the visit begins",
    ),
    "test.done": Kind(
        {
            "test": _word("which", "alert", "strand", "stretch"),
            "outcome": _word("what it showed", "clear", "doubtful", "failed"),
            "where": _text("where on the head or skin", needed=False),
        },
        "a test is read, before or between",
    ),
    "bowl.mixed": Kind(
        {
            "bowl": _text("name of the bowl"),
            "developer_vol": _number("strength poured", "vol", 0, 100),
            "developer_grams": _number("developer", "g", 0, 2000),
            "powder_grams": _number("lightening powder, 0 in a colour", "g", 0, 2000),
            "colour_grams": _number("colour or gloss", "g", 0, 2000, needed=False),
        },
        "a bowl is mixed; the same name again is a fresh bowl",
    ),
    "bowl.left": Kind(
        {
            "bowl": _text("name of the bowl"),
            "grams": _number("weighed back", "g", 0, 4000, needed=False),
            "amount": _word("by eye", "none", "some", "half", needed=False),
        },
        "what was left in the bowl mixed last by that name",
        one_of=("grams", "amount"),
    ),
    "section.begun": Kind(
        {
            "section": _text("section of the head, her words"),
            "first_foil": Field("whole", "its first foil", low=1, high=MOST_FOILS),
        },
        "the first foil of a section goes in",
    ),
    "section.placed": Kind(
        {
            "section": _text("section of the head, her words"),
            "first_foil": Field("whole", "its first foil", low=1, high=MOST_FOILS),
            "last_foil": Field(
                "whole", "its last foil, the count corrected", low=1, high=MOST_FOILS
            ),
            "took_min": _number(
                "minutes from its first foil to this tap", "min", 0, 600, needed=False
            ),
            "bowl": _BOWL,
        },
        "the last foil of a section is closed; again with the same first foil corrects it",
        rising=("first_foil", "last_foil"),
    ),
    "foil.dropped": Kind(
        {
            "foils": Field("wholes", "numbers of the foils", low=1, high=MOST_FOILS),
            "why": _text("why", 200, needed=False),
        },
        "planned or placed foils that are not there",
    ),
    "foil.added": Kind(
        {
            "foils": Field("wholes", "numbers of the foils", low=1, high=MOST_FOILS),
            "section": _text("section of the head, her words"),
            "bowl": _BOWL,
        },
        "foils outside any section's range, or dropped ones after all; in at this tap",
    ),
    "check.seen": Kind(
        {
            "foil": _FOIL,
            "section": _SECTION,
            "stage": _number("underlying stage seen, 10.5 the palest", "", 3, 10.5),
            "sureness": _word("how sure", "sure", "fair", "guess"),
            "band": _text("stretch of length: regrowth, old colour, ends", needed=False),
            "dried": Field("yes", "pinched dry before judging", needed=False),
        },
        "a foil is wiped in a spot and judged",
        one_of=("foil", "section"),
    ),
    "wiped": Kind(
        {"foils": _FOILS, "section": _SECTION},
        "lightener is wiped out of foils or a section",
        one_of=("foils", "section"),
    ),
    "rinsed": Kind(
        {"foils": _FOILS, "section": _SECTION, "place": _PLACE},
        "rinsed; with none of the three, the whole head",
    ),
    "gloss.applied": Kind(
        {
            "place": _text("stretch of the head: root shadow, mids, ends, a spot"),
            "recipe": _text("what was mixed", 200),
        },
        "a gloss, toner or lowlight colour goes on",
    ),
    "gloss.seen": Kind(
        {
            "place": _text("as it was applied"),
            "turned": _word("how far", "not yet", "nearly", "there", "past"),
            "tone": _text("the tone seen", needed=False),
        },
        "the tone is looked at as it turns",
    ),
    "changed": Kind(
        {
            "what": _word(
                "what", "late", "brighter", "darker", "stop", "bleed", "slip", "helper", "other"
            ),
            "minutes": _MINUTES,
            "foils": _FOILS,
            "section": _SECTION,
            "why": _text("in words", 200, needed=False),
        },
        "things change and the plan is made anew",
    ),
    "felt": Kind(
        {
            "what": _word("what the client feels", "burning", "pain", "heat", "itch"),
            "where": _text("where", needed=False),
        },
        "the client feels something; burning, pain and heat say rinse now",
    ),
    "result.seen": Kind(
        {
            "area": _word("area", "front", "crown", "back", "sides", "whole"),
            "stage": _number("underlying stage seen dry", "", 3, 10.5, needed=False),
            "evenness": _word(
                "how even", "even", "back light", "band warm", "spot", "ends grabbed"
            ),
            "tone": _text("the tone it ended at", needed=False),
            "remedy": _word(
                "what was done about it",
                "left",
                "lightened again",
                "toned deeper",
                "lowlights",
                needed=False,
            ),
        },
        "an area is judged after the rinse",
    ),
    "note": Kind({"text": _text("in words", 2000)}, "anything worth keeping"),
    "taken.back": Kind(
        {
            "fact": Field("name", "id of the fact"),
            "why": _text("why", 200, needed=False),
        },
        "an earlier tap was a slip; it is kept and left out",
    ),
    "visit.ended": Kind(
        {"outcome": _word("how", "finished", "changed", "stopped", needed=False)},
        "the visit ends",
    ),
}


def field_at_fault(kind: Kind, payload: Mapping[str, Any]) -> str:
    """Give the first field of a payload that cannot be understood, '' where all can.

    Notes
    -----
    Fields of the table in its order; then unknown ones, for a slip in a name must not turn a
    rinse of one foil into a rinse of the head; then `one_of`, named by its first field, and `rising`, named by its second.
    """
    for name, field in kind.fields.items():
        if name not in payload:
            if field.needed:
                return name
        elif not field.holds(payload[name]):
            return name
    unknown = sorted(canonical(name)[1:-1] for name in payload if name not in kind.fields)
    if unknown:
        return unknown[0]
    if kind.one_of and sum(name in payload for name in kind.one_of) != 1:
        return kind.one_of[0]
    if kind.rising and payload[kind.rising[0]] > payload[kind.rising[1]]:
        return kind.rising[1]
    return ""
