"""The rest of a visit: from a plan, the facts until now, and the time, to what is left to do."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import Unread
from strandline.base.facts.visit import Visit
from strandline.base.quantities import Range
from strandline.service.anew.after import Relight, relight_of, relights, rinsed_at, steps_after
from strandline.service.anew.changed import Changes, added_foils, changes_of, end_of, left_out
from strandline.service.anew.checked import Awaited, awaited, bowl_of, learned
from strandline.service.anew.kept import kept_of
from strandline.service.anew.missed import steps_back
from strandline.service.anew.mixed import bowls_told, poured_of
from strandline.service.anew.model import Anew, GroupNow, Learned, Money, Step
from strandline.service.anew.standing import halted, left_alone
from strandline.service.anew.telling import Standing, steps_of
from strandline.service.anew.times import Wall, time_of_day, until, wall_of
from strandline.service.anew.toning import toned_anew
from strandline.service.anew.work import (
    Work,
    clock_from_now,
    in_time,
    waits_from,
    without,
    work_of,
)
from strandline.service.learning.belief import Belief
from strandline.service.learning.due import Z90
from strandline.service.plan.assemble import Made
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.money import floor_of_hour
from strandline.service.plan.parts import figure
from strandline.service.schedule.clock import Clock, Placing

_WORDS = {
    "product": "the lightener works at {} of its usual rate",
    "client": "this hair lifts at {} of the usual rate",
    "day": "today all runs at {} of the usual rate",
}


@dataclass(frozen=True)
class _Now:
    """Everything that is known at this minute; `free` is when her hands are."""

    made: Made
    visit: Visit
    wall: Wall
    work: Work
    changes: Changes
    awaited: Mapping[str, Awaited]
    gloss: list[GlossStep]
    relight: Relight
    free: float

    def clock(
        self, which: str, gone: frozenset[int], added: Sequence[Placing] = ()
    ) -> Clock | None:
        return clock_from_now(
            self.work,
            waits_from(self.awaited, self.made.waits, which),
            self.made.bench,
            self.free,
            added=added,
            left_out=gone,
            helper=self.changes.helper or self.made.consultation.limits.helper,
        )

    @property
    def after_min(self) -> float:
        """Minutes from the rinse to the door."""
        bench = self.made.bench
        again = 0.0
        if relights(self.visit, self.relight):
            again = self.relight.longest_min + bench["minutes_rinse"]
        rinse = 0.0 if rinsed_at(self.visit) else bench["minutes_rinse"]
        gloss = sum(step.alone_min for step in self.gloss)
        gloss += bench["minutes_rinse"] if self.gloss else 0.0
        return rinse + again + gloss + bench["minutes_finish"]


def plan_anew(
    made: Made, facts: Sequence[Fact], clock: str, *, unread: Sequence[Unread] = ()
) -> Anew:
    """Plan the rest of a visit.

    Parameters
    ----------
    made : the plan that is followed, with what it was computed from
    facts : of the visit, in any order; those later than `clock` are not looked at
    clock : local time, HH:MM
    unread : lines of the file that are no facts

    Returns
    -------
    Anew   with no foil in past the label's longest time, whatever is believed; where something
    hurts, or the plan stops the visit, that alone

    Raises
    ------
    OutOfRangeError   facts without a visit, of one that has ended, a time before it began, foils
    that the plan has none of, or facts of another client
    """
    time = time_of_day(clock)
    whole = fold(facts)
    offset = whole.offset or 0
    known, now_ms = until(facts, time, whole.started, offset)
    visit = fold(known, unread)
    wall = wall_of(visit, now_ms, offset)
    _refuse(made, visit, wall)
    halt, why = halted(made.plan, visit)
    if halt:
        step = Step(at=wall.at(wall.now), what=halt, why=why)
        return _stopped(made, visit, wall, step, kept_of(visit, [], len(facts) - len(known), wall))
    work = work_of(made.plan, visit, wall, made.waits)
    poured = poured_of(visit)
    bowl = partial(bowl_of, bowls=work.bowls, waits=made.waits)
    believed, taught = learned(visit, made.doses, bowl, poured, made.believed)
    kept = kept_of(visit, taught, len(facts) - len(known), wall)
    changes = changes_of(visit)
    spoilt_in = changes.spoilt & set(work.inside)
    hoped = {
        name: awaited(believed, name, made.doses, poured, wait) for name, wait in made.waits.items()
    }
    work, free = in_time(without(work, spoilt_in), made.waits, made.bench, wall.now, len(spoilt_in))
    asked = made.asked
    relight = relight_of(
        asked.label_max_vol if asked else 0.0,
        asked.label_max_min if asked else 0.0,
        left_alone(made, visit),
    )
    state = _Now(made, visit, wall, work, changes, hoped, toned_anew(made, visit), relight, free)
    return _told(state, believed, sum(taught), spoilt_in, poured, kept)


def _refuse(made: Made, visit: Visit, wall: Wall) -> None:
    if visit.client is not None and visit.client != made.plan.client:
        raise OutOfRangeError(
            f"The facts are of {visit.client}; the plan is for {made.plan.client}.",
            "Name the visit's own file.",
            "--facts",
        )
    if visit.ended is not None:
        raise OutOfRangeError(
            f"The visit ended at {wall.at(wall.minutes(visit.ended))}.",
            "Give a time before it; the next visit starts from it with --after.",
            "--now",
        )


def _stopped(made: Made, visit: Visit, wall: Wall, step: Step, kept: list[str]) -> Anew:
    """Give the one thing to do; no clock, nothing to come, no finish."""
    return Anew(
        now=wall.at(wall.now) or "",
        rinse_now=step.what,
        placed=sorted(visit.foils_done),
        out=sorted(foil.number for foil in visit.foils if foil.out is not None),
        to_come=[],
        dropped=[],
        added=0,
        checks=0,
        learned=[],
        groups=[],
        steps=[step],
        gloss=[],
        finish_low=None,
        finish=None,
        finish_high=None,
        booked_until=wall.at(_booked_until(made, visit, wall)) or "",
        money=_money(made, visit, wall, wall.now),
        kept=kept,
        cautions=_cautions(made),
    )


def _told(
    state: _Now,
    believed: Belief,
    checks: int,
    spoilt_in: frozenset[int],
    poured: Mapping[str, float],
    kept: list[str],
) -> Anew:
    wall, visit, made, work = state.wall, state.visit, state.made, state.work
    rinsed = rinsed_at(visit) is not None
    booked = _booked_until(made, visit, wall)
    added = () if rinsed else added_foils(state.changes, work)

    def ends_at(gone: frozenset[int], which: str = "middle") -> float:
        clock = None if rinsed else state.clock(which, gone, added)
        return end_of(clock, state.free, state.after_min)

    gone = frozenset[int]() if rinsed else left_out(state.changes, work, ends_at, booked)
    clock = None if rinsed else state.clock("middle", gone, added)
    ends = {which: ends_at(gone, which) for which in ("low", "middle", "high")}
    money = _money(made, visit, wall, ends["middle"])
    standing = Standing(
        wall,
        state.free,
        work.past_label,
        sorted(spoilt_in),
        clock,
        made.plan.check_every_min or 0.0,
        sorted(gone),
        added,
        money,
        ends["middle"] - booked,
    )
    steps = [] if rinsed else bowls_told(made, poured, wall.at(wall.now))
    steps += steps_of(standing)
    steps += steps_after(visit, sorted(state.changes.spoilt), state.relight)
    steps += steps_back(made, visit)
    return Anew(
        now=wall.at(wall.now) or "",
        rinse_now="",
        placed=sorted(work.placed),
        out=sorted({*work.outside, *spoilt_in}),
        to_come=[] if rinsed else [row.number for row in work.to_come if row.number not in gone],
        dropped=sorted(gone),
        added=len(added),
        checks=checks,
        learned=_learned(believed) if checks else [],
        groups=_groups(state, clock),
        steps=_waiting(made, wall) + steps,
        gloss=state.gloss,
        finish_low=wall.at(min(ends.values())),
        finish=wall.at(ends["middle"]),
        finish_high=wall.at(max(ends.values())),
        booked_until=wall.at(booked) or "",
        money=money,
        kept=kept,
        cautions=[] if rinsed else _cautions(made),
    )


def _cautions(made: Made) -> list[str]:
    """Give the cautions while foils are in."""
    return [f"{one.what} {one.do}" for one in made.plan.cautions if one.step == "foils"]


def _waiting(made: Made, wall: Wall) -> list[Step]:
    """Say first what a plan at 'wait' still waits for."""
    if made.plan.verdict != "wait":
        return []
    return [
        Step(at=wall.at(wall.now), what=f"The plan waits: {one.what}", why=one.do)
        for one in made.plan.reasons
        if one.weight == "wait"
    ]


def _booked_until(made: Made, visit: Visit, wall: Wall) -> float:
    """Give the minute the visit is booked to end: as long as was planned, from when it was due."""
    begins = wall.minutes(visit.started) if visit.started else 0.0
    planned = min(made.plan.quote.minutes, made.consultation.limits.hours * 60.0)
    return begins - changes_of(visit).late_min + planned


def _money(made: Made, visit: Visit, wall: Wall, ends: float) -> Money:
    plan = made.plan
    begins = wall.minutes(visit.started) if visit.started else 0.0
    minutes = round(ends - begins)
    hourly = floor_of_hour(made.consultation)
    before = plan.quote.floor
    now = None
    if before is not None and hourly is not None:
        now = round(before + hourly * (minutes - plan.quote.minutes) / 60.0, 2)
    return Money(
        minutes_before=plan.quote.minutes,
        minutes_now=minutes,
        floor_before=before,
        floor_now=now,
        currency=plan.quote.currency,
    )


def _learned(belief: Belief) -> list[Learned]:
    out = []
    for name, words in _WORDS.items():
        mean, sd = belief.of(name)
        low, middle, high = (math.exp(mean + z * sd) for z in (-Z90, 0.0, Z90))
        out.append(
            Learned(
                what=name,
                factor=figure(Range(low, middle, high, "1", "checks of this visit"), 2),
                words=words.format(f"{middle:.2f} ({low:.2f} to {high:.2f})"),
            )
        )
    return out


def _groups(state: _Now, clock: Clock | None) -> list[GroupNow]:
    if clock is None:
        return []
    wall, out = state.wall, []
    for group in clock.groups:
        wait = state.awaited[group.bowl]
        out.append(
            GroupNow(
                foils=group.foils,
                section=group.section,
                bowl=group.bowl,
                state="in" if group.start <= wall.now else "to come",
                start=wall.at(group.start) or "",
                due_low=wall.at(group.start + wait.low),
                due=wall.at(group.start + wait.middle),
                due_high=wall.at(group.start + wait.high),
                latest=wall.at(group.latest) or "",
                out=wall.at(group.out) or "",
                how=group.how,
            )
        )
    return out
