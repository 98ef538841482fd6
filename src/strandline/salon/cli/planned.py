"""What every command that plans reads: a file with the day and the visit before, or the record."""

from __future__ import annotations

import argparse
import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.record import add_place, opened

if TYPE_CHECKING:
    from strandline.base.facts.jsonl import Reading
    from strandline.service.plan.asked import Asked
    from strandline.service.plan.assemble import Made


def add_consultation(parser: argparse.ArgumentParser) -> None:
    """Say what names the consultation, its day and the visit before it."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="the consultation, a .toml file")
    parser.add_argument(
        "--client",
        metavar="NAME",
        help="in place of FILE: her consultation in the record, with her last visit, the shelf, "
        "your own values and what visits taught",
    )
    add_place(parser)
    parser.add_argument("--on", metavar="DATE", help="day of the visit, YYYY-MM-DD")
    parser.add_argument(
        "--after", metavar="DIR", help="an earlier plan's folder, with its visit.jsonl if kept"
    )


def add_learned(parser: argparse.ArgumentParser) -> None:
    """Say what names the record of what earlier visits taught."""
    parser.add_argument(
        "--learned", metavar="FILE", help="what visits taught, as strandline learn keeps it"
    )


def made_from(args: argparse.Namespace, *, without: str | None = None) -> Made:
    """Read what is named and plan the visit.

    Parameters
    ----------
    without : name of a visit that is left out of what was learned: its checks are read anew

    Raises
    ------
    StrandlineError   what cannot be read, is missing or contradicts
    """
    asked = asked_from(args, without=without)

    from strandline.service.plan.assemble import make_plan  # noqa: PLC0415  # slow

    return make_plan(
        asked.consultation,
        asked.day,
        earlier=asked.earlier,
        pooled=asked.pooled,
        timed=getattr(args, "timed", False),
    )


def asked_from(args: argparse.Namespace, *, without: str | None = None) -> Asked:
    """Read what is named.

    Parameters
    ----------
    without : as `made_from`

    Raises
    ------
    UsageError        neither a file nor a client, or both
    StrandlineError   what cannot be read
    """
    client = getattr(args, "client", None)
    if (args.file is None) == (client is None):
        raise UsageError(
            "A plan is made from a consultation's file or from a client of the record.",
            "Name one of the two: FILE.toml, or --client NAME.",
        )
    if client is None:
        if getattr(args, "db", None):
            raise UsageError(
                "--db says nothing beside a file.", "Give --client NAME in place of the file."
            )
        return _of_files(args, without)
    if args.after or getattr(args, "learned", None):
        raise UsageError(
            "--after and --learned go with a file; the record knows both of its clients.",
            "Leave them out.",
        )
    return _of_record(args, client, without)


def _of_files(args: argparse.Namespace, without: str | None) -> Asked:
    today = dt.datetime.now(tz=dt.UTC).astimezone().date()
    day = day_of(args.on) if args.on else None
    path = Path(args.file)
    raw = read_file(path)

    from strandline.service.consultation.reader import read_consultation  # noqa: PLC0415  # slow
    from strandline.service.plan.asked import Asked  # noqa: PLC0415
    from strandline.service.plan.earlier import read_earlier  # noqa: PLC0415

    consultation = read_consultation(
        raw, path.name, beside=lambda name: read_beside(path, name), on=day, today=today
    )
    earlier = None
    if args.after:
        folder = Path(args.after)
        facts = folder / "visit.jsonl"
        earlier = read_earlier(
            read_file(folder / "plan.json"), read_file(facts) if facts.is_file() else b""
        )
    pooled = None
    if getattr(args, "learned", None):
        from strandline.salon.cli.learn import read_kept  # noqa: PLC0415  # beside, read on demand

        pooled = read_kept(Path(args.learned)).without(without).pooled()
    return Asked(consultation, day or consultation.visit.date or today, earlier, pooled)


def _of_record(args: argparse.Namespace, named: str, without: str | None) -> Asked:
    """Read a client's visit as the app does; its day is the one agreed unless it is said."""
    today = dt.datetime.now(tz=dt.UTC).astimezone().date()
    day = day_of(args.on) if args.on else None

    from strandline.salon.records.behind import asked_of, behind_next  # noqa: PLC0415  # slow
    from strandline.salon.records.learned import learned  # noqa: PLC0415
    from strandline.salon.records.look import head_today, the_client  # noqa: PLC0415

    with opened(args) as store:
        client = the_client(store, named)
        said = head_today(store, client).client
        if day is None:
            agreed = [one for one in (said.foils_on, said.gloss_on) if one]
            coming = [one for one in map(dt.date.fromisoformat, agreed) if one >= today]
            day = min(coming, default=today)
        taught = learned(store)
        if taught is not None:
            taught = taught.without(without)
        behind = behind_next(store, client, day)
        return asked_of(store, behind, day, f"{said.name}'s consultation", taught=taught)


def read_facts(name: str) -> Reading:
    """Read a visit's facts, lines that are none among them.

    Raises
    ------
    ReadError   the file is not text or cannot be read
    """
    from strandline.base.facts.jsonl import read_lines  # noqa: PLC0415  # slow

    raw = read_file(Path(name))
    try:
        return read_lines(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise ReadError(
            "The file is not text.", "Name the visit's own file, JSON Lines in UTF-8.", name
        ) from None


def day_of(text: str) -> dt.date:
    """Read a day.

    Raises
    ------
    OutOfRangeError   it is not a date
    """
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise OutOfRangeError(
            f"The day '{text}' is not a date.", "Write it as YYYY-MM-DD.", "--on"
        ) from None


def read_file(path: Path) -> bytes:
    """Read a file that a person named.

    Raises
    ------
    ReadError   it is missing, a folder, too large, or may not be read
    """
    from strandline.service.consultation.reader import LARGEST_BYTES  # noqa: PLC0415

    largest = LARGEST_BYTES * 20
    try:
        if path.is_dir():
            raise ReadError("That is a folder, not a file.", "Name a file in it.", str(path))
        if path.stat().st_size > largest:
            raise ReadError(
                f"The file holds {path.stat().st_size / 1e6:.0f} MB; it must be at most "
                f"{largest / 1e6:.0f} MB.",
                "Name a file of words, not a picture or an archive.",
                str(path),
            )
        return path.read_bytes()
    except OSError as error:
        raise ReadError(
            f"The file cannot be read: {error.strerror or error}.",
            "Look at its name and folder; examples/noor.toml is one to start from.",
            str(path),
        ) from None


def read_beside(path: Path, name: str) -> bytes:
    """Read a file that a consultation names, from the same folder and no other.

    Raises
    ------
    ReadError   a name that leaves the folder, or a file that cannot be read
    """
    if Path(name).name != name:
        raise ReadError(
            f"It names '{name:.60}', which leaves the folder.",
            "Put that file beside the consultation and name it alone.",
            path.name,
        )
    beside = path.parent / name
    try:
        there = beside.is_file()
    except OSError:  # a name longer than a file's may be
        there = False
    if not there:
        raise ReadError(
            f"It names '{name:.60}', which is not beside the consultation.",
            "Put it there (examples holds one to copy), or take the line out.",
            path.name,
        )
    return read_file(beside)
