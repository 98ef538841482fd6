"""What a form says, written once however often it is sent.

A form carries a mark of its own from the moment it is shown. Its facts are named by that mark and
by what was filled in, so that a form whose answer was lost may be sent again: what is there is not
written twice, and a form that comes back filled in otherwise is told so.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from strandline.base.facts.fact import canonical
from strandline.salon.records.again import whole
from strandline.salon.records.keep import write_in
from strandline.salon.records.scribe import Scribe, token
from strandline.salon.records.tables import FACT
from strandline.salon.records.wall import StaleError

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store

_MARK = re.compile(r"[0-9a-f]{32}")


@dataclass(frozen=True, slots=True)
class Sent:
    """A form as it was sent.

    Parameters
    ----------
    mark : its own, 32 hexadecimal digits
    content : a digest of what was filled in
    """

    mark: str
    content: str

    @property
    def name(self) -> str:
        """Give the beginning of the names of its facts."""
        return f"form-{self.mark}-{self.content}-"


def sent_form(mark: str, given: Mapping[str, str]) -> Sent:
    """Give a form as it was sent; one without a mark is a form of its own."""
    content = hashlib.sha256(canonical(dict(given)).encode()).hexdigest()[:12]
    return Sent(mark if _MARK.fullmatch(mark) else token(), content)


@dataclass(frozen=True, slots=True)
class Deed:
    """A fact that a form says.

    Parameters
    ----------
    stream, kind, payload : as `write`
    sort : of the stream
    client : the client's stream that a new stream belongs to
    """

    stream: str
    kind: str
    payload: Mapping[str, Any]
    sort: str = "client"
    client: str | None = None


def is_new(connection: Connection, form: Sent) -> bool:
    """Tell whether a form is to be written; False where it is there just so.

    Raises
    ------
    StaleError   it was sent before, filled in otherwise

    Notes
    -----
    Of two that send one form at once, the second waits here until the first is written.
    """
    if connection.dialect.name == "postgresql":  # SQLite has one writer at a time
        connection.execute(select(func.pg_advisory_xact_lock(func.hashtext(form.mark))))
    begins = FACT.c.id.startswith(f"form-{form.mark}-", autoescape=True)
    names = connection.scalars(select(FACT.c.id).where(begins)).all()
    if names and not any(one.startswith(form.name) for one in names):
        raise StaleError(
            "This form was sent before, and is kept as it was then.",
            "What you typed now is still here: look at what is kept, and send it if it is more.",
            "once",
        )
    return not names


@whole
def write_once(store: Store, scribe: Scribe, form: Sent, deeds: Sequence[Deed]) -> None:
    """Write what a form says, all of it or nothing, and once.

    Raises
    ------
    StaleError        it was sent before, filled in otherwise
    OutOfRangeError   something of it cannot be understood
    """
    with store.writing() as connection:
        if is_new(connection, form):
            write_deeds(connection, scribe, form, deeds)


def write_deeds(connection: Connection, scribe: Scribe, form: Sent, deeds: Sequence[Deed]) -> None:
    """Write what a form says within a transaction that is under way."""
    for number, one in enumerate(deeds):
        write_in(
            connection, scribe, one.stream, one.kind, one.payload,
            sort=one.sort, client=one.client, id=f"{form.name}{number}",
        )  # fmt: skip
