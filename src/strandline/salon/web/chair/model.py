"""A plan as the chair is handed it: one JSON, with all that it needs when the server is gone.

The shape is that of `static/js/chair/plan.js`.
"""

from __future__ import annotations

from strandline.service.plan.parts import Part


class Later(Part):
    """A stretch of a section's foils that is painted some minutes after the rest."""

    band: str
    bowl: str
    after_min: float


class ChairSection(Part):
    """Foils that follow each other from one bowl: what is shown one at a time.

    `lines` says where each run of foils is taken, how, how thick and at what space; `pace_min` the
    minutes each of its foils takes at her pace.
    """

    section: str
    first: int
    last: int
    bowl: str
    bowl_words: str
    lines: list[str]
    start_min: float
    out_how: str
    pace_min: list[float]
    later: list[Later]


class ChairWait(Part):
    """What a bowl's foils wait for, minutes from a foil's own start."""

    due_min: float
    out_min: float
    first_check_min: float
    longest_min: float


class ChairHair(Part):
    """The hair of a stretch as the rate of lift sees it."""

    old_colour: bool
    first_cm: bool
    stacked: bool
    developer_vol: float
    gray_under: float


class ChairGround(Part):
    """Progress and the stage reached at it, both rising."""

    gained: list[float]
    stages: list[float]


class Stretch(Part):
    """Hair of one past under one bowl."""

    bowl: str
    band: str
    length_cm: float
    after_min: float
    aim_stage: float
    hair: ChairHair
    ground: ChairGround


class ChairBelief(Part):
    """What is believed of this head before its first foil."""

    mean: list[float]
    cov: list[list[float]]


class ChairStage(Part):
    """A stage as it looks in a foil: its name in the trade and its computed colour."""

    stage: float
    name: str
    colour: str


class ChairBowl(Part):
    """A bowl and what is weighed into it."""

    name: str
    what: str
    count: int
    grams: list[str]
    developer_vol: float
    developer_grams: float
    powder_grams: float
    serves: str


class ChairGloss(Part):
    """A gloss, its grams, its window, its colour when it is right."""

    place: str
    recipe: str
    grams: list[str]
    first_look_min: float
    minutes_low: float
    minutes_high: float
    alone_min: float
    colour: str
    why: str
    miss: str


class ChairBack(Part):
    """A step back from a miss: dE00 from the aim after it, and what must hold first."""

    name: str
    what: str
    away_de00: float
    gate: str


class ChairMiss(Part):
    """A way a toner may miss: its button, the words that name it, the steps back by place.

    `turned` is how far a tone has turned that is said to miss so, a word of the kind `gloss.seen`.
    """

    said: str
    also: list[str]
    words: list[str]
    turned: str
    back: dict[str, list[ChairBack]]


class ChairCaution(Part):
    """What can hurt, and what to do."""

    what: str
    do: str
    step: str


class ChairPlan(Part):
    """All that the chair runs from."""

    client: str
    date: str
    technique: str
    label_min: float | None
    aim_stage: float
    sections: list[ChairSection]
    bowls: list[ChairBowl]
    waits: dict[str, ChairWait]
    stretches: list[Stretch]
    belief: ChairBelief
    numbers: dict[str, float | list[float]]
    check_every_min: float
    first_seen_min: float
    no_more: float
    stages: list[ChairStage]
    gloss: list[ChairGloss]
    misses: list[ChairMiss]
    cautions: list[ChairCaution]
    order: list[str]
    last_foil: int
    minutes: float
