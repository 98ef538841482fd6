"""What the traced curtain says of the pigment model: levels, and white among pigmented hair.

The traced figures are kept in `base/data/traced`, so that they can be read without the renderer.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError, SourceError
from strandline.salon.stills.curtain import DIAMETER_MM
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WAVELENGTHS_NM, on_grid
from strandline.science.fibre import NATURAL_SLOPE
from strandline.science.hair.levels import natural_palette
from strandline.science.hair.mixing import area_mix, intimate_mix, natural_run_mm
from strandline.science.hair.pigment import SPECULAR, absorption, lab
from strandline.science.hair.tracing import TRACED_ROUGHNESS, roughness_factor

Floats = NDArray[np.float64]

LEVELS = tuple(range(1, 11))
LEVEL_NM = tuple(range(400, 721, 40))
"""Wavelengths at which levels are traced, nm: three shots of three."""
MIX_NM = tuple(range(420, 721, 60))
"""Wavelengths at which mixes are traced, nm: two shots of three."""
SHARES = (0.10, 0.25, 0.50, 0.75, 0.90)
"""Shares of white that are traced."""
BLACKEST = 8.0
"""Absorption per radius at which only the surface sends light back: less than 1e-5 passes."""
RESOLVED = 1e-4
"""Body reflectance below which what was traced is noise."""
_DARKEST_PIGMENT = 1.6
_RUNS = np.geomspace(1e-3, 1e3, 40001)
_HALVINGS = 60


def stored(name: str) -> tuple[Mapping[str, str], ...]:
    """Rows of a table of `base/data/traced`, as text.

    Raises
    ------
    SourceError   no such table, or one that does not say how it was made
    """
    path = files("strandline.base").joinpath("data", "traced", f"{name}.csv")
    lines = path.read_text("utf-8").splitlines() if path.is_file() else []
    if not lines or not lines[0].startswith("#"):
        raise SourceError(
            f"The traced table '{name}' is missing or does not say how it was made.",
            "Trace it again: python benchmarks/curtain.py trace.",
        )
    return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))


def weak_absorption(levels: ArrayLike, wavelengths_nm: ArrayLike) -> Floats:
    """Fibre absorption of natural levels by the weak limit of the tress model.

    Parameters
    ----------
    levels : shape (n,)           natural levels, 1-10
    wavelengths_nm : shape (W,)   of the grid, nm

    Returns
    -------
    shape (n, W)   sigma = 2 (K/S)/k^2, per fibre radius [1]

    Notes
    -----
    The inverse of `ks_of_fibre_absorption`. Not valid for dark hair; see `matched_absorption`.

    References
    ----------
    chiang2016; kubelka1931.
    """
    ks = absorption(natural_palette(levels, with_white=False))[:, _columns(wavelengths_nm)]
    return np.asarray(2.0 * ks / roughness_factor(TRACED_ROUGHNESS) ** 2)


@dataclass(frozen=True, slots=True)
class Albedo:
    """Reflectance of a curtain against the absorption of its fibres.

    Parameters
    ----------
    sigma : shape (n,)    per fibre radius, rising [1]
    body : shape (n,)     reflectance without the surface, over what the surface lets in; above
                          0, falling [1]
    surface : float       part the surface reflects, light from everywhere [1]
    """

    sigma: Floats
    body: Floats
    surface: float

    def body_of(self, sigma: Floats) -> Floats:
        """Body reflectance of absorptions, shape as given [1].

        Raises
        ------
        OutOfRangeError   an absorption below what was traced or above `BLACKEST`

        Notes
        -----
        Linear between logarithms; past the last row, where the body is below `RESOLVED`, along
        the slope of the last two.
        """
        sigma = np.asarray(sigma, dtype=float)
        if not np.all((sigma >= self.sigma[0]) & (sigma <= BLACKEST)):
            raise OutOfRangeError(
                f"An absorption runs {np.min(sigma):g} to {np.max(sigma):g} a radius; it must lie "
                f"within the traced {self.sigma[0]:g} to {BLACKEST:g}.",
                "Trace more of the curve.",
            )
        x, y, at = np.log(self.sigma), np.log(self.body), np.log(sigma)
        beyond = y[-1] + (y[-1] - y[-2]) / (x[-1] - x[-2]) * (at - x[-1])
        return np.exp(np.where(at > x[-1], beyond, np.interp(at, x, y)))

    def lab_of(self, sigma: Floats, specular: float = SPECULAR) -> Floats:
        """CIELAB of absorptions of shape (..., 81), seen with a surface part of the tress."""
        return lab_from_reflectance(specular + (1.0 - specular) * self.body_of(sigma))


@cache
def stored_albedo() -> Albedo:
    """Albedo as it was traced, from `curtain_albedo`; the blackest row is the surface alone."""
    rows = stored("curtain_albedo")
    sigma = np.array([float(row["sigma"]) for row in rows])
    traced = np.array([float(row["reflectance"]) for row in rows])
    surface = float(traced[-1])
    body = (traced - surface) / (1.0 - surface)
    resolved = body > RESOLVED
    return Albedo(sigma[resolved], body[resolved], surface)


def stored_level_reflectance() -> Floats:
    """Traced reflectance of levels 1 to 10, surface included: shape (10, 81)."""
    rows = stored("curtain_levels")
    nm = np.array([float(row["wavelength_nm"]) for row in rows])
    columns = [[float(row[f"level_{level}"]) for row in rows] for level in LEVELS]
    return np.array([on_grid(nm, np.array(column)) for column in columns])


def with_surface_of_a_tress(reflectance: Floats, surface: float) -> Floats:
    """Exchange the surface part of the traced geometry for that of the tress model.

    Parameters
    ----------
    reflectance : shape (...)   traced [1]
    surface : float             its surface part [1]

    Notes
    -----
    R = F + (1 - F)(R_t - F_t)/(1 - F_t). Where R_t - F_t is below its noise, so is the body.
    """
    return SPECULAR + (1.0 - SPECULAR) * (reflectance - surface) / (1.0 - surface)


def model_lab() -> Floats:
    """CIELAB of levels 1 to 10 by the tress model, shape (10, 3)."""
    return lab(natural_palette(LEVELS, with_white=False))


def matched_amounts(albedo: Albedo) -> Floats:
    """Fibre absorption of pigment at which each traced level is as light as the model's.

    Parameters
    ----------
    albedo : Albedo

    Returns
    -------
    shape (10,)   sigma of the pigment at 550 nm, per fibre radius [1]; 0 for level 10

    Notes
    -----
    sigma = b + c exp(-g (l - 550)), b the white base by the weak limit, g the natural slope: one
    number a level, set by lightness alone, so that hue and chroma are left to be checked.
    """
    wanted = model_lab()[:-1, 0]
    low, high = np.full(wanted.shape, 1e-6), np.full(wanted.shape, _DARKEST_PIGMENT)
    for _ in range(_HALVINGS):
        middle = np.sqrt(low * high)
        light = albedo.lab_of(_with_pigment(middle, WAVELENGTHS_NM))[:, 0] > wanted
        low, high = np.where(light, middle, low), np.where(light, high, middle)
    return np.append(np.sqrt(low * high), 0.0)


def matched_absorption(albedo: Albedo, wavelengths_nm: ArrayLike) -> Floats:
    """Fibre absorption of levels 1 to 10 by `matched_amounts`, shape (10, W)."""
    return _with_pigment(matched_amounts(albedo), wavelengths_nm)


def area_weight(mixed: Floats, side_by_side: Floats, intimate: Floats) -> float:
    """Weight w of R = w R_area + (1 - w) R_intimate by least squares over wavelengths.

    Parameters
    ----------
    mixed, side_by_side, intimate : shape (W,)   reflectance [1]

    Raises
    ------
    OutOfRangeError   area and intimate mix alike, so that there is no weight to find
    """
    span = side_by_side - intimate
    if not np.any(np.abs(span) > 0):
        raise OutOfRangeError(
            "The area mix and the intimate mix differ by 0; they must differ.",
            "Mix two kinds of hair that differ.",
        )
    return float((mixed - intimate) @ span / (span @ span))


def blend_run(weights: Floats, runs_mm: Floats) -> float:
    """Run m0 of w = m/(m + m0) by least squares, mm.

    Parameters
    ----------
    weights : shape (n,)   of the area mix [1]
    runs_mm : shape (n,)   mean run of white, mm

    Raises
    ------
    OutOfRangeError   the best m0 lies outside .001-1000 mm
    """
    missed = weights[:, None] - runs_mm[:, None] / (runs_mm[:, None] + _RUNS)
    best = int(np.argmin((missed**2).sum(axis=0)))
    if best in (0, _RUNS.size - 1):
        raise OutOfRangeError(
            f"The best run m0 is {_RUNS[best]:g} mm, at the end of what is searched, "
            "0.001-1000 mm.",
            "Look at the weights: they do not follow m/(m + m0).",
        )
    return float(_RUNS[best])


@dataclass(frozen=True, slots=True)
class Mix:
    """One traced mix of white among level 4.

    Parameters
    ----------
    pattern : str     'natural' or 'clump_<width>mm'
    share : float     of white [1]
    seed : int        of the curtain and its lot
    run_mm : float    mean run of white, mm: by formula for natural, as drawn for clumps
    weight : float    of the area mix [1]
    """

    pattern: str
    share: float
    seed: int
    run_mm: float
    weight: float


@dataclass(frozen=True, slots=True)
class MixFit:
    """What the traced mixes say of w = m/(m + m0).

    Parameters
    ----------
    mixes : tuple of Mix
    m0_mm : float      fitted on the natural mixes alone, mm
    error_mm : float   standard error from one fit a seed, mm; what the law itself misses is not
                       in it
    """

    mixes: tuple[Mix, ...]
    m0_mm: float
    error_mm: float

    def missed(self, pattern: str) -> float:
        """Root mean square of weight less m/(m + m0) over the mixes of a pattern [1]."""
        off = [
            one.weight - one.run_mm / (one.run_mm + self.m0_mm)
            for one in self.mixes
            if one.pattern == pattern
        ]
        return float(np.sqrt(np.mean(np.square(off))))


def stored_mix_fit(link: str = "weak", *, by_tress: bool = False) -> MixFit:
    """Weights of the traced mixes, and the run m0 of the natural ones.

    Parameters
    ----------
    link : str        'weak' or 'matched': how the pigmented fibre got its absorption
    by_tress : bool   intimate mix by K/S of the traced pure hair, as the tress model makes it,
                      in place of the traced one of fibres with the mean sigma

    Raises
    ------
    OutOfRangeError   the traced pigmented hair is as black as its surface, so that it has no K/S

    Notes
    -----
    The area mix is of the share of white seen in the window, so that few clumps in a window do
    not count as a weight; the intimate mix and the run are of the share asked for.
    """
    rows = [row for row in stored("curtain_mix") if row["link"] == link]

    def seen(row: Mapping[str, str]) -> Floats:
        return np.array([float(row[f"r{nm}"]) for nm in MIX_NM])

    named = {row["pattern"]: seen(row) for row in rows}
    pure = np.stack([named["pigmented"], named["white"]])
    means = {row["share"]: seen(row) for row in rows if row["pattern"] == "intimate"}
    mixes = []
    for row in rows:
        pattern, share = row["pattern"], float(row["share"])
        natural = pattern == "natural"
        if not (natural or pattern.startswith("clump")):
            continue
        deep = means[row["share"]]
        if by_tress:
            surface = float(named["surface"].mean())
            deep = intimate_mix(pure, np.array([1.0 - share, share]), surface)
        shares = np.array([1.0 - float(row["seen"]), float(row["seen"])])
        run = float(natural_run_mm(DIAMETER_MM, share)) if natural else float(row["run_mm"])
        weight = area_weight(seen(row), area_mix(pure, shares), deep)
        mixes.append(Mix(pattern, share, int(row["seed"]), run, weight))
    return _fitted(tuple(mixes))


def _fitted(mixes: tuple[Mix, ...]) -> MixFit:
    natural = [one for one in mixes if one.pattern == "natural"]

    def run(chosen: list[Mix]) -> float:
        weights = np.array([one.weight for one in chosen])
        return blend_run(weights, np.array([one.run_mm for one in chosen]))

    seeds = sorted({one.seed for one in natural})
    each = [run([one for one in natural if one.seed == seed]) for seed in seeds]
    error = float(np.std(each, ddof=1) / np.sqrt(len(each)))
    return MixFit(mixes, run(natural), error)


def _with_pigment(amount: Floats, wavelengths_nm: ArrayLike) -> Floats:
    nm = np.asarray(wavelengths_nm, dtype=float)
    base = weak_absorption([10.0], nm)
    return np.asarray(base + amount[:, None] * np.exp(-NATURAL_SLOPE * (nm - 550.0)))


def _columns(wavelengths_nm: ArrayLike) -> NDArray[np.intp]:
    nm = np.asarray(wavelengths_nm, dtype=float)
    at = np.searchsorted(WAVELENGTHS_NM, nm)
    if not np.array_equal(WAVELENGTHS_NM[np.minimum(at, WAVELENGTHS_NM.size - 1)], nm):
        raise OutOfRangeError(
            f"Wavelengths run {nm.min():g} to {nm.max():g} nm; each must be one of the grid, "
            "380-780 nm by 5 nm.",
            "Choose wavelengths of the grid.",
        )
    return at
