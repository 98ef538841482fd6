"""What stands for a question not answered yet, and what it may turn out to be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from strandline.base.sources import cite, toml_beside
from strandline.service.consultation.entry.answers import Answers
from strandline.service.consultation.entry.question import Value
from strandline.service.consultation.entry.questions import fields

LIGHT_SHARE = 35.0
"""Share of the hair that strands lightened at an earlier visit hold, percent; common practice."""


@dataclass(frozen=True, slots=True)
class Turn:
    """What a question may turn out to be.

    Parameters
    ----------
    chance : 0-1
    said : its answers
    """

    chance: float
    said: Mapping[str, Value]


@cache
def _table() -> Mapping[str, Mapping[str, Any]]:
    found = toml_beside(__package__, "priors.toml")
    for row in found.values():
        cite(row["source"])
    return found


def usual(answers: Answers) -> Answers:
    """Give the answers with the usual head standing for what is not said."""
    for row in _table().values():
        answers = answers.supposing(_said(row["usual"], answers))
    return answers


def heaviest_first(names: Iterable[str]) -> list[str]:
    """Put questions into the order in which they usually move a plan."""
    order = list(_table())
    return sorted(names, key=lambda name: order.index(name) if name in order else len(order))


def turns(name: str, answers: Answers) -> tuple[Turn, ...]:
    """Give what a question may turn out to be besides the usual; none where nothing is known of it.

    Parameters
    ----------
    name : of the question
    answers : so far, which some figures lean on
    """
    row = _table().get(name, {"or": ()})
    return tuple(Turn(one["chance"], _said(one["said"], answers)) for one in row["or"])


def _said(row: Mapping[str, Any], answers: Answers) -> dict[str, Value]:
    return {key: _value(key, given, answers) for key, given in row.items()}


def _value(key: str, given: Any, answers: Answers) -> Value:  # noqa: ANN401  # as TOML has it
    if isinstance(given, Mapping):
        name, _, place = given["of"].partition(".")
        leans = answers.figure(name, place)
        given = min(max((leans or 5.0) + given["plus"], given["low"]), given["high"])
    return fields()[key][1].read(given, key)
