"""The page on gloss: dyes, recipes, the clock on three grounds, and how a gloss wears."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.salon.cli.docs.gloss_tables import filler_rows, kind_rows, miss_rows
from strandline.salon.cli.docs.pages import constants_table, filled, table_lines
from strandline.salon.evidence.gloss import least_chroma_a
from strandline.science.chemistry.deposit import uptake
from strandline.science.chemistry.fade import WASHES_PER_WEEK
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.service.formulate.clock import MISSES, Clock, clock_of
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.home_care import worn
from strandline.service.formulate.rules import clocks, rules

Floats = NDArray[np.float64]

PALE = (71.2, 1.9, 18.0)
KIND, LABEL_MIN = "acid demi", 20.0
DOSE = {"depth": 0.1, "violet": 0.30, "blue": 0.12}
"""Dyes of the toner of this page at full uptake, K/S at the peaks; a plain violet, from memory."""
BEST_MIN = 8.0
GROUNDS = {
    "pale yellow, mids": (PALE, 1.0),
    "pale yellow, porous ends": (PALE, 1.3),
    "yellow, mids": ((66.5, 4.0, 25.0), 1.0),
}
"""Ground and uptake of each."""
INTERVALS: dict[str, float | None] = {"none": None, "14 days": 14.0, "7 days": 7.0, "3.5 days": 3.5}
WEEKS = np.linspace(0.0, 8.0, 113)


@cache
def dyes() -> Floats:
    """Give the toner of this page at full uptake, shape (D,)."""
    return np.array([DOSE.get(name, 0.0) for name in DYES])


def dyes_at(minute: float) -> Floats:
    """Give what is on sound mids after some minutes, shape (D,)."""
    return np.asarray(dyes() * uptake(minute, LABEL_MIN, KIND))


def aim() -> Floats:
    """Give the aim of the page: what the toner leaves on pale mids at its best minute."""
    ground = Ground(ground_of(PALE).ks[None], np.ones(1), np.ones(1), np.zeros(3))
    return np.asarray(ground.look(dyes_at(BEST_MIN)[None])[0])


def pale() -> Ground:
    """Give pale mids with the aim of the page."""
    return Ground(ground_of(PALE).ks[None], np.ones(1), np.ones(1), aim())


@cache
def three() -> dict[str, Clock]:
    """Give the clock of one bowl on three grounds."""
    return {
        name: clock_of(
            Ground(ground_of(lab).ks[None], np.ones(1), np.array([factor]), aim()),
            dyes_at,
            BEST_MIN,
            LABEL_MIN,
            clocks()[KIND].first,
        )
        for name, (lab, factor) in GROUNDS.items()
    }


@cache
def wearing() -> dict[str, Floats]:
    """Give b* by week for each interval of violet shampoo, shape (T,)."""
    ground = pale()
    start = dyes_at(BEST_MIN)
    return {
        name: worn(ground, start, KIND, WEEKS, every_days=days)[:, 2]
        for name, days in INTERVALS.items()
    }


def gloss_page() -> str:
    """Give the page: its words from `gloss.txt`, its tables from the code."""
    tables: dict[str, Iterable[str]] = {
        "pink": (f"{least_chroma_a(550.0):+.1f}",),
        "green": (f"{least_chroma_a(600.0):+.1f}",),
        "rules": constants_table(rules().items()),
        "minutes": _minutes(),
        "washes": (f"{WASHES_PER_WEEK:g}",),
        "weeks": _weeks(),
        "misses": miss_rows(pale(), dyes_at(BEST_MIN), KIND, BEST_MIN),
        "filler": filler_rows(),
        "kinds": kind_rows(pale(), dyes_at(BEST_MIN), KIND),
    }
    return filled("gloss.txt", tables)


def _minutes() -> Iterator[str]:
    rows = []
    for name, clock in three().items():
        at = int(np.argmin(clock.away))
        miss = MISSES.get(clock.overdone, "") if clock.overdone_from is not None else ""
        rows.append(
            (
                name,
                ", ".join(f"{x:.1f}" for x in clock.lab[int(BEST_MIN * 4)]),
                f"{clock.away[int(BEST_MIN * 4)]:.1f}",
                f"{clock.minutes[at]:.0f}",
                miss or "none within the label",
            )
        )
    head = ("ground", "L*, a*, b* at 8 min", "dE00", "nearest at, min", "overdone it is")
    return table_lines(head, rows)


def _weeks() -> Iterator[str]:
    at = [int(np.argmin(np.abs(WEEKS - week))) for week in (0, 2, 4, 6, 8)]
    rows = [(name, *(f"{b[i]:.1f}" for i in at)) for name, b in wearing().items()]
    return table_lines(("violet shampoo every", "b* fresh", "2 weeks", "4", "6", "8"), rows)
