"""Lengths as they come out of today's foils: every lane cut where a bowl begins or ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from strandline.science.hair.levels import lightened
from strandline.service.consultation.bands import Lane, Stretch
from strandline.service.consultation.fibres import banded_hair
from strandline.service.consultation.model import Band
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.strengths import Dose
from strandline.service.growout.look import Layer

_TO_THE_ENDS = 150.0


def all_lanes(head: HeadReading) -> tuple[Lane, ...]:
    """Give the lanes of the head, and last one that nothing was ever done to: new hair."""
    return (*head.lanes["crown"], Lane(0.0, (Stretch(0.0, _TO_THE_ENDS, None),)))


def is_light(lane: Lane) -> bool:
    """Say whether a lane was lightened anywhere."""
    return any(s.band is not None and s.band.past == "lightened" for s in lane.stretches)


def lifted(
    head: HeadReading,
    lane: Lane,
    doses: Sequence[Dose],
    level: float,
    *,
    white: bool,
    rate: float = 1.0,
) -> Iterator[Layer]:
    """Give a lane's stretches as they come out.

    Parameters
    ----------
    head, lane : whose
    doses : lightener by stretch; none for hair as it is
    level, white : natural level; white or pigmented
    rate : of lift in this foil against the usual one [1], > 0
    """
    for start, end, band, dose in _dosed(lane, doses):
        fibre = banded_hair(band, level, white=white, end_uptake=head.end_uptake)
        if dose is not None:
            fibre = lightened(fibre, np.array([rate * dose.lift.progress_at(dose.due_min)]))
        yield Layer(start, end, fibre)


def _dosed(
    lane: Lane, doses: Sequence[Dose]
) -> Iterator[tuple[float, float, Band | None, Dose | None]]:
    """Cut a lane where a dose begins or ends; of two bowls on a stretch the later counts."""
    cuts = sorted(
        {0.0, lane.stretches[-1].to_cm}
        | {s.from_cm for s in lane.stretches}
        | {x for dose in doses for x in (dose.from_cm, dose.to_cm)}
    )
    for low, high in pairwise(cuts):
        middle = (low + high) / 2
        stretch = next((s for s in lane.stretches if s.from_cm <= middle < s.to_cm), None)
        if stretch is None or high - low < 1e-6:
            continue
        dose = None
        for one in doses:
            if one.from_cm <= middle < one.to_cm:
                dose = one
        yield low, high, stretch.band, dose
