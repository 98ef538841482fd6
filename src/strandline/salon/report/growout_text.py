"""The grow-out in words and figures for a screen of text."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from strandline.base.quantities import Range
from strandline.science.seeing.contrast import Contrast
from strandline.service.growout.grow import WeekSeen
from strandline.service.plan.growing import Grown
from strandline.service.plan.model import ServicePlan

_NAME, _WEEK = 26, 10


def growout_text(plan: ServicePlan, ways: Sequence[Grown]) -> str:
    """Give the grow-out of a plan, every way measured alike.

    Parameters
    ----------
    plan : the client, the day, the sentences
    ways : over the same weeks
    """
    return "\n".join([*_lines(plan, ways), ""])


def views_text(views: Mapping[str, Mapping[str, Sequence[Contrast]]]) -> str:
    """Give what is light from each side, by look and week, in percent of the hair that is seen."""
    out = ["", "Light hair of what is seen, percent"]
    for view, looks in views.items():
        for look, weeks in looks.items():
            shares = [_light(one) for one in weeks]
            out.append(_row(f"  {view}, {look}", shares))
    return "\n".join([*out, ""])


def _lines(plan: ServicePlan, ways: Sequence[Grown]) -> Iterator[str]:
    weeks = ways[0].grown.weeks
    yield f"{plan.client}, grow-out from {plan.date.isoformat()}, along the parting"
    yield ""
    for text in (plan.growout.sentence, plan.growout.picture):
        if text:
            yield text
    yield ""
    yield _row("Week", [f"{seen.week:g}" for seen in weeks])
    yield _row("Grown, cm", [f"{seen.grown_cm:.1f}" for seen in weeks])
    threshold = plan.growout.threshold
    yield ""
    times = len(plan.growout.returns)
    learned = f", learned from {times} return{'s' if times > 1 else ''}" if times else ""
    yield f"Line, dE00 cm: seen from {threshold:g} on{learned} (what fades is left out)"
    yield from _each(ways, lambda seen: f"{seen.line_of_growth:.0f}")
    yield "Edge, dE00: the steepest step"
    yield from _each(ways, lambda seen: f"{seen.edge:.0f}")
    yield "Light hair, percent of what lies there"
    yield from _each(ways, lambda seen: _light(seen.contrast))
    yield "Level of the light / of the rest"
    yield from _each(ways, lambda seen: _levels(seen.contrast))
    yield ""
    for way in ways:
        if way.passes is not None:
            yield f"{way.name[:1].upper()}{way.name[1:]}: {_passes(way.passes)}."


def _each(ways: Sequence[Grown], of: Callable[[WeekSeen], str]) -> Iterator[str]:
    for way in ways:
        yield _row(f"  {way.name}", [of(seen) for seen in way.grown.weeks])


def _row(name: str, cells: Sequence[str]) -> str:
    return f"{name:<{_NAME}}" + "".join(f"{cell:>{_WEEK}}" for cell in cells)


def _light(one: Contrast) -> str:
    return "even" if one.even else f"{100 * one.light_share:.0f}"


def _levels(one: Contrast) -> str:
    if one.even:
        return f"{one.dark_level:.1f}"
    return f"{one.light_level:.1f}/{one.dark_level:.1f}"


def _passes(weeks: Range) -> str:
    if weeks.middle == float("inf"):
        return "no line is seen in half a year"
    said = f"a line is seen after about {weeks.middle:.0f} weeks"
    if weeks.high == float("inf"):
        return f"{said}, from {weeks.low:.0f} on or not at all"
    if round(weeks.low) == round(weeks.high):
        return said
    return f"{said} ({weeks.low:.0f} to {weeks.high:.0f} as hair grows)"
