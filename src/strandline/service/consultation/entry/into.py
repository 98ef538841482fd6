"""From answers to a consultation: what was said and nothing else, or with the usual supposed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from strandline.base.errors import OutOfRangeError
from strandline.science.head.zones import NAMES
from strandline.service.consultation.entry.answers import BANDS, Answers
from strandline.service.consultation.entry.priors import LIGHT_SHARE, usual
from strandline.service.consultation.entry.question import AREAS, ZONE
from strandline.service.consultation.entry.questions import COVERED
from strandline.service.consultation.model import Band, Consultation
from strandline.service.consultation.reader import from_document
from strandline.service.consultation.words import LENGTH_CM, STRETCH

FIRM = ("gray", "level", "cover", "light", "condition")
"""Questions that decide whether lightener may be planned: a kept plan stands on no default here."""
ENDS_FROM = 2 / 3
"""Of the length, where ends begin that were lightened alone; common practice, no source."""
LEAST_BAND_CM = 0.5
DEFAULT_CM = LENGTH_CM["shoulder"]

_LENGTHS: dict[str, float] = {str(word): cm for word, cm in LENGTH_CM.items()}
_STRETCHES: dict[str, float] = {str(word): times for word, times in STRETCH.items()}
_HAIR = ("strand", "curl", "ponytail", "length", "fringe", "parting", "condition", "bonds")


def document(answers: Answers, base: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Give the consultation's document: what was said, over what is known of her already.

    Parameters
    ----------
    answers : so far
    base : tables that stand beneath: her name, her health, measures of earlier consultations
    """
    out = {key: _copied(value) for key, value in (base or {}).items()}
    out["areas"] = {area: _area(answers, area, out) for area in AREAS}
    hair = out.setdefault("hair", {})
    hair |= {name: answers.value(name) for name in _HAIR if answers.value(name) is not None}
    if "bonds" in hair:
        hair["bonds"] = round(hair["bonds"])
    if answers.figure("regrowth", "front") is not None:
        hair["regrowth_cm"] = answers.figure("regrowth", "front")
    zones = {
        zone: {"gray": answers.figure("gray", ZONE + zone)}
        for zone in NAMES
        if answers.figure("gray", ZONE + zone) is not None
    }
    if zones:
        out["zones"] = zones
    _past(answers, out)
    _aim(answers, out)
    limits = {"hours": answers.figure("hours"), "money": answers.figure("money")}
    said = {name: value for name, value in limits.items() if value is not None}
    if answers.word("helper"):
        said["helper"] = answers.word("helper") == "yes"
    if said:
        out["limits"] = {**out.get("limits", {}), **said}
    return out


def consultation(
    answers: Answers, base: Mapping[str, Any], *, on: dt.date | None = None
) -> Consultation:
    """Give the consultation that answers come to, the usual head standing for what is not said.

    Raises
    ------
    OutOfRangeError   answers that contradict, with the question they stand in
    """
    return checked(document(usual(answers), base), on=on)


def checked(found: Mapping[str, Any], *, on: dt.date | None = None) -> Consultation:
    """Read a document; what is wrong in it is told of the question it was asked in."""
    try:
        return from_document(found, "consultation", on=on)
    except OutOfRangeError as error:
        field = error.where.partition(": ")[2]
        raise OutOfRangeError(error.what, error.do, _asked_in(field) or error.where) from None


def _asked_in(field: str) -> str:
    """Give the key of the answer that a field of the document came from."""
    table, _, rest = field.partition(".")
    if table == BANDS:
        return field
    if table == "areas":
        area, _, name = rest.partition(".")
        return f"{'regrowth' if name == 'regrowth_cm' else name or 'gray'}.{area}"
    return {
        "hair.regrowth_cm": "regrowth.front",
        "cover.every_weeks": "cover.every",
        "aim.return_weeks": "return",
        "aim.lighter_front": "front",
    }.get(field, rest if table in ("hair", "aim", "limits") else field)


def _copied(value: Any) -> Any:  # noqa: ANN401  # a document's own values
    return dict(value) if isinstance(value, Mapping) else value


def _area(answers: Answers, area: str, out: Mapping[str, Any]) -> dict[str, Any]:
    before = out.get("areas", {}).get(area, {})
    said = {
        "gray": answers.figure("gray", area),
        "level": answers.figure("level", area),
        "regrowth_cm": answers.figure("regrowth", area),
    }
    return {**before, **{name: value for name, value in said.items() if value is not None}}


def _aim(answers: Answers, out: dict[str, Any]) -> None:
    said = {
        "wish": answers.value("wish"),
        "tone": answers.value("tone"),
        "stage": answers.figure("stage"),
        "return_weeks": answers.figure("return"),
    }
    aim = {name: value for name, value in said.items() if value is not None}
    if answers.word("front"):
        aim["lighter_front"] = answers.word("front") == "yes"
    if aim:
        out["aim"] = {**out.get("aim", {}), **aim}


def _past(answers: Answers, out: dict[str, Any]) -> None:
    """Put what is in the hair into the document: cover in one line, or bands."""
    if answers.value("cover.kind") is None and answers.bands is None:
        return
    out.pop("cover", None)
    out.pop("bands", None)
    if answers.word("cover.kind") in COVERED and answers.figure("cover.depth") is not None:
        cover = {
            "kind": answers.word("cover.kind"),
            "depth": answers.figure("cover.depth"),
            "years": answers.figure("cover.years"),
            "every_weeks": answers.figure("cover.every"),
        }
        out["cover"] = {name: value for name, value in cover.items() if value is not None}
    if answers.bands is not None:
        out["bands"] = [band.model_dump(exclude_defaults=True) for band in answers.bands]
    elif answers.word("light.where") not in (None, "none") or _not_known(answers):
        out["bands"] = [band.model_dump(exclude_defaults=True) for band in strand_of(answers, out)]
        if not out["bands"]:
            out.pop("bands")


def _not_known(answers: Answers) -> bool:
    return answers.word("cover.kind") == "unknown"


def end_cm(answers: Answers, base: Mapping[str, Any] | None = None) -> float:
    """Give the mean length of a stretched strand as far as it is known."""
    hair = (base or {}).get("hair", {})
    if hair.get("length_cm") and answers.value("length") is None:
        return float(hair["length_cm"])
    length = _LENGTHS.get(answers.word("length") or hair.get("length", ""), DEFAULT_CM)
    return length * _STRETCHES.get(answers.word("curl") or hair.get("curl", ""), 1.0)


def strand_of(answers: Answers, base: Mapping[str, Any] | None = None) -> list[Band]:
    """Give the bands that the answers come to, from the scalp outward; else those drawn."""
    if answers.bands is not None:
        return list(answers.bands)
    end, start = end_cm(answers, base), answers.figure("regrowth", "front") or 0.0
    if end - start < LEAST_BAND_CM:
        return []
    kind, where = answers.word("cover.kind"), answers.word("light.where") or "none"
    covered = kind in (*COVERED, "unknown")
    light_from = {"ends": max(start, end * ENDS_FROM), "all": start, "strands": start}.get(where)
    out = []
    if light_from is not None:
        share = LIGHT_SHARE if where == "strands" else 100.0
        out.append(_lightened(answers, light_from, end, share))
    if covered and where != "all":
        cover_end = end if where != "ends" else max(start, end * ENDS_FROM)
        if cover_end - start >= LEAST_BAND_CM:
            share = 100.0 - LIGHT_SHARE if where == "strands" else 100.0
            out.append(_covered(answers, start, cover_end, share))
    return sorted(out, key=lambda band: (band.from_cm, band.past != "lightened"))


def _lightened(answers: Answers, start: float, end: float, share: float) -> Band:
    return Band(
        from_cm=round(start, 2),
        to_cm=round(end, 2),
        past="lightened",
        share=share,
        stage=answers.figure("light.stage") or 8.0,
        times=round(answers.figure("light.times") or 1),
    )


def _covered(answers: Answers, start: float, end: float, share: float) -> Band:
    ends = {"from_cm": round(start, 2), "to_cm": round(end, 2), "share": share}
    if _not_known(answers):
        return Band(**ends, past="unknown")
    years = answers.figure("cover.years")
    return Band(
        **ends,
        past="permanent",
        depth=answers.figure("cover.depth") or answers.figure("level", "front") or 5.0,
        years=1.0 if years is None else years,
    )
