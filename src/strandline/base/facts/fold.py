"""The fold: all facts of a visit to what they say, whatever order they came in and how often."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from strandline.base.facts.fact import Fact, canonical, utc_text
from strandline.base.facts.jsonl import Unread
from strandline.base.facts.placed import (
    Placed,
    foils_of,
    is_whole,
    minutes_between,
    spans_of,
    text_or_none,
    time_ms,
)
from strandline.base.facts.understand import Flag, order, understand
from strandline.base.facts.upcast import UPCASTERS, Upcaster
from strandline.base.facts.visit import (
    AreaResult,
    Bowl,
    Change,
    Conflict,
    Feeling,
    Gloss,
    Note,
    Out,
    Seen,
    TestDone,
    Visit,
)

__all__ = ["Visit", "fold"]

RINSE_AT_ONCE = ("burning", "pain", "heat")


def fold(
    facts: Iterable[Fact],
    unread: Iterable[Unread] = (),
    *,
    upcasters: Iterable[Upcaster] = UPCASTERS,
) -> Visit:
    """Fold the facts of one visit.

    Parameters
    ----------
    facts : in any order, any of them more than once
    unread : lines of the file that are no facts, to be flagged
    upcasters : the steps from older schemas

    Returns
    -------
    Visit   the same for every order and every repetition

    Notes
    -----
    docs/facts.md says every rule; the vectors of tests/contract hold for every language.
    """
    sorted_out = _sort_out(facts, tuple(upcasters))
    flags = sorted_out.flags
    standing, believed = sorted_out.standing, sorted_out.believed
    spans = spans_of(standing)
    placed = foils_of(standing, spans)
    begun = [fact for fact in standing if fact.kind == "visit.started"]
    over = [fact for fact in standing if fact.kind == "visit.ended"]
    start: Mapping[str, Any] = begun[-1].payload if begun else {}
    results, before = _results(standing)
    feelings = _feelings(standing, believed)
    bowls, glosses = _bowls(standing, flags), _glosses(standing, flags)
    return Visit(
        stream=sorted_out.stream,
        client=start.get("client"),
        date=start.get("date"),
        plan=start.get("plan"),
        started=_time(begun[0]) if begun else None,
        offset=begun[-1].offset if begun else None,
        ended=_time(over[-1]) if over else None,
        outcome=over[-1].payload.get("outcome") if over else None,
        sections=tuple(span.shown() for span in spans),
        foils=tuple(placed.foils.values()),
        dropped=placed.dropped,
        added=placed.added,
        bowls=bowls,
        checks=_checks(standing, placed),
        wipes=_outs(standing, "wiped"),
        rinses=_outs(standing, "rinsed"),
        glosses=glosses,
        changes=tuple(
            Change(_time(f), f.payload["what"], *_say(f, "minutes", "foils", "section", "why"))
            for f in standing
            if f.kind == "changed"
        ),
        feelings=feelings,
        rinse_now=any(
            feeling.what in RINSE_AT_ONCE and feeling.rinsed is None for feeling in feelings
        ),
        results=results,
        results_before=before,
        tests=tuple(
            TestDone(_time(f), *_say(f, "test", "outcome", "where"))
            for f in standing
            if f.kind == "test.done"
        ),
        notes=tuple(Note(_time(f), f.by, f.payload["text"]) for f in standing if f.kind == "note"),
        taken_back=sorted_out.taken_back,
        conflicts=(*sorted_out.conflicts, *placed.conflicts),
        flagged=_flags_in_order(flags, unread),
    )


@dataclass(frozen=True)
class _Sorted:
    """The facts that stand, in order, and what became of the others."""

    stream: str
    standing: Sequence[Fact]
    believed: Sequence[Fact]
    taken_back: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    flags: list[Flag]


def _sort_out(facts: Iterable[Fact], upcasters: tuple[Upcaster, ...]) -> _Sorted:
    """Flag, choose the stream, let one fact of each id stand, and take back slips."""
    flags: list[Flag] = []
    known: list[Fact] = []
    ids: set[str] = set()
    for fact in facts:
        ids.add(fact.id)
        found = understand(fact, upcasters)
        if isinstance(found, Flag):
            flags.append(found)
        else:
            known.append(found)
    stream = _stream(known)
    by_id: dict[str, dict[str, Fact]] = {}
    for fact in sorted(known, key=order):
        if fact.stream == stream:
            by_id.setdefault(fact.id, {})[canonical(fact.as_json())] = fact
        else:
            why = f"It belongs to the visit '{fact.stream}', not to '{stream}'."
            flags.append(Flag(fact.id, fact.kind, "stream", "stream", why=why))
    alike = [tuple(same.values()) for same in by_id.values()]
    firsts = [same[0] for same in alike]
    back = {f.payload["fact"] for f in firsts if f.kind == "taken.back"}
    for fact in firsts:
        if fact.kind == "taken.back" and fact.payload["fact"] not in ids:
            why = f"The fact '{fact.payload['fact']}' that it takes back is not here."
            flags.append(Flag(fact.id, fact.kind, "orphan", "fact", why=why))
    slips = {fact.id for fact in firsts if fact.id in back and fact.kind != "taken.back"}
    return _Sorted(
        stream,
        [fact for fact in firsts if fact.id not in slips],
        [fact for same in alike for fact in same[1:] if fact.id not in slips],
        tuple(sorted(slips)),
        tuple(Conflict("same_id", (), same[0], same[1:]) for same in alike if len(same) > 1),
        flags,
    )


def _stream(known: Iterable[Fact]) -> str:
    """Give the visit with the most facts, each id once; of equals the first by name."""
    counted: dict[str, set[str]] = {}
    for fact in known:
        counted.setdefault(fact.stream, set()).add(fact.id)
    return min(counted, key=lambda name: (-len(counted[name]), name), default="")


def _checks(standing: Iterable[Fact], placed: Placed) -> tuple[Seen, ...]:
    out = []
    starts = {n: start for n, start in placed.starts.items() if start is not None}
    for fact in standing:
        if fact.kind != "check.seen":
            continue
        foil, section = _say(fact, "foil", "section")
        since = starts.get(foil)
        if section is not None:
            of_it = [s for n, s in starts.items() if placed.foils[n].section == section]
            since = min(of_it, default=None)
        said = _say(fact, "band", "stage", "sureness", "dried")
        minutes = minutes_between(since, time_ms(fact))
        out.append(Seen(_time(fact), foil, section, *said, minutes))
    return tuple(out)


def _outs(standing: Iterable[Fact], kind: str) -> tuple[Out, ...]:
    return tuple(
        Out(_time(fact), *_say(fact, "foils", "section", "place"))
        for fact in standing
        if fact.kind == kind
    )


def _bowls(standing: Iterable[Fact], flags: list[Flag]) -> tuple[Bowl, ...]:
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
            _time(fact),
            *_say(fact, "developer_vol", "developer_grams", "powder_grams", "colour_grams"),
            *(_say(left[fact.id], "grams", "amount") if fact.id in left else (None, None)),
        )
        for fact in mixed
    )


def _glosses(standing: Sequence[Fact], flags: list[Flag]) -> tuple[Gloss, ...]:
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
    return tuple(
        Gloss(
            place,
            standing[at].payload["recipe"],
            _time(standing[at]),
            *(_say(seen[at], "turned", "tone") if at in seen else (None, None)),
            text_or_none(rinsed.get(at)),
            minutes_between(time_ms(standing[at]), rinsed.get(at)),
        )
        for at, place in applied.items()
    )


def _feelings(standing: Iterable[Fact], believed: Iterable[Fact]) -> tuple[Feeling, ...]:
    """Give what was felt; one that lost its id to another fact is believed all the same."""
    both = [fact for fact in itertools.chain(standing, believed) if fact.kind == "felt"]
    rinses = [fact for fact in standing if fact.kind == "rinsed" and is_whole(fact)]
    out = []
    for fact in sorted(both, key=order):
        after = [rinse for rinse in rinses if order(rinse) > order(fact)]
        rinsed = _time(after[0]) if after else None
        out.append(Feeling(_time(fact), *_say(fact, "what", "where"), rinsed))
    return tuple(out)


def _results(standing: Iterable[Fact]) -> tuple[tuple[AreaResult, ...], tuple[AreaResult, ...]]:
    every = [
        AreaResult(_time(fact), *_say(fact, "area", "stage", "evenness", "tone", "remedy"))
        for fact in standing
        if fact.kind == "result.seen"
    ]
    last = {result.area: at for at, result in enumerate(every)}
    return (
        tuple(result for at, result in enumerate(every) if last[result.area] == at),
        tuple(result for at, result in enumerate(every) if last[result.area] != at),
    )


def _flags_in_order(flags: Iterable[Flag], unread: Iterable[Unread]) -> tuple[Flag, ...]:
    """Sort flags by what they say; of those that say the same, one."""
    lines = [Flag("", "", "line", line=one.line, why=one.why) for one in unread]
    found = {canonical(list(flag.as_json().values())): flag for flag in (*flags, *lines)}
    return tuple(found[key] for key in sorted(found))


def _time(fact: Fact) -> str:
    return utc_text(time_ms(fact))


def _say(fact: Fact, *names: str) -> tuple[Any, ...]:
    values = (fact.payload.get(name) for name in names)
    return tuple(tuple(value) if isinstance(value, list) else value for value in values)
