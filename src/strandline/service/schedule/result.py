"""A timing as she reads it: strengths, fresh bowls, clocks, who wipes what and when, its value."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from strandline.base.quantities import Range
from strandline.service.schedule.blocks import Band, Block, Choice
from strandline.service.schedule.chair import Group
from strandline.service.schedule.clock import Clock
from strandline.service.schedule.problem import Problem
from strandline.service.schedule.rows import RINSE, WIPE
from strandline.service.schedule.search import Found
from strandline.service.schedule.value import COSTS, Value, longest, value_from

NEVER_SO = (
    "Do not work so: foils would pass the label's longest time or her limit of harm. "
    "Take one of the ways out."
)
LAW = "curve of lift handed in, at the minutes each foil is in"


@dataclass(frozen=True, slots=True)
class Poured:
    """A strength on a band of a block.

    Parameters
    ----------
    block, band : where
    vol : poured, vol
    after_min : that the band waits from its foil's start
    minutes_to_aim : median
    in_min : shortest and longest time that any of its foils is in
    stage : when they come out, mean by mass
    dose : minutes at 6 %, mean by mass
    """

    block: str
    band: str
    vol: float
    after_min: float
    minutes_to_aim: float
    in_min: tuple[float, float]
    stage: Range
    dose: float


@dataclass(frozen=True, slots=True)
class Out:
    """How a block comes out: 'wipe', 'first rinse' or 'rinse', by 'you' or a 'helper'."""

    block: str
    how: str
    who: str
    at_min: float
    takes_min: float


@dataclass(frozen=True)
class Timing:
    """The timing of a head; minutes from the first parting.

    Parameters
    ----------
    order : names of blocks in the order of work
    poured : by block and band, in that order
    bowls : by strength, vol, how many are mixed fresh
    clock : group clocks; neighbours alike that are rinsed together share one
    outs : by block, in the order of work
    value : what it is worth
    chair_min : until the last rinse is done
    dose : minutes at 6 %, mean by mass
    helped : a second pair of hands took part
    proven : the search went to its end
    walked : ways begun that were looked at
    """

    order: tuple[str, ...]
    poured: tuple[Poured, ...]
    bowls: Mapping[float, int]
    clock: Clock
    outs: tuple[Out, ...]
    value: Value
    chair_min: float
    dose: float
    helped: bool
    proven: bool
    walked: int


@dataclass(frozen=True)
class _Laid:
    """A block as it was done: starts and outs of its foils, s; bands with strength and delay, s."""

    block: Block
    how: str
    starts: tuple[int, ...]
    outs: tuple[int, ...]
    bands: tuple[tuple[Band, float, int], ...]

    @property
    def stretches(self) -> list[tuple[Band, Choice, int]]:
        """Every stretch, those painted together each, with what its strength does."""
        return [
            (stretch, stretch.choice(vol), delay)
            for band, vol, delay in self.bands
            for stretch in band.stretches
        ]


def timing_of(found: Found) -> Timing:
    """Write down what a search found."""
    problem = found.head.problem
    laid = [_laid(found, b) for b in found.order]
    poured = tuple(one for block in laid for one in _poured(block))
    grams = [
        [max(1, round(1000 * foil.grams * stretch.share)) for foil in block.block.foils]
        for block in laid
        for stretch, _, _ in block.stretches
    ]
    mass = [sum(each) for each in grams]
    bowls = {
        vol: int(count)
        for vol, count in zip(problem.vols, found.row.bowls[0], strict=True)
        if count
    }
    outs = tuple(_out(problem, block) for block in laid)
    vols = tuple(one.vol for one in poured)
    return Timing(
        tuple(block.block.name for block in laid),
        poured,
        bowls,
        _clock(found, laid, bowls, outs),
        outs,
        value_from(found.value[:COSTS].tolist(), found.head.whole, int(found.value[COSTS]), vols),
        (found.rinses[-1] + problem.hands.rinse) / 60,
        float(np.average([one.dose for one in poured], weights=mass)),
        problem.hands.helper,
        found.proven,
        found.walked,
    )


def _laid(found: Found, b: int) -> _Laid:
    head, row = found.head, found.row
    block, hands = head.problem.blocks[b], head.problem.hands
    by = int(row.by[0, b])
    begin, step = int(row.out[0, b]), hands.wipe
    if by != WIPE:
        begin, step = found.rinses[-1 if by == RINSE else 0], 0
    bands = []
    for band, j in zip(block.bands, range(head.bands[b].start, head.bands[b].stop), strict=True):
        vol = head.problem.vols[int(row.vol[0, j])]
        bands.append((band, vol, int(row.delay[0, j])))
    return _Laid(
        block,
        ("rinse", "wipe", "first rinse")[by],
        tuple(int(t) for t in row.starts[0, head.columns[b]]),
        tuple(begin + step * i for i in range(len(block.foils))),
        tuple(bands),
    )


def _poured(laid: _Laid) -> list[Poured]:
    out = []
    grams = [foil.grams for foil in laid.block.foils]
    for band, choice, delay in laid.stretches:
        minutes = (np.array(laid.outs) - np.array(laid.starts) - delay).clip(0) / 60
        low, middle, high = (
            float(np.average(np.interp(minutes, choice.minutes, curve), weights=grams))
            for curve in (choice.low, choice.middle, choice.high)
        )
        out.append(
            Poured(
                laid.block.name,
                band.name,
                choice.vol,
                delay / 60,
                choice.minutes_to_aim,
                (float(minutes.min()), float(minutes.max())),
                Range(min(low, middle), middle, max(middle, high), "stage", LAW),
                float(np.average(choice.harm_per_min * minutes, weights=grams)),
            )
        )
    return out


def _out(problem: Problem, laid: _Laid) -> Out:
    wiped = laid.how == "wipe"
    who = "helper" if wiped and problem.hands.helper else "you"
    seconds = problem.hands.wipe * len(laid.outs) if wiped else problem.hands.rinse
    return Out(laid.block.name, laid.how, who, laid.outs[0] / 60, seconds / 60)


def _clock(
    found: Found, laid: Sequence[_Laid], bowls: Mapping[float, int], outs: Sequence[Out]
) -> Clock:
    groups: list[Group] = []
    for before, one in zip([None, *laid], laid, strict=False):
        group = _group(one)
        alike = (
            before is not None
            and one.how == before.how != "wipe"
            and group.bowl == groups[-1].bowl
            and group.first == groups[-1].last + 1
        )
        if alike:
            kept = groups.pop()
            sections = dict.fromkeys([*kept.section.split(", "), group.section])
            group = replace(kept, last=group.last, end=group.end, section=", ".join(sections))
        groups.append(group)
    return Clock(
        tuple(groups),
        int(found.row.ready[0]) / 60,
        found.rinses[-1] / 60,
        {
            foil.number: start / 60
            for one in laid
            for foil, start in zip(one.block.foils, one.starts, strict=True)
        },
        {f"{vol:g} vol": count for vol, count in bowls.items()},
        tuple(_notes(laid, outs, late=bool(found.value[0]))),
    )


def _group(laid: _Laid) -> Group:
    start = laid.starts[0] / 60
    ends = [delay / 60 + longest(band, choice) for band, choice, delay in laid.stretches]
    aims = [delay / 60 + choice.minutes_to_aim for _, choice, delay in laid.stretches]
    return Group(
        laid.block.foils[0].number,
        laid.block.foils[-1].number,
        laid.block.section,
        " and ".join(dict.fromkeys(f"{vol:g} vol" for _, vol, _ in laid.bands)),
        start,
        laid.starts[-1] / 60,
        start + min(laid.block.first_check_min, *ends),
        start + min(max(aims), *ends),
        start + min(ends),
        laid.outs[0] / 60,
        "wipe" if laid.how == "wipe" else "rinse",
    )


def _notes(laid: Sequence[_Laid], outs: Sequence[Out], *, late: bool) -> list[str]:
    by: dict[str, Callable[[Out], str]] = {
        "you": lambda out: f"wipe them at minute {out.at_min:.0f} ({out.takes_min:.0f} min)",
        "helper": lambda out: (
            f"your helper wipes them from minute {out.at_min:.0f} ({out.takes_min:.0f} min)"
        ),
    }
    notes = [NEVER_SO] if late else []
    for one, out in zip(laid, outs, strict=True):
        first, last = one.block.foils[0].number, one.block.foils[-1].number
        if out.how == "wipe":
            notes.append(f"Foils {first}-{last} are due first: {by[out.who](out)}, damp towel.")
        elif out.how == "first rinse":
            notes.append(f"Foils {first}-{last} go to the first rinse at minute {out.at_min:.0f}.")
    return notes
