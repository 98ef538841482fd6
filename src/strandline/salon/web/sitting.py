"""A consultation under way, with all that stands around it: whose, what is known, what is open."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from strandline.salon.records.behind import Behind, behind_next, earlier_of
from strandline.salon.records.bench import practice_tables
from strandline.salon.records.drafts import Draft, draft_of
from strandline.salon.records.health import health_table
from strandline.salon.records.look import Head, head_today
from strandline.service.consultation.entry.answers import Answers, read_answers
from strandline.service.consultation.entry.back import answers_of
from strandline.service.consultation.entry.into import document
from strandline.service.consultation.reader import read_toml

if TYPE_CHECKING:
    from strandline.salon.records.store import Store
    from strandline.salon.web.room import Room
    from strandline.service.plan.earlier import Earlier

SETTLED = ("regrowth", "cover", "light")
"""What a visit that was recorded answers by what was done: it is not asked again."""
_NOT_CARRIED = ("uses", "shelf", "money", "practice", "visit", "trims", "health", "schema_version")
"""What an earlier consultation says of its own day, or the record says better."""


@dataclass(frozen=True, eq=False)
class Sitting:
    """A consultation under way.

    Parameters
    ----------
    client : her stream
    head : all that is hers
    draft : as it is kept
    answers : so far
    base : tables beneath them, her own alone
    behind : what her next visit starts from, None at the first
    day : of the visit
    store : the record, which the practice's own tables are read from when they are needed
    """

    client: str
    head: Head
    draft: Draft
    answers: Answers
    base: dict[str, Any]
    behind: Behind | None
    day: dt.date
    store: Store

    @property
    def name(self) -> str:
        """Give her name."""
        return self.head.client.name or ""

    @cached_property
    def earlier(self) -> Earlier | None:
        """Give the visit before, None where none was recorded."""
        return earlier_of(self.behind) if self.behind is not None else None

    @property
    def settled(self) -> tuple[str, ...]:
        """Give the questions that the visit before answers."""
        return SETTLED if self.behind is not None and self.behind.plan_before else ()

    @property
    def answered(self) -> tuple[str, ...]:
        """Give the questions that are answered, by her or by the visit before."""
        return tuple(dict.fromkeys((*self.answers.answered, *self.settled)))

    @property
    def beneath(self) -> dict[str, Any]:
        """Give every table beneath the answers: the practice's own, and hers over them."""
        return {**practice_tables(self.store), **self.base}

    def with_(self, answers: Answers) -> Sitting:
        """Give it with other answers."""
        return replace(self, answers=answers)

    def text(self) -> str:
        """Write the consultation down: what was said, on what is known of her."""
        import tomli_w  # noqa: PLC0415  # only where something is written

        return tomli_w.dumps({**document(self.answers, self.base), "visit": {"date": self.day}})


def sit_down(room: Room, client: str, day: dt.date | None = None) -> Sitting:
    """Open a client's consultation: the one under way, or the one that begins now.

    Raises
    ------
    ReadError   there is no such client, or what is kept cannot be read
    """
    on = day or room.today
    head = head_today(room.store, client)
    draft = draft_of(room.store, client)
    before: dict[str, Any] = {}
    behind = None
    if head.consultations:
        behind = behind_next(room.store, client, on)
        before = read_toml(behind.consultation.encode(), "consultation")
    base = {name: value for name, value in before.items() if name not in _NOT_CARRIED}
    base["client"] = {**before.get("client", {}), **_client(head, on)}
    health = health_table(head.client)
    if health:
        base["health"] = health
    answers = read_answers(draft.answers) if draft.version else answers_of(base)
    return Sitting(client, head, draft, answers, base, behind, on, room.store)


def _client(head: Head, day: dt.date) -> dict[str, Any]:
    out: dict[str, Any] = {"name": head.client.name}
    if head.client.born:
        born = dt.date.fromisoformat(head.client.born)
        out["age"] = day.year - born.year - ((day.month, day.day) < (born.month, born.day))
    return out
