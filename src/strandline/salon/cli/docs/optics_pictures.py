"""The pictures of the page on the optics, drawn from the code that computes it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from strandline.salon.cli.docs.drawing import drawing
from strandline.salon.evidence.forms import FORMS
from strandline.salon.evidence.heads import (
    BLACK,
    SAMPLE_LEVELS,
    SAMPLES,
    heads,
    left_out,
    named_heads,
    sample,
    sample_lab,
)
from strandline.salon.evidence.traced import LINKS, PATTERNS
from strandline.salon.report.palette import LIGHT
from strandline.salon.stills.study import stored_mix_fit
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.hair.levels import level_spread, lightness_of_level
from strandline.science.hair.mixing import BLEND_RUN_MM
from strandline.science.hair.reading import natural_reflectance, read_pigment

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]

LEVEL_RISE = 0.1893
"""ln L* per level, of the level scale."""
HALF = 1.2816
"""sd from the middle to the 90th percentile."""

TOGETHER = 2.5
"""L* within which heads of one level share a line of words."""


def draw_optics(folder: Path) -> None:
    """Write the pictures as SVG."""
    folder.mkdir(parents=True, exist_ok=True)
    with drawing(folder / "optics-spectra.svg", (5.4, 4.4)) as (axes,):
        _spectra(axes)
    with drawing(folder / "optics-left-out.svg", (5.4, 4.4)) as (axes,):
        _left_out(axes)
    with drawing(folder / "optics-levels.svg", (7.2, 4.2)) as (axes,):
        _levels(axes)
    with drawing(folder / "optics-gray.svg", (7.2, 4.0)) as (axes,):
        _gray(axes)


def _spectra(axes: Axes) -> None:
    inside = (WAVELENGTHS_NM >= 400) & (WAVELENGTHS_NM <= 700)
    nm = WAVELENGTHS_NM[inside]
    reading = read_pigment(np.array([sample_lab(name) for name in SAMPLES]))
    model = natural_reflectance(reading.amount, reading.slope)
    lasts: list[float] = []
    for i in np.argsort([sample(name)[inside][-1] for name in SAMPLES]):
        name = SAMPLES[i]
        colour = hex_from_lab(sample_lab(name))[0]
        axes.plot(nm, sample(name)[inside], color=colour, linewidth=2.6, solid_capstyle="round")
        axes.plot(nm, model[i][inside], color=LIGHT.ink, linewidth=0.8, linestyle=(0, (4, 2)))
        last = max(float(sample(name)[inside][-1]), lasts[-1] + 0.016 if lasts else 0.0)
        lasts.append(last)
        axes.text(704, last, name, va="center", fontsize=8)
    axes.set(xlim=(400, 758), ylim=(0, None), xlabel="wavelength, nm", ylabel="reflectance factor")
    axes.set_xticks(range(400, 701, 50))
    axes.set_title("measured, and dashed: from its daylight colour alone", fontsize=9, loc="left")


def _left_out(axes: Axes) -> None:
    names, colours = heads()
    order = np.argsort(colours[:, 0])[::-1]
    rows = np.arange(len(names))
    marks = {"two pigments": ("o", "none"), next(iter(FORMS)): ("o", LIGHT.accent)}
    for form, (mark, face) in marks.items():
        found = left_out(form).both[order]
        axes.plot(found, rows, mark, markerfacecolor=face, markeredgecolor=LIGHT.accent, label=form)
    for row, i in zip(rows, order, strict=True):
        axes.axhspan(row - 0.4, row + 0.4, 0, 0.03, color=hex_from_lab(colours[i])[0], lw=0)
    axes.axvline(2.0, color=LIGHT.line, linewidth=0.8)
    axes.axvline(3.0, color=LIGHT.line, linewidth=0.8, linestyle="--")
    axes.set_yticks(rows, [names[i] for i in order])
    axes.set(xlim=(-0.12, 3.2), xlabel="dE00 left, the head itself left out of what is shared")
    axes.legend(frameon=False, loc="lower right", fontsize=8)


def _levels(axes: Axes) -> None:
    level = np.linspace(1, 10, 91)
    middle = lightness_of_level(level)
    away = np.exp(HALF * level_spread(level) * LEVEL_RISE)
    measured = level <= 7
    for part, alpha in ((measured, 0.5), (~measured | (level >= 7), 0.2)):
        axes.fill_between(
            level[part], (middle / away)[part], (middle * away)[part], color=LIGHT.hatch,
            alpha=alpha, linewidth=0,
        )  # fmt: skip
    axes.plot(level[measured], middle[measured], color=LIGHT.ink, linewidth=1.4)
    axes.plot(level[level >= 7], middle[level >= 7], color=LIGHT.ink, linewidth=1.2, linestyle=":")
    points = [(name, SAMPLE_LEVELS[name], sample_lab(name)) for name in SAMPLE_LEVELS]
    points += [(name, known, seen) for name, (known, seen) in named_heads().items() if known]
    said: dict[tuple[float, int], list[str]] = {}
    for name, known, seen in points:
        shown = seen if name != BLACK else np.array([seen[0], 0.0, 0.0])
        axes.plot(
            known, seen[0], "o", markersize=8, color=hex_from_lab(shown)[0],
            markeredgecolor=LIGHT.paper, zorder=3,
        )  # fmt: skip
        said.setdefault((known, round(float(seen[0]) / TOGETHER)), []).append(name)
    for (known, place), names in said.items():
        behind = {"facecolor": LIGHT.ground, "alpha": 0.7, "pad": 0.6, "linewidth": 0}
        axes.annotate(
            ", ".join(names), (known, place * TOGETHER), (8, -4), textcoords="offset points",
            fontsize=7, color=LIGHT.ink, zorder=2, bbox=behind,
        )  # fmt: skip
    axes.set(xlim=(0.6, 10.6), ylim=(0, 82), xlabel="natural level", ylabel="lightness L*")
    axes.set_xticks(range(1, 11))
    axes.set_title("80 % of heads; dotted: past what is measured", fontsize=9, loc="left")


def _gray(axes: Axes) -> None:
    marks = {"natural": "o", "clump_0.3mm": "s", "clump_2mm": "D"}
    runs = np.geomspace(0.05, 20.0, 200)
    axes.plot(runs, runs / (runs + BLEND_RUN_MM), color=LIGHT.ink, linewidth=1.2)
    for link, face in zip(LINKS, (LIGHT.accent, "none"), strict=True):
        for one in stored_mix_fit(link, by_tress=True).mixes:
            axes.plot(
                one.run_mm, one.weight, marks[one.pattern], markersize=5, markerfacecolor=face,
                markeredgecolor=LIGHT.accent, markeredgewidth=0.8, linestyle="none",
            )  # fmt: skip
    for pattern, words in PATTERNS.items():
        axes.plot([], [], marks[pattern], color=LIGHT.accent, linestyle="none", label=words)
    axes.set_xscale("log")
    axes.set_xticks([0.1, 0.3, 1, 3, 10], ["0.1", "0.3", "1", "3", "10"])
    axes.minorticks_off()
    axes.set(xlabel="mean run of white hair, mm", ylabel="weight of the area mix", ylim=(0, 1))
    axes.set_title(
        f"traced; line: m/(m + {BLEND_RUN_MM:g} mm); filled: weak link, open: matched link",
        fontsize=9, loc="left",
    )  # fmt: skip
    axes.legend(frameon=False, loc="lower right", fontsize=8)
