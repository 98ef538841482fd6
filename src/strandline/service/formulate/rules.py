"""What a recipe must keep to, as data: rules of tone, parts that are weighed, minutes by kind."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from strandline.base.sources import Number, cite, numbers, toml_beside
from strandline.science.hair.shades import Scale


@dataclass(frozen=True, slots=True)
class Steps:
    """The practical steps of a bowl.

    Parameters
    ----------
    pairs, triples : parts of two and of three shades
    clears : parts of clear to one part of the colour together, 0 first, rising
    """

    pairs: tuple[tuple[float, ...], ...]
    triples: tuple[tuple[float, ...], ...]
    clears: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Clock:
    """The minutes of a kind of gloss.

    Parameters
    ----------
    first : when to look first, min
    steps : minutes it usually takes, rising
    """

    first: float
    steps: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """A place along the hair.

    Parameters
    ----------
    name : 'mids', 'ends', 'roots' or 'white'
    uptake : name of its uptake in deposit.toml
    scale : how a shade's depth is read there
    clock : whose minutes it keeps, those of the kind where empty
    day_one : on day one it is deeper and cooler than the aim
    keeps_side : it may not pass neutral
    grams : name of what is mixed for it, at the bench
    """

    name: str
    uptake: str
    scale: Scale
    clock: str
    day_one: bool
    keeps_side: bool
    grams: str


@cache
def places() -> dict[str, Place]:
    """Load the places by name."""
    found = dict(_own()["place"])
    cite(found.pop("source"))
    return {name: Place(name=name, **one) for name, one in found.items()}


@cache
def weigh_step() -> float:
    """Give the step of the scale, g."""
    return numbers(_own()["scale"], "gloss_rules.toml [scale]")["weigh_step"].value


@cache
def rules() -> dict[str, Number]:
    """Load the rules of `gloss_rules.toml` by name."""
    return numbers(_own()["rules"], "gloss_rules.toml [rules]")


def rule(name: str) -> float:
    """Give the value of a rule."""
    return rules()[name].value


@cache
def steps() -> Steps:
    """Load the parts that are weighed."""
    found = _own()["parts"]
    cite(found["source"])
    return Steps(
        tuple(tuple(float(x) for x in one) for one in found["pairs"]),
        tuple(tuple(float(x) for x in one) for one in found["triples"]),
        tuple(float(x) for x in found["clears"]),
    )


@cache
def clocks() -> dict[str, Clock]:
    """Load the chair's minutes by kind, and those of the ends."""
    found = dict(_own()["minutes"])
    cite(found.pop("source"))
    return {
        name: Clock(float(one["first"]), tuple(float(m) for m in one["steps"]))
        for name, one in found.items()
    }


@cache
def _own() -> dict[str, Any]:
    return toml_beside(__package__, "gloss_rules.toml")
