"""From a fact as it came to one that can be folded, or to the flag that says why not."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from strandline.base.facts.fact import (
    LARGEST_SEQ,
    NAME_PATTERN,
    WIDEST_OFFSET_MIN,
    Fact,
    canonical,
    milliseconds,
    whole,
)
from strandline.base.facts.field import Kind, field_at_fault
from strandline.base.facts.kinds import KINDS
from strandline.base.facts.upcast import Upcaster, upcast

Code = Literal["line", "fact", "kind", "schema", "payload", "stream", "orphan"]


@dataclass(frozen=True, slots=True)
class Flag:
    """A fact, or a line, that is kept but left out of the fold.

    Parameters
    ----------
    id, kind : as recorded; '' for a line
    code : what cannot be understood
        'line' no fact at all, 'fact' a value every fact has, 'kind' not known, 'schema' newer or
        without a way up, 'payload', 'stream' of another visit, 'orphan' about nothing in it
    field : where, '' for the whole
    line : number in the file, 0 where it is not known
    why : one sentence for a reader; no part of what languages must agree on
    """

    id: str
    kind: str
    code: Code
    field: str = ""
    line: int = 0
    why: str = dataclasses.field(default="", compare=False)

    def as_json(self) -> dict[str, Any]:
        """Give what every language must find alike."""
        return {
            "id": self.id,
            "kind": self.kind,
            "code": self.code,
            "field": self.field,
            "line": self.line,
        }


Order = tuple[int, str, int, str, str]


def order(fact: Fact) -> Order:
    """Give the key that facts fold by: time, device, its number, id; then all it says."""
    time = milliseconds(fact.device_time)
    if time is None:  # never of an understood fact
        time = -1
    return (time, fact.device, fact.device_seq, fact.id, canonical(fact.as_json()))


def understand(
    fact: Fact, upcasters: Iterable[Upcaster], kinds: Mapping[str, Kind] = KINDS
) -> Fact | Flag:
    """Read a fact as the newest schema of its kind.

    Parameters
    ----------
    fact : as it came
    upcasters : the steps from older schemas
    kinds : the vocabulary it is read by

    Returns
    -------
    the fact with its newest kind, schema and payload, whole numbers as such; or a flag
    """
    name = _value_at_fault(fact)
    if name:
        why = f"Its {name} is not what a fact may hold: {canonical(getattr(fact, name))[:80]}."
        return Flag(fact.id, fact.kind, "fact", name, why=why)
    kind, schema, payload = upcast(fact.kind, fact.schema, fact.payload, upcasters)
    known = kinds.get(kind)
    if known is None:
        return Flag(fact.id, fact.kind, "kind", why=f"No kind is called {canonical(kind)[:80]}.")
    if schema != known.schema:
        why = f"Schema {schema} of {kind} is not known here; {known.schema} is the newest."
        return Flag(fact.id, fact.kind, "schema", why=why)
    name = field_at_fault(known, payload)
    if name:
        said = f"is {canonical(payload[name])[:80]}" if name in payload else "is missing"
        why = f"In {kind}, '{name}' {said}, which cannot be understood."
        return Flag(fact.id, fact.kind, "payload", name, why=why)
    return replace(fact, kind=kind, schema=schema, payload=_plain(payload))


def believed_feeling(fact: Fact, flag: Flag) -> Fact | None:
    """Give the feeling in a fact that is otherwise not understood; None where there is none.

    Notes
    -----
    What hurts is believed whatever newer software says beside it.
    """
    felt = KINDS["felt"]
    if fact.kind != "felt" or flag.code not in ("schema", "payload"):
        return None
    said = {
        name: value
        for name, value in fact.payload.items()
        if name in felt.fields and felt.fields[name].holds(value)
    }
    return replace(fact, schema=felt.schema, payload=said) if "what" in said else None


def _value_at_fault(fact: Fact) -> str:
    for name in ("id", "stream", "device"):
        if re.fullmatch(NAME_PATTERN, getattr(fact, name)) is None:
            return name
    if fact.schema < 1:
        return "schema"
    half = any("\ud800" <= letter <= "\udfff" for letter in fact.by)
    if half or not 1 <= len(fact.by) <= 60:
        return "by"
    if not 0 <= fact.device_seq <= LARGEST_SEQ:
        return "device_seq"
    if milliseconds(fact.device_time) is None:
        return "device_time"
    return "" if abs(fact.offset) <= WIDEST_OFFSET_MIN else "offset"


def _plain(value: Any) -> Any:  # noqa: ANN401  # whatever a payload holds
    if isinstance(value, dict):
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    return whole(value)
