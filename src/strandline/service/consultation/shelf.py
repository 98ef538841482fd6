"""The shelf: developers, the lightener with its label, gloss shades; grams and price.

The default shelf is an invented neutral line, for a file that names none.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from strandline.base.errors import OutOfRangeError
from strandline.science.hair.naming.lines import numberings
from strandline.science.hair.naming.name import Named, read_name
from strandline.science.hair.shades import Scale
from strandline.service.consultation.words import Reflect, ShadeKind


class Product(BaseModel):
    """What every product on the shelf has."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    grams: float = Field(1000, ge=0, le=100000, description="left on the shelf")
    price_per_kg: float | None = Field(None, ge=0, le=10000)


class Developer(Product):
    """A bottle of developer by its nominal strength."""

    vol: float = Field(ge=1, le=100, description="nominal volume on the label")


def _bottle(value: Any) -> Any:  # noqa: ANN401  # the wall: a bare number is a bottle's volume
    return {"vol": value} if isinstance(value, int | float) else value


class Lightener(Product):
    """A lightening powder and what its label says."""

    name: str = Field("lightening powder", max_length=60)
    label_max_min: float | None = Field(
        None, gt=0, le=120, description="longest time on the label; required to lighten"
    )
    label_max_vol: float | None = Field(None, gt=0, le=40, description="strongest on the label")
    powder_ratio: float = Field(2.0, ge=1, le=4, description="developer for a part of powder")


class Swatch(BaseModel):
    """A swatch of a shade, laid on hair for the label's time and read dry."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    lab: tuple[float, float, float] = Field(description="CIELAB read, D65/10")
    on: Literal["white", "lightened"] = Field("white", description="the hair it lies on")
    on_lab: tuple[float, float, float] | None = Field(
        None, description="that hair before, read the same way; a prior stands in for it"
    )


class Dyes(BaseModel):
    """Dyes of a reflect: each one's peak as a share of the depth's absorption at 550 nm."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    violet: float = Field(0, ge=0, le=20)
    blue: float = Field(0, ge=0, le=20)
    green: float = Field(0, ge=0, le=20)
    gold: float = Field(0, ge=0, le=20)
    copper: float = Field(0, ge=0, le=20)
    red: float = Field(0, ge=0, le=20)


class ShadeDyes(BaseModel):
    """Dyes of a shade's reflects, on white hair and on lightened hair."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    level: Dyes = Field(default_factory=Dyes, description="on white hair")
    stage: Dyes = Field(default_factory=Dyes, description="on lightened hair")

    def on(self, scale: Scale) -> dict[str, float]:
        """Give the dyes on the ground of a scale."""
        dyes: dict[str, float] = (self.level if scale == "level" else self.stage).model_dump()
        return dyes


class GlossShade(Product):
    """A shade: its depth, its reflect, and how it is used; a name such as 8.12 or 8AV says both."""

    name: str = Field(min_length=1, max_length=40)
    depth: float | None = Field(None, ge=1, le=10.5, description="none for a clear")
    reflect: Reflect = "neutral"
    second: Reflect | None = Field(None, description="second reflect, at half strength")
    strength: float = Field(1.0, gt=0, le=3, description="of its reflect against the prior")
    kind: ShadeKind = "acid demi"
    clear: bool = False
    label_min: float = Field(20, gt=0, le=60, description="longest time on the label")
    developer_vol: float = Field(6.7, ge=0, le=40, description="developer it is used with")
    ratio: float = Field(1.0, ge=0, le=4, description="developer for a part of shade")
    dyes: ShadeDyes | None = Field(
        None, description="of its reflects, where its line's are its own; else the prior's"
    )
    swatch: Swatch | None = Field(None, description="her reading; it stands over name and prior")

    @model_validator(mode="before")
    @classmethod
    def _holds_something(cls, given: Any) -> Any:  # noqa: ANN401  # the wall: the file's own table
        """Refuse less than nothing with the name of the shade that is said to hold it."""
        grams = given.get("grams", 0) if isinstance(given, dict) else 0
        if isinstance(grams, int | float) and grams < 0:
            raise ValueError(
                f"The shade '{given.get('name', '')}' is said to hold {grams:g} g.|"
                "Weigh what is left: 0 g or more."
            )
        return given

    @model_validator(mode="before")
    @classmethod
    def _undeveloped(cls, given: Any) -> Any:  # noqa: ANN401  # the wall: the file's own table
        """Give a direct colour no developer where the file does not say otherwise."""
        if isinstance(given, dict) and given.get("kind") == "direct":
            return {"developer_vol": 0, "ratio": 0} | given
        return given

    @model_validator(mode="before")
    @classmethod
    def _by_its_name(cls, given: Any) -> Any:  # noqa: ANN401  # the wall: the file's own table
        """Read off a name in numbers or letters what the file does not say itself."""
        named = _named(given.get("name")) if isinstance(given, dict) else None
        if named is None or given.get("clear") or "dyes" in given:
            return given
        depth = given.get("depth", named.depth)
        if isinstance(depth, int | float) and abs(depth - named.depth) > MOST_STEP:
            raise ValueError(
                f"The shade '{given['name']}' is given the depth {depth:g}.|Its name says "
                f"{named.depth}: correct the one or the other."
            )
        said = {} if "reflect" in given else {"reflect": named.main, "second": named.second}
        return {"depth": named.depth} | said | given

    @model_validator(mode="after")
    def _has_depth(self) -> Self:
        if self.depth is None and not self.clear:
            raise ValueError(
                f"The shade '{self.name}' has no depth.|Give its depth, 1 to 10, "
                "name it in numbers or letters such as 8.12 or 8AV, or mark it clear = true."
            )
        if self.swatch is not None and self.clear:
            raise ValueError(
                f"The clear '{self.name}' has a swatch.|A clear leaves no colour: leave it out."
            )
        return self


MOST_STEP = 1.0
"""Levels that a line's depth may sit off the scale's; common practice, no source."""


def _named(name: object) -> Named | None:
    """Give what a name in numbers or letters says, None where it is a name of another kind."""
    for numbering in numberings().values():
        try:
            return read_name(str(name), numbering)
        except OutOfRangeError:
            continue
    return None


def _line() -> list[GlossShade]:
    acid = [
        ("6 neutral", 6, "neutral", None), ("7 neutral", 7, "neutral", None),
        ("8 neutral", 8, "neutral", None), ("7 ash", 7, "ash", None), ("8 ash", 8, "ash", "violet"),
        ("9 violet", 9, "violet", None), ("9 violet-ash", 9, "violet", "ash"),
        ("9 beige", 9, "gold", "violet"), ("10 violet", 10, "violet", None),
        ("10 pearl", 10, "violet", "gold"), ("5 neutral", 5, "neutral", None),
    ]  # fmt: skip
    shades = [
        GlossShade(name=name, depth=depth, reflect=reflect, second=second)
        for name, depth, reflect, second in acid
    ]
    return [*shades, GlossShade(name="clear", clear=True)]


class Shelf(BaseModel):
    """What stands within reach."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    line: str = Field("neutral line", max_length=60, description="the gloss line's own name")
    developers: list[Annotated[Developer, BeforeValidator(_bottle)]] = Field(
        default_factory=lambda: [Developer(vol=v) for v in (5, 10, 20, 30)],
        max_length=12,
        description="bottles: a volume, or a table",
    )
    lightener: Lightener | None = Field(default_factory=Lightener)
    gloss: list[GlossShade] = Field(default_factory=_line, max_length=60)

    @model_validator(mode="after")
    def _each_name_once(self) -> Self:
        seen: set[str] = set()
        twice = None
        for shade in self.gloss:
            name = shade.name.strip().lower()
            twice = shade.name if name in seen else twice
            seen.add(name)
        if twice is not None:
            raise ValueError(
                f"Two shades are called '{twice}'.|Call each by a name of its own: bowls name them."
            )
        return self
