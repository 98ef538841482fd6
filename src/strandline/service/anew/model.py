"""What is left of a visit, as it is printed and kept; times are local, HH:MM."""

from __future__ import annotations

from pydantic import Field

from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.parts import Figure, Part


class Step(Part):
    """One thing to do, the next first."""

    at: str | None = Field(description="local time, None for 'when it comes to it'")
    what: str
    why: str
    caution: str = ""


class GroupNow(Part):
    """A group clock as it stands: minutes of the visit, from its first foil."""

    foils: str
    section: str
    bowl: str
    state: str = Field(description="in or to come")
    start: str
    due_low: str | None
    due: str | None = Field(description="None where it stalls below its aim")
    due_high: str | None
    latest: str = Field(description="the label's longest time: never past it")
    out: str
    how: str


class Learned(Part):
    """What the checks say of this head today, as factors on the rate of lift."""

    what: str
    factor: Figure
    words: str


class Money(Part):
    """Minutes and the floor of the price, before and now; None where she has not said."""

    minutes_before: float
    minutes_now: float
    floor_before: float | None
    floor_now: float | None
    currency: str


class Anew(Part):
    """The rest of the visit."""

    now: str
    rinse_now: str = Field(description="what ends the work at once; empty where nothing does")
    placed: list[int]
    out: list[int]
    to_come: list[int]
    dropped: list[int] = Field(description="that this plan leaves out, beside what was dropped")
    added: int = Field(description="weaves this plan adds at the front")
    checks: int
    learned: list[Learned]
    groups: list[GroupNow]
    steps: list[Step]
    gloss: list[GlossStep]
    finish_low: str | None
    finish: str | None
    finish_high: str | None
    booked_until: str
    money: Money
    kept: list[str] = Field(description="facts that are flagged or contradict: kept, and shown")
    cautions: list[str]
