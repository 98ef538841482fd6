"""The measured heads, and each of them left out of what the others share.

Two instruments stand behind them. What the surface reflects belongs to an instrument, so it is
fitted on the other heads of the same one; and a surface cannot reflect more than the least that
any head of that instrument gave back, so the fit stops there. One F for all heads, without that
bound, is kept beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import table
from strandline.salon.evidence.forms import FORMS, IN_USE, fitted
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.lights import lab_under, light
from strandline.science.colour.spaces import lab_from_reflectance, xyz_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM, on_grid
from strandline.science.hair.pigment import SPECULAR
from strandline.science.hair.reading import natural_reflectance, read_pigment

Floats = NDArray[np.float64]

SAMPLES = ("black83", "black85", "grayblack99", "brown102", "red90", "brown97", "blonde109")
SAMPLE_LEVELS = {"black83": 1.0, "black85": 1.0, "brown102": 4.0, "brown97": 4.0, "blonde109": 7.0}
SPECTRA = len(SAMPLES)
BLACK = "black"
"""Its a* and b* look wrong in the source, so no colour is fitted to it; its lightness is sound,
stays in the level scale and bounds what its instrument's surface reflects."""
TRIED_SPECULAR = np.arange(0.0, 0.0181, 0.0004)


@cache
def sample(name: str) -> Floats:
    """Give the reflectance of a sample of the measured spectra on the grid, shape (81,)."""
    published = table("vrhel1994_hair_reflectance")
    nm = np.array(published.column("wavelength_nm"))
    return on_grid(nm, np.array(published.column(name)))


def sample_lab(name: str) -> Floats:
    """Give the CIELAB of a sample of the measured spectra, shape (3,)."""
    return lab_from_reflectance(sample(name))


@cache
def named_heads() -> dict[str, tuple[float | None, Floats]]:
    """Give the named heads: level by their name, if any, and CIELAB."""
    return {
        row["name"]: (
            float(row["level_by_name"]) if row["level_by_name"] else None,
            np.array([float(row[axis]) for axis in ("L", "a", "b")]),
        )
        for row in table("bohnert1998_heads").rows
    }


@cache
def heads() -> tuple[tuple[str, ...], Floats]:
    """Give names and CIELAB of all heads whose colour is sound, shape (14, 3); spectra first."""
    named = {name: value for name, (_, value) in named_heads().items() if name != BLACK}
    return (*SAMPLES, *named), np.array([*map(sample_lab, SAMPLES), *named.values()])


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Each head, with what is shared fitted on the others.

    Parameters
    ----------
    names : the heads
    specular : shape (14,)   F that the other heads of its instrument ask for [1]
    second : shape (14,)     the form's second number found for it
    both : shape (14,)       dE00 left with its two numbers fitted
    alone : shape (14,)      dE00 left with its amount fitted, the second the mean of the others
    """

    names: tuple[str, ...]
    specular: Floats
    second: Floats
    both: Floats
    alone: Floats


@cache
def left_out(form: str = IN_USE, *, one_surface: bool = False) -> LeftOut:
    """Leave each of the fourteen heads out in turn.

    Parameters
    ----------
    form : of `forms.FORMS`
    one_surface : one F for all heads and no bound, in place of one an instrument
    """
    names, colours = heads()
    tries = [fitted(FORMS[form], colours, specular) for specular in TRIED_SPECULAR]
    seconds = np.array([second for second, _ in tries])
    differences = np.array([difference for _, difference in tries])
    group = np.zeros(len(names), dtype=int) if one_surface else (np.arange(len(names)) >= SPECTRA)
    least = {} if one_surface else least_reflected()
    out = []
    for head in range(len(names)):
        best = {
            int(own): _surface_of(differences, (group == own), head, names, least)
            for own in np.unique(group)
        }
        others = np.arange(len(names)) != head
        second = np.array([seconds[best[int(own)], i] for i, own in enumerate(group)])
        at = best[int(group[head])]
        alone = fitted(
            FORMS[form], colours[head : head + 1], float(TRIED_SPECULAR[at]),
            float(second[others].mean()),
        )[1][0]  # fmt: skip
        out.append((TRIED_SPECULAR[at], second[head], differences[at, head], alone))
    return LeftOut(names, *np.array(out, dtype=float).T)


def _surface_of(
    differences: Floats,
    same: NDArray[np.bool_],
    head: int,
    names: tuple[str, ...],
    least: dict[str, float],
) -> int:
    """Give which F leaves the other heads of an instrument the least, none above its bound."""
    others = same.copy()
    others[head] = False
    kin = {name for name, own in zip(names, same, strict=True) if own}
    if BLACK in least and not kin & set(SAMPLES):
        kin.add(BLACK)
    bound = min((least[name] for name in kin - {names[head]} if name in least), default=np.inf)
    allowed = np.flatnonzero(bound >= TRIED_SPECULAR)
    return int(allowed[np.argmin(differences[allowed][:, others].mean(axis=1))])


@cache
def least_reflected() -> dict[str, float]:
    """Give the least each head reflects: of its spectrum, or Y where only a colour is known."""
    measured = (WAVELENGTHS_NM >= 400) & (WAVELENGTHS_NM <= 700)
    least = {name: float(sample(name)[measured].min()) for name in SAMPLES}
    for name, (_, value) in named_heads().items():
        least[name] = float(xyz_from_lab(value)[1]) / 100.0
    return least


@dataclass(frozen=True, slots=True)
class FromColour:
    """What a daylight colour alone tells of the spectrum behind it, for the seven spectra.

    Parameters
    ----------
    rms : shape (7,)        of the reflectance over 400-700 nm [1]
    under_a : shape (7,)    dE00 under illuminant A
    in_day : shape (7,)     dE00 under D65, what the fit itself leaves
    """

    rms: Floats
    under_a: Floats
    in_day: Floats


@cache
def from_colour() -> FromColour:
    """Fit the two numbers to the daylight colour of each spectrum, and compare the spectra."""
    measured = np.array([sample(name) for name in SAMPLES])
    reading = read_pigment(lab_from_reflectance(measured))
    model = natural_reflectance(reading.amount, reading.slope, SPECULAR)
    inside = (WAVELENGTHS_NM >= 400) & (WAVELENGTHS_NM <= 700)
    rms = np.sqrt(np.mean((model - measured)[:, inside] ** 2, axis=1))
    filament = light("A")
    under_a = delta_e00(lab_under(measured, filament), lab_under(model, filament))
    return FromColour(rms, under_a, reading.difference)
