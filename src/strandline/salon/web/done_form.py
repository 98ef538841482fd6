"""What she says of a visit when it is over: read from the form, then written as facts."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.field import MOST_FOILS
from strandline.salon.records.again import whole
from strandline.salon.records.append import append_in
from strandline.salon.records.keep import check
from strandline.salon.records.once import Deed, Sent, is_new, write_deeds
from strandline.salon.records.played import played
from strandline.salon.records.scribe import Scribe
from strandline.salon.web.faults import Faults, day, number
from strandline.salon.web.words import _

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from strandline.base.facts.fold import Visit
    from strandline.salon.web.room import Room

AREAS = ("whole", "front", "crown", "back", "sides")
RETURNS = ("foils_on", "gloss_on")
FARTHEST_RETURN = dt.timedelta(days=3 * 366)
"""Farther ahead is a slip of the year."""
Said = tuple[str, dict[str, Any]]
"""A kind and its payload."""


@dataclass(frozen=True, slots=True)
class DoneForm:
    """A form that could be read.

    Parameters
    ----------
    as_planned : the plan is written down as done before the exceptions
    facts : the exceptions and results, in order
    back : days that were agreed
    """

    as_planned: bool
    facts: tuple[Said, ...]
    back: Mapping[str, str | None]


def foils_in(text: str, field: str, faults: Faults) -> list[int]:
    """Read numbers of foils as she writes them: 12, 15-18.

    Parameters
    ----------
    text : empty for none
    field : its name, for what is wrong
    """
    out: set[int] = set()
    for word in re.split(r"[,;\s]+", text.strip()):
        found = re.fullmatch(r"(\d{1,3})(?:[-–](\d{1,3}))?", word)
        if not word:
            continue
        if not found:
            faults.add(
                field,
                _("'%(said)s' is no number of a foil.") % {"said": word[:20]},
                _("Write them as 12, 15-18."),
            )
            return []
        first = int(found[1])
        last = int(found[2] or first)
        if not 1 <= first <= last <= MOST_FOILS:
            faults.add(
                field,
                _("%(said)s is no range of foils from 1 to %(most)d.")
                % {"said": word, "most": MOST_FOILS},
                _("Write it as 15-18."),
            )
            return []
        out.update(range(first, last + 1))
    return sorted(out)


def read_form(form: Mapping[str, str], visit: Visit, today: dt.date) -> tuple[DoneForm, Faults]:
    """Read the form.

    Parameters
    ----------
    form : fields by name
    visit : as its facts say until now
    today : days that are agreed lie after it

    Returns
    -------
    what was said, and what is wrong, each beside its field
    """
    faults = Faults()
    facts: list[Said] = []
    dropped = foils_in(form.get("dropped", ""), "dropped", faults)
    if dropped:
        facts.append(("foil.dropped", {"foils": dropped}))
    added = foils_in(form.get("added", ""), "added", faults)
    if added:
        section = form.get("added_section", "").strip() or "elsewhere"
        facts.append(("foil.added", {"foils": added, "section": section}))
    facts += [
        ("bowl.left", {"bowl": name[5:], "amount": amount})
        for name, amount in form.items()
        if name.startswith("left-") and amount
    ]
    for area in AREAS:
        facts += _result(form, area, faults)
    note = form.get("note", "").strip()
    if note:
        facts.append(("note", {"text": note}))
    outcome = form.get("outcome", "finished")
    if visit.ended is None:
        facts.append(("visit.ended", {"outcome": outcome}))
    for kind, payload in facts:
        try:
            check("visit", kind, payload)
        except OutOfRangeError as error:
            faults.take(error, _field(kind, error.where, payload))
    back = {name: _return(form.get(name, ""), name, today, faults) for name in RETURNS}
    return DoneForm(form.get("as_planned") == "yes", tuple(facts), back), faults


def _result(form: Mapping[str, str], area: str, faults: Faults) -> list[Said]:
    even = form.get(f"even-{area}", "")
    if not even:
        return []
    said: dict[str, Any] = {"area": area, "evenness": even}
    stage = form.get(f"stage-{area}", "").strip()
    if stage:
        said["stage"] = number(stage, f"stage-{area}", faults, 3, 10.5)
    for name in ("tone", "remedy"):
        word = form.get(f"{name}-{area}", "").strip()
        if word:
            said[name] = word
    return [("result.seen", said)]


def _field(kind: str, where: str, payload: Mapping[str, Any]) -> str:
    """Give the field of the form that a fact's part came from."""
    part = where.rpartition(".")[2]
    if kind == "result.seen":
        return f"{'even' if part == 'evenness' else part}-{payload['area']}"
    if kind == "bowl.left":
        return f"left-{payload['bowl']}"
    if kind == "foil.added" and part == "section":
        return "added_section"
    return {"foil.dropped": "dropped", "foil.added": "added", "note": "note"}.get(kind, part)


def _return(text: str, field: str, today: dt.date, faults: Faults) -> str | None:
    tomorrow = today + dt.timedelta(days=1)
    found = day(text, field, faults, tomorrow, today + FARTHEST_RETURN)
    return found.isoformat() if found else None


@whole
def write_done(
    room: Room, stream: str, client: str, visit: Visit, plan: str, done: DoneForm, form: Sent
) -> None:
    """Write down what was said; all of it, or nothing, and once.

    Parameters
    ----------
    room : the record and its clock
    stream, client : of the visit and whose it is
    visit : as its facts say until now
    plan : plan.json, '' where none was followed
    done : what the form says
    form : as it was sent

    Raises
    ------
    StaleError   it was sent before, filled in otherwise
    """
    deeds = [Deed(stream, *said, sort="visit", client=client) for said in done.facts]
    if any(done.back.values()):
        deeds.append(Deed(client, "client.return", done.back))
    with room.store.writing() as connection:
        if not is_new(connection, form):
            return
        if done.as_planned and plan and not visit.sections:
            _play(connection, room, stream, client, visit, json.loads(plan))
        write_deeds(connection, room.scribe, form, deeds)


LEFT_TO_THE_FORM = ("visit.started", "visit.ended", "bowl.left", "result.seen")


def _play(
    connection: Connection,
    room: Room,
    stream: str,
    client: str,
    visit: Visit,
    plan: dict[str, Any],
) -> None:
    """Write the plan down as it would have been recorded, ending now."""
    facts = [one for one in played(plan, visit.client or "", "") if one[1] not in LEFT_TO_THE_FORM]
    now = room.clock()
    start = now - dt.timedelta(minutes=max((one[0] for one in facts), default=0.0) + 1)
    if visit.started:
        start = min(start, dt.datetime.fromisoformat(visit.started).astimezone(now.tzinfo))
    for minutes, kind, payload in facts:
        moment = start + dt.timedelta(minutes=minutes)
        scribe = Scribe(room.by, room.scribe.device, lambda moment=moment: moment)  # type: ignore[misc]
        fact = scribe.fact(connection, stream, kind, payload, sort="visit")
        append_in(connection, [fact], sort="visit", client=client)
