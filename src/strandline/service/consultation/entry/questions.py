"""The questions of a consultation, as data: about fourteen, most of them one tap.

Words, steps and their order are common practice, no source.
"""

from __future__ import annotations

from functools import cache

from strandline.service.consultation.entry.question import (
    AREAS,
    N_,
    PLACES,
    Chip,
    Field,
    Question,
    Unit,
    Value,
)

LEAST = 6
"""Answers from which a plan stands."""
WITHOUT_NO_PLAN = ("gray", "level")
"""Questions that no default stands for."""
COVERED = ("salon", "box")
LIT = ("ends", "strands", "all")


def _steps(*values: float) -> tuple[Chip, ...]:
    return tuple(Chip(float(value), f"{value:g}") for value in values)


def _words(**words: str) -> tuple[Chip, ...]:
    return tuple(Chip(value.replace("_", " "), said) for value, said in words.items())


def _figure(  # a figure with steps to tap
    name: str,
    words: str,
    steps: tuple[float, ...],
    low: float,
    high: float,
    unit: Unit,
    **more: object,
) -> Field:
    return Field(name, words, _steps(*steps), number=True, low=low, high=high, unit=unit, **more)  # type: ignore[arg-type]


def _level(name: str, words: str, **more: object) -> Field:
    return _figure(name, words, tuple(range(1, 11)), 1, 10, "", **more)


QUESTIONS: tuple[Question, ...] = (
    Question(
        "gray",
        N_("How much is gray?"),
        N_("It decides how much there is to blend, where, and which hair the lightener meets."),
        (
            _figure(
                "gray", N_("White hairs"), (0, 10, 25, 50, 75, 90, 100), 0, 100, "%", places=PLACES
            ),
        ),
    ),
    Question(
        "level",
        N_("How dark are the dark hairs?"),
        N_("The natural level: where the lift starts from and what grows in."),
        (_level("level", N_("Natural level"), places=AREAS),),
    ),
    Question(
        "regrowth",
        N_("How much has grown in?"),
        N_("From the scalp to the old colour: where each strength begins."),
        (
            _figure(
                "regrowth", N_("Regrowth"), (0, 0.5, 1, 1.5, 2, 2.5, 3, 4), 0, 150, "cm",
                places=AREAS,
            ),
        ),
    ),
    Question(
        "cover",
        N_("What covers it now?"),
        N_("Built-up colour lifts slower than hair and stalls."),
        (
            Field(
                "cover.kind", N_("Who put it on"),
                _words(
                    none=N_("No cover"), salon=N_("Salon"), box=N_("Box"),
                    unknown=N_("Henna, powder, not known"),
                ),
            ),
            _level("cover.depth", N_("Its depth"), if_field="cover.kind", if_values=COVERED),
            _figure(
                "cover.years", N_("For how many years"), (1, 2, 5, 10, 20), 0, 70, "years",
                needed=False, if_field="cover.kind", if_values=COVERED,
            ),
            _figure(
                "cover.every", N_("Every how many weeks"), (3, 4, 5, 6, 8), 1, 52, "weeks",
                needed=False, if_field="cover.kind", if_values=COVERED,
            ),
        ),
    ),
    Question(
        "light",
        N_("Is any of it lightened already?"),
        N_("Light hair takes colour faster and has less strength left."),
        (
            Field(
                "light.where", N_("Where"),
                _words(none=N_("No"), ends=N_("Ends"), strands=N_("Strands"), all=N_("All of it")),
            ),
            _figure(
                "light.stage", N_("The stage it shows"), (7, 8, 9, 10), 3, 10.5, "",
                if_field="light.where", if_values=LIT,
            ),
            _figure(
                "light.times", N_("How often"), (1, 2, 3, 4, 6), 1, 30, "times",
                needed=False, if_field="light.where", if_values=LIT,
            ),
        ),
    ),
    Question(
        "strand",
        N_("How does one hair feel?"),
        N_("Fine hair lifts sooner and bears less."),
        (
            Field(
                "strand", N_("Strand"),
                _words(fine=N_("Fine"), medium=N_("Medium"), coarse=N_("Coarse")),
            ),
            Field(
                "curl", N_("Curl"),
                _words(
                    straight=N_("Straight"), wavy=N_("Wavy"), curly=N_("Curly"), tight=N_("Tight")
                ),
                needed=False,
            ),
        ),
    ),
    Question(
        "ponytail",
        N_("How thick is her ponytail?"),
        N_("Grams of product, and how much a foil holds."),
        (
            Field(
                "ponytail", N_("Ponytail"),
                _words(thin=N_("Thin"), medium=N_("Medium"), thick=N_("Thick")),
            ),
        ),
    ),
    Question(
        "length",
        N_("How long is it?"),
        N_("Grams, minutes, and how old the ends are."),
        (
            Field(
                "length", N_("It reaches"),
                _words(
                    ear=N_("Ear"), chin=N_("Chin"), shoulder=N_("Shoulder"),
                    collarbone=N_("Collarbone"), bra=N_("Bra strap"),
                    **{"mid-back": N_("Middle of the back")}, waist=N_("Waist"),
                ),
            ),
        ),
    ),
    Question(
        "fringe",
        N_("Fringe and parting?"),
        N_("Where foils begin and how they fall."),
        (
            Field(
                "fringe", N_("Fringe"),
                _words(none=N_("None"), short=N_("Short"), long=N_("Long")),
            ),
            Field(
                "parting", N_("Parting"),
                _words(
                    left=N_("Left"), centre=N_("Centre"), right=N_("Right"), none=N_("None"),
                    wandering=N_("Wanders"),
                ),
            ),
        ),
    ),
    Question(
        "condition",
        N_("In what condition are mids and ends?"),
        N_("Whether lightener may be planned at all."),
        (
            Field(
                "condition", N_("Condition"),
                _words(
                    sound=N_("Sound"), dry=N_("Dry"), porous=N_("Porous"),
                    stretchy=N_("Stretchy"), breaking=N_("Breaking"),
                ),
            ),
            _figure("bonds", N_("Extension bonds worn"), (0, 16, 40, 80), 0, 400, "", needed=False),
        ),
    ),
    Question(
        "wish",
        N_("What does she wish for?"),
        N_("Which kind of service, and how far it lifts."),
        (
            Field(
                "wish", N_("Wish"),
                _words(
                    soft=N_("Soft"), brighter=N_("Brighter"), lightest=N_("Lightest"),
                    more_depth=N_("More depth"), tone_only=N_("Tone only"),
                ),
            ),
            Field(
                "front", N_("May the front be lighter than the rest?"),
                _words(yes=N_("Yes"), no=N_("No")), needed=False,
            ),
        ),
    ),
    Question(
        "tone",
        N_("Which colour does she point at?"),
        N_("The gloss, and the lift that carries its tone."),
        (
            Field(
                "tone", N_("Tone"),
                _words(
                    natural=N_("natural"), mushroom=N_("mushroom"), smoky=N_("smoky"),
                    beige=N_("beige"), champagne=N_("champagne"), pearl=N_("pearl"),
                    silver=N_("silver"), icy=N_("icy"), neutral=N_("neutral"),
                ),
            ),
            _figure("stage", N_("How light"), (7, 8, 9, 10), 3, 10.5, "", needed=False),
        ),
    ),
    Question(
        "return",
        N_("When can she come again?"),
        N_("The year's visits, and how soft it has to grow out."),
        (_figure("return", N_("In"), (6, 8, 10, 12, 14, 16), 2, 52, "weeks"),),
    ),
    Question(
        "hours",
        N_("Hours and money today?"),
        N_("How many foils the day holds."),
        (
            _figure("hours", N_("Hours in the chair"), (2, 3, 4, 5, 6), 0.5, 10, "h"),
            _figure("money", N_("Money for it"), (), 0, 20000, "money", needed=False),
            Field(
                "helper", N_("A helper for the foils?"), _words(no=N_("No"), yes=N_("Yes")),
                needed=False,
            ),
        ),
    ),
)  # fmt: skip


@cache
def question(name: str) -> Question:
    """Give a question by its name."""
    return next(one for one in QUESTIONS if one.name == name)


@cache
def fields() -> dict[str, tuple[Question, Field]]:
    """Give every key an answer may have, with its question and field."""
    return {key: (one, field) for one in QUESTIONS for field in one.fields for key in field.keys}


def value_words(field: Field, value: Value) -> str:
    """Give the words of an answer, as its chip has them."""
    for chip in field.chips:
        if chip.value == value:
            return chip.words
    return f"{value:g}" if not isinstance(value, str) else value
