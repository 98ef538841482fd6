"""Which foils are in, since when, and until when: sections, dropped and added foils, wipes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from strandline.base.facts.fact import Fact, milliseconds, utc_text
from strandline.base.facts.visit import Conflict, PlacedFoil, Section

Key = tuple[str, int]


def time_ms(fact: Fact) -> int:
    """Give the time of an understood fact, ms since 1970."""
    return milliseconds(fact.device_time) or 0


def minutes_between(start_ms: int | None, end_ms: int | None) -> float | None:
    """Give minutes cut to the hundredth; None where one end is not known or they run back."""
    if start_ms is None or end_ms is None or end_ms < start_ms:
        return None
    return (end_ms - start_ms) // 600 / 100


def text_or_none(time: int | None) -> str | None:
    """Write a time that may not be known."""
    return None if time is None else utc_text(time)


@dataclass(frozen=True, slots=True)
class Span:
    """A section joined from its taps, in milliseconds; `closing` is the last tap that closed it."""

    section: str
    first_foil: int
    last_foil: int | None
    start_ms: int | None
    end_ms: int | None
    bowl: str | None
    closing: Fact | None

    @property
    def numbers(self) -> range:
        """Give the foils of its range, none while it is open."""
        return range(self.first_foil, (self.last_foil or self.first_foil - 1) + 1)

    def shown(self) -> Section:
        """Give it as a visit shows it."""
        start, end = text_or_none(self.start_ms), text_or_none(self.end_ms)
        return Section(self.section, self.first_foil, self.last_foil, start, end, self.bowl)


def spans_of(facts: Sequence[Fact]) -> list[Span]:
    """Join the taps of each section.

    Parameters
    ----------
    facts : understood, in the order of the fold

    Returns
    -------
    sections in the order of their end, the open ones last

    Notes
    -----
    A section is its name and first foil. It ends at the first tap that closes it; a later one
    corrects the last foil, the minutes or the bowl. It starts `took_min` before the end, else at
    the last `section.begun` that is not later than the end, else at no known time.
    """
    begun: dict[Key, list[int]] = {}
    placed: dict[Key, list[Fact]] = {}
    for fact in facts:
        if fact.kind == "section.begun":
            begun.setdefault(_key(fact), []).append(time_ms(fact))
        elif fact.kind == "section.placed":
            placed.setdefault(_key(fact), []).append(fact)
    out = []
    for key, taps in placed.items():
        end = time_ms(taps[0])
        took = _last_said(taps, "took_min")
        earlier = [start for start in begun.get(key, ()) if start <= end]
        start = earlier[-1] if earlier else None
        if took is not None:
            start = end - math.floor(took * 60_000 + 0.5)
        last, bowl = taps[-1].payload["last_foil"], _last_said(taps, "bowl")
        out.append(Span(*key, last, start, end, bowl, taps[-1]))
    out += [
        Span(*key, None, starts[-1], None, None, None)
        for key, starts in begun.items()
        if key not in placed
    ]
    return out


@dataclass(frozen=True, slots=True)
class Placed:
    """Every foil that is in, by number; the numbers dropped and added; foils claimed twice.

    `starts` are the foils' own, ms since 1970, None where not known.
    """

    foils: Mapping[int, PlacedFoil]
    starts: Mapping[int, int | None]
    dropped: tuple[int, ...]
    added: tuple[int, ...]
    conflicts: tuple[Conflict, ...]


def foils_of(facts: Sequence[Fact], spans: Sequence[Span]) -> Placed:
    """Give every foil that is in, with its start and its way out.

    Parameters
    ----------
    facts : understood, in the order of the fold
    spans : of the sections

    Notes
    -----
    Foil i of the n of a section that were not dropped starts at start + (end - start) i / n, cut
    to the millisecond. Of two sections the later closed has the foil. The last of 'dropped' and
    'added' stands, over any section.
    """
    word = {
        number: fact
        for fact in facts
        if fact.kind in ("foil.dropped", "foil.added")
        for number in fact.payload["foils"]
    }
    dropped = {number for number, fact in word.items() if fact.kind == "foil.dropped"}
    foils: dict[int, PlacedFoil] = {}
    starts: dict[int, int | None] = {}
    known_from: dict[int, int] = {}
    for span in spans:
        kept = [number for number in span.numbers if number not in dropped]
        end = span.end_ms or 0
        for index, number in enumerate(kept):
            at = span.start_ms
            if at is not None:
                at += (end - at) * index // len(kept)
            foils[number] = _foil(number, span.section, span.bowl, at)
            starts[number] = at
            known_from[number] = end if at is None else at
    for number, fact in word.items():
        if fact.kind == "foil.added":
            at = starts[number] = known_from[number] = time_ms(fact)
            foils[number] = _foil(number, fact.payload["section"], fact.payload.get("bowl"), at)
    ended = {number: _ended(foils[number], known_from[number], facts) for number in sorted(foils)}
    added = tuple(sorted(set(word) - dropped))
    return Placed(ended, starts, tuple(sorted(dropped)), added, _claimed_twice(spans))


def _claimed_twice(spans: Sequence[Span]) -> tuple[Conflict, ...]:
    """Find the foils in two ranges; each later section against the one that had them last."""
    owner: dict[int, Fact] = {}
    out = []
    for span in spans:
        if span.closing is None:
            continue
        claims: dict[str, tuple[Fact, list[int]]] = {}
        for number in span.numbers:
            if number in owner:
                claims.setdefault(owner[number].id, (owner[number], []))[1].append(number)
            owner[number] = span.closing
        out += [
            Conflict("two_sections", tuple(numbers), span.closing, (had,))
            for had, numbers in claims.values()
        ]
    return tuple(out)


def _ended(foil: PlacedFoil, known_from: int, facts: Sequence[Fact]) -> PlacedFoil:
    """Find the first wipe or rinse that takes a foil out, not before it is known to be in."""
    for fact in facts:
        if fact.kind not in ("wiped", "rinsed") or time_ms(fact) < known_from:
            continue
        payload = fact.payload
        whole_head = fact.kind == "rinsed" and is_whole(fact)
        named = foil.number in payload.get("foils", ()) or payload.get("section") == foil.section
        if whole_head or named:
            start = None if foil.start is None else known_from
            return replace(
                foil,
                out=utc_text(time_ms(fact)),
                how="wiped" if fact.kind == "wiped" else "rinsed",
                in_min=minutes_between(start, time_ms(fact)),
            )
    return foil


def is_whole(rinse: Fact) -> bool:
    """Tell whether a rinse is of the whole head."""
    return not {"foils", "section", "place"} & set(rinse.payload)


def _key(fact: Fact) -> Key:
    return fact.payload["section"], fact.payload["first_foil"]


def _last_said(facts: Sequence[Fact], name: str) -> Any:  # noqa: ANN401  # whatever the field holds
    said = [fact.payload[name] for fact in facts if name in fact.payload]
    return said[-1] if said else None


def _foil(number: int, section: str, bowl: str | None, at: int | None) -> PlacedFoil:
    return PlacedFoil(number, section, bowl, text_or_none(at), None, None, None)
