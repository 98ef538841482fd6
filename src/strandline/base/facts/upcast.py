"""Old payloads read as the newest: each step says, as data, what a word became.

A step is data so that every language takes the same one. No kind has an older schema yet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

MOST_STEPS = 32
"""A longer chain is a ring; it is left, and the fact is flagged by its schema."""


@dataclass(frozen=True, slots=True)
class Upcaster:
    """A step from one schema of a kind to a newer one.

    Parameters
    ----------
    kind, schema : what it reads
    to_kind, to_schema : what it becomes
    rename : old field to new field, where the old one is said
    fill : field to the value it has where it is not said
    drop : fields that mean nothing any more
    """

    kind: str
    schema: int
    to_kind: str
    to_schema: int
    rename: Mapping[str, str] = field(default_factory=dict)
    fill: Mapping[str, Any] = field(default_factory=dict)
    drop: tuple[str, ...] = ()

    def __call__(self, payload: Mapping[str, Any]) -> dict[str, Any]:
        """Give the newer payload: dropped, renamed, then filled."""
        kept = {name: value for name, value in payload.items() if name not in self.drop}
        renamed = {self.rename.get(name, name): value for name, value in kept.items()}
        return {**self.fill, **renamed}


UPCASTERS: tuple[Upcaster, ...] = ()


def upcast(
    kind: str, schema: int, payload: Mapping[str, Any], upcasters: Iterable[Upcaster]
) -> tuple[str, int, Mapping[str, Any]]:
    """Take every step there is from a kind and schema on.

    Parameters
    ----------
    kind, schema, payload : as recorded
    upcasters : the steps known; of two from the same schema the first is taken

    Returns
    -------
    kind, schema and payload where no step leads on
    """
    steps: dict[tuple[str, int], Upcaster] = {}
    for step in upcasters:
        steps.setdefault((step.kind, step.schema), step)
    for _ in range(MOST_STEPS):
        step_here = steps.get((kind, schema))
        if step_here is None:
            break
        payload = step_here(payload)
        kind, schema = step_here.to_kind, step_here.to_schema
    return kind, schema, payload
