"""What each choice of a zone brings and costs; over zones the figures add up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from strandline.service.choose.options import Option
from strandline.service.choose.wish import Wished
from strandline.service.placement.foil import Foil
from strandline.service.placement.pattern import pattern_numbers

LIGHT = ("slice", "weave", "tip-out")
"""Kinds of foils that make hair light."""


@dataclass(frozen=True, slots=True)
class Bowl:
    """A bowl as a choice of strength.

    Parameters
    ----------
    name : 'weak', 'main', 'strong' or 'lowlight'
    words : how it is said, '12.5 vol'
    carries : of the lift that is aimed at, what it comes to before it is taken out [0-1]
    oxidised : share of cystine that it oxidises, in the hair it lies on, %
    """

    name: str
    words: str
    carries: float
    oxidised: float


@dataclass(frozen=True, slots=True)
class Rates:
    """What a foil costs beyond itself, and what hair weighs.

    Parameters
    ----------
    minutes : foil to minutes, her placing, its part of a bowl mixed and of the wiping
    hourly : what an hour at the chair must bring; 0 where she has not said
    lightener, colour : price of a mixed gram
    powder : of a mixed gram of lightener, the share that is powder [1]
    """

    minutes: Callable[[Foil], float]
    hourly: float
    lightener: float
    colour: float
    powder: float


@dataclass(frozen=True, slots=True)
class Weighed:
    """A choice of one zone: what is laid there, from which bowl, and what it comes to.

    Parameters
    ----------
    option, bowl : the choice; the bowl's name is empty where nothing is laid
    foils, weak : its foils, and how many of them are of the weak bowl
    minutes : that its foils take
    light, dark : share of the head's hair made light, or dark [1]
    met : its part of the wish, over zones 1 where all of it is met and the lift carries [1]
    seen : the same as an eye has it: the first half of what is missing shows more than the last [1]
    line : its part of the line seen, over zones 1 where nothing is done [1]
    powder, developer : grams mixed
    money : of minutes and product
    oxidised : cystine oxidised, as a mean over the head's hair, %
    """

    option: Option
    bowl: str
    foils: int
    weak: int
    minutes: float
    light: float
    dark: float
    met: float
    seen: float
    line: float
    powder: float
    developer: float
    money: float
    oxidised: float


@dataclass(frozen=True)
class Ground:
    """The head that choices are weighed on.

    Parameters
    ----------
    sizes : share of the head's hair by zone name, summing to 1
    key_share : share of a zone's hair by key: a half for each side of a pair
    wished : of each zone
    along : share of the hair along the parting that is rooted in a zone, by name
    line_at : share made light to the line that is seen, 1 where none is
    depth : what is wished for is depth
    """

    sizes: Mapping[str, float]
    key_share: Mapping[str, float]
    wished: Wished
    along: Mapping[str, float]
    line_at: Callable[[float], float]
    depth: bool


def weigh(
    options: Sequence[Option],
    laid: Mapping[int, Sequence[Foil]],
    bowls: Sequence[Bowl],
    ground: Ground,
    rates: Rates,
) -> tuple[Weighed, ...]:
    """Weigh every choice of a zone.

    Parameters
    ----------
    options : of one zone
    laid : the foils of each option, by its place among them
    bowls : that its foils may be filled from
    ground, rates : of this head and her hands
    """
    out = []
    for place, option in enumerate(options):
        foils = laid.get(place, ())
        if not foils:
            if not option.rows:
                out.append(_weighed(option, None, (), ground, rates))
            continue
        out += [_weighed(option, bowl, foils, ground, rates) for bowl in bowls]
    return tuple(out)


def _weighed(
    option: Option, bowl: Bowl | None, foils: Iterable[Foil], ground: Ground, rates: Rates
) -> Weighed:
    foils = tuple(foils)
    zone = option.zone

    def taken(*kinds: str) -> float:
        return sum(_share(f, ground) for f in foils if f.kind in kinds)

    light, dark = taken(*LIGHT), taken("lowlight weave")
    carries = bowl.carries if bowl else 0.0
    gain = dark if ground.depth else light
    missing = ground.wished.missing.get(zone, 0.0)
    reach = min(1.0, gain / missing) if missing > 0 else 0.0
    grams = sum(foil.lightener_grams for foil in foils)
    colour = sum(foil.colour_grams for foil in foils)
    minutes = sum(map(rates.minutes, foils))
    size, wanted = ground.sizes[zone], ground.wished.shows.get(zone, 0.0)
    return Weighed(
        option=option,
        bowl=bowl.name if bowl else "",
        foils=len(foils),
        weak=len(foils) if bowl and bowl.name == "weak" else 0,
        minutes=minutes,
        light=size * light,
        dark=size * dark,
        met=wanted * reach * carries,
        seen=wanted * (1 - (1 - reach) ** 2) * carries,
        line=ground.along.get(zone, 0.0) * ground.line_at(gain),
        powder=grams * rates.powder,
        developer=grams * (1 - rates.powder),
        money=rates.hourly * minutes / 60 + grams * rates.lightener + colour * rates.colour,
        oxidised=size * light * (bowl.oxidised if bowl else 0.0),
    )


def _share(foil: Foil, ground: Ground) -> float:
    """Give the share of its zone's hair that a foil takes, by the length that is treated."""
    whole = foil.hair_share * ground.key_share[foil.key]
    if foil.kind == "tip-out":
        return whole * pattern_numbers()["tip_out_length_share"].value
    return whole
