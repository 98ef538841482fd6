"""Find the spacing that gives a number of foils."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

from strandline.base.errors import OutOfRangeError, UnreachableError
from strandline.base.remembered import remembered
from strandline.science.head.zones import Zones
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.pattern import Row
from strandline.service.placement.place import parted

SCALES = (0.1, 20.0)
"""Scales on the pitches between which a fit is sought."""
REMEMBERED = 128
"""Fits kept by content: a plan made anew asks for the same spacing again."""


def fit_pitch(  # noqa: PLR0913 - each is named where it is called
    zones: Zones,
    pattern: Mapping[str, Row | tuple[Row, ...]],
    *,
    budget: tuple[int, int],
    target: int | None = None,
    start: float = 1.0,
    length_cm: float = 30.0,
    max_parting_cm: float = 11.0,
    skip: Collection[str] = (),
    ghosts: FoilMap | None = None,
) -> float:
    """Give one scale on all pitches that brings the count of foils into a budget.

    Parameters
    ----------
    budget : (fewest, most) foils, 0 <= fewest <= most
    target : int | None   foils aimed at; the middle of the budget if None
    start : float         scale preferred among equals, 0.1-20
    others : as in `place`

    Returns
    -------
    float   0.1-20; `start` where the pattern lays no foil at all

    Raises
    ------
    OutOfRangeError    a budget or target out of order
    UnreachableError   no scale gives a count within the budget

    Notes
    -----
    The count falls with the scale but for a foil or so where a row moves onto a longer
    parting. So the target is bracketed by halving on the logarithm of the scale, and the
    scales within 10 % of it are then compared; the same input gives the same scale, and the last
    fits are remembered by content.
    """
    fewest, most = budget
    aim = target if target is not None else (fewest + most) / 2
    if not 0 <= fewest <= aim <= most:
        raise OutOfRangeError(
            f"The budget is {fewest}-{most} foils with {aim:g} aimed at; they must rise.",
            "Give the fewest, the most, and a target between them.",
        )
    laid = (zones, dict(pattern), length_cm, max_parting_cm, tuple(sorted(skip)), ghosts)
    best, foils = _nearest(laid, aim, start, asked=target is not None)
    if foils is not None and not fewest <= foils <= most:
        raise UnreachableError(
            f"This pattern comes to {foils} foils at the nearest; asked were {fewest}-{most}.",
            "Take in more zones or choose finer sections, or move the budget.",
        )
    return best


_Laid = tuple[
    Zones, dict[str, Row | tuple[Row, ...]], float, float, tuple[str, ...], FoilMap | None
]


@remembered(REMEMBERED)
def _nearest(laid: _Laid, aim: float, start: float, *, asked: bool) -> tuple[float, int | None]:
    """Give the scale whose count is nearest to the aim and that count, None where it lays none."""
    zones, pattern, length_cm, max_parting_cm, skip, ghosts = laid

    def count(scale: float) -> int:
        parts = parted(zones, pattern, scale, length_cm, max_parting_cm, skip, ghosts)
        return sum(len(strips) for _, _, strips in parts)

    at_start = count(start)
    if at_start == 0:
        return start, None
    if not asked and at_start == round(aim):
        return start, at_start
    low, high = (math.log(scale) for scale in SCALES)
    for _ in range(14):
        middle = (low + high) / 2
        if count(math.exp(middle)) > aim:
            low = middle
        else:
            high = middle
    found = math.exp((low + high) / 2)
    near = {found * (1 + step / 100) for step in range(-10, 11)} | {start}
    scored = sorted(
        (abs(n - aim), abs(math.log(scale / start)), scale, n)
        for scale in near
        if SCALES[0] <= scale <= SCALES[1]
        for n in (count(scale),)
    )
    _, _, best, foils = scored[0]
    return best, foils
