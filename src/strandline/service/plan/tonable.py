"""The hair a toner goes on: every kind of strand between two distances, and its share.

Strands of today's foils, white and pigmented, by the past of their lengths and by how fast their
foil lifts; and the hair that earlier visits made light.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from strandline.science.chemistry.lift import constants
from strandline.science.fibre import Fibre, stack
from strandline.service.consultation.bands import Lane
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.kinds import Kinds
from strandline.service.formulate.strengths import Dose
from strandline.service.formulate.toner import ENDS_FROM, Tonable
from strandline.service.plan.lifted import all_lanes, is_light, lifted

TODAY, BEFORE, LEFT = "the foils of today", "the hair light before", "the hair that is not light"
_FOILS = ((-np.sqrt(3.0), 1 / 6), (0.0, 2 / 3), (np.sqrt(3.0), 1 / 6))
"""Three foils that stand for all: deviations and weights of Gauss-Hermite quadrature."""
_LEAST_CM = 0.05


def tonable(head: HeadReading, doses: Sequence[Dose], taken: float, *, from_cm: float) -> Tonable:
    """Give the mids and ends that today's toner goes on.

    Parameters
    ----------
    head : its lanes, gray and level
    doses : lightener by stretch; none for a gloss alone
    taken : share of the hair in today's foils of lightener [1]; 0 counts as all
    from_cm : where the mids begin
    """
    split = max(from_cm, head.length_cm * ENDS_FROM)
    return Tonable(
        kinds_between(head, doses, taken, from_cm, split),
        kinds_between(head, doses, taken, split, head.length_cm),
        from_cm,
    )


def kinds_between(
    head: HeadReading, doses: Sequence[Dose], taken: float, from_cm: float, to_cm: float
) -> Kinds:
    """Give the kinds of strands between two distances from the scalp; parameters as `tonable`.

    Without lightener today it is all hair, each lane by its share. Where only lanes that are
    light already are foiled, those are taken again.
    """
    to_cm = max(to_cm, from_cm + _LEAST_CM)
    states: list[Fibre] = []
    weights: list[float] = []
    whose: list[str] = []
    for name, share, fibre in _all(head, doses, taken, from_cm, to_cm):
        states.append(fibre)
        weights.append(share)
        whose.append(name)
    shares = np.array(weights)
    return Kinds(stack(states), shares / shares.sum(), tuple(whose))


def _all(
    head: HeadReading, doses: Sequence[Dose], taken: float, from_cm: float, to_cm: float
) -> Iterator[tuple[str, float, Fibre]]:
    lanes = [lane for lane in all_lanes(head) if lane.share > 0]
    if not doses:
        for lane in lanes:
            name = BEFORE if is_light(lane) else LEFT
            yield from _of_lane(head, lane, (), (name, lane.share), (from_cm, to_cm))
        return
    light = [lane for lane in lanes if is_light(lane)]
    dark = [lane for lane in lanes if not is_light(lane)] or light
    spread = constants()["foil"].spread
    whole = sum(lane.share for lane in dark)
    for lane in dark:
        for z, weight in _FOILS:
            of = (TODAY, lane.share / whole * (taken or 1.0) * weight)
            rate = float(np.exp(spread * z))
            yield from _of_lane(head, lane, doses, of, (from_cm, to_cm), rate=rate)
    if dark is light:
        return
    for lane in light:
        yield from _of_lane(head, lane, (), (BEFORE, lane.share), (from_cm, to_cm))


def _of_lane(
    head: HeadReading,
    lane: Lane,
    doses: Sequence[Dose],
    of: tuple[str, float],
    between: tuple[float, float],
    *,
    rate: float = 1.0,
) -> Iterator[tuple[str, float, Fibre]]:
    name, share = of
    low, high = between
    for white, part in ((True, head.gray_mean), (False, 1 - head.gray_mean)):
        if part <= 0:
            continue
        for layer in lifted(head, lane, doses, head.level_mean, white=white, rate=rate):
            inside = (min(high, layer.to_cm) - max(low, layer.from_cm)) / (high - low)
            if inside > 0:
                yield name, share * part * inside, layer.fibre
