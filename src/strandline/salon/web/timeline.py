"""A client's history as a line in time, drawn: visits, tests, what comes."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from strandline.salon.web.words import _

if TYPE_CHECKING:
    from collections.abc import Iterator

    from strandline.salon.records.look import Head

WIDTH, HEIGHT = 960, 132
LEFT, RIGHT, MIDDLE = 16, 16, 66
LEAST_DAYS = 120
"""A history shorter than this is not drawn wider."""
APART = 84
"""Least distance of two labels on one side of the line."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Something on a day: `kind` is visit, test, reaction or coming."""

    day: dt.date
    kind: str
    words: str
    href: str = ""


def marks(head: Head) -> list[Mark]:
    """Give what happened and what is agreed, by day."""
    return sorted(_marks(head), key=lambda one: (one.day, one.kind))


def _marks(head: Head) -> Iterator[Mark]:
    plans = {one.date: one.stream for one in head.plans}
    for visit in head.visits:
        if visit.date:
            count = len(visit.foils_done)
            words = f"{count} {_('foils')}" if count else _("visit")
            href = f"/plans/{plans[visit.date]}" if visit.date in plans else ""
            yield Mark(dt.date.fromisoformat(visit.date), "visit", words, href)
    for test in head.client.tests:
        words = f"{test.said['test']} {_('test')}: {test.said['result']}"
        yield Mark(dt.date.fromisoformat(test.said["applied_on"]), "test", words)
    for one in head.client.reactions:
        yield Mark(dt.date.fromisoformat(one["on"]), "reaction", _("reaction"))
    for day, what in ((head.client.foils_on, _("foils")), (head.client.gloss_on, _("gloss"))):
        if day:
            yield Mark(dt.date.fromisoformat(day), "coming", what)


def timeline(head: Head, today: dt.date) -> str:
    """Draw the line; '' where nothing has happened yet.

    Parameters
    ----------
    head : all that is known of a client
    today : the day, marked on the line
    """
    found = marks(head)
    if not found:
        return ""
    first = min(found[0].day, today)
    days = max(LEAST_DAYS, (max(found[-1].day, today) - first).days)

    def at(day: dt.date) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (day - first).days / days

    parts = [f'<path class="strand" d="M{LEFT} {MIDDLE}H{WIDTH - RIGHT}"/>']
    x = at(today)
    parts.append(f'<path class="today" d="M{x:.1f} {MIDDLE - 14}V{MIDDLE + 14}"/>')
    ends = {True: -1e9, False: -1e9}
    for mark in found:
        x = at(mark.day)
        above = mark.kind in ("visit", "coming")
        parts.append(_sign(mark, x))
        if x - ends[above] >= APART:
            parts.append(_label(mark, x, above=above))
            ends[above] = x
    told = "; ".join(f"{one.day.isoformat()} {one.words}" for one in found)
    return (
        f'<svg class="timeline" viewBox="0 0 {WIDTH} {HEIGHT}" role="img">'
        f"<title>{escape(_('Her history as a line in time'))}</title><desc>{escape(told)}</desc>"
        f"{''.join(parts)}</svg>"
    )


def _sign(mark: Mark, x: float) -> str:
    if mark.kind == "visit":
        return f'<circle class="visit" cx="{x:.1f}" cy="{MIDDLE}" r="8"/>'
    if mark.kind == "coming":
        return f'<circle class="coming" cx="{x:.1f}" cy="{MIDDLE}" r="8"/>'
    return f'<path class="{mark.kind}" d="M{x:.1f} {MIDDLE}v16"/>'


def _label(mark: Mark, x: float, *, above: bool) -> str:
    anchor = "start" if x < 120 else "end" if x > WIDTH - 120 else "middle"
    y = MIDDLE - 38 if above else MIDDLE + 34
    shift = {"start": -8, "middle": 0, "end": 8}[anchor]
    day = f"{mark.day.day}.{mark.day.month}.{mark.day.year % 100:02d}"
    return (
        f'<text x="{x + shift:.1f}" y="{y}" text-anchor="{anchor}">{escape(mark.words)}</text>'
        f'<text class="day" x="{x + shift:.1f}" y="{y + 18}" text-anchor="{anchor}">{day}</text>'
    )
