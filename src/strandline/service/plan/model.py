"""The plan as it is kept: `plan.json`, whose schema is made from these shapes.

Units stand in the names; a `Figure` carries its range and the law it comes from. Where a figure
is drawn from 64 fixed points, low and high are its 10th and 90th percentile.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

from pydantic import Field

from strandline.service.consultation.model import Band
from strandline.service.plan.carried import CarriedPart
from strandline.service.plan.gloss_parts import GlossMiss, GlossStep, WearPart
from strandline.service.plan.parts import Figure, FoilRow, Part, PatternKept, ScalpKept


class Reason(Part):
    """Why, with its source."""

    what: str
    do: str = ""
    source: str
    weight: str = "note"
    step: str = "before"
    about: str = ""


class Poured(Part):
    """What is poured: the bottle, its parts and grams."""

    vol: float
    parts: float
    grams: float


class Strength(Part):
    """A strength for a stretch of the hair in some foils, and what it is expected to do."""

    bowl: str
    band: str
    from_cm: float
    to_cm: float
    foils: str
    target_vol: float
    poured_vol: float
    poured: list[Poured]
    after_min: float = Field(description="minutes after the foil's start that this stretch waits")
    aim_stage: float
    minutes_to_aim: Figure
    due_min: float
    stage_when_due: Figure
    chance_before_label: float
    cystine_oxidised: Figure = Field(
        description="when due, earlier lightening included; from baths: never reassures"
    )
    underlying: str
    neutraliser: str
    first_check_min: float
    why: str


class Bowl(Part):
    """A bowl to weigh."""

    name: str
    what: str
    count: int
    developer_vol: float
    poured: list[Poured]
    developer_grams: float
    powder_grams: float
    total_grams: float
    bowl_percent: float
    serves: str


class ClockGroup(Part):
    """A group clock; minutes from the first parting."""

    foils: str
    section: str
    bowl: str
    start_min: float
    placed_min: float
    first_check_min: float
    due_min: float
    latest_min: float
    out_min: float
    how: str


class ClockOfHead(Part):
    """The whole head in time."""

    groups: list[ClockGroup]
    placed_min: float
    rinse_min: float
    end_min: float
    steps: list[tuple[str, float]]
    notes: list[str]
    law: str


class Seen(Part):
    """What an eye would see in one week."""

    line: float = Field(description="shown growth, dE00 cm")
    edge: float = Field(description="steepest step, dE00")
    edge_cm: float
    stripes: float
    light_share: float
    light_level: float
    dark_level: float
    colours: list[str] = Field(description="hex colours along the first 6 cm, root first")


class GrowOutWeek(Part):
    """One week, as kept today and as planned."""

    week: float
    grown_cm: float
    as_kept: Seen
    planned: Seen


class OldLine(Part):
    """The old line on the hair that is left out, today: its steepest step and where it lies.

    `way` is 'as it is', 'under a root shadow', 'melted past it' or 'woven with lowlights', and
    `planned` says which is planned.
    """

    way: Literal["as it is", "under a root shadow", "melted past it", "woven with lowlights"]
    shadow_to_cm: float
    step_de00: float
    at_cm: float
    planned: bool
    what: str


class Returned(Part):
    """A day on which the client came back, and the line she had by the plan she left with."""

    date: dt.date
    weeks: float = Field(description="since the visit before")
    line: float = Field(description="shown growth, dE00 cm")


class PictureMet(Part):
    """One thing of the client's picture: its light share [1], its light's level, its depth.

    `visit` is the one that reaches it, 1 for today's; None where visits like this do not.
    """

    what: Literal["light", "light level", "depth"]
    wanted: float
    today: float | None
    visit: int | None
    words: str


class GrowOutPart(Part):
    """The grow-out in figures."""

    weeks: list[GrowOutWeek]
    threshold: float = Field(description="shown growth at which she sees her line, dE00 cm")
    threshold_range: Figure | None = None
    returns: list[Returned] = Field(
        default_factory=list, description="that the threshold was learned from"
    )
    as_kept_passes_week: Figure
    planned_passes_week: Figure
    sentence: str
    picture: str = Field("", description="what of the client's picture is reached, and when")
    picture_parts: list[PictureMet] = Field(default_factory=list)
    old_line: list[OldLine] = Field(default_factory=list)
    strands: list[StrandClass]
    law: str


class StrandStretch(Part):
    """A stretch of a strand in one colour."""

    from_cm: float
    to_cm: float
    colour: str


class StrandClass(Part):
    """A class of strands as it looks on the day: its share and its stretches, root first."""

    name: str
    look: Literal["as kept", "planned"]
    share: float
    root_colour: str
    stretches: list[StrandStretch]


class LeftOut(Part):
    """Hair in no foil this time, which the next visit takes."""

    zone: str
    share: float
    grams: float


class NextVisit(Part):
    """The two dates of return and what the next visit starts from."""

    gloss_from: dt.date | None
    gloss_to: dt.date | None
    foils_from: dt.date | None
    foils_to: dt.date | None
    visits: Figure
    left_out: list[LeftOut]
    old_share_before: float
    old_share_after: Figure
    takes_next: str
    brick_lay_offset_mm: float


class LaneKept(Part):
    """A share of the hair with one past along its length, before this visit."""

    share: float
    bands: list[Band]


class QuoteLine(Part):
    """A line of the quote."""

    what: str
    grams: float | None
    amount: float | None


class YearCost(Part):
    """A year of this against a year of cover."""

    visits: float
    hours: float
    amount: float | None


class Quote(Part):
    """Minutes, product, floor, deposit, and the year."""

    currency: str
    minutes: float
    product: float | None
    floor: float | None
    deposit: float | None
    lines: list[QuoteLine]
    year_blending: YearCost
    year_cover: YearCost | None
    law: str


class Law(Part):
    """A law or value the plan stands on."""

    section: str
    law: str
    source: str


class Default(Part):
    """Something the file left out and what was taken instead."""

    field: str
    taken: str


class Leaning(Part):
    """What the minutes of lift stand on: a product, a client's hair, and her visits with them.

    `factor` is the rate against the usual one, of her pace the seconds a foil; `own_percent` the
    share of it that comes from visits, the rest is what it began with.
    """

    what: str
    visits: int
    own_percent: float
    factor: Figure
    words: str


class ServicePlan(Part):
    """One plan for one visit."""

    plan_version: Literal[1] = 1
    made_with: str
    client: str
    date: dt.date
    visit: int
    verdict: Literal["go", "wait", "stop"]
    reasons: list[Reason]
    refused: list[Reason]
    technique: str
    technique_kind: str
    technique_reasons: list[str]
    pattern: PatternKept | None = None
    aim_stage: float
    expected_stage: Figure | None
    foil_count: int
    foil_range: tuple[int, int]
    foils: list[FoilRow]
    strengths: list[Strength]
    order: list[str]
    first_check_min: float | None
    check_every_min: float | None
    bowls: list[Bowl]
    clock: ClockOfHead | None
    gloss: list[GlossStep]
    gloss_misses: list[GlossMiss] = Field(default_factory=list)
    wear: list[WearPart] = Field(default_factory=list, description="the tone's first")
    tone_family: str
    tone_why: str
    growout: GrowOutPart
    interval_weeks: float
    interval_range: tuple[float, float]
    cautions: list[Reason]
    quote: Quote
    next_visit: NextVisit
    lanes: list[LaneKept]
    scalp: ScalpKept
    length_cm: float | None = None
    leans_on: list[Leaning] = Field(default_factory=list)
    carried: CarriedPart | None = None
    evidence: list[Law]
    defaults: list[Default]

    @property
    def technique_words(self) -> str:
        """Give the technique, with the pattern that the consultation names."""
        return self.technique if self.pattern is None else f"{self.technique}, {self.pattern.words}"
