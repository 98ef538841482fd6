"""What the plan may come to while questions are open, and which answer would help most.

For every open question the plan is computed once for each thing it may turn out to be, all else
as it is usual: paired alternatives, on the same draws of lift. Then a few more are computed in
which all of them turn out at once, by the first of the fixed draws. A range runs from the least to
the most of all the plans computed, the spread of lift included.

An answer helps by the sum over its turns of chance x steps. Steps between two plans are the
largest of minutes, foils, stage and the year's cost, each over its step in `outlook.toml`; another
kind of service or another verdict counts as so many steps by itself.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from strandline.base.draws import draws
from strandline.base.errors import StrandlineError
from strandline.base.quantities import Range
from strandline.base.sources import Number, numbers, toml_beside
from strandline.service.consultation.entry.answers import Answers
from strandline.service.consultation.entry.into import consultation
from strandline.service.consultation.entry.priors import heaviest_first, turns
from strandline.service.consultation.entry.question import Value
from strandline.service.consultation.entry.questions import QUESTIONS
from strandline.service.consultation.model import Consultation
from strandline.service.plan.outcome import Outcome

Asked = Callable[[Consultation], Outcome]
"""Computes what a plan comes to; a stop by the person is raised through it."""
OUTER = 0.6745
"""A normal lies beyond this on either side one time in four: a turn's usual chance."""


@cache
def steps() -> Mapping[str, Number]:
    """Load what counts as a step."""
    return numbers(toml_beside(__package__, "outlook.toml")["numbers"], "outlook.toml")


@dataclass(frozen=True, slots=True)
class Help:
    """How much an answer would help.

    Parameters
    ----------
    question : its name
    steps : expected steps that the plan moves by it, >= 0
    """

    question: str
    steps: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """What the plan may come to.

    Parameters
    ----------
    usual : the plan as it stands, the usual head standing for what is not said
    minutes, stage, year : from the least to the most of all plans computed
    foils : likewise, of those that are the same kind of service
    kinds, verdicts : all that were found, the usual's first
    helps : open questions, what helps most first; as far as they are computed
    done, whole : plans computed, of how many
    """

    usual: Outcome
    foils: Range
    minutes: Range
    stage: Range | None
    year: Range | None
    kinds: tuple[str, ...]
    verdicts: tuple[str, ...]
    helps: tuple[Help, ...]
    done: int
    whole: int


@dataclass
class _Gathering:
    """Plans as they are computed."""

    usual: Outcome
    whole: int
    found: list[Outcome] = field(default_factory=list)
    helps: dict[str, float] = field(default_factory=dict)

    def add(self, name: str, chance: float, outcome: Outcome) -> None:
        self.found.append(outcome)
        if name:
            moved = chance * steps_between(self.usual, outcome)
            self.helps[name] = self.helps.get(name, 0.0) + moved

    def outlook(self) -> Outlook:
        every = [self.usual, *self.found]
        ranked = sorted(self.helps.items(), key=lambda one: -one[1])
        return Outlook(
            usual=self.usual,
            foils=_range([one.foils for one in every if one.kind == self.usual.kind], "foils"),
            minutes=_range([one.minutes for one in every], "min"),
            stage=_stages(every),
            year=_range([one.year for one in every], "a year") if self.usual.year else None,
            kinds=tuple(dict.fromkeys(one.kind for one in every)),
            verdicts=tuple(dict.fromkeys(one.verdict for one in every)),
            helps=tuple(Help(name, moved) for name, moved in ranked),
            done=len(every),
            whole=self.whole,
        )


def outlooks(
    answers: Answers,
    base: Mapping[str, Any],
    day: dt.date,
    asked: Asked,
    *,
    settled: tuple[str, ...] = (),
) -> Iterator[Outlook]:
    """Compute what the plan may come to, better with each step.

    Parameters
    ----------
    answers : so far, of which a plan can stand
    base : tables beneath: shelf, costs, health
    day : of the visit
    asked : computes what one consultation comes to
    settled : names of questions that an earlier visit answers

    Yields
    ------
    Outlook   the first after one plan; the last with all of them

    Raises
    ------
    StrandlineError   the answers as they stand allow no plan; an alternative that allows none is
        left out, for it is no plan she could be given
    """
    open_now = heaviest_first(name for name in answers.left if name not in settled)
    singles = [(name, turn) for name in open_now for turn in turns(name, answers)]
    joint = [one for one in _together(open_now, answers) if one]
    usual = asked(consultation(answers, base, on=day))
    found = _Gathering(usual, 1 + len(singles) + len(joint))
    yield found.outlook()
    plans: list[tuple[str, float, Mapping[str, Value]]] = [
        *((name, turn.chance, turn.said) for name, turn in singles),
        *(("", 0.0, said) for said in joint),
    ]
    for name, chance, said in plans:
        try:
            outcome = asked(consultation(answers.supposing(said), base, on=day))
        except StrandlineError:
            found.whole -= 1
            continue
        found.add(name, chance, outcome)
        yield found.outlook()


def _together(open_now: list[str], answers: Answers) -> Iterator[dict[str, Value]]:
    """Give answers in which every open question turns out at once, by the first fixed draws."""
    if len(open_now) < 2:  # one alone has been computed already
        return
    drawn = draws(tuple(one.name for one in QUESTIONS))
    for k in range(round(steps()["together"].value)):
        said: dict[str, Value] = {}
        for name in open_now:
            found = turns(name, answers)
            z = float(drawn[name][k])
            if found and abs(z) > OUTER:
                said |= found[0 if z < 0 or len(found) == 1 else 1].said
        yield said


def steps_between(one: Outcome, other: Outcome) -> float:
    """Give how many steps lie between two plans.

    Notes
    -----
    max(|minutes|, |foils|, |stage|, |year| each over its step), and what another kind of service
    and another verdict count.
    """
    step = {name: number.value for name, number in steps().items()}
    parts = [
        abs(one.minutes - other.minutes) / step["minutes"],
        abs(one.foils - other.foils) / step["foils"],
    ]
    if one.stage is not None and other.stage is not None:
        parts.append(abs(one.stage.middle - other.stage.middle) / step["stage"])
    before, after = one.year or one.year_minutes, other.year or other.year_minutes
    if before:
        parts.append(100 * abs(after - before) / before / step["year_percent"])
    changed = (one.kind != other.kind) + (one.verdict != other.verdict)
    return max(parts) + changed * step["another_kind"]


def _range(values: list[float | None], unit: str) -> Range:
    here = [float(value) for value in values if value is not None]
    return Range(min(here), here[0], max(here), unit, "least to most of the plans computed")


def _stages(every: list[Outcome]) -> Range | None:
    """Give the stages expected, the spread of lift included; None where none of them lifts."""
    here = [one.stage for one in every if one.stage is not None]
    if not here:
        return None
    low, high = min(one.low for one in here), max(one.high for one in here)
    return Range(low, here[0].middle, high, "stage", "least to most of the plans computed")
