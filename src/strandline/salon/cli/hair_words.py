"""The figures of a piece of hair as lines for a terminal, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import Range
from strandline.science.colour.lights import Light, lights, seen_under, turned_by
from strandline.science.colour.spaces import hex_from_lab, lch_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.figures import Figures
from strandline.science.hair.naming.near import Names
from strandline.science.hair.stages import PALEST, underlying

Floats = NDArray[np.float64]

WIDTH = 96
INDENT = " " * 10
ENDS = ("low", "middle", "high")
KNOWN = (
    "Two numbers were fitted on 14 measured natural heads, none lighter than L* 42. Dry hair, "
    "no glare. A screen is not a swatch."
)


def as_json(figures: Figures, names: Mapping[str, Names]) -> dict[str, object]:
    """Give every figure with low, middle, high and unit."""
    lab = np.array([[getattr(axis, end) for axis in figures.lab] for end in ENDS])
    return {
        "light": {
            "name": figures.under.name,
            "words": figures.under.words,
            "cct_k": figures.under.cct_k,
        },
        "lab": _triple(lab, "CIELAB, 10 degrees, white of the light"),
        "lch": _triple(
            np.stack([lch_from_lab(row) for row in figures.shown]),
            "as seen, adapted to the light; hue in degrees",
        ),
        "srgb": dict(zip(ENDS, hex_from_lab(figures.shown), strict=True)),
        "level": figures.level.as_json(),
        "stage": {**figures.stage.as_json(), "called": _called(figures.stage.middle)},
        "amount": figures.amount.as_json(4),
        "slope": figures.slope.as_json(5),
        "delta_e00": figures.delta_e00.as_json(),
        "lights": lights_json(figures.reflectance[1]),
        "names": {line: _names_json(found) for line, found in names.items()},
        "reflectance": {
            "wavelength_nm": [int(nm) for nm in WAVELENGTHS_NM],
            **{end: _rounded(row, 5) for end, row in zip(ENDS, figures.reflectance, strict=True)},
            "unit": "1",
        },
        "cautions": list(figures.cautions),
        "known": KNOWN,
    }


def as_text(title: str, figures: Figures, names: Mapping[str, Names]) -> str:
    """Write the figures for a terminal."""
    return "\n".join([*_lines(title, figures, names), ""])


def light_lines(reflectance: Floats, under: Light) -> Iterator[str]:
    """Write what the lights of a salon, a home and a street make of a spectrum, shape (81,)."""
    yield "LIGHTS    what an eye used to the light sees, and how far from daylight (dE00)"
    for one in lights().values():
        if one.shown or one is under:
            figure = "  ".join(f"{value:5.1f}" for value in seen_under(reflectance, one))
            away = float(turned_by(reflectance, one))
            yield f"{INDENT}{one.name:<8} {figure}   {away:4.1f}   {one.words}"


def lights_json(reflectance: Floats) -> list[dict[str, object]]:
    """Give the same for every light known."""
    return [
        {
            "name": one.name,
            "words": one.words,
            "seen_lab": _rounded(seen_under(reflectance, one)),
            "turned_delta_e00": round(float(turned_by(reflectance, one)), 2),
        }
        for one in lights().values()
    ]


def _lines(title: str, figures: Figures, names: Mapping[str, Names]) -> Iterator[str]:
    under = figures.under
    yield title
    yield ""
    colour = "   ".join(_ranged(axis.unit, axis, 1) for axis in figures.lab)
    yield f"COLOUR    {colour}   {hex_from_lab(figures.shown)[1]}"
    if under.name != "D65":
        yield f"{INDENT}under {under.name}, {under.words}"
    yield f"READS     {_ranged('natural level', figures.level, 1)}"
    called = _called(figures.stage.middle)
    yield f"{INDENT}{_ranged('or, lightened, stage', figures.stage, 1)}{called and ', ' + called}"
    yield f"PIGMENT   {_ranged('amount', figures.amount, 2)} K/S at 550 nm"
    yield f"{INDENT}{_ranged('slope', figures.slope, 4)} per nm"
    yield f"WITHIN    {_ranged('dE00', figures.delta_e00, 1)}"
    yield ""
    yield from light_lines(figures.reflectance[1], under)
    yield ""
    yield "NAMES     the nearest, and the main reflects of what 64 draws come nearest to"
    for line, found in names.items():
        low, middle, high = (getattr(found.depth, end) for end in ENDS)
        mains = ", ".join(f"{word} {100 * share:.0f} %" for word, share in found.mains[:3])
        depth = f"depth {middle:.1f} ({low:.1f} to {high:.1f})"
        yield f"{INDENT}{line:<14} {found.near[0].name:<6} {depth}; {mains}"
    yield ""
    said = [found.caution for found in names.values() if found.caution]
    for sentence in (*figures.cautions, *dict.fromkeys(said[:1]), KNOWN):
        yield from textwrap.wrap(sentence, WIDTH)


def _called(stage: float) -> str:
    """Give the colour a stage is called by, nothing where it lies off the chart."""
    return underlying(stage)[0] if 1.0 <= stage <= PALEST else ""


def _ranged(name: str, value: Range, digits: int) -> str:
    low, middle, high = (f"{one:.{digits}f}" for one in (value.low, value.middle, value.high))
    return f"{name} {middle} ({low} to {high})"


def _triple(rows: Floats, unit: str) -> dict[str, object]:
    return {**{end: _rounded(row) for end, row in zip(ENDS, rows, strict=True)}, "unit": unit}


def _rounded(values: Floats, digits: int = 2) -> list[float]:
    return [round(float(value), digits) for value in values]


def _names_json(found: Names) -> dict[str, object]:
    return {
        "depth": found.depth.as_json(),
        "near": [
            {
                "name": one.name,
                "delta_e00": round(one.difference, 2),
                "share": round(one.share, 3),
                "also": list(one.also),
            }
            for one in found.near
        ],
        "mains": {word: round(share, 3) for word, share in found.mains},
        "caution": found.caution,
    }
