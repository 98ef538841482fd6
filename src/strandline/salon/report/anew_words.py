"""What is left of a visit as lines for a terminal: the next thing first."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from strandline.service.anew.model import Anew, GroupNow, Step
from strandline.service.plan.gloss_parts import GlossStep

WIDTH = 96
INDENT = " " * 9


def anew_text(rest: Anew, client: str) -> str:
    """Write it for a terminal."""
    return "\n".join([*_lines(rest, client), ""])


def _lines(rest: Anew, client: str) -> Iterator[str]:
    foils = f"{len(rest.placed)} foils placed, {len(rest.out)} out, {len(rest.to_come)} to come"
    yield f"{client} · {rest.now} · {foils}"
    yield ""
    for step in rest.steps:
        yield from _step(step.model_copy(update={"at": "STOP"}) if rest.rinse_now else step)
    if rest.groups:
        yield ""
        yield "CLOCKS   foils, section; in, due (80 % of what is believed), latest by the label"
        yield from map(_group, rest.groups)
    if rest.learned:
        yield ""
        yield f"LEARNED  from {rest.checks} checks"
        yield from (f"{INDENT}{one.words}" for one in rest.learned)
    if rest.gloss:
        yield ""
        yield from (line for step in rest.gloss for line in _gloss(step))
    yield ""
    if rest.finish:
        yield from _finish(rest)
    for one in rest.kept:
        yield from _wrapped(f"KEPT     {one}")
    for one in rest.cautions:
        yield from _wrapped(f"!        {one}")


def _finish(rest: Anew) -> Iterator[str]:
    money = rest.money
    ends = f"{rest.finish} ({rest.finish_low} to {rest.finish_high})"
    minutes = f"{money.minutes_now:.0f} min in all, planned {money.minutes_before:.0f}"
    yield f"FINISH   {ends}, booked until {rest.booked_until}; {minutes}"
    if money.floor_now is not None and money.floor_before is not None:
        floor = f"floor {money.floor_now:.0f} {money.currency}"
        yield f"PRICE    {floor}, it was {money.floor_before:.0f}"


def _step(step: Step) -> Iterator[str]:
    yield from _wrapped(f"{step.at or 'then':<9}{step.what}")
    yield from _wrapped(f"{INDENT}{step.why}")
    if step.caution:
        yield from _wrapped(f"{INDENT}! {step.caution}")


def _group(group: GroupNow) -> str:
    due = f"due {group.due}" if group.due else "stalls below its aim"
    ends = f" ({group.due_low} to {group.due_high or 'never'})" if group.due_low else ""
    since = f"{'in' if group.state == 'in' else 'from'} {group.start}"
    return (
        f"{INDENT}{group.foils:<6} {group.section:<15} {since:<10} {due}{ends}, latest "
        f"{group.latest}, {group.how} {group.out}"
    )


def _gloss(step: GlossStep) -> Iterator[str]:
    parts = " + ".join(
        f"{part.grams:g} g {part.shade}" if part.grams else part.shade for part in step.parts
    )
    developer = (
        f" + {step.developer_grams:g} g developer of {step.developer_vol:.3g} vol"
        if step.developer_grams
        else ", of the same bowl"
    )
    low, high = f"{step.minutes_low:g}", f"{step.minutes_high:g}"
    minutes = low if low == high else f"{low}-{high}"
    yield from _wrapped(
        f"GLOSS    {step.order}. {step.place}: {parts}{developer}; look at "
        f"{step.first_look_min:g} min, on for {minutes} min"
    )


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=INDENT)
