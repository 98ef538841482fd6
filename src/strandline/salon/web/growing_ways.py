"""The other ways a visit could go, as they grow out, beside the plan: the same measures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from strandline.salon.web.growing import seen_words
from strandline.salon.web.words import _

if TYPE_CHECKING:
    from strandline.service.growout.grow import WeekSeen
    from strandline.service.plan.assemble import Made
    from strandline.service.plan.growing import Grown
    from strandline.service.plan.ways import ManyMade

WEEKS = (0.0, 8.0, 16.0)


@dataclass(frozen=True, slots=True)
class Beside:
    """How one plan grows out, in `WEEKS`.

    Parameters
    ----------
    name : in words
    planned : it is the plan that is kept
    seen : when its line is seen, in words
    line : of growth alone, dE00 cm, by week
    light : share of hair that is light over the first 6 cm, percent, by week
    apart : levels between light and dark hair there, by week
    picture : what of the client's picture it reaches, and why no more
    """

    name: str
    planned: bool
    seen: str
    line: tuple[float, ...]
    light: tuple[float, ...]
    apart: tuple[float, ...]
    picture: str


def beside(made: Made, many: ManyMade, chosen: str) -> list[Beside]:
    """Give the plan and the other ways of its visit, measured alike.

    Parameters
    ----------
    made : the plan as it stands
    many : every way of its visit
    chosen : which of them the plan is, '' for the one by her rules
    """
    from strandline.service.plan.growing import ways_grown  # noqa: PLC0415  # slow

    others = {name: one for name, one in many.made.items() if name != chosen}
    if chosen:
        others = {_("by your rules"): many.stands, **others}
    found = ways_grown(made, WEEKS, others)
    return [_beside(way, made) for way in found if way.planned or way.alternative]


def _beside(way: Grown, made: Made) -> Beside:
    weeks = way.grown.weeks
    return Beside(
        name=way.name,
        planned=way.planned,
        seen="" if way.passes is None else seen_words(way.passes),
        line=tuple(seen.line_of_growth for seen in weeks),
        light=tuple(100 * seen.lighter_than(way.light_from) for seen in weeks),
        apart=tuple(_apart(seen) for seen in weeks),
        picture=made.plan.growout.picture if way.planned else way.picture,
    )


def _apart(seen: WeekSeen) -> float:
    return 0.0 if seen.contrast.even else seen.contrast.light_level - seen.contrast.dark_level
