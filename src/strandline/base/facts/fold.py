"""The fold: all facts of a visit to what they say, whatever order they came in and how often."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
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
from strandline.base.facts.sort_out import sort_out
from strandline.base.facts.understand import Flag
from strandline.base.facts.upcast import UPCASTERS, Upcaster
from strandline.base.facts.visit import Change, Note, TestDone, Visit

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
    sorted_out = sort_out(facts, tuple(upcasters))
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


def _flags_in_order(flags: Iterable[Flag], unread: Iterable[Unread]) -> tuple[Flag, ...]:
    """Sort flags by what they say; of those that say the same, one."""
    lines = [Flag("", "", "line", line=one.line, why=one.why) for one in unread]
    found = {canonical(list(flag.as_json().values())): flag for flag in (*flags, *lines)}
    return tuple(found[key] for key in sorted(found))
