"""What a timing is worth: a tuple compared from its first place on, and the tables it adds from.

Inside the search every place is a whole number, so that sums do not depend on their order: a
foil's seconds, thousandths of a stage times mg of hair, millionths of a dose times mg.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.service.schedule.blocks import Band, Choice
from strandline.service.schedule.problem import LONGEST_HOURS, Problem, Wishes, constants

Ints = NDArray[np.int64]
THOUSANDTHS = 1000
MILLIONTHS = 1_000_000
COSTS = 4
"""Past the label, past the aim, short of it, burden."""
PLACES = 6
"""The costs, the number of strengths, the code of the weaker first."""
BURDEN = COSTS - 1


class Value(NamedTuple):
    """Worth of a timing; the smaller tuple is the better.

    Parameters
    ----------
    past_label : foil minutes past the label's longest time or past her limit of harm, min
    past_aim : what lies past the aim, or past where the hair began if that is past it already, and
        what she allows past it; mean by mass, stage
    short : what is missing to the aim of foils out before their window, mean by mass, stage
    burden : mean dose by mass and her weight on minutes in the chair, minutes at 6 %; two that lie
        within one step of `Wishes.alike` are alike, and the places after it tell
    strengths : how many are mixed
    vols : strengths in the order of work, vol: the weaker first
    """

    past_label: float
    past_aim: float
    short: float
    burden: float
    strengths: int
    vols: tuple[float, ...]

    @property
    def meets(self) -> bool:
        """No label passed, no foil past its aim, none short of it."""
        return self.past_label == self.past_aim == self.short == 0

    @property
    def looks_met(self) -> bool:
        """No label passed, and the aims missed by less than an eye sees."""
        seen = constants()["way_worth_stage"].value
        return self.past_label == 0 and self.past_aim + self.short < seen


def value_from(costs: Sequence[int], mg: int, strengths: int, vols: tuple[float, ...]) -> Value:
    """Turn the whole numbers of the search into minutes, stages and dose.

    Parameters
    ----------
    costs : the four, summed over all hair
    mg : of hair in all foils, > 0
    """
    late, past, short, burden = (int(cost) for cost in costs)
    stage, dose = THOUSANDTHS * mg, MILLIONTHS * mg
    return Value(late / 60, past / stage, short / stage, burden / dose, strengths, vols)


@dataclass(frozen=True, eq=False)
class Tables:
    """Costs of 1 mg of hair by the seconds it was in, a row for each band and strength.

    Where stretches are painted together the costs of each are added by its share.

    Parameters
    ----------
    cost : shape (C, H + 1, 4)   none but the third rises, the third never does
    free : shape (C, H + 1)   the last second with the first two costs of this one
    same : shape (C, H + 1)   the first second with the third cost of this one
    row : by block, band and place among the strengths: a row, -1 where it is not allowed
    """

    cost: Ints
    free: Ints
    same: Ints
    row: tuple[tuple[Ints, ...], ...]


def horizon(problem: Problem) -> int:
    """Give a time that no foil of a head can be in beyond, s.

    Raises
    ------
    OutOfRangeError   more than a working day
    """
    hands = problem.hands
    work, last, uses = 0, 0.0, 0
    for block in problem.blocks:
        work += hands.section
        for foil in block.foils:
            work += hands.pace(foil.seconds, helped=False) + hands.wipe + hands.second
        last = max(last, *(band.label_min + max(band.after_min) for band in block.bands))
        uses += len(block.bands) * len(block.foils)
    bowls = hands.bowl * uses
    kinds = min(problem.most_strengths, len(problem.vols))
    ageing = kinds * hands.bowl
    if ageing < hands.bowl_seconds:  # each kind is fresh at first, when empty, and when old
        fresh = work + hands.bowl * (kinds + uses // hands.bowl_foils)
        bowls = min(bowls, math.ceil(fresh / (1 - ageing / hands.bowl_seconds)) - work)
    seconds = work + bowls + math.ceil(last * 60) + 2 * hands.rinse + 120
    if seconds > LONGEST_HOURS * 3600:
        raise OutOfRangeError(
            f"The foils may take {seconds / 3600:.0f} h; it must be at most {LONGEST_HOURS:g} h.",
            "Plan fewer foils, or look at the seconds a foil takes.",
        )
    return seconds


def tables_of(problem: Problem) -> Tables:
    """Lay out the costs of every band at every strength it may get."""
    seconds = np.arange(horizon(problem) + 1, dtype=np.int64)
    known: dict[int, Ints] = {}
    costs: list[Ints] = []
    rows = []
    for block in problem.blocks:
        of_block = []
        for band in block.bands:
            if id(band) not in known:
                places = np.full(len(problem.vols), -1, dtype=np.int64)
                for choice in band.choices:
                    places[problem.vols.index(choice.vol)] = len(costs)
                    costs.append(costs_of(band, choice.vol, problem.wishes, seconds))
                known[id(band)] = places
            of_block.append(known[id(band)])
        rows.append(tuple(of_block))
    cost = np.stack(costs)
    free = np.stack([_last_alike(one[:, :2]) for one in cost])
    same = np.stack([_first_alike(one[:, 2]) for one in cost])
    return Tables(cost, free, same, tuple(rows))


def ranked(values: Ints, alike: int) -> Ints:
    """Give values as they are compared.

    Parameters
    ----------
    values : shape (N, 6)
    alike : burdens within a step of this are alike, > 0

    Returns
    -------
    shape (N, 7)   the burden in whole steps at its place; itself in the last
    """
    out = np.concatenate([values, values[:, BURDEN, None]], axis=1)
    out[:, BURDEN] //= alike
    return out


def costs_of(band: Band, vol: float, wishes: Wishes, seconds: Ints) -> Ints:
    """Give the four costs of 1 mg of what is painted at once, shape (n, 4).

    Parameters
    ----------
    seconds : shape (n,)   that it was in, >= 0

    Notes
    -----
    The first counts seconds of a foil: of the stretch that is past by most. The second and third
    are thousandths of a stage, the fourth millionths of a dose, each a mean by share.
    """
    each = np.stack([_costs(one, one.choice(vol), wishes, seconds) for one in band.stretches])
    shares = np.array([one.share for one in band.stretches]) / band.share_of_all
    out: Ints = np.rint(np.tensordot(shares, each, axes=1)).astype(np.int64)
    out[:, 0] = each[:, :, 0].max(axis=0)
    return out


def _costs(band: Band, choice: Choice, wishes: Wishes, seconds: Ints) -> Ints:
    """Give the four costs of 1 mg of one stretch, shape (n, 4)."""
    minutes = seconds / 60
    stage = np.interp(minutes, choice.minutes, choice.middle)
    over = np.rint((stage - band.aim_stage) * THOUSANDTHS).astype(np.int64)
    at_first = round((float(choice.middle[0]) - band.aim_stage) * THOUSANDTHS)
    begun = max(0, at_first)  # what is past its aim before it is begun is not held against it
    early = minutes < choice.minutes_to_aim - wishes.window_min
    allowed = round((wishes.ahead_ok if band.ahead else wishes.past_ok) * THOUSANDTHS)
    dose = np.rint(choice.harm_per_min * minutes * MILLIONTHS).astype(np.int64)
    return np.stack(
        [
            np.maximum(seconds - math.floor(60 * longest(band, choice)), 0),
            np.maximum(over - begun - allowed, 0),
            np.where(early, np.maximum(-over, 0), 0),
            dose,
        ],
        axis=1,
    )


def longest(band: Band, choice: Choice) -> float:
    """Give the minutes a band may bear a strength: its label's, or by her limit of harm."""
    if choice.harm_per_min == 0:
        return band.label_min
    return min(band.label_min, band.harm_max / choice.harm_per_min)


def _last_alike(columns: Ints) -> Ints:
    changes = np.flatnonzero(np.any(np.diff(columns, axis=0) != 0, axis=1))
    ends = np.append(changes, len(columns) - 1)
    return np.asarray(ends[np.searchsorted(ends, np.arange(len(columns)))], dtype=np.int64)


def _first_alike(column: Ints) -> Ints:
    begins = np.append(0, np.flatnonzero(np.diff(column) != 0) + 1)
    at = np.searchsorted(begins, np.arange(len(column)), side="right") - 1
    return np.asarray(begins[at], dtype=np.int64)
