"""What a consultation file may hold: fields, ranges, defaults.

The shapes here are the file format; `docs/schemas/consultation.schema.json` is made from them.
Units stand in the names. Anything left out takes the default said in its description.
"""

from __future__ import annotations

import datetime as dt
from difflib import get_close_matches
from typing import Annotated, Literal, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from strandline.science.head.zones import NAMES as ZONE_NAMES
from strandline.service.consultation import words
from strandline.service.consultation.shelf import Shelf

Percent = Annotated[float, Field(ge=0, le=100)]
Level = Annotated[float, Field(ge=1, le=10)]
Stage = Annotated[float, Field(ge=3, le=10.5)]
Centimetres = Annotated[float, Field(ge=0, le=150)]
YesNo = Literal["yes", "no", "unknown"]
PATTERNS: tuple[str, ...] = get_args(words.PatternName)
"""Patterns of foils that are there without a file."""


class Part(BaseModel):
    """A table of the file: unknown words are refused, values stay as written."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Client(Part):
    """Who sits in the chair."""

    name: str = Field(min_length=1, max_length=80, description="how the sheets address her")
    age: int | None = Field(None, ge=0, le=120, description="years; below 16 holds colour back")
    growth_cm_per_month: float | None = Field(
        None, ge=0.3, le=2.5, description="measured between two visits; else the published mean"
    )


class Visit(Part):
    """When, and what went before."""

    date: dt.date | None = Field(None, description="day of the visit; else the day asked for")
    number: int = Field(1, ge=1, le=200, description="which visit of this change it is")


class AreaAnswer(Part):
    """What is seen in one of the three areas."""

    gray: Percent = Field(description="share of white hairs, percent")
    level: Level | None = Field(None, description="natural level of the dark hairs, 1-10")
    regrowth_cm: Centimetres | None = Field(None, description="grown since the last colour")
    density: words.Ponytail | None = Field(
        None, description="thin, medium or thick there; else as the ponytail"
    )


class Areas(Part):
    """The three areas she answers for."""

    front: AreaAnswer
    crown: AreaAnswer
    back: AreaAnswer


class Hair(Part):
    """The head of hair as a whole."""

    level: Level | None = Field(None, description="natural level of the dark hairs everywhere")
    regrowth_cm: Centimetres | None = Field(None, description="default 1.5 cm where covered")
    strand: words.Strand = Field("medium", description="fine, medium or coarse")
    ponytail: words.Ponytail = Field("medium", description="thin, medium or thick")
    length: words.LengthWord = Field("shoulder", description="where the hair reaches")
    curl: words.Curl = Field("straight", description="straight, wavy, curly or tight")
    fringe: words.Fringe = Field("none", description="none, short (under 12 cm) or long")
    parting: words.Parting = Field("left", description="where the parting falls")
    cowlicks: list[str] = Field(default_factory=list, max_length=8, description="where, in words")
    condition: words.Condition = Field("sound", description="of mids and ends")
    bonds: int = Field(0, ge=0, le=400, description="tape or keratin bonds worn")
    diameter_um: float | None = Field(None, ge=20, le=200, description="expert: fibre diameter")
    density_per_cm2: float | None = Field(None, ge=30, le=450, description="expert: hairs per cm2")
    length_cm: float | None = Field(
        None, ge=2, le=150, description="expert: mean length of a stretched strand"
    )
    trim_every_weeks: float | None = Field(
        None, ge=2, le=104, description="weeks between trims; else kept at its length"
    )
    trim_cm: float | None = Field(
        None, ge=0, le=30, description="taken off at each trim; else as much as grew"
    )
    circumference_cm: float = Field(55.2, ge=51, le=61, description="of the head; mean of women")
    fringe_depth_cm: float = Field(5.0, ge=1.5, le=10, description="from the hairline back")
    centre_strip_cm: float = Field(10.0, ge=6, le=12, description="width of the centre strip")
    front_to_nape_cm: float = Field(36.2, ge=28, le=44, description="between the hairlines")
    hairline_depth_cm: float = Field(1.2, ge=0.5, le=3, description="of nape and side hairlines")
    side_end_percent: float = Field(
        86, ge=75, le=95, description="where the sides end, of the way from fringe to nape"
    )

    @model_validator(mode="after")
    def _trims_have_a_time(self) -> Self:
        if self.trim_cm is not None and self.trim_every_weeks is None:
            raise ValueError(
                "A trim takes off cm, and it is not said how often.|Give hair.trim_every_weeks, "
                "or leave hair.trim_cm out."
            )
        return self


class Cover(Part):
    """Permanent colour worn until now, in one line; bands say it in more."""

    depth: Level = Field(description="international depth of the colour")
    kind: Literal["salon", "box"] = Field("salon", description="who put it on")
    years: float = Field(1, ge=0, le=70, description="years of cover")
    every_weeks: float = Field(5, ge=1, le=52, description="weeks between covers")
    reflect: words.Reflect = Field("neutral", description="its reflect")
    minutes: float = Field(90, ge=10, le=300, description="time a cover visit takes")
    price: float | None = Field(None, ge=0, le=5000, description="what a cover visit costs")


class Band(Part):
    """A stretch of length with one past, on all of the hair or a share of it."""

    from_cm: Centimetres
    to_cm: Centimetres
    past: words.Past
    share: Percent = Field(100, description="share of the hair, percent")
    depth: Level | None = Field(None, description="of permanent or direct colour")
    years: float = Field(1, ge=0, le=70)
    reflect: words.Reflect = "neutral"
    stage: Stage | None = Field(None, description="of lightened hair: 3-10, 10.5 palest")
    times: int = Field(1, ge=1, le=30, description="how often it was lightened")
    lab: tuple[float, float, float] | None = Field(None, description="expert: a reading, D65/10")
    months_ago: float | None = Field(None, ge=0, le=600)
    said: str = Field("", max_length=200, description="what the client said of it")

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.to_cm <= self.from_cm:
            raise ValueError(
                f"The band runs from {self.from_cm:g} to {self.to_cm:g} cm; it must end "
                "farther from the scalp than it begins.|Swap or correct the two distances."
            )
        if self.past == "permanent" and self.depth is None:
            raise ValueError(
                "A band of permanent colour has no depth.|Give its depth, 1 to 10, "
                "or call its past 'unknown'."
            )
        if self.past == "lightened" and self.stage is None and self.lab is None:
            raise ValueError(
                "A lightened band has no stage.|Give the stage it shows, 3 to 10.5, or a reading."
            )
        return self


class AimPicture(Part):
    """What the client's picture shows, read off it: how much is light, and at which levels."""

    light_percent: Percent = Field(description="of the hair that is light in the picture")
    light_level: Level = Field(description="level of its light")
    dark_level: Level = Field(description="level of the rest")

    @model_validator(mode="after")
    def _lighter_than_dark(self) -> Self:
        if self.light_level <= self.dark_level:
            raise ValueError(
                f"The picture's light is level {self.light_level:g} and the rest "
                f"{self.dark_level:g}; the light must be the lighter.|Give the two levels as "
                "read off the picture, 1 to 10."
            )
        return self


class Trim(Part):
    """Hair cut since the last visit; lengths along a stretched strand."""

    date: dt.date | None = Field(None, description="day of the cut; else this visit, before foils")
    cut_cm: float | None = Field(None, gt=0, le=150, description="taken off")
    left_cm: float | None = Field(None, ge=2, le=150, description="or: the length that was left")

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.cut_cm is None) == (self.left_cm is None):
            raise ValueError(
                "A trim says what was cut or what was left, one of the two.|Give cut_cm or left_cm."
            )
        return self


class Aim(Part):
    """What the client hopes for."""

    wish: words.Wish = Field("soft", description="soft, brighter, lightest, more depth, tone only")
    tone: words.Tone = Field("neutral", description="the tone in one word")
    stage: Stage | None = Field(None, description="expert: the stage to lift to")
    too_light_now: bool = Field(False, description="says the blonde is too blonde already")
    lighter_front: bool = Field(True, description="may the front be lighter than the rest")
    return_weeks: float | None = Field(None, ge=2, le=52, description="when she can come again")
    visits: int | None = Field(None, ge=1, le=12, description="visits she is ready for")
    picture: AimPicture | None = Field(None, description="what her picture shows")


class Limits(Part):
    """What a visit may take: hours, hands, foils, money, harm."""

    hours: float = Field(4.0, ge=0, le=10, description="in the chair, this visit; above 0")
    money: float | None = Field(None, ge=0, le=20000, description="for this visit")
    helper: bool = Field(False, description="is there a second pair of hands")
    foils: int | None = Field(None, ge=0, le=200, description="as many at most, this visit")
    oxidised_percent: float | None = Field(
        None,
        gt=0,
        le=100,
        description="cystine oxidised in a foil at most, earlier lightening included: counted from "
        "baths, it compares plans and never says that hair holds",
    )

    @field_validator("hours")
    @classmethod
    def _some_time(cls, hours: float) -> float:
        if hours == 0:
            raise ValueError(
                "The hours are 0, and nothing can be done in no time.|Give the hours there are; "
                "a gloss alone takes about 1.3, a partial head of foils from about 2.5."
            )
        return hours


class AlertTest(Part):
    """An allergy alert test, as signed."""

    date: dt.datetime = Field(description="day and hour it was put on")
    result: Literal["clear", "reaction", "unknown"] = "unknown"
    line: str = Field("", max_length=60, description="product line tested")


class StrandTest(Part):
    """A strand tried in the actual mix."""

    date: dt.date
    result: Literal["clean", "heat", "fizz", "odd colour"]


class StretchTest(Part):
    """A wet strand stretched."""

    date: dt.date
    result: Literal["holds", "stretches", "breaks"]


class Health(Part):
    """Health answers, each unknown until the client gives it; kept under explicit consent."""

    alert_test: AlertTest | None = None
    allergies: Literal["none", "yes", "unknown"] = "unknown"
    past_reaction: YesNo = "unknown"
    black_henna_tattoo: YesNo = "unknown"
    scalp: Literal["sound", "irritated", "broken", "unknown"] = "unknown"
    metallic_or_herbal_colour: YesNo = "unknown"
    pregnancy: Literal["yes", "no", "not said", "unknown"] = "unknown"
    strand_test: StrandTest | None = None
    stretch_test: StretchTest | None = None


class Money(Part):
    """What she lives from, a month; left out, the quote gives product and minutes alone."""

    currency: str = Field("EUR", pattern=r"^[A-Z]{3}$", description="ISO 4217 code")
    rent: float = Field(ge=0, le=100000)
    expenses: float = Field(ge=0, le=100000)
    take_home: float = Field(ge=0, le=1000000)
    tax_percent: float = Field(ge=0, lt=90)
    hours_per_week: float = Field(gt=0, le=80, description="hours at the chair")
    helper_per_hour: float | None = Field(
        None, ge=0, le=1000, description="what an hour of a helper takes"
    )


class Salon(Part):
    """The room she works in."""

    light: words.ChairLight = Field("neutral", description="the lamps at the chair")


class Zone(Part):
    """Expert: what one zone of the scalp shows, over its area's answer."""

    gray: Percent | None = None
    level: Level | None = None


class PatternFile(Part):
    """A pattern of her own, as the file beside the consultation holds it."""

    file: str = Field(min_length=1, max_length=255, description="its name")
    text: str = Field(max_length=100_000, description="what it says, TOML")


class Consultation(Part):
    """One consultation file."""

    schema_version: Literal[1] = Field(1, description="of this format")
    client: Client
    visit: Visit = Field(default_factory=Visit)
    areas: Areas
    hair: Hair = Field(default_factory=Hair)
    cover: Cover | None = None
    bands: list[Band] = Field(default_factory=list, max_length=24)
    trims: list[Trim] = Field(default_factory=list, max_length=24)
    zones: dict[str, Zone] = Field(default_factory=dict)
    aim: Aim = Field(default_factory=Aim)
    limits: Limits = Field(default_factory=Limits)
    health: Health = Field(default_factory=Health)
    shelf: Shelf = Field(default_factory=Shelf)
    salon: Salon = Field(default_factory=Salon)
    money: Money | None = None
    practice: dict[str, float] = Field(default_factory=dict, description="her own values")
    placement: dict[str, float] = Field(
        default_factory=dict, description="her own partings: numbers of patterns.toml by name"
    )
    pattern: str | PatternFile | None = Field(
        None,
        description=f"where foils lie: a file beside this one, or {', '.join(PATTERNS)}; "
        "else what the kind of service takes",
    )

    @field_validator("pattern", mode="before")
    @classmethod
    def _pattern_known(cls, value: object) -> object:
        if value is None or isinstance(value, PatternFile):
            return value
        if isinstance(value, dict) and set(value) == {"file", "text"}:
            return value
        if not isinstance(value, str):
            raise ValueError(  # noqa: TRY004 - pydantic turns this one alone into an error
                "'pattern' is neither the name of a pattern nor of a file.|Write it in a file "
                'beside this one and name that: pattern = "mine.toml".'
            )
        if value not in PATTERNS:
            raise ValueError(
                f"'pattern' is {value!r:.60}, which is no pattern that is known.|"
                f'{_meant(value)}, or a file beside this one, such as "mine.toml".'
            )
        return value

    @model_validator(mode="after")
    def _zones_known(self) -> Self:
        for name in self.zones:
            if name not in ZONE_NAMES:
                raise ValueError(
                    f"'{name}' is no zone of the scalp.|Choose one of: {', '.join(ZONE_NAMES)}."
                )
        return self

    @model_validator(mode="after")
    def _levels_known(self) -> Self:
        if self.hair.level is None:
            for name in ("front", "crown", "back"):
                if getattr(self.areas, name).level is None:
                    raise ValueError(
                        f"The natural level of the {name} is missing.|Give hair.level once, "
                        f"or areas.{name}.level, 1 to 10."
                    )
        return self


def _meant(name: str) -> str:
    close = get_close_matches(name.lower(), PATTERNS, 1)
    return (
        f"Did you mean '{close[0]}'? Name one of {', '.join(PATTERNS)}"
        if close
        else (f"Name one of {', '.join(PATTERNS)}")
    )
