"""Several plans of one visit as they are kept: each a whole plan, and what sets it apart."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from pydantic import Field

from strandline.service.plan.model import Reason, ServicePlan
from strandline.service.plan.parts import Part

KindName = Literal["gloss alone", "gentle", "balanced", "thorough"]


class ZoneTaken(Part):
    """What is laid in a zone, from which bowl, and why there; no foils where it is left."""

    zone: str
    words: str
    foils: int
    bowl: str
    why: str


class Foretold(Part):
    """A figure as the table of choices had it, and as the whole plan has it."""

    what: Literal["minutes", "foils", "money", "light"]
    table: float
    plan: float


class Way(Part):
    """One plan among several.

    Shares are of the head's hair, percent. `wish_percent` is what of the wish this visit meets, by
    how much each place shows. `least_spared` says what the kind spares.
    """

    name: KindName
    words: str = Field(description="how it differs from the one before it, in a sentence")
    foils: int
    minutes: float
    money: float | None
    wish_percent: float
    light_percent: float = Field(description="made light today")
    dark_percent: float = Field(description="made darker today")
    line_week_8: float = Field(description="shown growth after 8 weeks, dE00 cm")
    line_seen_week: float | None = Field(description="week in which the line is seen; None: never")
    oxidised_percent: float = Field(
        description="cystine oxidised in the hair of a foil, from baths: compares plans only"
    )
    strongest_vol: float
    return_weeks: float
    visits: int | None = Field(
        description="of this kind until the wish is met, this one among them; None: never so"
    )
    old_percent: float = Field(description="hair that still carries old colour afterwards")
    year_money: float | None
    year_hours: float
    taken: list[ZoneTaken]
    binds: list[str] = Field(description="what keeps it from more; none for a kind that spares")
    picture: str = Field("", description="what of the client's picture is reached, and when")
    foretold: list[Foretold]
    plan: ServicePlan


class VisitAhead(Part):
    """One visit of the way to the aim."""

    visit: int
    date: dt.date
    foils: int
    minutes: float
    money: float | None
    wish_percent: float
    light_percent: float
    old_percent: float
    taken: list[ZoneTaken]


class Course(Part):
    """Which hair when, to the aim with the least harm, hours and money."""

    visits: list[VisitAhead]
    reached: bool
    words: list[str]
    hours: float
    money: float | None
    first_year_money: float | None
    first_year_hours: float
    cover_year_money: float | None
    cover_year_hours: float | None
    gap_percent: float = Field(description="what a better way could still spare, of its cost")
    law: str


class Ways(Part):
    """A few plans that differ in kind, for one visit.

    `stands_` is of the plan by her rules. `ways` rise in what they buy; none where colour is
    stopped. `contradicts` says which limits or wishes cannot all be kept, with the nearest that can
    be done; `not_reached` what of the wish the limits keep back, with what would reach it.
    """

    client: str
    date: dt.date
    visit: int
    verdict: Literal["go", "wait", "stop"]
    currency: str
    hours: float
    helper: bool
    limits: list[str]
    stands_foils: int
    stands_minutes: float
    stands_money: float | None
    ways: list[Way]
    reasons: list[Reason]
    contradicts: list[Reason]
    not_reached: list[str]
    binds: list[str]
    course: Course | None
    law: str
