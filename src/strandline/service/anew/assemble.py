"""The rest of a visit: from a plan, the facts until now, and the time, to what is left to do."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import Unread
from strandline.base.facts.visit import Visit
from strandline.base.quantities import Range
from strandline.service.anew.after import relights, rinsed_at, steps_after
from strandline.service.anew.changed import Changes, added_foils, changes_of, end_of, left_out
from strandline.service.anew.checked import Awaited, awaited, learned
from strandline.service.anew.habits import habit
from strandline.service.anew.model import Anew, GroupNow, Learned, Money, Step
from strandline.service.anew.telling import Standing, steps_of
from strandline.service.anew.times import Wall, until, wall_of
from strandline.service.anew.toning import toned_anew
from strandline.service.anew.work import Work, clock_from_now, waits_from, without, work_of
from strandline.service.learning.belief import Belief, prior
from strandline.service.learning.check import Override
from strandline.service.plan.assemble import Made
from strandline.service.plan.model import GlossStep, figure
from strandline.service.plan.money import floor_of_hour
from strandline.service.schedule.clock import Clock, Placing

Z90 = 1.2816
"""sd from the middle of a normal law to its 90 % point."""
_WORDS = {
    "product": "the lightener works at {} of its usual rate",
    "client": "this hair lifts at {} of the usual rate",
    "day": "today all runs at {} of the usual rate",
}


@dataclass(frozen=True)
class _Now:
    """Everything that is known at this minute."""

    made: Made
    visit: Visit
    wall: Wall
    work: Work
    changes: Changes
    awaited: dict[str, Awaited]
    label_min: float
    gloss: list[GlossStep]

    def clock(
        self, which: str, gone: frozenset[int], added: Sequence[Placing] = ()
    ) -> Clock | None:
        first = self.made.plan.first_check_min or self.label_min
        return clock_from_now(
            self.work,
            waits_from(self.awaited, first, self.label_min, which),
            self.made.bench,
            self.wall.now,
            added=added,
            left_out=gone,
            helper=self.changes.helper or self.made.consultation.limits.helper,
        )

    @property
    def after_min(self) -> float:
        """Minutes from the rinse to the door."""
        bench = self.made.bench
        again = habit("relight_max_min") + bench["minutes_rinse"] if relights(self.visit) else 0.0
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
    Anew   with no foil in past the label's longest time, whatever is believed

    Raises
    ------
    OutOfRangeError   facts without a visit, a time before it began, or facts of another client
    """
    begun = [fact for fact in facts if fact.kind == "visit.started"]
    offset = begun[-1].offset if begun else 0
    known, now_ms = until(list(facts), clock, offset)
    visit = fold(known, unread)
    if visit.client is not None and visit.client != made.plan.client:
        raise OutOfRangeError(
            f"The facts are of {visit.client}; the plan is for {made.plan.client}.",
            "Name the visit's own file.",
            "--facts",
        )
    wall = wall_of(visit, now_ms, offset)
    lightener = made.consultation.shelf.lightener
    label = (lightener.label_max_min if lightener else None) or math.inf
    if not made.doses:
        label = max((wait for wait in (label,) if math.isfinite(wait)), default=60.0)
    work = work_of(made.plan, visit, wall, label)
    before = prior()
    believed, checks = learned(visit, made.doses, dict(work.bowls), before, label)
    belief = before if isinstance(believed, Override) else believed
    changes = changes_of(visit)
    spoilt_in = changes.spoilt & set(work.inside)
    bowls = {*work.bowls.values(), "main"} if made.doses else set()
    state = _Now(
        made,
        visit,
        wall,
        without(work, frozenset(spoilt_in)),
        changes,
        {bowl: awaited(belief, bowl, made.doses, label) for bowl in bowls},
        label,
        toned_anew(made, visit),
    )
    return _told(state, believed, checks, frozenset(spoilt_in))


def _told(state: _Now, believed: Belief | Override, checks: int, spoilt_in: frozenset[int]) -> Anew:
    wall, visit, made, work = state.wall, state.visit, state.made, state.work
    hurts = believed.says if isinstance(believed, Override) else ""
    if visit.rinse_now and not hurts:
        hurts = "Rinse now, whatever any clock says."
    booked = _booked_until(state)
    added = added_foils(state.changes, work) if not rinsed_at(visit) else ()

    def ends_at(gone: frozenset[int]) -> float:
        return end_of(state.clock("middle", gone, added), wall.now, state.after_min)

    gone = frozenset[int]() if rinsed_at(visit) else left_out(state.changes, work, ends_at, booked)
    clock = None if rinsed_at(visit) else state.clock("middle", gone, added)
    ends = {
        which: end_of(
            None if rinsed_at(visit) else state.clock(which, gone, added),
            wall.now,
            state.after_min,
        )
        for which in ("low", "middle", "high")
    }
    money = _money(state, ends["middle"])
    standing = Standing(
        wall,
        hurts,
        work.past_label,
        sorted(spoilt_in),
        clock,
        made.plan.check_every_min or 0.0,
        sorted(gone),
        added,
        money,
        ends["middle"] - booked,
    )
    steps = steps_of(standing)
    steps += steps_after(visit, sorted(state.changes.spoilt))
    return Anew(
        now=wall.at(wall.now) or "",
        rinse_now=hurts,
        placed=sorted(work.placed),
        out=sorted({*work.outside, *spoilt_in}),
        to_come=[]
        if rinsed_at(visit)
        else [row.number for row in work.to_come if row.number not in gone],
        dropped=sorted(gone),
        added=len(added),
        checks=checks,
        learned=_learned(believed) if isinstance(believed, Belief) and checks else [],
        groups=_groups(state, clock),
        steps=_warned(steps, made),
        gloss=state.gloss,
        finish_low=wall.at(min(ends.values())),
        finish=wall.at(ends["middle"]),
        finish_high=wall.at(max(ends.values())),
        booked_until=wall.at(booked) or "",
        money=money,
        kept=[f"{flag.kind}: {flag.why or flag.code}" for flag in visit.flagged]
        + [f"{one.code}: foils {list(one.foils)}" for one in visit.conflicts],
        cautions=[f"{one.what} {one.do}" for one in made.plan.cautions if one.step == "foils"],
    )


def _booked_until(state: _Now) -> float:
    """Give the minute the visit is booked to end: as long as was planned, from when it was due."""
    started = state.visit.started
    begins = state.wall.minutes(started) if started else 0.0
    planned = min(state.made.plan.quote.minutes, state.made.consultation.limits.hours * 60.0)
    return begins - state.changes.late_min + planned


def _money(state: _Now, ends: float) -> Money:
    plan = state.made.plan
    started = state.visit.started
    begins = state.wall.minutes(started) if started else 0.0
    minutes = round(ends - begins)
    hourly = floor_of_hour(state.made.consultation)
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
                foils=f"{group.first}-{group.last}"
                if group.last > group.first
                else f"{group.first}",
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


def _warned(steps: list[Step], made: Made) -> list[Step]:
    """Put the label's word on the first step that concerns foils in."""
    if made.doses and steps and not steps[0].caution:
        first = steps[0].model_copy(
            update={"caution": "Burning, heat or pain: rinse at once, whatever any clock says."}
        )
        return [first, *steps[1:]]
    return steps
