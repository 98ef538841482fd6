"""The consultation's page and its parts: what the templates show, and what the device is told."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from strandline.salon.records.bench import practice
from strandline.salon.web import hair_seen
from strandline.salon.web.head_drawn import head_drawn
from strandline.salon.web.show import environment, show
from strandline.salon.web.words import CM_PER_INCH, _, manner_of
from strandline.service.consultation.entry.answers import Answers, words_of
from strandline.service.consultation.entry.into import end_cm, strand_of
from strandline.service.consultation.entry.priors import usual
from strandline.service.consultation.entry.questions import LEAST, QUESTIONS, fields, value_words

if TYPE_CHECKING:
    from fastapi import Request
    from fastapi.responses import HTMLResponse

    from strandline.base.errors import StrandlineError
    from strandline.salon.web.faults import Faults
    from strandline.salon.web.sitting import Sitting
    from strandline.service.plan.outlook import Outlook

HEAVY = ("stop", "wait", "hold")


def page_of(
    request: Request,
    sitting: Sitting,
    *,
    faults: Faults | None = None,
    given: Mapping[str, str] | None = None,
    stale: StrandlineError | None = None,
    there: Answers | None = None,
    ranges: bool = False,
) -> HTMLResponse:
    """Show the page.

    Parameters
    ----------
    sitting : the consultation with the answers to show
    faults : by key
    given : what was typed, where it could not be kept
    stale : another has answered since; `there` is what stands in the record
    ranges : work the ranges out before the page is shown, for a browser without scripts
    """
    status = 409 if stale else 422 if faults else 200
    return show(
        request,
        "consultation.html",
        status=status,
        sitting=sitting,
        answers=sitting.answers,
        questions=QUESTIONS,
        faults=faults or {},
        given=given or {},
        stale=stale,
        differs=_differs(sitting.answers, there) if there is not None else [],
        zones=head_drawn(),
        seen=hair_seen,
        family=hair_seen.FAMILY,
        strand=strand_of(sitting.answers, sitting.base),
        running=_running(request, sitting) if ranges else None,
        part=part_of(request, sitting, None),
        state=_for_script(state_of(sitting)),
        words=_for_script(words()),
        colours=_for_script(_colours()),
        currency=practice(request.app.state.room.store).costs.get("currency", ""),
        inch=CM_PER_INCH if manner_of(request.cookies).units == "us" else 1.0,
    )


def _running(request: Request, sitting: Sitting) -> Mapping[str, Any] | None:
    if not sitting.answers.stands:
        return None
    return part_of(request, sitting, list(request.app.state.room.outcomes.outlooks(sitting))[-1])


def state_of(sitting: Sitting) -> dict[str, Any]:
    """Give what the device keeps beside its own answers."""
    answers = sitting.answers
    return {
        "stream": sitting.draft.stream,
        "version": sitting.draft.version,
        "answers": json.loads(answers.as_text()),
        "answered": list(sitting.answered),
        "stands": answers.stands,
        "strand": [one.model_dump(mode="json") for one in strand_of(answers, sitting.base)],
        "end_cm": end_cm(answers, sitting.base),
    }


def part_of(
    request: Request,
    sitting: Sitting,
    outlook: Outlook | None,
    error: StrandlineError | None = None,
) -> dict[str, Any]:
    """Give the running plan as text for the page: its line, its figures, what helps most."""
    answers = sitting.answers
    said: dict[str, Any] = {
        "outlook": outlook,
        "error": error,
        "more": max(0, LEAST - len(sitting.answered)),
        "lacking": [(name, words_of(name)) for name in answers.lacking if name != "more"],
        "helps": [(one.question, words_of(one.question)) for one in outlook.helps if one.steps > 0]
        if outlook
        else [],
        "findings": [f for f in outlook.usual.findings if f.weight in HEAVY] if outlook else [],
        "supposed": _supposed(sitting),
        "client": sitting.client,
        "manner": manner_of(request.cookies),
    }
    made = environment()
    line = made.get_template("consultation-line.html").render(**said)
    figures = made.get_template("consultation-figures.html").render(**said)
    return {"line": line, "figures": figures}


def _supposed(sitting: Sitting) -> list[tuple[str, str]]:
    """Give what stands for the open questions: question and the words of its usual answers."""
    whole = usual(sitting.answers)
    out = []
    for one in QUESTIONS:
        if one.name in sitting.answered:
            continue
        values = [
            _(value_words(field, whole.said[field.keys[0]]))
            for field in one.fields
            if field.needed and field.keys[0] in whole.said and not field.if_field
        ]
        if values:
            out.append((_(one.words), ", ".join(values)))
    return out


def _differs(mine: Answers, there: Answers) -> list[tuple[str, str, str]]:
    """Give the answers that differ: the question, hers, and what stands in the record."""
    out = []
    for key, (one, field) in fields().items():
        if mine.said.get(key) != there.said.get(key):
            here, kept = (_shown(field, who.said.get(key)) for who in (mine, there))
            out.append((_(one.words), here, kept))
    if mine.bands != there.bands:
        out.append((_("The strand"), _("as drawn here"), _("as drawn there")))
    return out


def _shown(field: Any, value: Any) -> str:  # noqa: ANN401  # a field and its answer
    return _("not said") if value is None else _(value_words(field, value))


def _colours() -> dict[str, Any]:
    return {"grays": hair_seen.grays(), "bands": hair_seen.bands()}


def words() -> dict[str, str]:
    """Give the sentences that the device shows by itself."""
    return {
        "saved": _("Saved"),
        "saving": _("Saving …"),
        "kept": _("Not saved yet, kept on this device. It is sent again by itself."),
        "both": _("Answers from another window were taken in; yours are kept too."),
        "stale": _("Another window answered the same question. Yours is kept on this device."),
        "mine": _("Keep mine"),
        "theirs": _("Take what is there"),
        "planned": _("This consultation was planned already."),
        "again": _("Begin a new one with these answers"),
        "leave": _("Leave it as it was planned"),
        "stopped": _("Stopped. The ranges are not whole."),
        "computing": _("Working out what the open answers may change"),
        "unreached": _("The plan cannot be worked out: the server does not answer."),
        "as_front": _("as the front"),
        "scalp": _("scalp"),
        "ends": _("ends"),
        "edge": _("edge between two bands"),
        "whole": _("of the hair"),
    }


def _for_script(value: Any) -> str:  # noqa: ANN401  # what JSON holds
    """Write JSON that no markup can end."""
    text = json.dumps(value)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
