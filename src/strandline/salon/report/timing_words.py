"""The timing of a head's foils as lines for a terminal, and as JSON: best, as planned, ways out.

Minutes count from the first parting; harm is the dose of 6 % in minutes, mean by mass of hair.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby

from strandline.science.chemistry.developer import Share, mix
from strandline.service.care.cautions import for_colour, for_lightener
from strandline.service.care.finding import Finding
from strandline.service.plan.assemble import Made
from strandline.service.plan.compared import Compared, OutOfReach, spent_money
from strandline.service.plan.timed import COLOUR, COLOUR_VOL
from strandline.service.schedule.result import NEVER_SO, Out, Poured, Timing
from strandline.service.schedule.value import Value
from strandline.service.schedule.wayout import Way

WIDTH = 96
INDENT = " " * 9
LAW = (
    "every way of whole blocks walked or shown to be no better; stages by the law of lift, 64 draws"
)
WHOLE = (
    "What is searched takes whole blocks; the plan's own clock may close a group early, and keeps "
    "the label where that does not."
)
ORDER = (
    "Label first, then no foil past its aim, then none short of it, then least harm and minutes."
)
STAGES_KNOWN = (
    "The most likely stage; in brackets where eight of ten such heads end, before any foil of this "
    "one is checked. Minutes from the first parting."
)
HARM_KNOWN = (
    "Harm in minutes of 6 %, counted from baths: it compares timings, and never says that hair "
    "holds."
)
WIPED = "Wiped is not rinsed: rinse these first if anything is felt."
DARK = (
    "Old colour takes its bowl first and from 2 cm out, nothing over 20 volume nearer the scalp; "
    "the plan keeps her rule for it."
)
NOT_SEARCHED = "Not so: foils would pass the label. Work as planned, which keeps it."
SPARE_MIN = 3.0
"""Less than this before the label one trip to the basin is too much; common practice, no source."""
TOLD_STAGE = 0.005
"""A mean stage below this is not told."""


def timing_text(made: Made, compared: Compared) -> str:
    """Write it for a terminal."""
    return "\n".join([*_lines(made, compared), ""])


def _lines(made: Made, compared: Compared) -> Iterator[str]:
    yield from _head(made, compared)
    yield ""
    searched, planned = _searched(made, compared), _planned(compared)
    first = [*planned, *searched] if compared.own_is_as_good else [*searched, *planned]
    for line in first:
        yield from _wrapped(line)
    if not compared.own_is_as_good:
        yield ""
        yield from _table(compared.timed.timing)
        yield from _under(made, compared.timed.timing)
    yield from _otherwise(made, compared)
    yield ""
    for note in notes_of(made, compared):
        yield from _wrapped(f"{INDENT}{note}")
    for one in cautions_of(made, compared.timed.timing):
        yield from _wrapped(f"!        {one.step}: {one.what} {one.do}")


def _head(made: Made, compared: Compared) -> Iterator[str]:
    """Say whose head it is, what is asked, what holds it, and how far its hair comes."""
    plan = made.plan
    count = sum(len(block.foils) for block in compared.problem.blocks)
    colour = sum(foil.kind == "lowlight weave" for foil in made.foils or ())
    kinds = f"{count} foils" + (f", {colour} of them lowlights" if colour else " of lightener")
    hands = "with a helper" if compared.problem.hands.helper else "alone"
    yield f"{plan.client} · {plan.date:%d %B %Y} · {kinds}, {hands}"
    yield f"Aim stage {plan.aim_stage:g}; label {label_of(made):g} min at most"
    for one in plan.reasons:
        if one.weight in ("stop", "wait"):
            yield from _wrapped(f"{one.weight.upper():<9}{one.what} {one.do}")
    for far in compared.out_of_reach:
        yield from _wrapped(f"REACH    {_reach(far, plan.aim_stage, label_of(made))}")


def _under(made: Made, timing: Timing) -> Iterator[str]:
    """Say what is mixed, and which foils have little to spare."""
    yield from _wrapped(f"BOWLS    {_bowls(made, timing)}")
    tight = _tight(made, timing)
    if tight:
        yield from _wrapped(
            f"TIGHT    {tight}: less than {SPARE_MIN:g} min to the label. Begin these early."
        )


def _otherwise(made: Made, compared: Compared) -> Iterator[str]:
    """Say what binds and the ways out."""
    money = made.consultation.money
    if compared.timed.binding:
        yield ""
    for bond in compared.timed.binding:
        yield from _wrapped(f"BINDS    {bond.what}: {bond.why}")
    for way in compared.ways:
        yield from _way(way, compared, money.currency if money else "")
    if compared.timed.binding and not compared.ways:
        yield from _wrapped("WAY OUT  None of those tried is better.")


def _searched(made: Made, compared: Compared) -> list[str]:
    timing = compared.timed.timing
    head = (
        f"SEARCHED {timing.chair_min:.0f} min until the rinse is done, all placed by "
        f"{timing.clock.placed:.0f}; harm {timing.dose:.0f} min at 6 %"
        f"{_price(made, spent_money(made, timing))}"
    )
    said = [head, f"{INDENT}{_aims(timing.value, compared)}"]
    if timing.value.past_label > 0:
        said.append(f"STOP     {NEVER_SO if compared.own.value.past_label else NOT_SEARCHED}")
    return said


def _planned(compared: Compared) -> list[str]:
    own = compared.own
    said = [
        f"PLANNED  {own.chair_min:.0f} min by her own rule; {_vols(own.vols)}; harm {own.dose:.0f}",
        f"{INDENT}{_aims(own.value, compared)}",
    ]
    if compared.own_is_as_good:
        said.append(f"{INDENT}Nothing better was found: stay with it.")
    return said


def _reach(far: OutOfReach, aim: float, label_min: float) -> str:
    why = (
        f"the label's {label_min:g} min end before"
        if far.why == "label"
        else "no strength that may be used takes it farther"
    )
    return f"{far.band} comes to stage {far.stage:.1f}, not to {aim:g}: {why}."


def _table(timing: Timing) -> Iterator[str]:
    """Lay out the blocks: a line for each, or a line for each stretch that has its own bowl."""
    by_block = [(name, list(each)) for name, each in groupby(timing.poured, lambda one: one.block)]
    bands = list(dict.fromkeys(one.band for one in timing.poured if not is_colour_row(one)))
    flat = len(bands) <= MOST_COLUMNS and all(_alike(poured) for _, poured in by_block)
    heads = [band.upper() for band in bands] if flat else ["STAGE"]
    yield _row("FOILS", "BOWL", "MIN IN", heads, "OUT AT").rstrip()
    for name, poured in by_block:
        out = next(one for one in timing.outs if one.block == name)
        if flat or is_colour_row(poured[0]):
            stages = [
                next((_stage(one) for one in poured if one.band == band), "")
                for band in (bands if flat else [""])
            ]
            yield _row(name, _vol(poured[0]), _inside(poured[0]), stages, _out(out))
            continue
        yield _row(name, "", "", [""], _out(out))
        for one in poured:
            yield _row(f"  {one.band}", _vol(one), _inside(one), [_stage(one)], "").rstrip()


MOST_COLUMNS = 2
"""Stretches of hair that find room beside each other on a line."""


def _row(foils: str, bowl: str, inside: str, stages: Sequence[str], out: str) -> str:
    wide = "".join(f"{stage:<{STAGE_WIDTH}}" for stage in stages)
    return f"{_short(foils):<28} {bowl:<9}{inside:<8}{wide}{out}"


STAGE_WIDTH = 18


def _short(foils: str) -> str:
    return textwrap.shorten(
        foils.removeprefix("foils ").removeprefix("foil "), 28, placeholder=" …)"
    )


def _alike(poured: Sequence[Poured]) -> bool:
    return len({(one.vol, one.after_min) for one in poured}) == 1


def is_colour_row(one: Poured) -> bool:
    """Say whether a row is of lowlight colour."""
    return one.band == COLOUR


def _vol(one: Poured) -> str:
    if is_colour_row(one):
        return "colour"
    after = f"+{one.after_min:.0f}" if one.after_min else ""
    return f"{one.vol:.3g}{after}" if after else f"{one.vol:.4g}"


def _inside(one: Poured) -> str:
    low, high = (round(minute) for minute in one.in_min)
    return f"{low}-{high}" if high > low else f"{low}"


def _stage(one: Poured) -> str:
    return f"{one.stage.middle:.1f} ({one.stage.low:.1f}-{one.stage.high:.1f})"


def _out(out: Out) -> str:
    if out.how != "wipe":
        return f"{math.floor(out.at_min)} {out.how}"
    who = "helper" if out.who == "helper" else "you"
    return f"{math.floor(out.at_min)} wipe, {who}"


def _way(way: Way, compared: Compared, currency: str) -> Iterator[str]:
    more = way.minutes - compared.timed.timing.chair_min
    money = "" if way.money is None else f"; {currency} {way.money:.0f}"
    yield from _wrapped(
        f"WAY OUT  {way.what} {way.minutes:.0f} min in all ({more:+.0f}); harm {way.dose:.0f} min"
        f"{money}; {_vols(_lightener(way))}. {_aims(way.value, compared)}"
    )
    if way.value.past_label > 0:
        yield from _wrapped(f"{INDENT}Not so either: a label would still be passed.")


def _lightener(way: Way) -> list[float]:
    vols = [one.vol for day in way.timings for one in day.poured if not is_colour_row(one)]
    return list(dict.fromkeys(vols))


def _aims(value: Value, compared: Compared) -> str:
    """Say how far a timing keeps the aims."""
    if value.looks_met:
        if compared.out_of_reach:
            return "As far as this hair comes within the label, by what is most likely."
        return "On its aim within the label, by what is most likely."
    said = []
    if value.past_label > 0:
        said.append(f"{value.past_label:.1f} foil minutes past the label")
    if value.past_aim >= TOLD_STAGE:
        said.append(f"{value.past_aim:.2f} of a stage past what the aim allows")
    if value.short >= TOLD_STAGE:
        said.append(f"{value.short:.2f} of a stage short of it")
    return f"All foils together: {', '.join(said)}."


def _tight(made: Made, timing: Timing) -> str:
    """Name the blocks whose longest foil leaves little before the label."""
    label = label_of(made)
    return ", ".join(
        dict.fromkeys(
            _short(one.block)
            for one in timing.poured
            if not is_colour_row(one) and 0 <= label - one.after_min - one.in_min[1] < SPARE_MIN
        )
    )


def _bowls(made: Made, timing: Timing) -> str:
    said = [
        f"{count} x {'colour' if vol == COLOUR_VOL else _parts(made, vol)}"
        for vol, count in timing.bowls.items()
    ]
    fresh = f"{made.bench['bowl_foils']:.0f} foils or {made.bench['bowl_minutes']:.0f} min"
    return f"{', '.join(said)}; fresh after {fresh}."


def _parts(made: Made, vol: float) -> str:
    shares = shares_of(made, vol)
    if len(shares) == 1:
        return f"{vol:.4g} vol"
    parts = " + ".join(f"{share.parts:g} of {share.vol:g}" for share in shares)
    return f"{vol:.4g} vol ({parts})"


def shares_of(made: Made, vol: float) -> tuple[Share, ...]:
    """Give the bottles a strength is poured from."""
    stocks = made.asked.stock_vols if made.asked else ()
    return mix(vol, stocks, 60.0).poured


def _vols(vols: Sequence[float]) -> str:
    return ", then ".join(f"{vol:.4g} vol" for vol in vols)


def _price(made: Made, amount: float | None) -> str:
    money = made.consultation.money
    return "" if money is None or amount is None else f"; {money.currency} {amount:.0f}"


def label_of(made: Made) -> float:
    """Give the label's longest time, min."""
    return made.asked.label_max_min if made.asked else math.nan


def notes_of(made: Made, compared: Compared) -> list[str]:
    """Give what a reader should know of these figures."""
    notes = [WIPED, ORDER, WHOLE, STAGES_KNOWN, HARM_KNOWN]
    if made.asked is not None and made.asked.dark:
        notes.insert(0, DARK)
    money = made.consultation.money
    helped = compared.problem.hands.helper or any(way.name == "helper" for way in compared.ways)
    if money is not None and money.helper_per_hour is None and helped:
        notes.append("A helper's pay is not given (money.helper_per_hour): none is counted.")
    if money is not None:
        notes.append(
            "Money is the floor of her minutes until the rinse, her helper and the lightener."
        )
    if not compared.timed.complete:
        notes.append("The search was stopped: this is the best found until then.")
    return notes


def cautions_of(made: Made, timing: Timing) -> list[Finding]:
    """Give the cautions where lightener and colour are mixed and foils lie."""
    colour = for_colour()[:1] if any(map(is_colour_row, timing.poured)) else []
    return colour + for_lightener(label_of(made), max(one.vol for one in timing.poured))


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=INDENT)
