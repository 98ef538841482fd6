"""Bands along the length, made whole: from one line of cover, or from bands with shares.

Lanes: at every distance the bands stand on a share axis from 0 to 100 %, in the order of the
file. Where the cuts of all stretches are laid over each other, each lane between two cuts has
one past along its whole length.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.service.consultation.model import Band, Consultation
from strandline.service.consultation.words import LENGTH_CM, STRETCH, Area

DEFAULT_REGROWTH_CM = 1.5
"""Told as a default: five weeks of growth, common practice, no source."""
EPS = 1e-6


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of one lane: where it lies and what happened to it; None means virgin."""

    from_cm: float
    to_cm: float
    band: Band | None


@dataclass(frozen=True, slots=True)
class Lane:
    """A share of the hair [0-1] whose stretches are known from the scalp to the ends."""

    share: float
    stretches: tuple[Stretch, ...]


def length_cm(consultation: Consultation) -> float:
    """Give the mean length of a stretched strand: the expert's figure, else that of the words."""
    hair = consultation.hair
    return hair.length_cm or LENGTH_CM[hair.length] * STRETCH[hair.curl]


def regrowth_cm(consultation: Consultation, area: Area | None = None) -> float:
    """Give what has grown since the last colour, in an area or as the mean of the head."""
    hair = consultation.hair
    if area is not None:
        own = getattr(consultation.areas, area).regrowth_cm
        if own is not None:
            return float(own)
    if hair.regrowth_cm is not None:
        return hair.regrowth_cm
    if consultation.bands:
        return min(band.from_cm for band in consultation.bands if band.past != "virgin")
    return DEFAULT_REGROWTH_CM if consultation.cover else 0.0


def whole_bands(consultation: Consultation, area: Area | None = None) -> list[Band]:
    """Give the bands that are not virgin, cover in one line turned into one."""
    if consultation.bands:
        return [band for band in consultation.bands if band.past != "virgin"]
    cover, end = consultation.cover, length_cm(consultation)
    start = regrowth_cm(consultation, area)
    if cover is None or start >= end:
        return []
    return [
        Band(
            from_cm=start,
            to_cm=end,
            past="permanent",
            depth=cover.depth,
            years=cover.years,
            reflect=cover.reflect,
        )
    ]


def lanes(consultation: Consultation, area: Area | None = None) -> tuple[Lane, ...]:
    """Give the lanes of the head, shares summing to 1, each stretched from 0 to the ends."""
    bands, end = whole_bands(consultation, area), length_cm(consultation)
    cuts = sorted(
        {0.0, end, *(min(b.from_cm, end) for b in bands), *(min(b.to_cm, end) for b in bands)}
    )
    rows = []
    shares = {0.0, 100.0}
    for low, high in itertools.pairwise(cuts):
        here = [b for b in bands if b.from_cm <= low + EPS and b.to_cm >= high - EPS]
        edges, at = [], 0.0
        for band in here:
            edges.append((at, at + band.share, band))
            at += band.share
            shares.add(round(at, 6))
        rows.append((low, high, edges))
    steps = sorted(share for share in shares if share <= 100)
    out = []
    for left, right in itertools.pairwise(steps):
        middle = (left + right) / 2
        out.append(
            Lane(
                (right - left) / 100,
                _joined(
                    [
                        Stretch(low, high, next((b for a, z, b in edges if a <= middle < z), None))
                        for low, high, edges in rows
                    ]
                ),
            )
        )
    return tuple(out)


def _joined(stretches: list[Stretch]) -> tuple[Stretch, ...]:
    out: list[Stretch] = []
    for stretch in stretches:
        if out and out[-1].band is stretch.band:
            out[-1] = Stretch(out[-1].from_cm, stretch.to_cm, stretch.band)
        else:
            out.append(stretch)
    return tuple(out)


def check_bands(consultation: Consultation, where: str) -> None:
    """Refuse bands that hold more than all of the hair, or lie past the ends.

    Raises
    ------
    OutOfRangeError   with the stretch and the sum of shares
    """
    end = length_cm(consultation)
    points = sorted({x for b in consultation.bands for x in (b.from_cm, b.to_cm)})
    for index, band in enumerate(consultation.bands, 1):
        if band.from_cm >= end:
            raise OutOfRangeError(
                f"The band begins at {band.from_cm:g} cm; the hair is {end:g} cm long.",
                "Correct the distance, or give hair.length_cm.",
                f"{where}: bands.{index}",
            )
    for low, high in itertools.pairwise(points):
        here = [b for b in consultation.bands if b.from_cm <= low + EPS and b.to_cm >= high - EPS]
        total = sum(b.share for b in here)
        if total > 100 + EPS:
            raise OutOfRangeError(
                f"From {low:g} to {high:g} cm the bands hold {total:g} % of the hair; "
                "it must be 100 % at most.",
                "Give each band its share, or end one where the next begins.",
                f"{where}: bands",
            )
