"""Hair colours of the consultation, computed: levels, grays, bands and the tones to point at."""

from __future__ import annotations

from functools import cache

import numpy as np

from strandline.science.colour.spaces import hex_from_lab, lab_from_reflectance
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.mixing import intimate_mix
from strandline.science.hair.pigment import lab, reflectance
from strandline.science.hair.stages import lightness_of_stage
from strandline.service.consultation.fibres import banded_hair
from strandline.service.consultation.model import Band
from strandline.service.consultation.words import TONE_STAGE
from strandline.service.formulate.tones import NEAR_STAGE, tone_for

LEVELS = tuple(range(1, 11))
GRAYS = (0, 10, 25, 50, 75, 90, 100)
STAGES = tuple(stage / 2 for stage in range(6, 22))
FIELD_STAGES = (7, 8, 9, 10)
FIELD_TONES = ("natural", "mushroom", "smoky", "beige", "pearl", "silver")
"""Tones of the field; icy is a silver, champagne a beige, neutral as natural."""
FAMILY = {"icy": "silver", "champagne": "beige", "neutral": "natural"}
OLD_LEVEL = 5.0
"""Natural level of the hair under old colour, as its band is drawn."""


@cache
def levels() -> dict[int, str]:
    """Give the colour of natural hair by level."""
    states = natural_palette(LEVELS, with_white=False)
    return dict(zip(LEVELS, hex_from_lab(lab(states)), strict=True))


@cache
def grays() -> dict[str, str]:
    """Give the colour that a squint sees of a level with a share of white, by 'level gray'."""
    out = {}
    for level in LEVELS:
        parts = reflectance(natural_palette([level]))
        for gray in GRAYS:
            share = gray / 100
            mixed = intimate_mix(parts, np.array([1 - share, share]))
            out[f"{level} {gray}"] = hex_from_lab(lab_from_reflectance(mixed)[None])[0]
    return out


@cache
def bands() -> dict[str, str]:
    """Give the colour of a band by its past, and by depth or stage where it has one."""
    out = {
        f"{past} {depth}": _band(Band(from_cm=0, to_cm=1, past=past, depth=depth))
        for past in ("permanent", "direct")
        for depth in LEVELS
    }
    out |= {
        f"lightened {stage:g}": _band(Band(from_cm=0, to_cm=1, past="lightened", stage=stage))
        for stage in STAGES
    }
    return out | {past: _band(Band(from_cm=0, to_cm=1, past=past)) for past in ("henna", "unknown")}


def _band(band: Band) -> str:
    white = band.past == "direct"
    return hex_from_lab(lab(banded_hair(band, OLD_LEVEL, white=white)))[0]


@cache
def field() -> tuple[tuple[str, tuple[tuple[int, str | None], ...]], ...]:
    """Give the field of aims: each tone with its colour by stage, None where no lift carries it."""
    return tuple(
        (tone, tuple((stage, _aim(tone, stage)) for stage in FIELD_STAGES)) for tone in FIELD_TONES
    )


def _aim(tone: str, stage: int) -> str | None:
    if stage + NEAR_STAGE < TONE_STAGE[tone]:  # type: ignore[index]
        return None
    family, _ = tone_for(tone, float(stage))
    lightness = float(lightness_of_stage(float(stage)))
    return hex_from_lab(np.array([family.aim_lab(lightness)]))[0]
