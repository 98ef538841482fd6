"""A visit begun from a plan: what holds it back at this hour, and its first fact."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from strandline.base.errors import ReadError, StrandlineError
from strandline.base.facts.fold import fold
from strandline.salon.records.behind import behind_plan
from strandline.salon.records.bench import practice, practice_tables
from strandline.salon.records.gates import Gate, gates_of, override
from strandline.salon.records.keep import start_visit
from strandline.salon.records.look import document, head_today
from strandline.salon.records.shelf import token_of
from strandline.salon.web.words import Manner, _

if TYPE_CHECKING:
    from collections.abc import Mapping

    from strandline.salon.records.look import Head
    from strandline.salon.web.room import Room

STEPS = ("foils", "bowls", "strengths", "gloss", "verdict")
"""Parts of a plan that the chair follows: where they differ the plan is another one."""
NEEDED = ("record", "health")
"""What a client consents to before a visit is kept."""


class HeldError(StrandlineError):
    """A visit that something holds back."""

    code = "held"


@dataclass(frozen=True, slots=True)
class Missing:
    """Something that is not there: what, what to do, and on which page."""

    what: str
    do: str
    where: str
    href: str


@dataclass(frozen=True)
class Beginning:
    """What stands before a visit.

    Parameters
    ----------
    plan, client, name, date : whose, and of which day
    running : the visit of this plan that has begun and not ended, None where there is none
    missing : what is to be mended first, each with its page
    gates : what the plan and her record hold it back by, overridden ones among them
    """

    plan: str
    client: str
    name: str
    date: str
    running: str | None
    missing: tuple[Missing, ...]
    gates: tuple[Gate, ...]

    @property
    def holds(self) -> tuple[Gate, ...]:
        """Give the gates that nobody has answered for."""
        return tuple(one for one in self.gates if one.weight != "overridden")

    @property
    def is_free(self) -> bool:
        """Tell whether nothing stands in the way that is known."""
        return not self.missing and not self.holds


def beginning(room: Room, plan: str) -> Beginning:
    """Look at all that stands before a visit of a plan, as it is at this hour.

    Raises
    ------
    ReadError   there is no such plan
    """
    found = document(room.store, plan)
    said = json.loads(found.text)
    client, _behind = behind_plan(room.store, plan)
    head = head_today(room.store, client)
    line = practice_tables(room.store).get("shelf", {}).get("line")
    start = room.clock()
    return Beginning(
        plan=plan,
        client=client,
        name=head.client.name or said["client"],
        date=found.date or said["date"],
        running=_running(room, head, plan),
        missing=tuple(_missing(room, head, client, plan, said)),
        gates=tuple(gates_of(said, head.client, start, line=line)),
    )


def _running(room: Room, head: Head, plan: str) -> str | None:
    with room.store.reading() as connection:
        of_plan = token_of(connection, plan)
    return next(
        (one.stream for one in head.visits if one.plan == of_plan and one.ended is None), None
    )


def _missing(
    room: Room, head: Head, client: str, plan: str, said: Mapping[str, Any]
) -> list[Missing]:
    out = []
    if not practice(room.store).region:
        out.append(
            Missing(
                _("The region whose rules hold here is not set."),
                _("Set it once."),
                _("Open the practice"),
                "/practice",
            )
        )
    words = {"record": _("that her visits are kept"), "health": _("that her health is kept")}
    out += [
        Missing(
            _("She has not consented to this: %(what)s.") % {"what": words[purpose]},
            _("Ask her, and keep her signature."),
            _("Open her page"),
            f"/clients/{client}#consents",
        )
        for purpose in NEEDED
        if not head.client.consents[purpose]
    ]
    if said["date"] != room.today.isoformat():
        out.append(
            Missing(
                _("This plan is for %(day)s, not for today.") % {"day": Manner().day(said["date"])},
                _("Plan her visit for today: tests and growth are counted to the day."),
                _("Open her page"),
                f"/clients/{client}",
            )
        )
    elif said["verdict"] != "stop" and _differs(room, plan, said):
        out.append(
            Missing(
                _("The shelf, the practice or her answers have changed since this was planned."),
                _("Plan her visit anew, then begin."),
                _("Open her page"),
                f"/clients/{client}",
            )
        )
    return out


def _differs(room: Room, plan: str, said: Mapping[str, Any]) -> bool:
    made = json.loads(room.plans.of(plan).plan.model_dump_json())
    return any(made[part] != said[part] for part in STEPS)


def begin(room: Room, plan: str) -> str:
    """Begin a visit, or give the one of this plan that is running.

    Returns
    -------
    the visit's stream

    Raises
    ------
    HeldError   something stands in its way; nothing is kept
    """
    found = beginning(room, plan)
    if found.running:
        return found.running
    if not found.is_free:
        told = [(one.what, one.do) for one in found.missing]
        told += [(one.what, one.do) for one in found.holds]
        raise HeldError(*told[0], plan)
    name = _planned_name(room, plan)
    return start_visit(room.store, room.scribe, found.client, plan, date=found.date, name=name)


def _planned_name(room: Room, plan: str) -> str:
    return str(json.loads(document(room.store, plan).text)["client"])


def answer_for(room: Room, plan: str, about: str, person: str, reason: str) -> None:
    """Keep that a named person answers for what holds a visit back, for this visit alone.

    Raises
    ------
    ReadError         nothing of that name holds it back
    LegalLimitError   a stop, or a limit of law
    OutOfRangeError   no person, or no written reason
    """
    found = beginning(room, plan)
    gate = next((one for one in found.holds if one.about == about), None)
    if gate is None:
        raise ReadError(_("Nothing of that name holds this visit back."), _("Look again."), about)
    override(
        room.store, room.scribe, found.client, gate,
        reason=reason, person=person, visit_on=found.date,
    )  # fmt: skip


def followed(room: Room, visit: str) -> str:
    """Give the stream of the plan that a visit follows.

    Raises
    ------
    ReadError   there is no such visit, or it follows no plan that is here
    """
    from sqlalchemy import select  # noqa: PLC0415  # with the record alone

    from strandline.salon.records.readings import facts_of  # noqa: PLC0415
    from strandline.salon.records.tables import STREAM  # noqa: PLC0415

    with room.store.reading() as connection:
        sort = connection.scalar(select(STREAM.c.sort).where(STREAM.c.name == visit))
        said = fold(facts_of(connection, visit)) if sort == "visit" else None
        plan = said and connection.scalar(select(STREAM.c.name).where(STREAM.c.token == said.plan))
    if said is None:
        raise ReadError(_("There is no such visit."), _("Begin one from a plan."), visit)
    if not plan:
        raise ReadError(
            _("This visit follows no plan that is in the record."), _("Open the client."), visit
        )
    return str(plan)
