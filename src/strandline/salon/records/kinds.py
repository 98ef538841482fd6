"""The vocabulary of the record outside a visit: clients, what was written, the shelf, the practice.

A payload is described by the same fields as a visit's, and read through upcasters of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, get_args

from strandline.base.facts.field import Field, Kind
from strandline.base.facts.kinds import KINDS as VISIT_KINDS
from strandline.base.facts.upcast import Upcaster

Sort = Literal["client", "consultation", "plan", "visit", "product", "practice"]
"""What a stream is of."""
Purpose = Literal["record", "health", "photo", "portfolio", "publish"]
"""What a client consents to: being kept, health answers, taking, showing, publishing pictures."""
PURPOSES: tuple[str, ...] = get_args(Purpose)
HEALTH: Mapping[str, tuple[str, ...]] = {
    "allergies": ("none", "yes", "unknown"),
    "past_reaction": ("no", "yes", "unknown"),
    "black_henna_tattoo": ("no", "yes", "unknown"),
    "scalp": ("sound", "irritated", "broken", "unknown"),
    "metallic_or_herbal_colour": ("no", "yes", "unknown"),
    "pregnancy": ("no", "yes", "not said", "unknown"),
}
"""What a client is asked about her safety, and what she may answer; as a consultation has it."""
LONGEST_TEXT = 4_000_000
"""Characters of a consultation or a plan; usual ones are a hundredth of it."""


def _text(about: str, most: int = 60, *, needed: bool = True) -> Field:
    return Field("text", about, low=1, high=most, needed=needed)


def _date(about: str, *, needed: bool = True) -> Field:
    return Field("date", about, needed=needed)


def _grams(about: str, low: float = 0) -> Field:
    return Field("number", about, "g", low, 1_000_000)


def _number(about: str, unit: str, low: float, high: float) -> Field:
    return Field("number", about, unit, low, high, needed=False)


_DIGEST = Field("name", "SHA-256 of its file, 64 hexadecimal digits")

RECORD_KINDS: Mapping[str, Kind] = {
    "client.named": Kind(
        {
            "name": _text("how the sheets address her", 80),
            "born": _date("day of birth", needed=False),
            "contact": _text("how she is reached", 200, needed=False),
        },
        "a client is written down; the last one stands",
    ),
    "client.return": Kind(
        {
            "foils_on": _date("agreed for foils", needed=False),
            "gloss_on": _date("agreed for a gloss", needed=False),
        },
        "the dates of return are agreed; the last one stands",
    ),
    "consent.given": Kind(
        {
            "purpose": Field("word", "for what", words=PURPOSES),
            "signature": _text("as she signed", 200),
        },
        "she consents to one purpose",
    ),
    "consent.withdrawn": Kind(
        {"purpose": Field("word", "for what", words=PURPOSES)},
        "she takes consent for one purpose back",
    ),
    "test.signed": Kind(
        {
            "client": _text("her name, for the record that outlasts an erasure", 80),
            "test": Field("word", "which", words=("alert", "strand", "stretch")),
            "result": _text("what it showed"),
            "line": _text("product line tested", needed=False),
            "applied_on": _date("day it was put on"),
            "applied_at": _text("hour it was put on, HH:MM", 5, needed=False),
            "read_on": _date("day it was read"),
            "signature": _text("as she signed", 200),
            "expires_on": _date("last day it counts"),
        },
        "a test is read and signed",
    ),
    "reaction.seen": Kind(
        {
            "on": _date("day it was seen"),
            "to": _text("to what", 200),
            "what": _text("what was seen or felt", 500),
            "severity": Field("word", "how bad", words=("mild", "strong", "severe")),
        },
        "a reaction is seen or told",
    ),
    "photo.added": Kind(
        {
            "photo": _DIGEST,
            "taken_on": _date("day it was taken"),
            "view": _text("what it shows", needed=False),
            "visit": Field("name", "token of the visit", needed=False),
        },
        "a photo is kept, its place and device taken off it",
    ),
    "photo.removed": Kind({"photo": _DIGEST}, "a photo is removed"),
    "client.taught": Kind(
        {
            "visit": Field("name", "token of the visit"),
            "text": _text("what it taught, as learn keeps a visit, JSON", LONGEST_TEXT),
        },
        "what a visit of hers taught; a later word of the same visit replaces it",
    ),
    "gate.overridden": Kind(
        {
            "gate": _text("the finding's own name"),
            "reason": Field("text", "why, in words", low=10, high=1000),
            "person": _text("who answers for it"),
            "visit_on": _date("day of the visit it is for"),
        },
        "a finding that holds a plan back is overridden by a named person",
    ),
    "health.answered": Kind(
        {
            **{
                name: Field("word", name.replace("_", " "), words=words, needed=False)
                for name, words in HEALTH.items()
            },
            "told": _text("what she wrote beside it", 2000, needed=False),
            "signature": _text("as she signed", 200),
        },
        "she answers what bears on her safety; of each answer the last one stands",
    ),
    "consultation.answered": Kind(
        {"answers": _text("all answers so far, JSON by question", 100_000)},
        "an answer of a consultation that is under way; the last one stands until it is written",
    ),
    "consultation.written": Kind(
        {"text": _text("the consultation, TOML", LONGEST_TEXT)},
        "a consultation is written or changed",
    ),
    "plan.made": Kind(
        {
            "text": _text("plan.json as it was made", LONGEST_TEXT),
            "date": _date("day it is for"),
            "foils_from": _date("first day of return for foils", needed=False),
            "foils_to": _date("last day of return for foils", needed=False),
            "gloss_from": _date("first day of return for a gloss", needed=False),
            "gloss_to": _date("last day of return for a gloss", needed=False),
            "way": _text("which of several ways was chosen", needed=False),
        },
        "a plan is made or made anew",
    ),
    "product.described": Kind(
        {
            "name": _text("as plans name it", 80),
            "sort": Field("word", "what it is", words=("lightener", "developer", "gloss", "other")),
            "line": _text("product line", needed=False),
            "price_per_kg": _number("price", "a kilogram", 0, 10_000),
            "low_grams": _number("order where less is free", "g", 0, 1_000_000),
            "pack_grams": _number("what one pack holds", "g", 1, 1_000_000),
            "label_max_min": _number("longest time on the label", "min", 0.5, 120),
            "label_max_vol": _number("strongest on the label", "vol", 0, 40),
            "shelved": _text("as a shelf's file has it, JSON", 4000, needed=False),
        },
        "a product is described; the last one stands",
    ),
    "lot.received": Kind(
        {
            "lot": _text("number on the pack"),
            "grams": _grams("what it holds"),
            "price": _number("paid for it", "in her currency", 0, 100_000),
            "expires_on": _date("last day of use", needed=False),
        },
        "a lot comes onto the shelf",
    ),
    "stock.counted": Kind({"grams": _grams("what is there")}, "the shelf is counted or weighed"),
    "stock.reserved": Kind(
        {"plan": Field("name", "token of the plan"), "grams": _grams("what it needs")},
        "a plan needs some; a later word of the same plan replaces it, 0 g frees it",
    ),
    "stock.taken": Kind(
        {
            "visit": Field("name", "token of the visit"),
            "grams": _grams("what was mixed"),
            "plan": Field("name", "token of the plan it followed", needed=False),
        },
        "a visit takes some; a later word of the same visit replaces it",
    ),
    "product.calibrated": Kind(
        {"text": _text("what visits taught of it, JSON", LONGEST_TEXT)},
        "what visits taught of a product; the last one stands",
    ),
    "practice.valued": Kind(
        {
            "name": _text("of the number"),
            "value": Field("number", "her own", low=-1e9, high=1e9),
        },
        "a number of practice is set to her own",
    ),
    "practice.costed": Kind(
        {
            "currency": _text("ISO 4217 code", 3),
            "rent": _number("a month", "in her currency", 0, 100_000),
            "expenses": _number("a month", "in her currency", 0, 100_000),
            "take_home": _number("a month", "in her currency", 0, 1_000_000),
            "tax_percent": _number("of what is earned", "%", 0, 89),
            "hours_per_week": _number("at the chair", "h", 0.5, 80),
            "helper_per_hour": _number(
                "what an hour of a helper takes", "in her currency", 0, 1000
            ),
        },
        "what she lives from; the last one stands",
    ),
    "practice.settled": Kind(
        {"region": Field("word", "whose rules hold", words=("EU", "GB", "US", "other"))},
        "the region is set, once",
    ),
    "practice.learned": Kind(
        {"text": _text("what visits taught, as it is kept by learn", LONGEST_TEXT)},
        "what visits taught of her eye and pace; the last one stands",
    ),
    "note": VISIT_KINDS["note"],
    "taken.back": VISIT_KINDS["taken.back"],
}

RECORD_UPCASTERS: tuple[Upcaster, ...] = ()
"""Steps from older schemas of these kinds."""


def kinds_of(sort: str) -> Mapping[str, Kind]:
    """Give the vocabulary that a stream of a sort is read by."""
    return VISIT_KINDS if sort == "visit" else RECORD_KINDS
