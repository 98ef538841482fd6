"""Checks of seeing: the eye's filter, stripes, the line of regrowth on the reference head.

The reference head is natural level 5 with a share of white, growing 367 um a day. It is kept by
solid level-5 cover, or worn as the reference blend: level 9 in 35 % of the strands under a root
shadow of 7.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import growth_cm
from strandline.base.sources import ARITHMETIC, COMMON_PRACTICE
from strandline.salon.evidence.check import Check
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.colour.spectra import WHITE_XYZ, xyz
from strandline.science.fibre import Fibre
from strandline.science.hair.levels import (
    amount_of_level,
    lightened,
    natural_palette,
    progress_of_stage,
)
from strandline.science.hair.pigment import reflectance
from strandline.science.hair.shades import dye_amounts
from strandline.science.seeing.barten import contrast_sensitivity
from strandline.science.seeing.constants import kernels
from strandline.science.seeing.line import THRESHOLD
from strandline.science.seeing.scielab import filter_picture, filter_profile, transfer
from strandline.science.seeing.stripes import isolated_peak, peak_to_trough
from strandline.service.growout.cover import kept_as_today, solid_cover
from strandline.service.growout.grow import GrowOut, grow_out
from strandline.service.growout.look import HairClass, Layer

Floats = NDArray[np.float64]
Left = Literal["natural", "covered"]

RATE_CM_PER_WEEK = growth_cm(367.0, 7.0)
LEVEL, GRAY = 5.0, 0.8
LIGHT_SHARE, LIGHT_STAGE = 0.35, 9.0
SHADOW_DEPTH, SHADOW_CM = 7.0, 1.2
PICK_MM, LEFT_MM = 2.0, 3.7
"""A medium weave that takes 35 %; common practice, no source."""
WEEKS = tuple(0.5 * half for half in range(53))


def natural_pair(level: float = LEVEL) -> tuple[Fibre, Fibre]:
    """Give natural hair of the reference head: (white, pigmented), one state each."""
    both = natural_palette([level])
    return both.take(np.array([1])), both.take(np.array([0]))


def covered_pair(depth: float = LEVEL) -> tuple[Fibre, Fibre]:
    """Give the same under built-up cover of its own level: both read as that level."""
    white, pigmented = natural_pair(depth)
    return white.with_(old_amount=np.array([float(amount_of_level(depth))])), pigmented


def reference_cover(gray: float, level: float = LEVEL) -> GrowOut:
    """Grow out solid cover of a natural level on the same level with a share of white."""
    cover = solid_cover(gray, natural_pair(level), covered_pair(level))
    return kept_as_today(cover, WEEKS, rate_cm_per_week=RATE_CM_PER_WEEK, fade=without_fade)


@cache
def reference_blend(gray: float, left: Left, regrowth_cm: float = 0.0) -> GrowOut:
    """Grow out the reference blend, what is left out natural, or covered but for its regrowth."""
    classes: list[HairClass] = []
    parts = zip(natural_pair(), covered_pair(), (gray, 1.0 - gray), strict=True)
    for name, (root, covered, share) in zip(("white", "pigmented"), parts, strict=True):
        foil = (
            Layer(0.0, SHADOW_CM, shadowed(root)),
            Layer(SHADOW_CM, np.inf, lifted(root)),
        )
        rest: tuple[Layer, ...] = (Layer(0.0, np.inf, root if left == "natural" else covered),)
        if left == "covered" and regrowth_cm > 0:
            rest = (Layer(0.0, regrowth_cm, root), Layer(regrowth_cm, np.inf, covered))
        in_foil, out = LIGHT_SHARE * share, (1.0 - LIGHT_SHARE) * share
        classes += [
            HairClass(f"foils, {name}", in_foil, foil, root, PICK_MM, "foils"),
            HairClass(f"left out, {name}", out, rest, root, LEFT_MM, "left out"),
        ]
    return grow_out(classes, WEEKS, rate_cm_per_week=RATE_CM_PER_WEEK, fade=without_fade)


def without_fade(states: Fibre, _weeks: float) -> Fibre:
    """Leave states as they are."""
    return states


def lifted(fibre: Fibre) -> Fibre:
    """Lift to the stage, or leave what is as light already."""
    return lightened(fibre, progress_of_stage(LIGHT_STAGE, fibre))


def shadowed(fibre: Fibre) -> Fibre:
    """Put the root shadow on."""
    return fibre.with_(dyes=fibre.dyes + dye_amounts(SHADOW_DEPTH, {}))


def colour_of_level(level: float | None) -> Floats:
    """Give XYZ of natural hair of a level, None for white, shape (3,)."""
    white, pigmented = natural_pair(LEVEL if level is None else level)
    return np.asarray(xyz(reflectance(white if level is None else pigmented))[0])


def _uneven_field() -> float:
    hair = colour_of_level(7.0)
    profile = filter_profile(np.tile(hair, (400, 1)), 0.01)
    picture = filter_picture(np.tile(hair, (40, 30, 1)), 0.05)
    seen = np.concatenate([profile, picture.reshape(-1, 3)])
    return float(np.max(delta_e00(lab_from_xyz(seen), lab_from_xyz(hair))))


def _weights(channel: int) -> float:
    return sum(weight for _, weight in kernels()[channel])


def _neutral_stripes() -> float:
    """Greatest a* or b* of filtered stripes of two grays, 1 to 8 cycles per degree."""
    worst = 0.0
    for samples in (5, 10, 20, 40):
        gray = np.where(np.arange(800) // samples % 2 == 0, 0.05, 0.60)
        seen = lab_from_xyz(filter_profile(gray[:, None] * WHITE_XYZ, 0.0125))
        worst = max(worst, float(np.abs(seen[:, 1:]).max()))
    return worst


def _stripes(light: float | None, dark: float, width_mm: float, distance_m: float) -> float:
    return peak_to_trough(colour_of_level(light), colour_of_level(dark), width_mm, distance_m)


def _one_white_hair(distance_m: float) -> float:
    return isolated_peak(colour_of_level(None), colour_of_level(4.0), 0.07, distance_m)


def _passes(gray: float) -> float:
    return reference_cover(gray).week_line_passes().middle


def _line(look: GrowOut, week: float) -> float:
    return look.weeks[WEEKS.index(week)].line


def _least_step_of_line() -> float:
    looks = [reference_cover(gray, level) for gray in (0.1, 0.5, 1.0) for level in (3.0, 6.0, 8.0)]
    return min(float(np.diff([seen.line for seen in look.weeks]).min()) for look in looks)


def _line_without_gray() -> float:
    """Cover of the very colour of what grows."""
    natural = natural_pair()
    look = kept_as_today(
        solid_cover(0.4, natural, natural),
        WEEKS,
        rate_cm_per_week=RATE_CM_PER_WEEK,
        fade=without_fade,
    )
    return max(seen.line for seen in look.weeks)


def _little_gray() -> str:
    cover, foils = reference_cover(0.1), reference_blend(0.1, "natural")
    less = all(_line(cover, week) < _line(foils, week) for week in (4.0, 8.0, 12.0))
    return "solid cover shows less" if less else "foils show less"


def _sensitivity(cpd: float) -> float:
    return float(contrast_sensitivity(cpd))


def _near(value: float) -> float:
    """Give the tolerance of a computed stripe: 15 % + .1."""
    return 0.15 * value + 0.1


def _filter_checks() -> tuple[Check, ...]:
    channels = ("luminance", "red-green", "blue-yellow")
    passed = ((4, (0.8765, 0.4721, 0.3507)), (8, (0.5676, 0.2118, 0.0826)),
              (16, (0.1028, 0.0086, 0.0003)))  # fmt: skip

    def at(cpd: int, channel: int) -> Callable[[], float]:
        return lambda: float(transfer(cpd)[channel])

    return (
        Check("An even field, filtered: greatest difference", "standard", "scielab1996", 0.0,
              _uneven_field, 1e-6, unit="dE00"),
        *(Check(f"Weights of the {name} filter, summed", "standard", "scielab1996", 1.0,
                partial(_weights, i), 1e-4) for i, name in enumerate(channels)),
        Check("Stripes of two grays, filtered: greatest a* or b*", "identity", ARITHMETIC, 0.0,
              _neutral_stripes, 0.05),
        *(Check(f"Share of a {cpd} cpd grating that {channels[i]} passes", "regression",
                ARITHMETIC, share, at(cpd, i), 5e-5)
          for cpd, shares in passed for i, share in enumerate(shares)),
        *(Check(f"Contrast sensitivity at {cpd} cpd", "standard", "barten1999", value,
                partial(_sensitivity, cpd), 0.01, locator="defaults")
          for cpd, value in ((1, 500.39), (4, 360.869), (16, 70.97))),
    )  # fmt: skip


def _stripe_checks() -> tuple[Check, ...]:
    rows: tuple[tuple[float | None, float, float, float, float], ...] = (
        (8.0, 7.0, 0.5, 0.3, 7.2), (8.0, 7.0, 0.5, 0.6, 3.8), (8.0, 7.0, 0.5, 1.0, 0.7),
        (8.0, 7.0, 0.5, 2.0, 0.0), (8.0, 7.0, 1.0, 0.6, 7.2), (8.0, 7.0, 1.0, 1.0, 5.1),
        (None, 4.0, 0.5, 0.3, 42.4), (None, 4.0, 0.5, 0.6, 19.5), (None, 4.0, 1.0, 1.0, 26.9),
        (None, 4.0, 2.0, 2.0, 26.9), (None, 4.0, 0.07, 0.3, 0.0),
    )  # fmt: skip
    return (
        *(Check(f"Stripes of {width:g} mm, {'white' if light is None else f'level {light:g}'} on "
                f"level {dark:g}, from {distance:g} m", "regression", ARITHMETIC, value,
                partial(_stripes, light, dark, width, distance), _near(value), unit="dE00")
          for light, dark, width, distance, value in rows),
        *(Check(f"One white hair of 70 um on level 4, from {distance:g} m", "regression",
                ARITHMETIC, value, partial(_one_white_hair, distance), 0.1, unit="dE00")
          for distance, value in ((0.3, 15.4), (0.6, 9.0), (1.0, 5.9))),
    )  # fmt: skip


def _line_checks() -> tuple[Check, ...]:
    def blend(left: Left, regrowth_cm: float = 0.0) -> Callable[[], float]:
        return lambda: _line(reference_blend(GRAY, left, regrowth_cm), 8.0)

    return (
        Check("Regrowth of the colour of the lengths: line", "identity", ARITHMETIC, 0.0,
              _line_without_gray, 0.0, unit="dE00 cm"),
        Check("Solid cover without fade: least step of the line from week to week", "identity",
              ARITHMETIC, 0.0, _least_step_of_line, 0.0, "at least", unit="dE00 cm"),
        *(Check(f"Level-5 cover on {100 * gray:.0f} % white: the line passes {THRESHOLD:g}",
                "regression", ARITHMETIC, (low + high) / 2, partial(_passes, gray),
                (high - low) / 2, unit="weeks")
          for gray, low, high in ((0.8, 2.6, 2.9), (0.5, 3.8, 4.2), (0.3, 5.9, 6.6))),
        Check("Level-5 cover on 80 % white: the line passes in weeks 2 to 6", "practice",
              COMMON_PRACTICE, 4.0, lambda: _passes(GRAY), 2.0, unit="weeks"),
        Check("The blend on 80 % white, natural hair left out: line in week 8", "practice",
              COMMON_PRACTICE, THRESHOLD, blend("natural"), 0.0, "at most", unit="dE00 cm"),
        Check("The blend on 80 % white, old cover left out: line in week 8", "practice",
              COMMON_PRACTICE, THRESHOLD, blend("covered", SHADOW_CM), 0.0, "at most",
              unit="dE00 cm",
              failing="while two thirds of the strands keep dark cover, white regrowth beside "
              "them makes a step of 15 dE00, and the line passes in week 7; it passes no more "
              "once the old cover is gone"),
        Check("10 % gray: which shows less", "practice", COMMON_PRACTICE,
              "solid cover shows less", _little_gray),
    )  # fmt: skip


CHECKS: tuple[Check, ...] = (*_filter_checks(), *_stripe_checks(), *_line_checks())
"""Every check of seeing, in the order shown."""
