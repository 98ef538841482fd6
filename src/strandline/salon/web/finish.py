"""The end of a consultation: written down, planned, and both kept."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from strandline.base.errors import StrandlineError
from strandline.salon.records.behind import Behind
from strandline.salon.records.keep import keep_plan, write_consultation
from strandline.salon.records.wall import StaleError
from strandline.salon.web.faults import Faults
from strandline.salon.web.sitting import Sitting, sit_down
from strandline.salon.web.words import _
from strandline.service.consultation.entry.into import FIRM
from strandline.service.consultation.entry.questions import fields, question

if TYPE_CHECKING:
    from strandline.salon.web.room import Room

PLAN = "plan"
"""Where a fault stands that is no answer's."""


def finish(room: Room, sitting: Sitting, day: dt.date, faults: Faults) -> str | None:
    """Write a consultation, plan the day and keep the plan.

    Parameters
    ----------
    sitting : with all that was answered
    day : of the visit
    faults : gets what is in the way, each beside its field

    Returns
    -------
    the plan's stream, None where something is in the way: then nothing is written

    Raises
    ------
    StaleError   another has answered since
    """
    for name in FIRM:
        if name not in sitting.answered:
            key = sitting.answers.asked(question(name))[-1]
            faults.add(
                key, _("This is not answered."), _("A plan that is kept stands on it: answer it.")
            )
    if not sitting.head.client.consents["record"]:
        faults.add(
            PLAN,
            _("%(name)s has not agreed to being kept.") % {"name": sitting.name},
            _("Let her sign on her health page, or under Consents on her own."),
        )
    if faults:
        return None
    sitting = sit_down(room, sitting.client, day)
    text = sitting.text()
    before = sitting.behind
    behind = (
        Behind(text) if before is None else Behind(text, before.plan_before, before.facts_before)
    )
    try:
        made = room.plans.made(behind, day)
        write_consultation(room.store, room.scribe, sitting.client, text, over=sitting.draft)
    except StaleError:
        raise
    except StrandlineError as error:
        where = error.where.rpartition(": ")[2]
        faults.take(error, where if where in fields() else PLAN)
        return None
    document = made.plan.model_dump_json()
    known = sitting.head.plan_of(day)
    kept = keep_plan(room.store, room.scribe, sitting.client, document, over=known)
    room.plans.forget()
    return kept.stream
