"""The fold: all facts of a visit to what they say, whatever order they came in and how often."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from strandline.base.facts.fact import Fact, canonical
from strandline.base.facts.joined import (
    bowls_of,
    checks_of,
    feelings_of,
    glosses_of,
    outs_of,
    results_of,
    say,
    time_text,
)
from strandline.base.facts.jsonl import Unread
from strandline.base.facts.placed import foils_of, spans_of
from strandline.base.facts.understand import Flag, believed_feeling, order, understand
from strandline.base.facts.upcast import UPCASTERS, Upcaster
from strandline.base.facts.visit import Change, Conflict, Note, TestDone, Visit

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
    results, before = results_of(standing)
    feelings = feelings_of(standing, believed)
    bowls, glosses = bowls_of(standing, flags), glosses_of(standing, flags)
    return Visit(
        stream=sorted_out.stream,
        client=start.get("client"),
        date=start.get("date"),
        plan=start.get("plan"),
        started=time_text(begun[0]) if begun else None,
        offset=begun[-1].offset if begun else None,
        ended=time_text(over[-1]) if over else None,
        outcome=over[-1].payload.get("outcome") if over else None,
        sections=tuple(span.shown() for span in spans),
        foils=tuple(placed.foils.values()),
        dropped=placed.dropped,
        added=placed.added,
        bowls=bowls,
        checks=checks_of(standing, placed),
        wipes=outs_of(standing, "wiped"),
        rinses=outs_of(standing, "rinsed"),
        glosses=glosses,
        changes=tuple(
            Change(time_text(f), f.payload["what"], *say(f, "minutes", "foils", "section", "why"))
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
            TestDone(time_text(f), *say(f, "test", "outcome", "where"))
            for f in standing
            if f.kind == "test.done"
        ),
        notes=tuple(
            Note(time_text(f), f.by, f.payload["text"]) for f in standing if f.kind == "note"
        ),
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
    felt: dict[str, Fact] = {}
    ids: set[str] = set()
    for fact in facts:
        ids.add(fact.id)
        found = understand(fact, upcasters)
        if isinstance(found, Flag):
            flags.append(found)
            feeling = believed_feeling(fact, found)
            if feeling is not None:
                felt[canonical(feeling.as_json())] = feeling
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
    others = [fact for same in alike for fact in same[1:]]
    others += [fact for fact in felt.values() if fact.stream == stream]
    return _Sorted(
        stream,
        [fact for fact in firsts if fact.id not in slips],
        [fact for fact in others if fact.id not in back],
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


def _flags_in_order(flags: Iterable[Flag], unread: Iterable[Unread]) -> tuple[Flag, ...]:
    """Sort flags by what they say; of those that say the same, one."""
    lines = [Flag("", "", "line", line=one.line, why=one.why) for one in unread]
    found = {canonical(list(flag.as_json().values())): flag for flag in (*flags, *lines)}
    return tuple(found[key] for key in sorted(found))
