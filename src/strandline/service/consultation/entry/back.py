"""From an earlier consultation back to answers: what need not be said twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from strandline.base.errors import OutOfRangeError
from strandline.service.consultation.entry.answers import BANDS, Answers
from strandline.service.consultation.entry.question import AREAS, ZONE

ANEW = ("regrowth", "condition")
"""Questions that are looked at anew each time."""
_HAIR = ("strand", "curl", "ponytail", "length", "fringe", "parting", "bonds")
_AIM = {"wish": "wish", "tone": "tone", "stage": "stage", "return_weeks": "return"}
_COVER = {"kind": "kind", "depth": "depth", "years": "years", "every_weeks": "every"}


def answers_of(document: Mapping[str, Any]) -> Answers:
    """Give the answers of an earlier consultation, without what is looked at anew.

    Parameters
    ----------
    document : of a consultation that was read once

    Notes
    -----
    What the questions do not hold, such as a measured length, stays in the document beneath.
    """
    found = Answers()
    for key, value in _said(document):
        try:
            found = found.with_({key: value})
        except OutOfRangeError:  # finer than the question asks: it stays in the document
            continue
    return found


def _said(document: Mapping[str, Any]) -> Iterator[tuple[str, object]]:
    hair, aim, limits = (document.get(name, {}) for name in ("hair", "aim", "limits"))
    yield from _seen(document, hair)
    yield from ((name, hair[name]) for name in _HAIR if name in hair)
    yield from ((key, aim[name]) for name, key in _AIM.items() if name in aim)
    yield from ((name, limits[name]) for name in ("hours", "money") if name in limits)
    for table, name, key in ((aim, "lighter_front", "front"), (limits, "helper", "helper")):
        if name in table:
            yield key, "yes" if table[name] else "no"
    yield from _past(document)


def _seen(document: Mapping[str, Any], hair: Mapping[str, Any]) -> Iterator[tuple[str, object]]:
    """Give gray and level: of the front, and of what differs from it."""
    areas = {area: document.get("areas", {}).get(area, {}) for area in AREAS}
    for name in ("gray", "level"):
        own = {area: areas[area].get(name, hair.get(name)) for area in AREAS}
        for area, value in own.items():
            if value is not None and (area == "front" or value != own["front"]):
                yield f"{name}.{area}", value
    for zone, said in document.get("zones", {}).items():
        if said.get("gray") is not None:
            yield f"gray.{ZONE}{zone}", said["gray"]


def _past(document: Mapping[str, Any]) -> Iterator[tuple[str, object]]:
    cover = document.get("cover")
    if cover:
        yield "cover.kind", cover.get("kind", "salon")
        yield from ((f"cover.{key}", cover[name]) for name, key in _COVER.items() if name in cover)
    if document.get("bands"):
        yield BANDS, document["bands"]
    elif cover:
        yield "light.where", "none"
