"""Several plans side by side in words for a terminal: what each buys, costs, and where it lies."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from strandline.salon.report.summary import WIDTH
from strandline.service.plan.ways_model import Course, VisitAhead, Way, Ways, ZoneTaken

LABEL = 30
COLUMN = 16
NAME = 12


def ways_text(ways: Ways) -> str:
    """Write several plans so that one look tells them apart.

    Parameters
    ----------
    ways : as made

    Returns
    -------
    text, at most `WIDTH` columns, ending with a new line
    """
    lines = [line for told in _lines(ways) for line in _wrapped(told)]
    return "\n".join(lines) + "\n"


def _lines(ways: Ways) -> Iterator[str]:
    yield f"{ways.client} · {ways.date:%d %B %Y} · visit {ways.visit} · {', '.join(ways.limits)}"
    if ways.verdict != "go":
        yield f"{ways.verdict.upper()}: see the reasons before anything else."
    for reason in ways.reasons:
        yield f"  {reason.weight}: {reason.what} {reason.do}"
    for one in ways.contradicts:
        yield f"  does not fit: {one.what} {one.do}"
    if not ways.ways:
        yield "No way to go today."
        return
    yield ""
    for way in ways.ways:
        yield f"{way.name.upper():<{NAME}} {way.words}"
    yield ""
    yield from _table(ways)
    yield from _where(ways)
    yield from _kept_back(ways)
    if ways.course is not None:
        yield from _course(ways.course, ways.currency)


def _table(ways: Ways) -> Iterator[str]:
    yield _row("", (way.name for way in ways.ways))
    yield _row("foils", (f"{w.foils}" for w in ways.ways))
    yield _row("hours", (f"{w.minutes / 60:.1f}" for w in ways.ways))
    if any(w.money is not None for w in ways.ways):
        label = f"price from, {ways.currency}"
        yield _row(label, ("" if w.money is None else f"{w.money:.0f}" for w in ways.ways))
    yield _row("of the wish, %", (f"{w.wish_percent:.0f}" for w in ways.ways))
    if any(w.light_percent for w in ways.ways):
        yield _row("hair made light, %", (f"{w.light_percent:.0f}" for w in ways.ways))
        yield _row("strongest, vol", (_or_none(w.strongest_vol) for w in ways.ways))
        yield _row(
            "cystine oxidised in a foil, %", (_or_none(w.oxidised_percent) for w in ways.ways)
        )
    if any(w.dark_percent for w in ways.ways):
        yield _row("hair made darker, %", (f"{w.dark_percent:.0f}" for w in ways.ways))
    yield _row("line after 8 weeks, dE00 cm", (f"{w.line_week_8:.0f}" for w in ways.ways))
    if any(w.old_percent for w in ways.ways):
        yield _row("still with old colour, %", (f"{w.old_percent:.0f}" for w in ways.ways))
    yield _row("back in, weeks", (f"{w.return_weeks:g}" for w in ways.ways))
    yield _row("visits like it to the aim", (_visits(w) for w in ways.ways))
    if any(w.year_money is not None for w in ways.ways):
        label = f"a year of it, {ways.currency}"
        yield _row(
            label, ("" if w.year_money is None else f"{w.year_money:.0f}" for w in ways.ways)
        )
    yield (
        f"(her rules: {ways.stands_foils} foils, {ways.stands_minutes / 60:.1f} h"
        + ("" if ways.stands_money is None else f", from {ways.stands_money:.0f} {ways.currency}")
        + ": strandline plan without --alternatives)"
    )


def _or_none(value: float) -> str:
    return f"{value:g}" if value else "-"


def _visits(way: Way) -> str:
    return "-" if way.visits is None else f"{way.visits}"


def _where(ways: Ways) -> Iterator[str]:
    with_foils = [way for way in ways.ways if way.foils]
    if not with_foils:
        return
    yield _row("where the foils lie", ("" for _ in ways.ways))
    zones = list(dict.fromkeys(one.zone for way in with_foils for one in way.taken))
    for zone in zones:
        taken = [next((o for o in w.taken if o.zone == zone), None) for w in ways.ways]
        yield _row(f"  {zone}", ("" if o is None else _cell(o) for o in taken))


def _cell(one: ZoneTaken) -> str:
    """Say what a zone takes in two words: '17 slices close'."""
    if not one.foils:
        return "-"
    taken = one.words.split(",", maxsplit=1)[0]
    kind = next((word for word in taken.split() if word in KINDS), "")
    space = next((short for long, short in SPACES.items() if long in taken), "")
    return f"{one.foils} {kind} {space}".strip()


KINDS = ("slices", "weaves")
SPACES = {"close": "close", "usual": "", "open": "open", "wide": "wide"}
"""Spaces in a word each; the usual one needs none."""


def _kept_back(ways: Ways) -> Iterator[str]:
    if ways.binds or ways.not_reached:
        yield ""
    if ways.binds:
        yield f"What binds: {_and(ways.binds)}."
    yield from ways.not_reached
    if any(way.plan.growout.picture_parts for way in ways.ways):
        yield ""
        yield _row("the picture is reached", ("" for _ in ways.ways))
        for n, what in enumerate(("light", "depth", "light level")):
            parts = [way.plan.growout.picture_parts for way in ways.ways]
            wanted = parts[0][n].wanted
            said = f"{100 * wanted:.0f} %" if what == "light" else f"{wanted:g}"
            yield _row(f"  {what} {said}", (_when(of[n].visit) for of in parts))
        yield f"{ways.ways[-1].name.capitalize()}: {ways.ways[-1].picture}"


def _when(visit: int | None) -> str:
    if visit is None:
        return "not so"
    return "today" if visit == 1 else f"visit {visit}"


def _course(course: Course, currency: str) -> Iterator[str]:
    yield ""
    yield "The visits to the aim, with the least harm, hours and money"
    for visit in course.visits:
        yield _visit(visit, currency)
        yield "    " + ", ".join(f"{o.zone} {_cell(o)}" for o in visit.taken if o.foils)
    yield from (f"  {words}" for words in course.words)
    if course.first_year_money is not None:
        said = f"  First year {course.first_year_money:.0f} {currency}"
        said += f", {course.first_year_hours:g} h in the chair"
        if course.cover_year_money is not None:
            said += (
                f"; a year of cover {course.cover_year_money:.0f} {currency}, "
                f"{course.cover_year_hours:g} h"
            )
        yield said + "."


def _visit(visit: VisitAhead, currency: str) -> str:
    price = "" if visit.money is None else f", from {visit.money:.0f} {currency}"
    return (
        f"  visit {visit.visit}, {visit.date:%B %Y}: {visit.foils} foils, "
        f"{visit.minutes / 60:.1f} h{price}; {visit.wish_percent:.0f} % of the wish, "
        f"{visit.light_percent:.0f} % light, {visit.old_percent:.0f} % old colour"
    )


def _row(label: str, values: Iterable[str]) -> str:
    return f"{label:<{LABEL}}" + "".join(f"{value:>{COLUMN}}" for value in values)


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _wrapped(line: str) -> list[str]:
    line = line.rstrip()
    if len(line) <= WIDTH:
        return [line]
    indent = len(line) - len(line.lstrip()) + 4
    if line[:NAME].strip().isupper():
        indent = NAME + 1
    return textwrap.wrap(line, WIDTH, subsequent_indent=" " * indent)
