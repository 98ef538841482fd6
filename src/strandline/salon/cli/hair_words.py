"""The figures of a piece of hair as lines for a terminal, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from strandline.base.quantities import Range
from strandline.science.colour.lights import Light, lights, seen_under, turned_by
from strandline.science.colour.spaces import hex_from_lab, lch_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.figures.figures import Figures
from strandline.science.hair.naming.near import Names
from strandline.science.hair.stages import PALEST, underlying
from strandline.science.hair.words import name_of_level, warmth_of

Floats = NDArray[np.float64]

WIDTH = 96
INDENT = " " * 10
ENDS = ("low", "middle", "high")
KNOWN = (
    "Fitted on 14 measured natural heads, none lighter than L* 42. Dry hair, no glare. A screen "
    "is not a swatch; the product's label comes first."
)
SETTLED = "once the eye has settled; at first glance a warm lamp gilds everything"


@dataclass(frozen=True)
class Told:
    """What is told of a piece of hair.

    Parameters
    ----------
    title : what it is, in words
    figures : Figures
    sure : what `delta_e00` says of it, in words
    names : by line, what it may be called; none where it is a shade with a name
    shade : of a shade by its name, what the name says; else empty
    """

    title: str
    figures: Figures
    sure: str
    names: Mapping[str, Names] = field(default_factory=dict)
    shade: Mapping[str, object] = field(default_factory=dict)
    said: Sequence[str] = ()


def as_json(told: Told) -> dict[str, object]:
    """Give every figure with low, middle, high and unit; the same keys whatever was asked."""
    figures = told.figures
    lab = np.array([[getattr(axis, end) for axis in figures.lab] for end in ENDS])
    under = figures.under
    return {
        "title": told.title,
        "words": in_words(figures),
        "light": {"name": under.name, "words": under.words, "cct_k": under.cct_k},
        "lab": _triple(lab, "CIELAB for D65 of what an eye settled to the light sees"),
        "lch": _triple(
            np.stack([lch_from_lab(row) for row in figures.shown]),
            "whole colours of the draws; hue in degrees",
        ),
        "srgb": dict(zip(ENDS, hex_from_lab(figures.shown), strict=True)),
        "level": figures.level.as_json(),
        "stage": {**figures.stage.as_json(), "called": _called(figures.stage.middle)},
        "lightened": figures.lightened,
        "amount": figures.amount.as_json(4),
        "slope": figures.slope.as_json(5),
        "delta_e00": {**figures.delta_e00.as_json(), "of": told.sure},
        "lights": [
            {
                "name": one.name,
                "words": one.words,
                "lab": _rounded(seen_under(figures.reflectance[1], one)),
                "turned_delta_e00": round(float(turned_by(figures.reflectance[1], one)), 2),
            }
            for one in lights().values()
        ],
        "names": {line: _names_json(found) for line, found in told.names.items()},
        "shade": dict(told.shade),
        "reflectance": {
            "wavelength_nm": [int(nm) for nm in WAVELENGTHS_NM],
            **{end: _rounded(row, 5) for end, row in zip(ENDS, figures.reflectance, strict=True)},
            "unit": "1",
        },
        "cautions": list(figures.cautions),
        "known": KNOWN,
    }


def as_text(told: Told) -> str:
    """Write the figures for a terminal: what it looks like, under which light, then what is behind.

    Cautions stand first, where they change what the rest means.
    """
    return "\n".join([*_lines(told), ""])


def in_words(figures: Figures) -> str:
    """Say in a few words what the hair looks like by day."""
    warmth = warmth_of(figures.daylight)
    if figures.lightened:
        called = _called(figures.stage.middle)
        return f"{warmth}, {called}" if called else warmth
    level = min(max(figures.level.middle, 1.0), 10.0)
    return f"{name_of_level(level)}, {warmth}"


def _lines(told: Told) -> Iterator[str]:
    figures = told.figures
    yield told.title
    yield f"{INDENT}{in_words(figures)}"
    for sentence in figures.cautions:
        yield from textwrap.wrap(
            sentence, WIDTH, initial_indent="!" + INDENT[1:], subsequent_indent=INDENT
        )
    yield ""
    colour = "   ".join(_ranged(axis.unit, axis, 1) for axis in figures.lab)
    yield f"LOOKS     {colour}   {hex_from_lab(figures.shown)[1]}"
    if figures.under.name != "D65":
        yield f"{INDENT}under {figures.under.name}, {figures.under.words}"
    if figures.lightened:
        yield f"READS AS  stage {_scale(figures.stage, 1.0, PALEST)}"
    else:
        yield f"READS AS  natural level {_scale(figures.level, 1.0, 10.0)}"
    yield from told.said
    yield ""
    yield f"LIGHTS    L*, a*, b* {SETTLED};"
    yield f"{INDENT}last, how far that is from day (dE00)"
    yield from _light_rows(figures.reflectance[1], figures.under)
    yield ""
    if told.names:
        yield "SHADES    the nearest in a line, the depths it may be, chances of the main reflect"
        for line, found in told.names.items():
            mains = ", ".join(f"{word} {100 * share:.0f} %" for word, share in found.mains[:3])
            depth = f"depth {_scale(found.depth, 1.0, 10.0)}"
            yield f"{INDENT}{line:<14} {found.called.name:<6} {depth}; {mains}"
            if found.caution:
                yield from textwrap.wrap(
                    found.caution, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT
                )
        yield ""
    yield f"HOW SURE  {_ranged('dE00', figures.delta_e00, 1)} {told.sure}"
    yield f"PIGMENT   {_ranged('amount', figures.amount, 2)} K/S at 550 nm"
    yield f"{INDENT}{_ranged('slope', figures.slope, 4)} per nm"
    yield ""
    yield from textwrap.wrap(KNOWN, WIDTH)


def _light_rows(reflectance: Floats, under: Light) -> Iterator[str]:
    for one in lights().values():
        if one.shown or one is under:
            figure = "  ".join(f"{value:5.1f}" for value in seen_under(reflectance, one))
            away = float(turned_by(reflectance, one))
            yield f"{INDENT}{one.name:<8} {figure}   {away:4.1f}   {one.words}"


def _called(stage: float) -> str:
    """Give the colour a stage is called by, nothing where it lies off the chart."""
    return underlying(stage)[0] if 1.0 <= stage <= PALEST else ""


def _scale(value: Range, first: float, last: float) -> str:
    """Give a place on a scale in halves, past its ends in words."""
    low, middle, high = (_place(one, first, last) for one in (value.low, value.middle, value.high))
    return f"{middle} ({low} to {high})"


def _place(value: float, first: float, last: float) -> str:
    halves = float(np.floor(2.0 * value + 0.5)) / 2.0
    if halves < first:
        return f"darker than {first:g}"
    return f"lighter than {last:g}" if halves > last else f"{halves:g}"


def _ranged(name: str, value: Range, digits: int) -> str:
    low, middle, high = (f"{one:.{digits}f}" for one in (value.low, value.middle, value.high))
    return f"{name} {middle} ({low} to {high})"


def _triple(rows: Floats, unit: str) -> dict[str, object]:
    return {**{end: _rounded(row) for end, row in zip(ENDS, rows, strict=True)}, "unit": unit}


def _rounded(values: Floats, digits: int = 2) -> list[float]:
    return [round(float(value), digits) for value in values]


def _names_json(found: Names) -> dict[str, object]:
    return {
        "called": found.called.name,
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
