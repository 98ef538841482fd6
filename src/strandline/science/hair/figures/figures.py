"""The figures of a piece of hair, and how they are gathered from draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import Range
from strandline.science.colour.lights import Light, light, seen_under
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import Fibre, natural_left
from strandline.science.hair.levels import level_of_lab, level_spread
from strandline.science.hair.spread import spreads
from strandline.science.hair.stages import stage_of_lightness

Floats = NDArray[np.float64]

LOW, HIGH = 10.0, 90.0
"""Percentiles of a range."""


@dataclass(frozen=True)
class Figures:
    """A piece of hair in figures, dry, as 45/0 sees it.

    Parameters
    ----------
    reflectance : shape (3, 81)   low, middle, high at each wavelength [1]
    under : Light                 the light of `lab` and `shown`
    lab : three Ranges            what an eye used to that light sees, as CIELAB for D65; each
                                  axis alone
    shown : shape (3, 3)          the same as whole colours: the draws nearest to low and high
                                  lightness, the middle between them
    lightened : bool              it is said to be lightened: read its stage, not its level
    level, stage : Range          what its daylight lightness reads as, on either scale
    amount, slope : Range         of its pigment, K/S at 550 nm and 1/nm
    delta_e00 : Range             see the two functions below
    cautions : sentences that stand beside the figures
    """

    reflectance: Floats
    under: Light
    lab: tuple[Range, Range, Range]
    shown: Floats
    lightened: bool
    level: Range
    stage: Range
    amount: Range
    slope: Range
    delta_e00: Range
    cautions: tuple[str, ...]

    @property
    def daylight(self) -> Floats:
        """The middle colour under D65, CIELAB, shape (3,)."""
        return lab_from_reflectance(self.reflectance[1])


@dataclass(frozen=True)
class Draws:
    """What n draws of a piece of hair came to, beside its middle.

    Parameters
    ----------
    spectra : shape (n, 81)   reflectance [1]
    off : shape (n, 3)        to add to any CIELAB of them
    hair : n states           its pigmented hair
    level, stage : shape (n,) deviations of the two scales themselves, in sd
    """

    spectra: Floats
    off: Floats
    hair: Fibre
    level: Floats
    stage: Floats


def gathered(
    draws: Draws,
    middle: Floats,
    hair: Fibre,
    differences: tuple[Floats, float | None],
    under: Light | None,
    *,
    lightened: bool,
    cautions: list[str],
) -> Figures:
    """Gather figures from draws.

    Parameters
    ----------
    draws : of the same hair
    middle : shape (81,)   reflectance in the middle of all that is drawn [1]
    hair : its one state
    differences : dE00 of the draws, shape (n,), and in the middle; None takes the median
    under : the light; D65 if none
    lightened, cautions : as in `Figures`
    """
    labs = lab_from_reflectance(draws.spectra) + draws.off
    centre = lab_from_reflectance(middle)
    (amounts, slopes), (amount, slope) = natural_left(draws.hair), natural_left(hair)
    levels, stages = level_of_lab(labs), stage_of_lightness(labs[:, 0])
    stage_sd = spreads()["stage"].value
    return Figures(
        _bands(draws.spectra, middle),
        *_seen(draws, middle, under or light("D65")),
        lightened,
        ranged(levels + draws.level * level_spread(levels), float(level_of_lab(centre)), "level"),
        ranged(stages + draws.stage * stage_sd, float(stage_of_lightness(centre[0])), "stage"),
        ranged(amounts, float(amount[0]), "K/S at 550 nm"),
        ranged(slopes, float(slope[0]), "1/nm"),
        ranged(differences[0], differences[1], "dE00"),
        tuple(cautions),
    )


def ranged(values: Floats, middle: float | None, unit: str) -> Range:
    """Give 10th and 90th percentile about a middle; None takes the median."""
    low, half, high = np.percentile(values, [LOW, 50.0, HIGH])
    centre = float(half if middle is None else middle)
    return Range(min(float(low), centre), centre, max(float(high), centre), unit)


def _seen(
    draws: Draws, middle: Floats, under: Light
) -> tuple[Light, tuple[Range, Range, Range], Floats]:
    seen, centre = seen_under(draws.spectra, under) + draws.off, seen_under(middle, under)
    one, two, three = (
        ranged(seen[:, axis], float(centre[axis]), unit)
        for axis, unit in enumerate(("L*", "a*", "b*"))
    )
    order = np.argsort(seen[:, 0])
    low, high = (order[round(share / 100.0 * (order.size - 1))] for share in (LOW, HIGH))
    return under, (one, two, three), np.stack([seen[low], centre, seen[high]])


def _bands(spectra: Floats, middle: Floats) -> Floats:
    low, high = np.percentile(spectra, [LOW, HIGH], axis=0)
    return np.stack([np.minimum(low, middle), middle, np.maximum(high, middle)])
