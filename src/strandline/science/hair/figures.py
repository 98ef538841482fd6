"""Every figure of a piece of hair with its range: from its name, or from what was read off it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.lights import Light, lab_under, light, seen_under
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import natural, natural_left
from strandline.science.hair.levels import level_of_lab, level_spread
from strandline.science.hair.pigment import constants, lab
from strandline.science.hair.reading import (
    LEAST_AMOUNT,
    LEAST_SLOPE,
    MOST_AMOUNT,
    MOST_SLOPE,
    Reading,
    natural_reflectance,
    read_pigment,
    read_reflectance,
)
from strandline.science.hair.spread import Asked, deviations, drawn, spreads
from strandline.science.hair.stages import lightness_of_stage, stage_of_lightness

Floats = NDArray[np.float64]

LOW, HIGH = 10.0, 90.0
"""Percentiles of a range."""
UNNATURAL = 3.0
"""dE00 past which a reading is not that of hair as it grew: none of the measured heads is as far
off with its two numbers fitted."""
LEAST_LIGHTNESS = 5.0
"""Darker than this no geometry reads hair; from memory."""
GEOMETRIES = {
    "45/0": "specular",
    "sphere-excluded": "specular",
    "sphere-included": "specular_sphere",
}
"""How a reading was lit and seen, to the name of the surface's part; a camera kept off the glare
reads as 45/0."""


@dataclass(frozen=True)
class Figures:
    """A piece of hair in figures, dry, as 45/0 sees it.

    Parameters
    ----------
    reflectance : shape (3, 81)   low, middle, high at each wavelength [1]
    under : Light                 the light of `lab` and `shown`
    lab : three Ranges            L*, a*, b* under it against its own white, each axis alone
    shown : shape (3, 3)          CIELAB for D65 of what an eye used to that light sees: the draws
                                  nearest to low and high lightness, the middle between them
    level, stage : Range          what its daylight lightness reads as, on either scale
    amount, slope : Range         of its pigment, K/S at 550 nm and 1/nm
    delta_e00 : Range             see the two functions below
    cautions : sentences that stand beside the figures
    """

    reflectance: Floats
    under: Light
    lab: tuple[Range, Range, Range]
    shown: Floats
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


def figures_of_asked(asked: Asked, under: Light | None = None) -> Figures:
    """Give the figures of hair that is named.

    Parameters
    ----------
    asked : its level, and what was done to it
    under : the light it is seen under; D65 if none

    Notes
    -----
    `delta_e00` is how far a head so named may be from the middle colour. The level and stage are
    those its lightness reads as; the amount is what lightening has left of the pigment.

    Raises
    ------
    OutOfRangeError   a level or stage off its scale
    """
    z = deviations()
    middle, spread = drawn(asked, {}), drawn(asked, z)
    centre = lab_from_reflectance(middle.reflectance)[0]
    labs = lab_from_reflectance(spread.reflectance) + spread.off
    amounts, slopes = natural_left(spread.pigmented)
    amount, slope = natural_left(middle.pigmented)
    return Figures(
        _bands(spread.reflectance, middle.reflectance[0]),
        *_seen(spread.reflectance, middle.reflectance[0], spread.off, under),
        *_scales(labs, centre, 0.0 * z["level"], 0.0 * z["stage"]),
        _range(amounts, amount[0], "K/S at 550 nm"),
        _range(slopes, slope[0], "1/nm"),
        _range(delta_e00(labs, centre), None, "dE00"),
        tuple(_of_name(asked)),
    )


def figures_of_reading(
    read: Floats,
    geometry: str = "45/0",
    wet: tuple[float, float] = (0.0, 0.0),
    under: Light | None = None,
) -> Figures:
    """Give the figures of hair of which a colour or a spectrum was read.

    Parameters
    ----------
    read : shape (3,) or (81,)   CIELAB under D65/10, or a reflectance factor on the grid [1]
    geometry : one of `GEOMETRIES`
    wet : levels by which it read darker for being wet, and their spread; (0, 0) for dry hair
    under : the light its figures are given for; D65 if none

    Returns
    -------
    Figures of the hair dry, as 45/0 sees it; `delta_e00` is what no pigment takes away of the
    reading in its own geometry

    Raises
    ------
    OutOfRangeError   a reading that no surface can give, or an unknown geometry

    Notes
    -----
    64 readings of the same hair are drawn: laid anew, off by what the form leaves, the surface
    as it may be, wet as it may be; each is taken back to amount and slope.
    """
    specular = _specular(geometry)
    read = np.asarray(read, dtype=float)
    seen = lab_from_reflectance(read) if read.size > 3 else read
    _refuse_impossible(seen)
    z, sd = deviations(), spreads()
    best = _read(read, specular, wet[0])
    off = [
        np.hypot(sd[f"read_{axis}"].value, sd[f"fit_{axis}"].value) * z[f"read_{axis}"]
        for axis in ("lightness", "a", "b")
    ]
    readings = seen + np.stack(off, axis=-1)
    readings[:, 0] = np.maximum(readings[:, 0], LEAST_LIGHTNESS)  # a draw, not the reading
    back = read_pigment(readings, specular, wet_levels=wet[0])
    ln_amount, slopes = _moved(best, back, seen, specular, wet, z["surface"], z["wet"])
    states = natural_reflectance(np.exp(ln_amount), slopes)
    labs = lab_from_reflectance(states)
    middle = natural_reflectance(best.amount, best.slope)
    centre = lab_from_reflectance(middle)[0]
    return Figures(
        _bands(states, middle[0]),
        *_seen(states, middle[0], np.zeros_like(labs), under),
        *_scales(labs, centre, z["level"], z["stage"]),
        _range(np.exp(ln_amount), best.amount[0], "K/S at 550 nm"),
        _range(slopes, best.slope[0], "1/nm"),
        _range(back.difference, best.difference[0], "dE00"),
        tuple(_of_reading(best, seen, specular)),
    )


def _specular(geometry: str) -> float:
    if geometry not in GEOMETRIES:
        raise OutOfRangeError(
            f"The geometry '{geometry}' is not known.", f"Name one of: {', '.join(GEOMETRIES)}."
        )
    return constants()["optics"][GEOMETRIES[geometry]].value


def _refuse_impossible(seen: Floats) -> None:
    lightness, a, b = (float(value) for value in seen)
    if not np.all(np.isfinite(seen)):
        raise OutOfRangeError(
            f"The colour {lightness:g}, {a:g}, {b:g} is not three numbers.",
            "Give L*, a*, b* as the meter shows them.",
        )
    if not LEAST_LIGHTNESS <= lightness <= 100.0:
        raise OutOfRangeError(
            f"The lightness L* is {lightness:g}; hair reads {LEAST_LIGHTNESS:g}-100.",
            "Give L*,a*,b* in this order; L* runs to 100, not to 1 or 255.",
        )
    if not max(abs(a), abs(b)) <= 128.0:
        raise OutOfRangeError(
            f"The colour a* {a:g}, b* {b:g} is no colour of a surface; each is -128 to 128.",
            "Give CIELAB, not XYZ or RGB.",
        )


def _read(read: Floats, specular: float, wet_levels: float) -> Reading:
    if read.size > 3:
        return read_reflectance(read, specular, wet_levels)
    return read_pigment(read, specular, wet_levels=wet_levels)


def _moved(
    best: Reading,
    back: Reading,
    seen: Floats,
    specular: float,
    wet: tuple[float, float],
    surface: Floats,
    wetness: Floats,
) -> tuple[Floats, Floats]:
    """Centre the drawn readings on the best one, and add what surface and wetness move."""
    plain = read_pigment(seen, specular, wet_levels=wet[0])
    ln_amount = np.log(back.amount) + float(np.log(best.amount[0] / plain.amount[0]))
    slopes = back.slope + float(best.slope[0] - plain.slope[0])
    step = spreads()["surface"].value
    above, below = (
        read_pigment(seen, specular + side * step, wet_levels=wet[0]) for side in (0.5, -0.5)
    )
    ln_amount = ln_amount + surface * np.log(above.amount[0] / below.amount[0])
    slopes = slopes + surface * (above.slope[0] - below.slope[0])
    if wet[1] > 0:
        more = read_pigment(seen, specular, wet_levels=wet[0] + wet[1])
        ln_amount = ln_amount + wetness * np.log(more.amount[0] / plain.amount[0])
    ends = np.log([LEAST_AMOUNT, MOST_AMOUNT])
    return np.clip(ln_amount, *ends), np.clip(slopes, LEAST_SLOPE, MOST_SLOPE)


def _scales(labs: Floats, centre: Floats, level: Floats, stage: Floats) -> tuple[Range, Range]:
    """Level and stage as the lightness reads, each with the spread of its own scale."""
    levels = level_of_lab(labs)
    levels = levels + level * level_spread(levels)
    stages = stage_of_lightness(labs[:, 0]) + stage * spreads()["stage"].value
    return (
        _range(levels, float(level_of_lab(centre)), "level"),
        _range(stages, float(stage_of_lightness(centre[0])), "stage"),
    )


def _range(values: Floats, middle: float | None, unit: str) -> Range:
    low, half, high = np.percentile(values, [LOW, 50.0, HIGH])
    centre = float(half if middle is None else middle)
    return Range(min(float(low), centre), centre, max(float(high), centre), unit)


def _seen(
    spectra: Floats, middle: Floats, off: Floats, under: Light | None
) -> tuple[Light, tuple[Range, Range, Range], Floats]:
    under = under or light("D65")
    labs, centre = lab_under(spectra, under) + off, lab_under(middle, under)
    one, two, three = (
        _range(labs[:, axis], float(centre[axis]), unit)
        for axis, unit in enumerate(("L*", "a*", "b*"))
    )
    seen = seen_under(spectra, under) + off
    order = np.argsort(seen[:, 0])
    low, high = (order[round(share / 100.0 * (order.size - 1))] for share in (LOW, HIGH))
    return under, (one, two, three), np.stack([seen[low], seen_under(middle, under), seen[high]])


def _bands(spectra: Floats, middle: Floats) -> Floats:
    low, high = np.percentile(spectra, [LOW, HIGH], axis=0)
    return np.stack([np.minimum(low, middle), middle, np.maximum(high, middle)])


def _of_name(asked: Asked) -> list[str]:
    out = []
    if asked.level > 7:
        out.append("Levels 8 to 10 go on past the measured heads: read them as doubtful.")
    if asked.stage is not None:
        out.append("Stages and lightened hair stand on priors from memory until hers are read.")
        reached = float(stage_of_lightness(lab(drawn(asked, {}).pigmented)[0, 0]))
        if reached < asked.stage - 0.05:
            out.append(
                f"From level {asked.level:g} lightening ends at stage {reached:.1f}; "
                f"{asked.stage:g} is not reached."
            )
    if asked.gray > 0:
        out.append("White hair stands on a prior from memory until hers is read.")
    return out


def _of_reading(best: Reading, seen: Floats, specular: float) -> list[str]:
    out = []
    darkest = float(lab(natural(np.array([1e9]), 0.0), specular)[0, 0])
    palest = float(lightness_of_stage(10.5))
    if seen[0] < darkest:
        out.append(
            f"L* {seen[0]:.1f} is darker than the surface of hair in this geometry "
            f"(L* {darkest:.1f}): look at the geometry and at the white the meter was set on."
        )
    if seen[0] > palest:
        out.append(
            f"L* {seen[0]:.1f} is lighter than the palest hair (L* {palest:.0f}): "
            "look for glare, or for a light cloth behind a thin tress."
        )
    if best.difference[0] > UNNATURAL:
        out.append(
            f"No natural pigment comes nearer than {best.difference[0]:.1f} dE00: this is dyed, "
            "lightened or mixed hair, or the reading is off. Amount and slope mean little here."
        )
    if not LEAST_AMOUNT * 1.01 < best.amount[0] < MOST_AMOUNT * 0.99:
        out.append("The amount of pigment stands at the end of what is searched: only a bound.")
    if not LEAST_SLOPE + 1e-5 < best.slope[0] < MOST_SLOPE - 1e-5:
        out.append("The slope stands at the end of what natural hair shows: only a bound.")
    return out
