"""The client's picture, as shares and levels, against what a plan makes: what is reached, and how.

The same figures can be read from a photograph: how much of the hair is light, at which level, and
at which level the rest is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from strandline.base.quantities import Range
from strandline.science.seeing.contrast import Contrast
from strandline.service.consultation.model import AimPicture

NEAR_SHARE, NEAR_LEVEL = 0.07, 0.6
"""What counts as reached: a share [1] and a level; from memory."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far the plan's visits go.

    Parameters
    ----------
    gained : share of the hair that a later visit makes light [1]
    visits : to the whole wish, this one among them
    aim_stage : that the plan lifts to; 0 where it lifts nothing
    """

    gained: float
    visits: Range
    aim_stage: float


def picture_words(wanted: AimPicture, today: Contrast, reach: Reach) -> str:
    """Say in a sentence or two what of a picture is reached, when, or why it is not.

    Parameters
    ----------
    wanted : what the picture shows
    today : light and dark along the parting on the day
    reach : of this plan
    """
    share = wanted.light_percent / 100
    told = (
        f"The picture has {wanted.light_percent:.0f} % light at level {wanted.light_level:g} on "
        f"level {wanted.dark_level:g}; after today it is {_seen(today)}."
    )
    light_now = 0.0 if today.even else today.light_share
    missing = []
    if share > light_now + NEAR_SHARE:
        missing.append(_more_light(share - light_now, reach.gained))
    elif share < light_now - NEAR_SHARE:
        missing.append(
            f"{100 * (light_now - share):.0f} % more is light than in it: less light comes only by "
            "lowlights"
        )
    if wanted.dark_level < today.dark_level - NEAR_LEVEL:
        missing.append(
            f"its depth comes only by lowlights, for what is left out reads as level "
            f"{today.dark_level:.1f}"
        )
    elif wanted.dark_level > today.dark_level + NEAR_LEVEL:
        missing.append(
            f"what is left out is darker, level {today.dark_level:.1f}: it is reached as old "
            "colour goes and more is lightened, not by one visit"
        )
    if not today.even and wanted.light_level > today.light_level + NEAR_LEVEL:
        missing.append(_lighter(wanted, today, reach))
    if not missing:
        return f"{told} That is reached today."
    return f"{told} {_capital('; '.join(missing))}."


def _seen(today: Contrast) -> str:
    if today.even:
        return f"even, at level {today.dark_level:.1f}"
    return f"{100 * today.light_share:.0f} % at {today.light_level:.1f} on {today.dark_level:.1f}"


def _more_light(missing: float, gained: float) -> str:
    if gained < 0.02:
        return "more light needs foils, and none are planned"
    more = math.ceil(missing / gained)
    return (
        f"the light share is reached at visit {1 + more}, at about {100 * gained:.0f} % of the "
        "hair a visit"
    )


def _lighter(wanted: AimPicture, today: Contrast, reach: Reach) -> str:
    if not reach.aim_stage:
        return f"level {wanted.light_level:g} needs lightener, and none is planned"
    if reach.visits.middle > 1:
        return (
            f"its light is level {wanted.light_level:g}, today's {today.light_level:.1f}: that is "
            f"for visit {reach.visits.middle:.0f}, if the hair holds"
        )
    return (
        f"its light is level {wanted.light_level:g} and the plan stops at {today.light_level:.1f}: "
        "ask for a lighter stage if the hair holds"
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
