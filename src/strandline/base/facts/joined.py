"""What belongs together: a bowl and its rest, a gloss and its rinse, a check and its minutes."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from typing import Any

from strandline.base.facts.fact import Fact, utc_text
from strandline.base.facts.placed import (
    Placed,
    is_whole,
    minutes_between,
    text_or_none,
    time_ms,
)
from strandline.base.facts.understand import Flag, order
from strandline.base.facts.visit import AreaResult, Bowl, Feeling, Gloss, Out, Seen


def checks_of(standing: Iterable[Fact], placed: Placed) -> tuple[Seen, ...]:
    """Give each check with its minutes since that foil, or the section's first, went in."""
    out = []
    starts = {n: start for n, start in placed.starts.items() if start is not None}
    for fact in standing:
        if fact.kind != "check.seen":
            continue
        foil, section = say(fact, "foil", "section")
        since = starts.get(foil)
        if section is not None:
            of_it = [s for n, s in starts.items() if placed.foils[n].section == section]
            since = min(of_it, default=None)
        band, stage, sureness, dried = say(fact, "band", "stage", "sureness", "dried")
        minutes = minutes_between(since, time_ms(fact))
        out.append(Seen(time_text(fact), foil, section, band, stage, sureness, dried, minutes))
    return tuple(out)


def outs_of(standing: Iterable[Fact], kind: str) -> tuple[Out, ...]:
    """Give the wipes or the rinses."""
    return tuple(
        Out(time_text(fact), *say(fact, "foils", "section", "place"))
        for fact in standing
        if fact.kind == kind
    )


def bowls_of(standing: Iterable[Fact], flags: list[Flag]) -> tuple[Bowl, ...]:
    """Join each bowl with what was left of it, the last word standing."""
    mixed: list[Fact] = []
    left: dict[str, Fact] = {}
    for fact in standing:
        if fact.kind == "bowl.mixed":
            mixed.append(fact)
        elif fact.kind == "bowl.left":
            same = [one for one in mixed if one.payload["bowl"] == fact.payload["bowl"]]
            if same:
                left[same[-1].id] = fact
            else:
                why = "No bowl of that name was mixed before."
                flags.append(Flag(fact.id, fact.kind, "orphan", "bowl", why=why))
    return tuple(
        Bowl(
            fact.payload["bowl"],
            time_text(fact),
            *say(fact, "developer_vol", "developer_grams", "powder_grams", "colour_grams"),
            *(say(left[fact.id], "grams", "amount") if fact.id in left else (None, None)),
        )
        for fact in mixed
    )


def glosses_of(standing: Sequence[Fact], flags: list[Flag]) -> tuple[Gloss, ...]:
    """Join each gloss with how it was last seen and the first rinse after it that is of it."""
    applied: dict[int, str] = {}
    seen: dict[int, Fact] = {}
    rinsed: dict[int, int] = {}
    for at, fact in enumerate(standing):
        if fact.kind == "gloss.applied":
            applied[at] = fact.payload["place"]
        elif fact.kind == "gloss.seen":
            same = [one for one, place in applied.items() if place == fact.payload["place"]]
            if same:
                seen[same[-1]] = fact
            else:
                why = "No gloss was applied there before."
                flags.append(Flag(fact.id, fact.kind, "orphan", "place", why=why))
        elif fact.kind == "rinsed":
            for one, place in applied.items():
                if is_whole(fact) or fact.payload.get("place") == place:
                    rinsed.setdefault(one, time_ms(fact))
    out = []
    for at, place in applied.items():
        fact = standing[at]
        turned, tone = say(seen[at], "turned", "tone") if at in seen else (None, None)
        out.append(
            Gloss(
                place,
                fact.payload["recipe"],
                time_text(fact),
                turned,
                tone,
                text_or_none(rinsed.get(at)),
                minutes_between(time_ms(fact), rinsed.get(at)),
            )
        )
    return tuple(out)


def feelings_of(standing: Iterable[Fact], believed: Iterable[Fact]) -> tuple[Feeling, ...]:
    """Give what was felt, in facts that stand and in others where a feeling is believed."""
    both = [fact for fact in itertools.chain(standing, believed) if fact.kind == "felt"]
    rinses = [fact for fact in standing if fact.kind == "rinsed" and is_whole(fact)]
    out = []
    for fact in sorted(both, key=order):
        after = [rinse for rinse in rinses if order(rinse) > order(fact)]
        rinsed = time_text(after[0]) if after else None
        what, where = say(fact, "what", "where")
        out.append(Feeling(time_text(fact), what, where, rinsed))
    return tuple(out)


def results_of(standing: Iterable[Fact]) -> tuple[tuple[AreaResult, ...], tuple[AreaResult, ...]]:
    """Give the last judgement of each area, and those it replaced."""
    every = [
        AreaResult(time_text(fact), *say(fact, "area", "stage", "evenness", "tone", "remedy"))
        for fact in standing
        if fact.kind == "result.seen"
    ]
    last = {result.area: at for at, result in enumerate(every)}
    return (
        tuple(result for at, result in enumerate(every) if last[result.area] == at),
        tuple(result for at, result in enumerate(every) if last[result.area] != at),
    )


def time_text(fact: Fact) -> str:
    """Write the time of an understood fact."""
    return utc_text(time_ms(fact))


def say(fact: Fact, *names: str) -> Any:  # noqa: ANN401  # a tuple of whatever fields hold
    """Give named fields of a payload, None where it does not say; lists as tuples."""
    values = (fact.payload.get(name) for name in names)
    return tuple(tuple(value) if isinstance(value, list) else value for value in values)
