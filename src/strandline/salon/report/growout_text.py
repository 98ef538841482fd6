"""The grow-out in words and figures for a screen of text."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from strandline.base.quantities import Range
from strandline.service.growout.grow import WeekSeen
from strandline.service.plan.assemble import Made
from strandline.service.plan.growing import Grown, kept_lengths, trims_words

_NAME, _WEEK = 26, 10


def growout_text(made: Made, ways: Sequence[Grown]) -> str:
    """Give the grow-out of a plan, every way measured alike.

    Parameters
    ----------
    made : the client, the day, the sentences, her trims
    ways : over the same weeks
    """
    return "\n".join([*_lines(made, ways), ""])


def views_text(views: Mapping[str, Mapping[str, Sequence[float]]]) -> str:
    """Give what is light from each side, by way and week, in percent of the hair that is seen."""
    out = ["", "White and light hair of all that is seen, percent"]
    for view, looks in views.items():
        out.append("  her right side" if view == "side" else f"  {view}")
        for look, weeks in looks.items():
            out.append(_row(f"    {look}", [f"{100 * one:.0f}" for one in weeks]))
    return "\n".join([*out, ""])


def _lines(made: Made, ways: Sequence[Grown]) -> Iterator[str]:
    plan, weeks = made.plan, ways[0].grown.weeks
    yield f"{plan.client}, grow-out from {plan.date.isoformat()}, along the parting"
    yield ""
    for text in (plan.growout.sentence, plan.growout.picture):
        if text:
            yield text
    yield ""
    yield _row("Week", [f"{seen.week:g}" for seen in weeks])
    yield _row("Grown, cm", [f"{seen.grown_cm:.1f}" for seen in weeks])
    lengths = kept_lengths(made, [seen.week for seen in weeks])
    if lengths:
        yield _row("Length, cm", [f"{one.length_cm:.1f}" for one in lengths])
        yield _row("Of today's hair, cm", [f"{one.of_day_cm:.1f}" for one in lengths])
    yield trims_words(made)
    threshold = plan.growout.threshold
    yield ""
    times = len(plan.growout.returns)
    learned = f", learned from {times} return{'s' if times > 1 else ''}" if times else ""
    yield f"Root line: seen from {threshold:g} on{learned}; a tone that fades is not in it"
    yield from _each(ways, lambda seen: f"{seen.line_of_growth:.0f}")
    yield (
        "White and light hair beside the parting, percent of the first 6 cm "
        f"(above level {ways[0].light_from:.1f})"
    )
    yield from _each(ways, lambda seen: f"{100 * seen.lighter_than(ways[0].light_from):.0f}")
    yield ""
    after = plan.next_visit
    if after.gloss_from:
        yield from (one.words for one in plan.wear)
        yield f"So gloss again {after.gloss_from} to {after.gloss_to}; the figures count on it."
    for way in ways:
        if way.passes is not None:
            told = f"{way.name[:1].upper()}{way.name[1:]}: {_passes(way.passes)}."
            yield f"{told} {way.picture}".rstrip()


def _each(ways: Sequence[Grown], of: Callable[[WeekSeen], str]) -> Iterator[str]:
    for way in ways:
        yield _row(f"  {way.name}", [of(seen) for seen in way.grown.weeks])


def _row(name: str, cells: Sequence[str]) -> str:
    return f"{name:<{_NAME}}" + "".join(f"{cell:>{_WEEK}}" for cell in cells)


def _passes(weeks: Range) -> str:
    if weeks.middle == float("inf"):
        return "no line is seen in half a year"
    said = f"a line is seen after about {weeks.middle:.0f} weeks"
    if weeks.high == float("inf"):
        return f"{said}, from {weeks.low:.0f} on or not at all"
    if round(weeks.low) == round(weeks.high):
        return said
    return f"{said} ({weeks.low:.0f} to {weeks.high:.0f}, fast or slow growth)"
