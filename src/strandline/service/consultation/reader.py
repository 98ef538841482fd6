"""From the text of a file to a `Consultation`, or to one clear error with its field or line."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.service.consultation.bands import check_bands
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.own_line import shelf_by_its_line
from strandline.service.consultation.refusals import told
from strandline.service.consultation.shelf import Shelf

LARGEST_BYTES = 1_000_000
"""A consultation is a few kilobytes; anything this large is another kind of file."""


@dataclass(frozen=True)
class Wanted:
    """What a TOML file should be.

    Parameters
    ----------
    thing : what it is called, such as 'consultation'
    like : an example of it
    largest : bytes it may hold
    """

    thing: str
    like: str
    largest: int


CONSULTATION = Wanted("consultation", "examples/noor.toml", LARGEST_BYTES)
PATTERN = Wanted("pattern", "examples/pattern-quiet-top.toml", 100_000)
SHELF = Wanted("shelf", "examples/practice.toml", 100_000)
LATEST_DAYS = 400
"""A visit is planned at most this far ahead; farther is a slip of the year."""


def read_toml(raw: bytes, where: str, wanted: Wanted = CONSULTATION) -> dict[str, Any]:
    """Read TOML, with an error a person can act on.

    Raises
    ------
    ReadError   too large, not text, or a slip in the TOML, with its line
    """
    if len(raw) > wanted.largest:
        raise ReadError(
            f"The file holds {len(raw) / 1e6:.2g} MB; a {wanted.thing} is at most "
            f"{wanted.largest / 1e6:g} MB.",
            f"Name the {wanted.thing}'s .toml file, not a picture or an archive.",
            where,
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ReadError(
            "The file is not text; it may be a picture or a sheet.",
            f"Name a {wanted.thing} saved as plain text (UTF-8), such as {wanted.like}.",
            where,
        ) from None
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as slip:  # a slip, or digits or nesting beyond reading
        raise ReadError(
            f"The file does not read as TOML: {slip}.",
            "Look at that line: text wants quotes, decimals want a point, a table wants [name].",
            where,
        ) from None


def read_consultation(
    raw: bytes,
    where: str,
    *,
    beside: Callable[[str], bytes] | None = None,
    on: dt.date | None = None,
    today: dt.date | None = None,
) -> Consultation:
    """Read one consultation.

    Parameters
    ----------
    raw : the file's bytes
    where : its name, for errors
    beside : gives the bytes of a file named in `uses` or `pattern`, relative to this one; what
        it refuses with this file's name in `where` is told of the field that named it
    on : the day the visit is asked for, over the one in the file
    today : the day, to catch a slip of the year; None leaves that unchecked

    Raises
    ------
    StrandlineError   the first thing that is wrong, with its field and range
    """
    document = read_toml(raw, where)
    shared = document.pop("uses", [])
    if not isinstance(shared, list) or not all(isinstance(name, str) for name in shared):
        raise ReadError(
            "'uses' is not a list of file names.",
            'Write for instance: uses = ["practice.toml"].',
            f"{where}: uses",
        )
    for name in shared:
        extra = read_toml(_beside(beside, name, where, "uses"), name)
        document = {**extra, **document}
    named = document.get("pattern")
    if isinstance(named, str) and named.lower().endswith(".toml"):
        raw = _beside(beside, named, where, "pattern")
        read_toml(raw, named, PATTERN)
        document["pattern"] = {"file": named, "text": raw.decode("utf-8-sig")}
    return from_document(document, where, on=on, today=today)


def _beside(beside: Callable[[str], bytes] | None, name: str, where: str, field: str) -> bytes:
    """Read a file that a field names, and say of which field it is where it is refused."""
    if beside is None:
        do = "Put their tables in." if field == "uses" else "Name a pattern that needs no file."
        raise ReadError(
            f"'{field}' names '{name}', but no file can be read here.", do, f"{where}: {field}"
        )
    try:
        return beside(name)
    except ReadError as refused:
        place = f"{where}: {field}" if refused.where == where else refused.where
        raise ReadError(refused.what, refused.do, place) from None


def from_document(
    document: Mapping[str, Any],
    where: str,
    *,
    on: dt.date | None = None,
    today: dt.date | None = None,
) -> Consultation:
    """Check a parsed consultation; errors as in `read_consultation`."""
    try:
        consultation = Consultation.model_validate(shelf_by_its_line(document, where))
    except ValidationError as found:
        raise told(found, where) from None
    check_bands(consultation, where)
    _check_dates(consultation, where, on, today)
    return consultation


def read_shelf(raw: bytes, where: str) -> Shelf:
    """Read what stands on the shelf, alone or from a file that holds more.

    Parameters
    ----------
    raw : TOML with a table `[shelf]`
    where : the file's name, for errors

    Raises
    ------
    StrandlineError   the first thing that is wrong, with its field; a file without a shelf
    """
    document = read_toml(raw, where, SHELF)
    if "shelf" not in document:
        raise ReadError(
            "The file has no table [shelf].",
            f"Begin one as {SHELF.like} does, with its shades under gloss.",
            where,
        )
    document = shelf_by_its_line(document, where)
    try:
        shelf = Shelf.model_validate(document["shelf"])
    except ValidationError as found:
        raise told(found, f"{where}: shelf") from None
    if "gloss" not in document["shelf"]:
        raise ReadError(
            "The shelf names no gloss shades.",
            "List them as gloss = [{ name = ..., depth = ... }, ...].",
            f"{where}: shelf.gloss",
        )
    return shelf


def _check_dates(c: Consultation, where: str, on: dt.date | None, today: dt.date | None) -> None:
    visit = on or c.visit.date
    if today and visit and (visit - today).days > LATEST_DAYS:
        raise OutOfRangeError(
            f"The visit is dated {visit.isoformat()}, more than {LATEST_DAYS} days ahead.",
            "Correct the year.",
            f"{where}: visit.date",
        )
    health = c.health
    tests = {
        "health.alert_test.date": health.alert_test and health.alert_test.date.date(),
        "health.strand_test.date": health.strand_test and health.strand_test.date,
        "health.stretch_test.date": health.stretch_test and health.stretch_test.date,
    }
    last = visit or today
    for field, day in tests.items():
        if day and last and day > last:
            raise OutOfRangeError(
                f"The test is dated {day.isoformat()}, after the visit on {last.isoformat()}.",
                "Give the day it was done, or leave the test out until it is done.",
                f"{where}: {field}",
            )
    for k, trim in enumerate(c.trims, 1):
        if trim.date and last and trim.date > last:
            raise OutOfRangeError(
                f"The trim is dated {trim.date.isoformat()}, after the visit on "
                f"{last.isoformat()}.",
                "Give the day it was done, or leave it out until it is done.",
                f"{where}: trims.{k}.date",
            )
