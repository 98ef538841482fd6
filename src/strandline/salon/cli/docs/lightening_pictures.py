"""The pictures of the page on lightening, drawn from the code that computes it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import table
from strandline.salon.cli.docs.drawing import drawing
from strandline.salon.cli.docs.lightening import (
    FEW_VISITS,
    MANY_VISITS,
    SHOWN_PRACTICES,
    WORLDS,
)
from strandline.salon.cli.docs.lightening_head import AIM, one_head
from strandline.salon.evidence.practice_run import LABEL_MIN, SEEN_FROM, Run, over, practices
from strandline.salon.evidence.practice_truth import MODEL, PRODUCTS
from strandline.salon.report.palette import LIGHT
from strandline.science.chemistry import harm
from strandline.service.learning.belief import prior
from strandline.service.learning.starting import WET

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]

LINES = ("-", "--", ":")
MARKS = ("o", "s", "D")
TOGETHER = 4
"""Visits within which two products share a place for words."""


def draw_lightening(folder: Path) -> None:
    """Write the pictures as SVG."""
    folder.mkdir(parents=True, exist_ok=True)
    with drawing(folder / "lightening-checks.svg", (7.2, 4.2)) as (axes,):
        _checks(axes)
    with drawing(folder / "lightening-coverage.svg", (5.4, 4.6)) as (axes,):
        _coverage(axes)
    with drawing(folder / "lightening-error.svg", (5.4, 4.6)) as (axes,):
        _error(axes)
    with drawing(folder / "lightening-visits.svg", (7.2, 4.0)) as (axes,):
        _visits(axes)
    with drawing(folder / "lightening-harm.svg", (9.6, 3.5), panels=3) as panels:
        _harm(*panels)


def _checks(axes: Axes) -> None:
    head = one_head()
    minutes = np.linspace(0.0, LABEL_MIN, 201)
    low, middle, high = head.stages(head.before, minutes)
    axes.fill_between(minutes, low, high, color=LIGHT.foil, linewidth=0, label="80 % before")
    axes.plot(minutes, middle, color=LIGHT.foil_edge, linewidth=1.0)
    low, middle, high = head.stages(head.after, minutes)
    axes.fill_between(
        minutes,
        low,
        high,
        color=LIGHT.accent,
        alpha=0.3,
        linewidth=0,
        label="80 % after two checks",
    )
    axes.plot(minutes, middle, color=LIGHT.accent, linewidth=1.4)
    axes.plot(
        minutes, head.true_stages(minutes), color=LIGHT.ink, linewidth=1.4, linestyle="--",
        label="the truth",
    )  # fmt: skip
    bias = float(head.after.mean[WET])
    for index, check in enumerate(head.checks):
        words = ("called on wet hair", "with the wet bias as believed") if index == 0 else ("", "")
        axes.plot(
            [check.minutes] * 2, [check.stage, check.stage + bias], color=LIGHT.ink, linewidth=0.8
        )
        for stage, face, word in (
            (check.stage, LIGHT.ground, words[0]),
            (check.stage + bias, LIGHT.ink, words[1]),
        ):
            axes.plot(
                check.minutes, stage, "o", markersize=6, markerfacecolor=face,
                markeredgecolor=LIGHT.ink, label=word or None, linestyle="none", zorder=4,
            )  # fmt: skip
    axes.axhline(AIM, color=LIGHT.ink, linewidth=0.7, linestyle=(0, (1, 3)))
    axes.annotate("aim", (0.0, AIM), (4, 3), textcoords="offset points", color=LIGHT.quiet)
    axes.set(xlim=(0, LABEL_MIN), ylim=(3, 10.6), ylabel="stage")
    axes.set(xlabel="minutes from the foil's own start, to the end of the label")
    axes.legend(frameon=False, loc="lower right", fontsize=8)


def _coverage(axes: Axes) -> None:
    nominal = np.linspace(0.02, 0.98, 49)
    axes.plot([0, 1], [0, 1], color=LIGHT.line, linewidth=0.8)
    for world, line in zip(WORLDS, LINES, strict=True):
        inside = over(practices(world, SHOWN_PRACTICES), lambda run: run.share_within(nominal))[0]
        if world is MODEL:
            axes.plot(
                nominal, inside[1], color=LIGHT.foil_edge, linewidth=1.4,
                label=f"{SEEN_FROM[1]}, {world.name}",
            )  # fmt: skip
        axes.plot(
            nominal, inside[3], color=LIGHT.accent, linewidth=1.4, linestyle=line,
            label=f"{SEEN_FROM[3]}, {world.name}",
        )  # fmt: skip
    axes.axvline(0.8, color=LIGHT.line, linewidth=0.8, linestyle=":")
    axes.set(xlim=(0, 1), ylim=(0, 1), xlabel="share claimed", ylabel="share of log rates inside")
    axes.annotate(
        "80 %, as plans show it", (0.8, 0.0), (-4, 4), textcoords="offset points", rotation=90,
        ha="right", va="bottom", fontsize=8, color=LIGHT.quiet,
    )  # fmt: skip
    axes.legend(frameon=False, loc="upper left", fontsize=8)


def _error(axes: Axes) -> None:
    rows = np.arange(len(SEEN_FROM))[::-1]
    for index, (world, mark) in enumerate(zip(WORLDS, MARKS, strict=True)):
        middle, least, most = over(practices(world, SHOWN_PRACTICES), Run.error)
        at = rows + 0.22 * (1 - index)
        axes.hlines(at, least, most, color=LIGHT.line, linewidth=1.6)
        axes.plot(
            middle, at, mark, color=LIGHT.accent, markersize=6, label=world.name, linestyle="none",
            markerfacecolor=LIGHT.accent if world is MODEL else LIGHT.ground,
        )  # fmt: skip
    axes.set_yticks(rows, SEEN_FROM)
    axes.set(xlim=(0, 1), ylim=(-0.6, len(SEEN_FROM) - 0.4), xlabel="mean |ln due - ln true|")
    axes.set_title(
        f"mean of {SHOWN_PRACTICES} practices; line: least and most of one", fontsize=9, loc="left"
    )
    axes.legend(frameon=False, loc="lower right", fontsize=8)


def _visits(axes: Axes) -> None:
    run = practices(MODEL, SHOWN_PRACTICES)[0]
    start = prior().of("product")[1]
    lasts: list[float] = []
    for name in sorted(PRODUCTS, key=lambda one: -run.pooled.product(one).visits):
        trail = [(one.visits, one.sd) for used, one in run.taught if used == name]
        counts, sds = zip((0, start), *trail, strict=True)
        axes.plot(counts, sds, color=LIGHT.foil_edge, linewidth=1.2)
        axes.plot(counts[-1], sds[-1], "o", color=LIGHT.foil_edge, markersize=4)
        crowded = any(abs(counts[-1] - last) < TOGETHER for last in lasts)
        lasts.append(counts[-1])
        axes.annotate(
            name, (counts[-1], sds[-1]), (-4, 6) if crowded else (-4, -14), ha="center",
            textcoords="offset points", fontsize=8,
        )  # fmt: skip
    for count, offset in ((FEW_VISITS, (16, 18)), (MANY_VISITS, (-150, 40))):
        learnt = run.product_after(count)[1]
        axes.plot(count, learnt.sd, "o", color=LIGHT.accent, markersize=7, zorder=4)
        axes.annotate(
            learnt.sentence, (count, learnt.sd), offset, textcoords="offset points",
            color=LIGHT.accent, arrowprops={"arrowstyle": "-", "color": LIGHT.accent, "lw": 0.8},
        )  # fmt: skip
    axes.set(xlim=(0, max(lasts) * 1.08), ylim=(0, start * 1.05))
    axes.set(xlabel="visits with the product", ylabel="sd of its log rate")


def _harm(cystine: Axes, apart: Axes, helix: Axes) -> None:
    minutes = np.linspace(0.0, 240.0, 241)
    cystine.plot(minutes, 100 * harm.cystine_oxidised(minutes), color=LIGHT.accent)
    known = harm.constants()
    gained = (np.array(_cysteic_after()) - known["cysteic_sound"].value) / known[
        "half_cystine"
    ].value
    middle, half = 100 * gained.mean(), 50 * (gained[1] - gained[0])
    cystine.errorbar(
        [240.0], [middle], [[half], [half]], fmt="o", color=LIGHT.ink, capsize=3, clip_on=False
    )
    cystine.annotate(
        "cysteic acid as\npublished, and its range", (240.0, middle), (-10, -64), ha="right",
        textcoords="offset points", fontsize=8, color=LIGHT.quiet,
    )  # fmt: skip
    cystine.set(xlabel="dose, minutes at 6 %", ylabel="cystine oxidised, %")
    cystine.set_title("by the root of the dose: cystine", fontsize=9, loc="left")

    bath = table("gillece2021_bleach_time_denaturation")
    apart.plot(minutes, harm.denaturation_c(minutes), color=LIGHT.accent)
    for at, found in zip(bath.column("minutes"), bath.column("t_d_c"), strict=True):
        missed = abs(float(harm.denaturation_c(at)) - found) > 1.0
        face = LIGHT.ground if missed else LIGHT.ink
        apart.plot(
            at, found, "o", markerfacecolor=face, markeredgecolor=LIGHT.ink, markersize=4,
            clip_on=False, zorder=4,
        )  # fmt: skip
        if missed:
            apart.annotate(
                "missed by more than 1 C", (at, found), (12.0, 135.3), textcoords="data",
                fontsize=8, color=LIGHT.quiet, ha="left",
                arrowprops={"arrowstyle": "-", "color": LIGHT.line, "lw": 0.8},
            )  # fmt: skip
    apart.set(xlabel="minutes of a bath", ylabel="T_D, C", ylim=(133.5, 142))
    apart.set_title("by the dose: where protein comes apart", fontsize=9, loc="left")

    bleaches = table("repeat_bleach_helix2002")
    heat = np.array(bleaches.column("enthalpy_j_per_g"))
    count = np.array(bleaches.column("bleaches"))
    helix.plot([0, 3], 100 * harm.helix_left([0, 3]), color=LIGHT.accent)
    helix.plot(count, 100 * heat / heat[0], "o", color=LIGHT.ink, markersize=4)
    helix.set(xlabel="bleaches", ylabel="helix left, %", xlim=(-0.1, 3.1), ylim=(0, 104))
    helix.set_xticks(range(4))
    helix.set_title("by the dose: helix", fontsize=9, loc="left")
    for axes in (cystine, apart):
        axes.set(xlim=(0, 248))
        axes.set_xticks(range(0, 241, 60))
    cystine.set(ylim=(0, None))


def _cysteic_after() -> tuple[float, float]:
    """Read the range of cysteic acid after 4 h of 6 %, umol/g, as published."""
    row = next(one for one in table("tate1993_tensile").rows if one["property"] == "cysteic acid")
    low, high = row["bleached_4h"].split(" ")[0].split("-")
    return float(low), float(high)
