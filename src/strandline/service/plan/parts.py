"""The smallest pieces of a kept plan: a figure with its range, a foil as it was laid."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

from strandline.base.quantities import Range


class Part(BaseModel):
    """A piece of the plan; read back strictly, so that a slip in a kept plan is found."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Figure(Part):
    """A figure with its range, unit and law; None where it is never reached."""

    low: float | None
    middle: float | None
    high: float | None
    unit: str
    law: str


def figure(value: Range, digits: int = 1) -> Figure:
    """Round a range for a reader; an infinite end becomes None."""

    def shown(x: float) -> float | None:
        return round(x, digits) if abs(x) < float("inf") else None

    return Figure(
        low=shown(value.low),
        middle=shown(value.middle),
        high=shown(value.high),
        unit=value.unit,
        law=value.law,
    )


class PatternKept(Part):
    """The pattern of foils that the consultation names: her own, from a file, or one by name.

    `scaled_to` is the fewest and most foils that its spaces were scaled to, None where they stand
    as written.
    """

    name: str
    own: bool
    scaled_to: tuple[int, int] | None = None

    @property
    def words(self) -> str:
        """Give what the sheets call it."""
        return f"{'own ' if self.own else ''}pattern '{self.name}'"


class FoilRow(Part):
    """One foil: where, what kind, what it takes; u across the head and y along it, cm.

    `line` is the middle of the parting, `outline` the scalp it takes, both in the chart of
    `science.head.scalp`, so that the next visit lays its foils beside these.
    """

    number: int
    zone: str
    side: Literal["left", "centre", "right"]
    section: str
    kind: str
    grade: str
    bowl: str
    up_cm: float
    across_cm: tuple[float, float]
    line: list[tuple[float, float]]
    outline: list[tuple[float, float]]
    length_cm: float
    thickness_mm: float
    pick_mm: float
    left_mm: float
    flipped: bool
    roots: int
    hair_share: float
    from_cm: float
    hair_grams: float
    lightener_grams: float
    colour_grams: float
    place_min: float = 0.0
    reason: str
    tilt_deg: float = 0.0
    turned: bool = False


class WhirlKept(Part):
    """A place where hair turns: its zone, its middle in the chart and its reach in cm, its turn."""

    zone: str
    u: float
    y: float
    radius_cm: float
    angle_deg: float


class ScalpKept(Part):
    """The head's measures, from which its zones are cut again, and where its hair turns.

    `parting_cm` is how far the parting lies from the middle, above 0 to her right; None where the
    hair has none that stays.
    """

    circumference_cm: float
    centre_strip_cm: float
    fringe_depth_cm: float
    front_to_nape_cm: float = 36.2
    hairline_depth_cm: float = 1.2
    side_end_percent: float = 86
    strip_offset_cm: float = 0.0
    parting_cm: float | None = None
    whirls: list[WhirlKept] = []
