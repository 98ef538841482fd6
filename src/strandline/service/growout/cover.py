"""The look as it is kept today: solid cover on mixed natural hair, renewed or left."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from strandline.base.errors import OutOfRangeError
from strandline.science.fibre import Fibre
from strandline.science.hair.mixing import natural_run_mm
from strandline.science.hair.pigment import SPECULAR
from strandline.science.seeing.stripes import FIBRE_MM
from strandline.service.growout.grow import GrowOut, grow_out
from strandline.service.growout.look import Fade, HairClass, Layer

STRAND = "as it grows"


def kept_as_today(
    cover: Sequence[HairClass],
    weeks: Sequence[float],
    *,
    rate_cm_per_week: float,
    fade: Fade,
    every_weeks: float | None = None,
    specular: float = SPECULAR,
    rate_draws: ArrayLike | None = None,
) -> GrowOut:
    """Look at hair as it is kept today, the cover renewed or left.

    Parameters
    ----------
    cover : HairClass each       as on the day of a cover, from `solid_cover`
    weeks : shape (T,)           to look at, rising, >= 0
    rate_cm_per_week, fade, specular, rate_draws : as `grow_out`
    every_weeks : float or None  the cover is renewed every so many weeks, > 0; None for never

    Returns
    -------
    GrowOut   where cover is renewed, a week's figures count from the last cover; in the week of a
              cover they are those just before it

    Raises
    ------
    OutOfRangeError   a time between covers not above 0
    """
    return grow_out(
        cover,
        weeks,
        rate_cm_per_week=rate_cm_per_week,
        fade=fade,
        specular=specular,
        rate_draws=rate_draws,
        since_day=since_cover(weeks, every_weeks),
    )


def since_cover(weeks: Sequence[float], every_weeks: float | None) -> list[float]:
    """Give the weeks since the last cover, just before one in its own week.

    Raises
    ------
    OutOfRangeError   a time between covers not above 0
    """
    if every_weeks is None:
        return [float(week) for week in weeks]
    if not every_weeks > 0:
        raise OutOfRangeError(
            f"Cover is renewed every {every_weeks:g} weeks; it must be more than 0.",
            "Give the weeks between two covers, 4 to 6 say, or leave it out.",
        )
    turns = [max(math.ceil(week / every_weeks - 1e-9) - 1, 0) for week in weeks]
    return [float(week) - turn * every_weeks for week, turn in zip(weeks, turns, strict=True)]


def solid_cover(
    gray: float,
    natural: tuple[Fibre, Fibre],
    covered: tuple[Fibre, Fibre],
    diameter_mm: float = FIBRE_MM,
) -> tuple[HairClass, HairClass]:
    """Give the classes of hair covered everywhere, from the scalp to the ends.

    Parameters
    ----------
    gray : float                       share of white hair [1], 0-1
    natural : (white, pigmented)       the natural hair, one state each
    covered : (white, pigmented)       the same under its cover
    diameter_mm : float                of a fibre, mm, > 0

    Raises
    ------
    OutOfRangeError   a share of gray outside 0-1

    Notes
    -----
    White and pigmented fibres lie at random, one by one.
    """
    if not 0 <= gray <= 1:
        raise OutOfRangeError(
            f"The share of gray is {gray:g}; it must be 0-1.", "Give 80 % as 0.8."
        )
    run = float(natural_run_mm(diameter_mm, gray)) if gray < 1 else diameter_mm
    return (
        HairClass(
            "covered, white", gray, (Layer(0.0, np.inf, covered[0]),), natural[0], run, STRAND
        ),
        HairClass(
            "covered, pigmented",
            1.0 - gray,
            (Layer(0.0, np.inf, covered[1]),),
            natural[1],
            run,
            STRAND,
        ),
    )
