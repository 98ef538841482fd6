"""The pictures of the page on gloss, drawn from the code that computes it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from strandline.salon.cli.docs.drawing import drawing
from strandline.salon.cli.docs.gloss import WEEKS, three, wearing
from strandline.salon.evidence.gloss import one_band
from strandline.salon.report.palette import LIGHT
from strandline.science.colour.spaces import hex_from_lab

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINES = ("-", "--", ":", "-.")
BANDS = {"red-violet, 550 nm": 550.0, "violet, 575 nm": 575.0, "blue, 600 nm": 600.0}


def draw_gloss(folder: Path) -> None:
    """Write the pictures as SVG."""
    folder.mkdir(parents=True, exist_ok=True)
    with drawing(folder / "gloss-dyes.svg", (5.4, 4.8)) as (axes,):
        _dyes(axes)
    with drawing(folder / "gloss-minutes.svg", (7.2, 4.2)) as (axes,):
        _minutes(axes)
    with drawing(folder / "gloss-weeks.svg", (7.2, 4.0)) as (axes,):
        _weeks(axes)


def _dyes(axes: Axes) -> None:
    amounts = np.linspace(0.0, 1.2, 13)
    for line, (name, peak) in zip(LINES, BANDS.items(), strict=False):
        lab = one_band(peak, amounts)
        axes.plot(lab[:, 1], lab[:, 2], line, color=LIGHT.ink, linewidth=0.9, label=name, zorder=1)
        axes.scatter(
            lab[:, 1], lab[:, 2], s=46, c=hex_from_lab(lab), edgecolors=LIGHT.line, zorder=2
        )
    axes.axhline(0.0, color=LIGHT.line, linewidth=0.8, zorder=0)
    axes.axvline(0.0, color=LIGHT.line, linewidth=0.8, zorder=0)
    axes.set(xlabel="a*: green to pink", ylabel="b*: violet to yellow")
    axes.legend(frameon=False, fontsize=8)


def _minutes(axes: Axes) -> None:
    for line, (name, clock) in zip(LINES, three().items(), strict=False):
        axes.plot(clock.minutes, clock.away, line, color=LIGHT.ink, linewidth=0.9, label=name)
        whole = np.flatnonzero(clock.minutes % 2 == 0)
        axes.scatter(
            clock.minutes[whole],
            clock.away[whole],
            s=70,
            c=hex_from_lab(clock.lab[whole]),
            edgecolors=LIGHT.line,
            zorder=2,
        )
    axes.set(xlim=(0, None), ylim=(0, None), xlabel="minutes", ylabel="dE00 from the aim")
    axes.legend(frameon=False, fontsize=8)


def _weeks(axes: Axes) -> None:
    for line, (name, b) in zip(LINES, wearing().items(), strict=True):
        axes.plot(WEEKS, b, line, color=LIGHT.ink, linewidth=1.1)
        axes.text(8.1, b[-1], name, va="center", fontsize=8)
    axes.set(xlim=(0, 9.2), xlabel="weeks since the gloss", ylabel="b*")
    axes.set_xticks(range(9))
    axes.set_title("violet shampoo every", fontsize=9, loc="right")
