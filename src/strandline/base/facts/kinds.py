"""The vocabulary of a visit: one table of kinds, each with what it says, its unit and range.

Reading, the JSON Schema and the page on facts all come from here.
"""

from __future__ import annotations

from collections.abc import Mapping

from strandline.base.facts.field import MOST_FOILS, Field, Kind


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
