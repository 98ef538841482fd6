"""The page on the optics: the model, its sources, how well it fits, what is prior."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import Number, numbers
from strandline.salon.cli.docs.pages import constants_table, filled, source_word, table_lines
from strandline.salon.evidence.forms import FORMS, IN_USE
from strandline.salon.evidence.heads import SAMPLES, from_colour, heads, left_out
from strandline.salon.evidence.traced import LINKS, PATTERNS, traced_lab
from strandline.salon.stills.study import model_lab, stored_mix_fit
from strandline.science.colour.lights import lights, seen_under, turned_by
from strandline.science.colour.spaces import hex_from_lab, lab_from_reflectance, lch_from_lab
from strandline.science.fibre import DYES, Fibre, natural
from strandline.science.hair.figures.named import figures_of_asked
from strandline.science.hair.levels import level_spread, natural_palette
from strandline.science.hair.mixing import BLEND_RUN_MM, BLEND_RUN_SPREAD
from strandline.science.hair.pigment import constants, reflectance
from strandline.science.hair.reading import read_pigment
from strandline.science.hair.scale import document
from strandline.science.hair.spread import (
    FACTORS,
    Asked,
    Deviations,
    delta_spread,
    deviations,
    drawn,
    spreads,
)
from strandline.science.hair.wet import wet_levels

Floats = NDArray[np.float64]


def optics_page() -> str:
    """Give the page: its words from `optics.txt`, its tables from the code."""
    tables = {
        "constants": _constants(),
        "heads": _heads(),
        "forms": _forms(),
        "from_colour": _from_colour(),
        "levels": _levels(),
        "spreads": _spreads(),
        "delta": _delta(),
        "lights": _lights(),
        "mixes": _mixes(),
        "traced": _traced(),
        "m0": [f"{BLEND_RUN_MM:g}"],
        "m0_spread": [f"{BLEND_RUN_SPREAD:g}"],
        **_figures(),
    }
    return filled("optics.txt", tables)


def _figures() -> dict[str, list[str]]:
    found, told = left_out(), from_colour()
    both = found.both
    return {
        "mean": [f"{both.mean():.2f}"],
        "worst": [f"{both.max():.2f}"],
        "worst_head": [found.names[int(both.argmax())]],
        "within": [f"{100 * float(np.mean(both <= 2.0)):.0f}"],
        "alone": [f"{found.alone.mean():.1f}"],
        "rms": [f"{told.rms.mean():.4f}"],
        "under_a": [f"{told.under_a.mean():.2f}"],
        "wet": [f"{wet_levels().value:g}"],
        "wet_spread": [f"{wet_levels().spread:g}"],
    }


def _constants() -> Iterator[str]:
    entries: list[tuple[str, Number]] = []
    for section, group in constants().items():
        prefix = {"peak": "peak of ", "width": "width of "}.get(section, "")
        entries += [(prefix + name.replace("_", " "), number) for name, number in group.items()]
    scale = numbers(document()["regression"], "levels.toml [regression]")
    entries += [(f"level scale, {name.replace('_', ' ')}", one) for name, one in scale.items()]
    entries += [("wet against dry", wet_levels())]
    return constants_table(entries)


def _heads() -> Iterator[str]:
    names, colours = heads()
    reading, found = read_pigment(colours), left_out()
    rows = (
        (name, "vrhel1994" if name in SAMPLES else "bohnert1998",
         *(f"{value:.1f}" for value in colours[i]), f"{reading.amount[i]:.1f}",
         f"{reading.slope[i]:.4f}", f"{reading.difference[i]:.2f}", f"{found.specular[i]:.4f}",
         f"{found.both[i]:.2f}", f"{found.alone[i]:.1f}")
        for i, name in enumerate(names)
    )  # fmt: skip
    head = ("head", "source", "L*", "a*", "b*", "amount c", "slope g", "dE00 fitted",
            "F of the others", "dE00 left out", "amount alone")  # fmt: skip
    return table_lines(head, rows)


def _forms() -> Iterator[str]:
    def row(name: str) -> tuple[str, ...]:
        found = left_out(name)
        return (
            f"**{name}**" if name == IN_USE else name, f"`{FORMS[name].words}`",
            source_word(FORMS[name].source), f"{found.both.mean():.2f}", f"{found.both.max():.2f}",
            f"{100 * float(np.mean(found.both <= 2.0)):.0f} %", f"{found.alone.mean():.1f}",
        )  # fmt: skip

    head = ("form", "K/S", "from", "mean dE00", "worst", "within 2", "one number alone")
    return table_lines(head, map(row, FORMS))


def _from_colour() -> Iterator[str]:
    told = from_colour()
    rows = (
        (name, f"{told.rms[i]:.4f}", f"{told.in_day[i]:.2f}", f"{told.under_a[i]:.2f}")
        for i, name in enumerate(SAMPLES)
    )
    head = ("sample", "rms of reflectance, 400-700 nm", "dE00 by day", "dE00 under A")
    return table_lines(head, rows)


def _levels() -> Iterator[str]:
    def row(level: int) -> tuple[str, ...]:
        one = figures_of_asked(Asked(float(level)))
        L, a, b = one.lab
        return (
            str(level), f"{one.amount.middle:.2f}", f"{L.middle:.1f} ({L.low:.0f} to {L.high:.0f})",
            f"{a.middle:.1f}", f"{b.middle:.1f}", hex_from_lab(one.daylight)[0],
            f"{float(level_spread(level)):.2f}",
        )  # fmt: skip

    head = ("level", "amount c", "L* (80 % of heads)", "a*", "b*", "screen", "sd in levels")
    return table_lines(head, map(row, range(1, 11)))


def _spreads() -> Iterator[str]:
    rows = [
        (name.replace("_", " "), f"{one.value:g}", one.unit, source_word(one.source), one.note)
        for name, one in spreads().items()
    ]
    rows.append(("mixing", f"{BLEND_RUN_SPREAD:g}", "of ln m0", "see below", "run m0 of the mix"))
    return table_lines(("factor", "one sd", "unit", "from", "meaning"), rows)


def _delta() -> Iterator[str]:
    named = [name for name in FACTORS if not name.startswith("read")]

    def row(words: str, asked: Asked) -> tuple[str, ...]:
        def colour(z: Deviations) -> Floats:
            found = drawn(asked, z)
            return lab_from_reflectance(found.reflectance) + found.off

        draws, slopes = colour(deviations()).std(axis=0), delta_spread(colour, named)
        pairs = (f"{one:.1f} / {two:.1f}" for one, two in zip(draws, slopes, strict=True))
        return (words, *pairs)

    asked = (
        ("level 3", Asked(3)), ("level 6", Asked(6)), ("level 9", Asked(9)),
        ("level 5 at stage 9", Asked(5, 9.0)), ("level 4, half white", Asked(4, gray=0.5)),
    )  # fmt: skip
    return table_lines(("hair", "sd of L*", "sd of a*", "sd of b*"), (row(*one) for one in asked))


def _lights() -> Iterator[str]:
    kinds = {"natural 5": natural_palette([5], with_white=False), "white": _white(),
             "pale, toned silver": _silver()}  # fmt: skip
    spectra = {name: reflectance(state)[0] for name, state in kinds.items()}

    def row(name: str) -> tuple[str, ...]:
        one = lights()[name]
        cells = []
        for spectrum in spectra.values():
            seen = seen_under(spectrum, one)
            L, a, b = (f"{value:.1f}" for value in seen)
            cells.append(f"{L}, {a}, {b} ({float(turned_by(spectrum, one)):.1f})")
        return (name, one.words, *cells)

    return table_lines(("light", "where", *kinds), map(row, lights()))


def _mixes() -> Iterator[str]:
    for link in LINKS:
        fit = stored_mix_fit(link, by_tress=True)
        missed = (f"{fit.missed(pattern):.3f}" for pattern in PATTERNS)
        yield f"| {link} | {fit.m0_mm:.3f} | {' | '.join(missed)} |"


def _traced() -> Iterator[str]:
    model = lch_from_lab(model_lab())
    traced = [lch_from_lab(traced_lab(link)) for link in LINKS]

    def row(i: int) -> tuple[str, ...]:
        seen = (f"{one[i, 0]:.1f}, {one[i, 1]:.1f}, {one[i, 2]:.0f}" for one in (model, *traced))
        return (str(i + 1), *seen)

    head = ("level", "model: L*, C*, hue", *(f"traced, {link} link" for link in LINKS))
    return table_lines(head, map(row, range(10)))


def _white() -> Fibre:
    return natural(np.array([0.0]), 0.0, white=1.0)


def _silver() -> Fibre:
    dyes = np.zeros((1, len(DYES)))
    dyes[0, DYES.index("violet")], dyes[0, DYES.index("blue")] = 0.29, 0.3
    pale = natural(np.array([0.0]), 0.0).with_(progress=np.array([100.0]))
    return pale.with_(dyes=dyes)
