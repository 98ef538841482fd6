"""Answers as a page sends them: read off a form, put into a draft, each fault beside its field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from strandline.base.errors import OutOfRangeError
from strandline.salon.records.drafts import Draft, save_draft
from strandline.salon.records.scribe import utc
from strandline.salon.records.wall import StaleError
from strandline.salon.web.faults import Faults
from strandline.salon.web.sitting import Sitting, sit_down
from strandline.salon.web.words import CM_PER_INCH, Manner, _
from strandline.service.consultation.entry.answers import BANDS, MOST_BANDS, Answers
from strandline.service.consultation.entry.questions import fields

if TYPE_CHECKING:
    from strandline.salon.web.room import Room

OWN, ROW = "own.", "band."
_NUMBERS = ("depth", "stage", "years", "share", "times")


def read_form(form: Mapping[str, str], manner: Manner) -> dict[str, Any]:
    """Give the answers of a form by key; what is not in it is not changed.

    Parameters
    ----------
    form : radios by key, figures of her own by 'own.' and key, the strand by rows
    manner : lengths of her own are in its units
    """
    out: dict[str, Any] = {}
    for key, (_question, field) in fields().items():
        own = form.get(OWN + key, "").strip()
        if own:
            out[key] = _cm(own, manner) if field.unit == "cm" else own
        elif key in form:
            out[key] = form[key]
    aim = form.get("aim", "")
    if aim:
        out["tone"], _, out["stage"] = aim.partition("@")
    if form.get("drawn"):
        out[BANDS] = _rows(form, manner)
    elif "drawn-open" in form:
        out[BANDS] = None
    return out


def _rows(form: Mapping[str, str], manner: Manner) -> list[dict[str, Any]]:
    rows = []
    for number in range(1, MOST_BANDS + 1):
        said = {
            name: form.get(f"{ROW}{number}.{name}", "").strip()
            for name in ("past", "from_cm", "to_cm", *_NUMBERS)
        }
        if not any(said.values()):
            continue
        row: dict[str, Any] = {"past": said["past"]}
        row |= {name: _cm(said[name], manner) for name in ("from_cm", "to_cm")}
        row |= {name: _number(said[name]) for name in _NUMBERS if said[name]}
        rows.append(row)
    return rows


def _cm(text: str, manner: Manner) -> Any:  # noqa: ANN401  # a figure, or what was typed
    value = _number(text)
    return value * CM_PER_INCH if manner.units == "us" and isinstance(value, float) else value


def _number(text: str) -> Any:  # noqa: ANN401  # a figure, or what was typed
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text


def put(answers: Answers, changes: Mapping[str, Any]) -> tuple[Answers, Faults]:
    """Put changes into answers one by one: what cannot be is told and the rest is kept."""
    faults = Faults()
    for key, value in changes.items():
        try:
            answers = answers.with_({key: value})
        except OutOfRangeError as error:
            faults.take(error, error.where or key)
    return answers, faults


def keep(
    room: Room, client: str, stream: str, version: int, changes: Mapping[str, Any]
) -> tuple[Sitting, Faults]:
    """Keep changes of a consultation under way.

    Parameters
    ----------
    stream, version : of the draft as it was read
    changes : answers by key

    Returns
    -------
    the consultation as it is now, and what could not be kept

    Raises
    ------
    StaleError   another has answered since, or it was planned; nothing is kept

    Notes
    -----
    What is there already is not kept twice: a save whose answer was lost may be sent again.
    """
    sitting = sit_down(room, client)
    if stream != sitting.draft.stream:
        raise StaleError(
            _("This consultation was planned already."),
            _("What you see here is not lost: keep it as the beginning of a new one, or leave it."),
            "version",
        )
    answers, faults = put(sitting.answers, changes)
    if answers == sitting.answers and (sitting.draft.version or not changes):
        return sitting, faults
    scribe, text = room.scribe, answers.as_text()
    now = save_draft(room.store, scribe, client, stream, text, read=version)
    draft = Draft(stream, now, text, utc(scribe.clock()), scribe.by)
    return replace(sitting, draft=draft, answers=answers), faults
