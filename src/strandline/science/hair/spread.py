"""How far hair may be off from what is said of it: fixed draws, factor by factor.

What is common to a head is drawn once a draw: its white and its pigmented hair share a surface,
a base and a warmth. Draws are the same for every alternative, so that comparisons are paired.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.draws import draws
from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.fibre import NATURAL_SLOPE, Fibre, natural
from strandline.science.hair.levels import amount_of_level, level_spread
from strandline.science.hair.mixing import BLEND_RUN_MM, BLEND_RUN_SPREAD, blend, natural_run_mm
from strandline.science.hair.pigment import SPECULAR, absorption, base, reflectance_from_ks
from strandline.science.hair.stages import FARTHEST_PROGRESS, PALEST, lightened, progress_of_stage

Floats = NDArray[np.float64]
Deviations = Mapping[str, Floats]
"""Factor to shape (n,), in standard deviations; a factor left out is at its middle."""

FACTORS = (
    "level", "warmth", "base", "surface", "stage", "mixing", "wet",
    "fit_lightness", "fit_a", "fit_b", "read_lightness", "read_a", "read_b",
)  # fmt: skip
"""What is drawn, in the order of the draws."""


@cache
def _document() -> dict[str, Any]:
    return toml_beside(__package__, "spread.toml")


@cache
def spreads() -> dict[str, Number]:
    """Load `spread.toml`: factor to its standard deviation with unit and source."""
    return numbers(_document()["spread"], "spread.toml [spread]")


@cache
def diameter_mm() -> float:
    """Load the diameter of a medium fibre, mm."""
    return numbers(_document()["fibre"], "spread.toml [fibre]")["diameter_um"].value / 1000.0


@cache
def deviations() -> Deviations:
    """Give the fixed draws of every factor, shape (64,) each."""
    return draws(FACTORS)


@dataclass(frozen=True, slots=True)
class Asked:
    """Hair as a person names it.

    Parameters
    ----------
    level : float              natural level, 1-10
    stage : float | None       stage its pigmented hair was lightened to, 0-10.5, the white beside
                               it by the same; None for virgin hair
    gray : float               share of white hair [1], 0-1
    clump_mm : float | None    mean run of like hair, mm; None where white lies at random
    """

    level: float
    stage: float | None = None
    gray: float = 0.0
    clump_mm: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no head can be."""
        if not 0.0 <= self.gray <= 1.0:
            raise OutOfRangeError(
                f"The share of white hair is {self.gray:g}; it must be 0-1.",
                "Give the gray as a share of the hair, 0 to 100 per cent.",
            )
        if self.clump_mm is not None and not self.clump_mm > 0:
            raise OutOfRangeError(
                f"White lies in runs of {self.clump_mm:g} mm; it must be above 0.",
                "Give the mean width of a white run in mm, or leave it out for salt and pepper.",
            )
        if self.clump_mm is not None and self.gray in (0.0, 1.0):
            raise OutOfRangeError(
                f"White lies in runs of {self.clump_mm:g} mm, but its share is {self.gray:g}.",
                "Give a share between none and all, or leave the runs out.",
            )


@dataclass(frozen=True, slots=True)
class Drawn:
    """What n draws of the asked hair come to.

    Parameters
    ----------
    pigmented : Fibre            n states of its pigmented hair
    reflectance : shape (n, 81)  of the whole, gray mixed in [1]
    off : shape (n, 3)           what the two-number form leaves, to add to any CIELAB of it
    """

    pigmented: Fibre
    reflectance: Floats
    off: Floats


def drawn(asked: Asked, z: Deviations) -> Drawn:
    """Compute the asked hair at deviations from the middle.

    Parameters
    ----------
    asked : Asked
    z : factor to shape (n,); {} gives the middle, n = 1

    Returns
    -------
    Drawn of n

    Raises
    ------
    OutOfRangeError   level or stage off its scale

    Notes
    -----
    Level moves the amount by its spread along the level table; hair cannot have less than no
    pigment, nor be lightened past the palest or past where it stalls: there a draw stays. Warmth,
    surface and base are log-normal. sd of the lightness alone:
    sd^2 = fit^2 + (.1893 L level)^2 + ... (1-optics: the delta method, see `delta_spread`).

    References
    ----------
    strandline_fit; luster2000.
    """
    n = max((np.size(values) for values in z.values()), default=1)

    def at(name: str) -> Floats:
        return np.asarray(z.get(name, 0.0)) + np.zeros(n)

    sd = spreads()
    amount = _amount(asked.level, at("level"))
    slope = NATURAL_SLOPE * np.exp(sd["warmth"].value / NATURAL_SLOPE * at("warmth"))
    hair = _lightened(natural(amount, slope), asked.stage, sd["stage"].value * at("stage"))
    scale, specular = base_and_surface(at("base"), at("surface"))
    spectrum = spectrum_of(hair, scale, specular)
    if asked.gray > 0:
        white = natural(np.zeros(n), 0.0, white=1.0).with_(progress=hair.progress)
        pale = spectrum_of(white, scale, specular)
        spectrum = _mixed(asked, np.stack([spectrum, pale], axis=1), specular, at("mixing"))
    fit = [sd[name].value * at(name) for name in ("fit_lightness", "fit_a", "fit_b")]
    return Drawn(hair, spectrum, np.stack(fit, axis=-1))


def base_and_surface(base_z: Floats, surface_z: Floats) -> tuple[Floats, Floats]:
    """Give the factor on the base and the surface's part at deviations, shapes (n,)."""
    sd = spreads()
    scale = np.exp(sd["base"].value * base_z)
    return scale, SPECULAR * np.exp(sd["surface"].value / SPECULAR * surface_z)


def delta_spread(
    function: Callable[[Deviations], Floats], names: Sequence[str], step: float = 0.25
) -> Floats:
    """Give the spread of a figure by the delta method.

    Parameters
    ----------
    function : of deviations to shape (1, ...), one row for the one point it is asked at
    names : the independent factors that move it
    step : how far each is moved to either side, in sd

    Returns
    -------
    shape (...)   one sd: the root of the sum of squares of the slopes, each factor on its own

    Notes
    -----
    Central differences. Valid where the figure is near a straight line over about a sd; it is
    the check on the draws, and the draws are what a person is shown.
    """
    slopes = [
        (function({name: np.array([step])}) - function({name: np.array([-step])})) / (2.0 * step)
        for name in names
    ]
    return np.asarray(np.sqrt(np.sum(np.square(slopes), axis=0))[0])


def _amount(level: float, z: Floats) -> Floats:
    middle = float(amount_of_level(level))  # refuses a level off the scale
    levels = level + float(level_spread(level)) * z
    first, second = amount_of_level([1.0, 2.0])
    beyond = first * (first / second) ** (1.0 - np.minimum(levels, 1.0))
    amount = np.where(levels < 1.0, beyond, amount_of_level(np.clip(levels, 1.0, 10.0)))
    return np.where(z == 0, middle, amount)


def _lightened(hair: Fibre, stage: float | None, off: Floats) -> Fibre:
    if stage is None:
        return hair
    progress_of_stage(stage, hair.take(np.array([0])))  # refuses a stage off the scale
    needed = progress_of_stage(np.clip(stage + off, 0.0, PALEST), hair)
    return lightened(hair, np.minimum(needed, FARTHEST_PROGRESS))


def spectrum_of(hair: Fibre, scale: Floats, specular: Floats) -> Floats:
    """Reflectance of n states, each with a base and a surface of its own.

    Parameters
    ----------
    hair : n states
    scale : shape (n,)      factor on the absorption of hair without pigment [1]
    specular : shape (n,)   part the surface reflects [1]

    Returns
    -------
    shape (n, 81)
    """
    ks = absorption(hair) + (scale - 1.0)[:, None] * base(hair.progress, hair.white_base)
    return _surfaced(ks, specular)


def _surfaced(ks: Floats, specular: Floats) -> Floats:
    body = reflectance_from_ks(ks, 0.0)
    return np.asarray(specular[:, None] + (1.0 - specular)[:, None] * body)


def _mixed(asked: Asked, both: Floats, specular: Floats, mixing: Floats) -> Floats:
    """Mix white hair in; the surface is common to both, so the mix is made of what is beneath."""
    if asked.gray >= 1:
        return both[:, 1]
    run = asked.clump_mm or float(natural_run_mm(diameter_mm(), asked.gray))
    bare = (both - specular[:, None, None]) / (1.0 - specular)[:, None, None]
    shares = np.array([1.0 - asked.gray, asked.gray])
    scales = BLEND_RUN_MM * np.exp(BLEND_RUN_SPREAD * mixing)
    mixed = np.stack(
        [blend(one, shares, run, float(m0), 0.0) for one, m0 in zip(bare, scales, strict=True)]
    )
    return np.asarray(specular[:, None] + (1.0 - specular)[:, None] * mixed)
