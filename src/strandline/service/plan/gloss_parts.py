"""The gloss of a plan as it is kept: its steps, their fillers, grounds, lights and misses."""

from __future__ import annotations

from pydantic import Field

from strandline.service.plan.parts import Part


class GlossPart(Part):
    """A shade in a recipe."""

    shade: str
    parts: float
    grams: float


class SeenUnder(Part):
    """What an eye used to a light sees of a tone, as the daylight colour that looks the same."""

    place: str
    light: str = Field(description="name in CIE 15")
    words: str
    lab: tuple[float, float, float]
    colour: str
    turned_delta_e00: float = Field(description="from the same hair by day")


class GlossGround(Part):
    """A ground that a bowl meets: what it leaves there, and a bowl of its own."""

    name: str
    share: float = Field(description="of the hair that the bowl is for")
    one_delta_e00: float
    one_near_percent: float
    own_delta_e00: float
    own_near_percent: float
    own_parts: list[GlossPart]
    own_minutes: float


class Filler(Part):
    """What goes on porous light hair before its depth: blotted after its minutes, not rinsed."""

    parts: list[GlossPart]
    developer_vol: float
    developer_grams: float
    minutes: float
    lab: tuple[float, float, float]


class GlossStep(Part):
    """A gloss on one place: parts, developer, minutes, the colour it leaves."""

    place: str
    order: int
    from_cm: float
    to_cm: float
    kind: str
    parts: list[GlossPart]
    developer_vol: float
    developer_grams: float
    first_look_min: float
    minutes_low: float
    minutes_high: float
    best_min: float | None = Field(None, description="at which it comes nearest to the aim")
    alone_min: float = Field(description="minutes until the next place begins, or the rinse")
    ground_lab: tuple[float, float, float]
    aim_lab: tuple[float, float, float]
    lab: tuple[float, float, float]
    delta_e00: float
    depth: float
    why: str
    miss: str
    lights: list[SeenUnder] = Field(description="the chair's first")
    light_note: str = Field(description="where the chair's light misleads; else empty")
    wear_lab: tuple[float, float, float] | None = Field(
        None, description="the colour to wear, towards which day one fades"
    )
    near_percent: float | None = Field(
        None, description="of the strands there, that end within 3 dE00 of the aim themselves"
    )
    filler: Filler | None = Field(None, description="goes on before it")
    grounds: list[GlossGround] = Field(
        default_factory=list, description="where one bowl meets several"
    )
    shelf_said: str = Field(
        "", description="where the bowl ends far from its aim: the one shade more that would help"
    )
    bowls_said: str = Field("", description="one bowl against a bowl for each, in words")


class MissStep(Part):
    """A step back from a miss, and what it comes to."""

    name: str
    what: str
    minutes: float
    lab: tuple[float, float, float]
    delta_e00: float = Field(description="from the aim, mean by share")
    apart_de00: float = Field(description="between its lightest and its deepest part")
    parts: list[GlossPart] = Field(default_factory=list, description="of the bowl it takes")
    developer_vol: float | None = None
    developer_grams: float | None = None
    gate: str = Field("", description="what must hold first")


class GlossMiss(Part):
    """A miss of a gloss as it may be seen: the steps back, the first the miss itself."""

    place: str
    seen: str
    steps: list[MissStep]


class KindLasts(Part):
    """When the same tone would be mostly gone by a kind of dye, without care."""

    kind: str
    weeks: float


class WearPart(Part):
    """How a tone, or the depth of lowlights, is worn at home."""

    place: str
    kind: str
    washes_per_week: float
    seen_weeks: float = Field(description="until it is first seen to go, without care; 26 at most")
    gone_weeks: float = Field(description="until it is mostly gone, without care")
    violet_every_days: float | None = Field(description="of the violet shampoo that is told")
    cared_seen_weeks: float = Field(description="until it is first seen to go, with it")
    cared_gone_weeks: float = Field(description="until it is mostly gone, with it")
    dulls_days: float | None = Field(description="so often or oftener it turns dull or violet")
    by_kind: list[KindLasts] = Field(description="of the same tone, without care")
    words: str
