"""Facts sorted out before any fold: those that stand in order, and what became of the others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter

from strandline.base.facts.fact import Fact, canonical
from strandline.base.facts.field import Kind
from strandline.base.facts.kinds import KINDS
from strandline.base.facts.understand import Flag, believed_feeling, order, understand
from strandline.base.facts.upcast import Upcaster
from strandline.base.facts.visit import Conflict


@dataclass(frozen=True)
class Sorted:
    """The facts that stand, in order, and what became of the others."""

    stream: str
    standing: Sequence[Fact]
    believed: Sequence[Fact]
    taken_back: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    flags: list[Flag]


def sort_out(
    facts: Iterable[Fact],
    upcasters: tuple[Upcaster, ...],
    kinds: Mapping[str, Kind] = KINDS,
) -> Sorted:
    """Flag, choose the stream, let one fact of each id stand, and take back slips.

    Parameters
    ----------
    facts : in any order, any of them more than once
    upcasters : the steps from older schemas
    kinds : the vocabulary they are read by, a visit's unless another is named

    Returns
    -------
    Sorted   the same for every order and every repetition
    """
    flags: list[Flag] = []
    known: list[Fact] = []
    felt: dict[str, Fact] = {}
    ids: set[str] = set()
    for fact in facts:
        ids.add(fact.id)
        found = understand(fact, upcasters, kinds)
        if isinstance(found, Flag):
            flags.append(found)
            feeling = believed_feeling(fact, found)
            if feeling is not None:
                felt[canonical(feeling.as_json())] = feeling
        else:
            known.append(found)
    stream = _stream(known)
    by_id: dict[str, dict[str, Fact]] = {}
    for key, fact in sorted(((order(one), one) for one in known), key=itemgetter(0)):
        if fact.stream == stream:
            by_id.setdefault(fact.id, {})[key[-1]] = fact  # its canonical text
        else:
            why = f"It belongs to '{fact.stream}', not to '{stream}'."
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
    return Sorted(
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
