"""What visits taught as lines for a terminal, and as JSON."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator

from strandline.service.learning.due import Z90
from strandline.service.learning.kept import Record
from strandline.service.learning.pace import KINDS
from strandline.service.learning.pooled import Learnt, Pooled
from strandline.service.learning.starting import SHARED
from strandline.service.plan.learned import LAW, leaning

WIDTH = 96
INDENT = " " * 11
SHARED_WORDS = {
    "old_colour": "old colour, log rate over natural hair",
    "warmth": "the first warm centimetre, log rate",
    "stacked": "stacked foils, log rate",
    "strength_exponent": "exponent of strength",
    "wet_bias": "levels by which wet hair reads darker",
}


def learned_text(
    record: Record, pooled: Pooled, name: str | None, file: str, unread: int = 0
) -> str:
    """Write it for a terminal.

    Parameters
    ----------
    record, pooled : what is kept, and what it comes to
    name : of the visit that was added; None where it is only shown
    file : name of the file it is kept in
    unread : lines of the visit's file that are no facts
    """
    told = (
        _wrapped(f"NOT READ   {unread} lines of the visit's file are no facts.") if unread else []
    )
    return "\n".join([*told, *_lines(record, pooled, name, file), ""])


def _lines(record: Record, pooled: Pooled, name: str | None, file: str) -> Iterator[str]:
    count = len(record.visits)
    yield from _wrapped(f"KEPT       {count} {'visit' if count == 1 else 'visits'} in {file}")
    if name is not None:
        visit = record.visits[name]
        yield from _wrapped(
            f"{INDENT}{name}: {len(visit.observations)} readings of checks and dry results, "
            f"{len(visit.placed)} sections that tell her pace"
        )
    for product in pooled.products:
        yield from _wrapped(f"LIGHTENER  {product}: {_words(pooled.product(product))}")
    for client in pooled.clients:
        yield from _wrapped(f"HAIR       {client}: {_words(pooled.client(client))}")
    wet = pooled.shared("wet_bias")
    low, high = wet.mean - Z90 * wet.sd, wet.mean + Z90 * wet.sd
    yield from _wrapped(
        f"EYE        wet hair reads {wet.mean:.1f} levels darker ({low:.1f} to {high:.1f}): "
        f"{wet.sentence}"
    )
    for kind in KINDS:
        pace = pooled.pace[kind]
        ends = [math.exp(pace.mean + z * pace.sd) for z in (-Z90, Z90)]
        yield from _wrapped(
            f"PACE       a {kind} takes {math.exp(pace.mean):.0f} s ({ends[0]:.0f} to "
            f"{ends[1]:.0f}): {pace.sentence}"
        )
    yield from _wrapped(
        f"{INDENT}Ranges hold 80 %. It informs a plan, by --learned; the checks and the label "
        "come first."
    )


def _words(learnt: Learnt) -> str:
    return leaning("", learnt).words


def learned_json(record: Record, pooled: Pooled, name: str | None) -> dict[str, object]:
    """Give every figure with its sd, what it began with, and the share that is its own."""
    return {
        "visits": len(record.visits),
        "added": name,
        "products": [_named(one, pooled.product(one)) for one in pooled.products],
        "clients": [_named(one, pooled.client(one)) for one in pooled.clients],
        "shared": [
            {"what": SHARED_WORDS[one], **_named(one, pooled.shared(one))} for one in SHARED
        ],
        "pace": [_named(kind, pooled.pace[kind]) for kind in KINDS],
        "units": "log rates and logs of seconds [1], exponent [1], levels",
        "law": LAW,
    }


def _named(name: str, learnt: Learnt) -> dict[str, object]:
    return {
        "name": name,
        "visits": learnt.visits,
        "mean": round(learnt.mean, 4),
        "sd": round(learnt.sd, 4),
        "began_mean": round(learnt.prior_mean, 4),
        "began_sd": round(learnt.prior_sd, 4),
        "own_percent": round(100 * learnt.leans),
        "sentence": learnt.sentence,
    }


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=INDENT)
