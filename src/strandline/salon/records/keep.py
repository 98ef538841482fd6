"""What is written down: clients, consents, tests, reactions, consultations, plans, visits."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from sqlalchemy import select

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.base.facts.field import Field, field_at_fault
from strandline.salon.records.again import whole
from strandline.salon.records.append import Taken, append_in, edit_in
from strandline.salon.records.folded import fold_client
from strandline.salon.records.kinds import kinds_of
from strandline.salon.records.readings import facts_of
from strandline.salon.records.scribe import Scribe, token
from strandline.salon.records.tables import FACT, STREAM
from strandline.salon.records.wall import ConsentError

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.salon.records.store import Store


@whole
def write(
    store: Store,
    scribe: Scribe,
    stream: str,
    kind: str,
    payload: Mapping[str, Any],
    *,
    sort: str = "client",
    client: str | None = None,
) -> Taken:
    """Append one fact to a stream of the record.

    Raises
    ------
    OutOfRangeError   the payload says something that cannot be understood; nothing is kept
    """
    with store.writing() as connection:
        return write_in(connection, scribe, stream, kind, payload, sort=sort, client=client)


def write_in(
    connection: Connection,
    scribe: Scribe,
    stream: str,
    kind: str,
    payload: Mapping[str, Any],
    *,
    sort: str = "client",
    client: str | None = None,
    id: str | None = None,  # noqa: A002  # a fact's own word
) -> Taken:
    """Append one fact within a transaction that is under way."""
    check(sort, kind, payload)
    fact = scribe.fact(connection, stream, kind, payload, sort=sort, id=id)
    return append_in(connection, [fact], sort=sort, client=client)


def check(sort: str, kind: str, payload: Mapping[str, Any]) -> None:
    """See that a payload says what its kind may say.

    Raises
    ------
    OutOfRangeError   the first part that does not, with what it must be
    """
    said = {name: value for name, value in payload.items() if value is not None}
    name = field_at_fault(kinds_of(sort)[kind], said)
    if name:
        about = kinds_of(sort)[kind].fields.get(name)
        means = f"{name}: {about.about}" if about else f"'{name}' is not part of it"
        what = f"The {name} is {_value_words(said.get(name), about)}."
        raise OutOfRangeError(what, f"Say {means}.", f"{kind}.{name}")


def _value_words(value: Any, about: Field | None) -> str:  # noqa: ANN401  # whatever JSON holds
    """Say a value that cannot be; of a text that is too long, how long it is and may be."""
    if value is None:
        return "not given"
    if about is not None and about.type == "text" and len(str(value)) > about.high:
        return f"{len(str(value))} letters long; it may be {about.high:g}"
    return f"'{value!s:.60}'"


def add_client(
    store: Store, scribe: Scribe, name: str, *, born: str | None = None, contact: str | None = None
) -> str:
    """Write a client down and give her stream's name."""
    stream = f"client-{token()}"
    payload = {"name": name, "born": born, "contact": contact}
    write(store, scribe, stream, "client.named", payload, client=stream)
    return stream


def sign_test(store: Store, scribe: Scribe, client: str, said: Mapping[str, Any]) -> Taken:
    """Keep a signed test with the last day it counts.

    Parameters
    ----------
    said : as `test.signed` without `expires_on`, which is counted from `applied_on`
    """
    return write(store, scribe, client, "test.signed", with_last_day(said))


def with_last_day(said: Mapping[str, Any]) -> dict[str, Any]:
    """Give a signed test with the last day it counts.

    Raises
    ------
    OutOfRangeError   the day it was put on is none
    """
    from strandline.service.care.gates import limits, months_later  # noqa: PLC0415  # slow

    months = int(limits()["alert_test_months"].value)
    try:
        applied = dt.date.fromisoformat(str(said.get("applied_on")))
        last = months_later(applied, months)
    except (ValueError, OverflowError):
        raise OutOfRangeError(
            f"The day the test was put on is '{said.get('applied_on')!s:.40}'.",
            "Write it as 2026-12-09.",
            "test.signed.applied_on",
        ) from None
    return {**said, "expires_on": last.isoformat()}


class Version(NamedTuple):
    """A document of the record at a version: as it was read, or as it was written last."""

    stream: str
    version: int


class Read(Protocol):
    """Whatever says which document was read, and at which version."""

    @property
    def stream(self) -> str:
        """Give its stream."""

    @property
    def version(self) -> int:
        """Give its version, 0 for one that is not there yet."""


def write_consultation(
    store: Store, scribe: Scribe, client: str, text: str, *, over: Read | None = None
) -> Version:
    """Keep a consultation.

    Parameters
    ----------
    over : what it takes the place of, as it was read; None for a new one

    Raises
    ------
    StaleError   another has changed it since
    """
    return _document(store, scribe, client, "consultation.written", {"text": text}, over)


def keep_plan(
    store: Store,
    scribe: Scribe,
    client: str,
    text: str,
    *,
    over: Read | None = None,
    way: str | None = None,
) -> Version:
    """Keep a plan as it was made, and reserve what it needs from the shelf.

    Parameters
    ----------
    text : plan.json
    over : as for `write_consultation`
    way : which of several ways it is, None where none was chosen

    Raises
    ------
    ReadError    it is no plan
    StaleError   another has changed it since
    """
    from strandline.salon.records.shelf import needs_of  # noqa: PLC0415  # the shelf keeps plans not

    try:
        plan = json.loads(text)
        back = plan["next_visit"]
        payload = {"text": text, "date": plan["date"], "way": way}
        payload |= {
            name: back[name] for name in ("foils_from", "foils_to", "gloss_from", "gloss_to")
        }
        needs = needs_of(plan)
    except (ValueError, KeyError, TypeError, RecursionError):
        raise ReadError(
            "This is not a plan.", "Name the plan.json that strandline plan writes.", "plan.json"
        ) from None
    return _document(store, scribe, client, "plan.made", payload, over, needs)


@whole
def _document(  # what two kinds of documents share
    store: Store,
    scribe: Scribe,
    client: str,
    kind: str,
    payload: Mapping[str, Any],
    over: Read | None,
    needs: Mapping[str, float] | None = None,
) -> Version:
    from strandline.salon.records.shelf import reserve_in  # noqa: PLC0415

    sort = kind.partition(".")[0]
    read = over or Version(f"{sort}-{token()}", 0)
    check(sort, kind, payload)
    with store.writing() as connection:
        fact = scribe.fact(connection, read.stream, kind, payload, sort=sort)
        edit_in(connection, fact, read.version, sort=sort, client=client)
        if needs is not None:
            reserve_in(connection, scribe, read.stream, needs)
        version = connection.scalar(select(STREAM.c.version).where(STREAM.c.name == read.stream))
    return Version(read.stream, int(version or 0))


def start_visit(
    store: Store, scribe: Scribe, client: str | None, plan: str, *, date: str, name: str
) -> str:
    """Begin the record of a visit that follows a plan, and give its stream.

    Parameters
    ----------
    client, plan : their streams
    date, name : of the visit and of the client, as the plan has them
    """
    from strandline.salon.records.shelf import token_of  # noqa: PLC0415

    stream = f"visit-{token()}"
    with store.reading() as connection:
        payload = {"date": date, "client": name, "plan": token_of(connection, plan)}
    write(store, scribe, stream, "visit.started", payload, sort="visit", client=client)
    return stream


@whole
def take_photo(  # whose, what, and when
    store: Store,
    scribe: Scribe,
    client: str,
    raw: bytes,
    *,
    where: str = "photo",
    view: str | None = None,
    visit: str | None = None,
) -> str:
    """Keep a photo that the client consented to, with place and device taken off, by its digest.

    Parameters
    ----------
    raw : the file as the camera wrote it
    view : what it shows
    visit : stream of the visit it is of

    Raises
    ------
    ConsentError   she has not consented to photos, or took it back
    ReadError      it is no photo
    """
    from strandline.salon.records.photos import clean_photo, put_photo  # noqa: PLC0415  # slow
    from strandline.salon.records.shelf import token_of  # noqa: PLC0415

    clean = clean_photo(raw, where)
    with store.writing() as connection:
        if not fold_client(facts_of(connection, client)).consents["photo"]:
            raise ConsentError(
                "She has not consented to photos.",
                "Ask her, keep her signature, then take it.",
                client,
            )
        digest = put_photo(store.place.folder, clean)
        payload = {
            "photo": digest,
            "taken_on": scribe.clock().date().isoformat(),
            "view": view,
            "visit": (token_of(connection, visit) or None) if visit else None,
        }
        write_in(connection, scribe, client, "photo.added", payload)
    return digest


@whole
def remove_photo(store: Store, scribe: Scribe, client: str, digest: str) -> None:
    """Remove a photo from a client's record, and its file where no other record names it."""
    from strandline.salon.records.photos import path_of  # noqa: PLC0415

    with store.writing() as connection:
        write_in(connection, scribe, client, "photo.removed", {"photo": digest})
        streams = connection.scalars(
            select(FACT.c.stream).where(
                FACT.c.kind == "photo.added", FACT.c.body.contains(digest, autoescape=True)
            )
        ).all()
        used = any(digest in fold_client(facts_of(connection, one)).photos for one in streams)
    if not used:
        path_of(store.place.folder, digest).unlink(missing_ok=True)
