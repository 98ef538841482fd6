"""The client's picture, as shares and levels, against what a plan makes: what is reached, and how.

The same figures can be read from a photograph: how much of the hair is light, at which level, and
at which level the rest is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

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


@dataclass(frozen=True, slots=True)
class PictureOf:
    """One thing that a picture shows, against what the plan makes.

    Parameters
    ----------
    what : 'light', 'light level' or 'depth'
    wanted, today : a share [1] or a level; None where there is no light today
    visit : at which it is reached, 1 for today's; None where visits like this do not reach it
    words : what reaches it, or why nothing does; empty where it is reached today
    """

    what: Literal["light", "light level", "depth"]
    wanted: float
    today: float | None
    visit: int | None
    words: str


def picture_parts(wanted: AimPicture, today: Contrast, reach: Reach) -> tuple[PictureOf, ...]:
    """Say of each thing that a picture shows at which visit it is reached.

    Parameters
    ----------
    wanted : what the picture shows
    today : light and dark along the parting on the day
    reach : of this plan
    """
    return (_light(wanted, today, reach), _depth(wanted, today), _level(wanted, today, reach))


def picture_words(wanted: AimPicture, today: Contrast, reach: Reach) -> str:
    """Say in a sentence or two what of a picture is reached, when, or why it is not.

    Parameters
    ----------
    wanted, today, reach : as `picture_parts`
    """
    told = (
        f"The picture has {wanted.light_percent:.0f} % light at level {wanted.light_level:g} on "
        f"level {wanted.dark_level:g}; after today it is {_seen(today)}."
    )
    missing = [one.words for one in picture_parts(wanted, today, reach) if one.words]
    if not missing:
        return f"{told} That is reached today."
    return f"{told} {_capital('; '.join(missing))}."


def _light(wanted: AimPicture, today: Contrast, reach: Reach) -> PictureOf:
    share = wanted.light_percent / 100
    now = 0.0 if today.even else today.light_share
    if share > now + NEAR_SHARE:
        visit = None if reach.gained < 0.02 else 1 + math.ceil((share - now) / reach.gained)
        return PictureOf("light", share, now, visit, _more_light(share - now, reach.gained))
    words = ""
    if share < now - NEAR_SHARE:
        words = (
            f"{100 * (now - share):.0f} % more is light than in it: less light comes only by "
            "lowlights"
        )
    return PictureOf("light", share, now, None if words else 1, words)


def _depth(wanted: AimPicture, today: Contrast) -> PictureOf:
    words = ""
    if wanted.dark_level < today.dark_level - NEAR_LEVEL:
        words = (
            f"its depth comes only by lowlights, for what is left out reads as level "
            f"{today.dark_level:.1f}"
        )
    elif wanted.dark_level > today.dark_level + NEAR_LEVEL:
        words = (
            f"what is left out is darker, level {today.dark_level:.1f}: it is reached as old "
            "colour goes and more is lightened, not by one visit"
        )
    visit = None if words else 1
    return PictureOf("depth", wanted.dark_level, today.dark_level, visit, words)


def _level(wanted: AimPicture, today: Contrast, reach: Reach) -> PictureOf:
    if today.even:
        return PictureOf("light level", wanted.light_level, None, None, "")
    if wanted.light_level <= today.light_level + NEAR_LEVEL:
        return PictureOf("light level", wanted.light_level, today.light_level, 1, "")
    later = int(reach.visits.middle) if reach.aim_stage and reach.visits.middle > 1 else None
    words = _lighter(wanted, today, reach)
    return PictureOf("light level", wanted.light_level, today.light_level, later, words)


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
