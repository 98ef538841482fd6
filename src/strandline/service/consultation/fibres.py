"""What an answer means as a state of hair: white or pigmented, virgin, covered or lightened.

Amounts come from the level scale of `hair`; what a permanent colour does to the pigment under
it is a prior from memory, said beside its figure.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from strandline.science.fibre import DYES, NATURAL_SLOPE, OLD_COLOUR_RESIDUE, Fibre, natural
from strandline.science.hair.levels import (
    amount_of_level,
    progress_of_stage,
    stage_of_lightness,
)
from strandline.science.hair.naming.colour import reflect_dyes
from strandline.science.hair.stages import PALEST
from strandline.service.consultation.words import UNKNOWN_DEPTH

if TYPE_CHECKING:
    from strandline.service.consultation.model import Band

COVER_LIFT = 0.5
"""Progress that permanent colour at 20 volume gives the pigment under it, about a level [1];
from memory."""
LEAST_DEPOSIT = 0.3
"""Least old colour in pigmented hair, as a share of what its depth takes on white; from memory."""
BUILD_UP_YEARS = 2.0
"""Years of cover in which 63 % of the residue of built-up colour is there; from memory."""
LEAST_STAGE = 3.0
"""Darkest stage that is called lightened; common practice, no source."""
DOSE_OF_LIGHTENING = 40.0
"""Minutes at 6 % that one earlier lightening left, from memory."""


def natural_hair(level: float, *, white: bool) -> Fibre:
    """Give one state of virgin hair: white, or pigmented at a natural level.

    Parameters
    ----------
    level : natural level, 1-10
    white : the fibre has no pigment
    """
    amount = 0.0 if white else float(amount_of_level(level))
    return natural(np.array([amount]), NATURAL_SLOPE, white=1.0 if white else 0.0)


def banded_hair(band: Band | None, level: float, *, white: bool, end_uptake: float = 1.0) -> Fibre:
    """Give one state of hair in a band of a known past.

    Parameters
    ----------
    band : the band, None for virgin hair
    level : natural level of the pigmented hairs, 1-10
    white : the fibre has no pigment of its own
    end_uptake : uptake of this stretch against sound mids [1]

    Notes
    -----
    Permanent colour of depth d: on white hair the amount of the natural level d; on pigmented
    hair the natural amount lifted by `COVER_LIFT` and filled up to that amount, at least
    `LEAST_DEPOSIT` of it. Lightened hair: the progress at which its stage is
    seen, or, where a reading is given, its lightness. Direct colour
    is a dye on the hair. Henna and the unknown are taken as permanent colour of `UNKNOWN_DEPTH`,
    built up. The residue that lightener does not pass grows with the years of cover.
    """
    fibre = natural_hair(level, white=white)
    if band is None or band.past == "virgin":
        return fibre
    if band.past == "lightened":
        seen = band.stage if band.lab is None else float(stage_of_lightness(band.lab[0]))
        stage = min(max(seen or LEAST_STAGE, LEAST_STAGE), PALEST)
        progress = progress_of_stage(np.array([stage]), fibre)
        return fibre.with_(
            progress=np.where(np.isfinite(progress), progress, 0.0),
            porosity=np.array([max(1.0, end_uptake)]),
            dose=np.array([DOSE_OF_LIGHTENING * band.times]),
        )
    depth = band.depth if band.past in ("permanent", "direct") and band.depth else UNKNOWN_DEPTH
    wanted = float(amount_of_level(depth))
    dyes = np.zeros((1, len(DYES)))
    for dye, share in reflect_dyes(band.reflect, None, "level").items():
        dyes[0, DYES.index(dye)] = share * wanted
    if band.past == "direct":
        dyes[0, DYES.index("depth")] = wanted
        return fibre.with_(dyes=dyes)
    left = float(fibre.amount[0]) * float(np.exp(-COVER_LIFT))
    years = band.years if band.past == "permanent" else np.inf
    built = 1.0 - float(np.exp(-years / BUILD_UP_YEARS))
    old = wanted if white else max(wanted - left, LEAST_DEPOSIT * wanted)
    return fibre.with_(
        progress=np.array([0.0 if white else COVER_LIFT]),
        old_amount=np.array([old]),
        residue=np.array([built * OLD_COLOUR_RESIDUE]),
        dyes=dyes,
        porosity=np.array([end_uptake]),
    )
