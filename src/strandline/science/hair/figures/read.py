"""Figures of hair of which a colour or a spectrum was read."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.lights import Light
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import NATURAL_SLOPE, Fibre, natural
from strandline.science.hair.figures.figures import Draws, Figures, gathered
from strandline.science.hair.pigment import (
    absorption,
    constants,
    lab,
    reflectance,
    reflectance_from_ks,
)
from strandline.science.hair.reading import (
    LEAST_AMOUNT,
    LEAST_SLOPE,
    MOST_AMOUNT,
    MOST_SLOPE,
    Reading,
    read_lightened,
    read_pigment,
    read_reflectance,
)
from strandline.science.hair.spread import deviations, spreads
from strandline.science.hair.stages import PALEST, lightness_of_stage
from strandline.science.hair.wet import MOST_LEVELS, wet_factor

Floats = NDArray[np.float64]

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


def figures_of_reading(
    read: Floats,
    geometry: str = "45/0",
    wet: tuple[float, float] = (0.0, 0.0),
    under: Light | None = None,
    *,
    lightened: bool = False,
) -> Figures:
    """Give the figures of hair of which a colour or a spectrum was read.

    Parameters
    ----------
    read : shape (3,) or (81,)   CIELAB under D65/10, or a reflectance factor on the grid [1]
    geometry : one of `GEOMETRIES`
    wet : levels of pigment that water is worth, and their spread; (0, 0) for dry hair
    under : the light its figures are given for; D65 if none
    lightened : it was read off lightened hair, of which a colour, no spectrum, is fitted

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
    best = _read(seen if lightened else read, specular, wet[0], lightened=lightened)
    off = [
        np.hypot(sd[f"read_{axis}"].value, sd[f"fit_{axis}"].value) * z[f"read_{axis}"]
        for axis in ("lightness", "a", "b")
    ]
    readings = seen + np.stack(off, axis=-1)
    readings[:, 0] = np.maximum(readings[:, 0], LEAST_LIGHTNESS)  # a draw, not the reading
    back = _read(readings, specular, wet[0], lightened=lightened)
    moved = _moved(best, back, seen, specular, wet, (z["surface"], z["wet"]), lightened=lightened)
    as_read = lab_from_reflectance(
        reflectance_from_ks(absorption(best.states) * wet_factor(wet[0]), specular)
    )[0]
    states = reflectance(moved)
    return gathered(
        Draws(states, np.zeros((len(states), 3)), moved, z["level"], z["stage"]),
        reflectance(best.states)[0],
        best.states,
        (back.difference, float(delta_e00(as_read, seen))),
        under,
        lightened=lightened,
        cautions=_cautions(best, seen, specular, lightened=lightened),
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


def _read(read: Floats, specular: float, wet_levels: float, *, lightened: bool) -> Reading:
    if read.ndim == 1 and read.size > 3:
        return read_reflectance(read, specular, wet_levels)
    if lightened:
        return read_lightened(read, specular, wet_levels)
    return read_pigment(read, specular, wet_levels=wet_levels)


def _moved(
    best: Reading,
    back: Reading,
    seen: Floats,
    specular: float,
    wet: tuple[float, float],
    z: tuple[Floats, Floats],
    *,
    lightened: bool,
) -> Fibre:
    """Give the states of the drawn readings, with what surface and wetness move added.

    A spectrum may say a little more than its colour: the draws of the colour are centred on it.
    """

    def read(surface: float, levels: float) -> tuple[float, float]:
        return _pair(_read(seen, specular + surface, levels, lightened=lightened).states)

    plain, here = read(0.0, wet[0]), _pair(best.states)
    step = spreads()["surface"].value
    above, below = read(step / 2.0, wet[0]), read(-step / 2.0, wet[0])
    wetter = read(0.0, min(wet[0] + wet[1], MOST_LEVELS)) if wet[1] > 0 else plain
    moves = [
        here[i] - plain[i] + z[0] * (above[i] - below[i]) + z[1] * (wetter[i] - plain[i])
        for i in (0, 1)
    ]
    amount = np.log(back.states.amount) + moves[0]
    if lightened:
        progress = np.maximum(back.states.progress + moves[1], 0.0)
        return natural(np.exp(amount), NATURAL_SLOPE).with_(progress=progress)
    ends = np.log([LEAST_AMOUNT, MOST_AMOUNT])
    slope = np.clip(back.states.slope + moves[1], LEAST_SLOPE, MOST_SLOPE)
    return natural(np.exp(np.clip(amount, *ends)), slope)


def _pair(states: Fibre) -> tuple[float, float]:
    """Give the two numbers that were found: ln amount, and progress or slope."""
    second = states.progress if np.any(states.progress > 0) else states.slope
    return float(np.log(states.amount[0])), float(second[0])


def _cautions(best: Reading, seen: Floats, specular: float, *, lightened: bool) -> list[str]:
    out = []
    darkest = float(lab(natural(np.array([1e9]), 0.0), specular)[0, 0])
    palest = float(lightness_of_stage(PALEST))
    kind = "lightened hair" if lightened else "natural hair"
    if best.difference[0] > UNNATURAL:
        then = (
            "it is toned or dyed, or the reading is off."
            if lightened
            else "it is lightened, toned, dyed or mixed, or the reading is off."
        )
        out.append(
            f"This is no {kind}: none comes nearer than {best.difference[0]:.1f} dE00; {then}"
        )
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
    if not lightened and not LEAST_AMOUNT * 1.01 < best.amount[0] < MOST_AMOUNT * 0.99:
        out.append("The amount of pigment stands at the end of what is searched: only a bound.")
    if not lightened and not LEAST_SLOPE + 1e-5 < best.slope[0] < MOST_SLOPE - 1e-5:
        out.append("The slope stands at the end of what natural hair shows: only a bound.")
    return out
